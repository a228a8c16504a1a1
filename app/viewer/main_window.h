#pragma once

#include <QMainWindow>

#include "app/viewer/comparison.h"
#include "app/viewer/desk.h"
#include "app/viewer/end_view.h"
#include "app/viewer/film_card.h"
#include "app/viewer/frame_view.h"
#include "app/viewer/legend_view.h"
#include "app/viewer/lens_view.h"
#include "app/viewer/list_model.h"
#include "app/viewer/live_view.h"
#include "app/viewer/page_view.h"
#include "app/viewer/printing.h"
#include "app/viewer/section_view.h"
#include "app/viewer/timeline_view.h"

class QComboBox;
class QDockWidget;
class QFrame;
class QLabel;
class QListView;
class QProgressBar;
class QPushButton;
class QSettings;
class QSplitter;
class QTextBrowser;

namespace app::viewer {

/// The one window. Puts the views together and turns what people do into calls on the desk.
class MainWindow : public QMainWindow {
  Q_OBJECT
 public:
  explicit MainWindow(QWidget* parent = nullptr);

  void OpenPath(const QString& path);
  void CompareWith(const QString& path);
  Desk& desk() { return desk_; }
  PageView& page() { return *page_; }
  EndView& end_view() { return *end_; }
  LensView& lens() { return *lens_; }
  FrameView& frame() { return *frame_; }
  Comparison& comparison() { return *comparison_; }
  TimelineView& timeline() { return *timeline_; }
  FilmCard& film() { return *film_; }
  LiveView& live() { return *live_; }
  void Follow(const vision::live::WatchOptions& options, bool clock_known = true);  ///< A camera, live.
  void SetWelderMode(bool on);
  /// Called with the report's file; opens it in the system's browser unless replaced.
  /// Size and place of the window, its parts and its docks.
  void SaveLayout(QSettings& settings) const;
  void RestoreLayout(const QSettings& settings);

  std::function<void(const QString&)> open_document;
  /// Which printer, and how; a test answers for the person.
  std::function<bool(QPrinter&, QWidget*)> ask_printer = AskForPrinter;

 protected:
  void dragEnterEvent(QDragEnterEvent*) override;
  void dropEvent(QDropEvent*) override;
  void closeEvent(QCloseEvent*) override;

 private:
  // main_file_menu.cpp
  void MakeFileMenu();
  void AddOpenActions(QMenu* menu);
  void AddJointActions(QMenu* menu);
  void AddKeepActions(QMenu* menu);

  // main_actions.cpp
  void MakeMenus();
  void MakeEditMenu();
  void MakeNoteMenu();
  void MakeViewMenu();
  void AddLayerActions(QMenu* menu);
  void AddLensActions(QMenu* menu);
  void MakeLightMenu();
  void MakeCompareMenu();
  void MakeSettingsMenu();
  QAction* Add(QMenu* menu, const QString& text, const QString& key, std::function<void()> run, const char* name);
  void FillRecent();
  void NewJoint(const Request& bare);

  // main_record.cpp
  void ShowReport();
  void SignOff();
  void FillJoints();
  void StepJoint(int by);
  void MeasureFolder();
  QImage PictureOfView();
  void SavePicture();
  void PrintPicture();

  // main_docks.cpp
  void MakeDocks();
  QDockWidget* MakeDock(const QString& title, const char* name);
  void AddDockActions(QMenu* menu);
  void DockEndView(bool on);
  void DockLens(bool on);

  // main_help.cpp
  void MakeHelpMenu();
  void ShowHandbook(const QString& chapter);
  void ShowKeys();
  bool eventFilter(QObject* watched, QEvent* event) override;

  // main_recording.cpp
  void MakeRecordingMenu();
  void SortRecording();
  void AddRecording();
  void CalibrateCamera();
  void EditFacts();
  void PlayPlace();
  void PlayWelding();
  void ConnectFilm();
  void ConnectLive();
  void AskForCamera();

  // main_notes.cpp
  void RuleOnThing(bool overrule);
  void NoteDrawn(notes::Shape shape, const std::vector<notes::Place>& points);
  void EditNote(int id);
  void SetToe(const std::vector<notes::Place>& points);
  void RemoveChosen();
  void Judge();

  // main_window.cpp
  QWidget* MakeBench();
  QWidget* MakeCompareBar();
  void ConnectDesk();
  void ConnectPage();
  void ConnectTimeline();
  void GoToListed(int row);
  void StepThing(int by);
  void Say(const QString& sentence);
  void ShowFailure(const QString& sentence);
  void AskToMeasure(const Request& request);
  void Remember(const QString& path);
  void Refresh();
  void ShowLegends();
  void ConnectComparison();
  void SayPlace(double theta_deg, double z_mm);

  Desk desk_;
  Comparison* comparison_;
  PageView* page_;
  LensView* lens_;
  FrameView* frame_;
  FilmCard* film_;
  LiveView* live_;
  EndView* end_;
  SectionView* section_;
  ListModel* listed_;
  TimelineView* timeline_;
  QListView* list_;
  QTextBrowser* words_;
  QFrame* bar_;
  QLabel *bar_text_, *read_out_, *view_, *caution_, *welder_words_;
  QPushButton *bar_button_, *cancel_;
  QProgressBar* progress_;
  QSplitter* split_;
  QWidget *bench_, *end_box_, *compare_bar_;
  QDockWidget *end_dock_ = nullptr, *lens_dock_ = nullptr;
  QLabel* compare_text_;
  QPushButton *speak_of_after_, *open_later_;
  LegendView *page_legend_, *end_legend_, *section_legend_;
  QMenu *recent_ = nullptr, *joints_ = nullptr;
  std::filesystem::path waiting_file_;  ///< Of the joint that is not measured yet.
  QString job_title_;
  QStringList keys_;
  bool welder_ = false, legends_ = true;
};

}  // namespace app::viewer
