#pragma once

#include <QObject>
#include <QUndoStack>
#include <filesystem>
#include <optional>

#include "app/joint/criteria.h"
#include "app/joint/verdict.h"
#include "app/known/known.h"
#include "app/notes/keeper.h"
#include "app/viewer/from_book.h"
#include "app/viewer/job_runner.h"
#include "app/viewer/listed.h"
#include "app/viewer/opened.h"
#include "app/viewer/reading_words.h"
#include "app/viewer/ribbons.h"

namespace app::viewer {

/// The document of the window: one joint, what was measured on it, what people wrote, and what follows from both. Every
/// view reads from here; only commands on `undo` change the notes.
class Desk : public QObject {
  Q_OBJECT
 public:
  explicit Desk(QObject* parent = nullptr);
  ~Desk() override;

  /// Opens in the background. Ends with opened(), notMeasured() or failed().
  void Open(const std::filesystem::path& path);
  /// Opens the newest reading that a joint book holds of a cycle. Ends as Open does.
  void OpenFromBook(const BookEntry& entry);
  /// Measures the joint of `request` into a folder beside its file, then opens it.
  void MeasureAndOpen(const Request& request);

  bool has() const { return opened_.has_value(); }
  /// Of a joint that was asked for and is not measured yet: nothing is open then, nothing of another joint is shown.
  const std::string& waiting_for() const { return waiting_for_; }
  const Opened& opened() const { return *opened_; }
  const notes::Notes& notes() const { return notes_; }
  /// What was measured, what people decided and where that is kept: every view draws from here.
  const known::Known& known() const { return known_; }
  const vision::reading::Reading& edited() const { return known_.decided; }  ///< With what people put in.
  const std::vector<Ribbon>& ribbons() const { return ribbons_; }
  const std::vector<Listed>& listed() const { return listed_; }
  const joint::Verdict& verdict() const { return verdict_; }
  const joint::CriteriaSet& criteria() const { return criteria_; }
  JobRunner& jobs() { return jobs_; }
  QUndoStack& undo() { return undo_; }

  double theta_deg() const { return theta_deg_; }
  double z_mm() const { return z_mm_; }
  void GoTo(double theta_deg, double z_mm);

  const Units& units() const { return units_; }
  void SetUnits(const Units& units);
  void SetCriterion(const std::string& name);  ///< Shipped set or file; failed() when it cannot be read.
  QString author() const;
  void SetAuthor(const QString& name);
  notes::Signed Signature() const;

  /// The one way to change the notes: as a command that can be undone. Used by commands.h.
  void SetNotes(const notes::Notes& notes);

  void SaveNotes();
  bool saved() const { return undo_.isClean() && !recovered_; }

 signals:
  void opened_joint();
  void laidAside();  ///< Nothing is open any more.
  void notMeasured(const app::viewer::Request& request);
  void noJointFile(const app::viewer::Request& bare);  ///< A recording whose joint file is still to be written.
  void failed(const QString& sentence);
  void remarked(const QString& sentence);
  void changed();  ///< Notes, edited reading, verdict or units.
  void placed();   ///< Another place was chosen.
  void kept();     ///< The unsaved state is on the disk.

 private:
  void Take(Opened opened, const Request& request);
  void LayAside(const std::filesystem::path& joint_file);
  void Derive();

  std::optional<Opened> opened_;
  std::string waiting_for_;
  std::optional<notes::Keeper> keeper_;
  notes::Notes notes_;
  bool recovered_ = false, kept_ = true;  ///< kept_: the notes as they are stand in their file.
  known::Known known_;
  joint::CriteriaSet criteria_;
  joint::Verdict verdict_;
  std::vector<Ribbon> ribbons_;
  std::vector<Listed> listed_;
  double theta_deg_ = 0, z_mm_ = 0;
  Units units_;
  QUndoStack undo_;
  JobRunner jobs_;
};

}  // namespace app::viewer
