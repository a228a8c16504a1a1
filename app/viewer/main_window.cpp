#include "app/viewer/main_window.h"

#include <QCloseEvent>
#include <QDesktopServices>
#include <QDragEnterEvent>
#include <QHBoxLayout>
#include <QLabel>
#include <QListView>
#include <QMimeData>
#include <QProgressBar>
#include <QPushButton>
#include <QScrollArea>
#include <QSettings>
#include <QSplitter>
#include <QStatusBar>
#include <QTextBrowser>
#include <QUrl>
#include <QVBoxLayout>

#include "app/viewer/legends.h"
#include "vision/bore/angle.h"

namespace app::viewer {

MainWindow::MainWindow(QWidget* parent)
    : QMainWindow(parent),
      comparison_(new Comparison(desk_, this)),
      page_(new PageView(desk_)),
      lens_(new LensView(desk_, *comparison_, *page_)),
      frame_(new FrameView(desk_, *comparison_, *page_, *lens_)),
      film_(new FilmCard(page_)),
      live_(new LiveView),
      end_(new EndView(desk_)),
      section_(new SectionView(desk_)),
      listed_(new ListModel(desk_, this)),
      timeline_(new TimelineView(desk_.jobs())),
      list_(new QListView),
      words_(new QTextBrowser),
      bar_(new QFrame),
      bar_text_(new QLabel),
      read_out_(new QLabel),
      view_(new QLabel),
      caution_(new QLabel),
      welder_words_(new QLabel),
      bar_button_(new QPushButton),
      cancel_(new QPushButton(tr("Cancel"))),
      progress_(new QProgressBar),
      split_(new QSplitter(Qt::Vertical)),
      compare_text_(new QLabel),
      speak_of_after_(new QPushButton(tr("&Words and lens of the later one"))),
      open_later_(new QPushButton(tr("Open the &later one"))),
      page_legend_(new LegendView),
      end_legend_(new LegendView),
      section_legend_(new LegendView) {
  open_document = [](const QString& file) { QDesktopServices::openUrl(QUrl::fromLocalFile(file)); };
  setWindowTitle("Rootscroll");
  setAcceptDrops(true);
  resize(1440, 900);
  auto* centre = new QWidget;
  auto* column = new QVBoxLayout(centre);
  column->setContentsMargins(6, 4, 6, 2);
  column->setSpacing(3);
  auto* bar_row = new QHBoxLayout(bar_);
  bar_row->setContentsMargins(8, 4, 8, 4);
  bar_text_->setWordWrap(true);
  bar_text_->setObjectName("bar_text");
  progress_->setRange(0, 100);
  progress_->setMaximumWidth(260);
  progress_->setAccessibleName(tr("Progress"));
  cancel_->setObjectName("cancel");
  for (QWidget* part : std::initializer_list<QWidget*>{bar_text_, progress_, cancel_, bar_button_})
    bar_row->addWidget(part);
  bar_row->setStretch(0, 1);
  bar_->setFrameShape(QFrame::StyledPanel);
  bar_->hide();
  column->addWidget(timeline_);
  column->addWidget(bar_);
  view_->setObjectName("view");
  column->addWidget(view_);
  column->addWidget(page_legend_);
  compare_bar_ = MakeCompareBar();
  column->addWidget(compare_bar_);
  bench_ = MakeBench();
  split_->addWidget(page_);
  split_->addWidget(bench_);
  split_->setStretchFactor(0, 1);
  split_->setStretchFactor(1, 0);
  split_->setSizes({560, 310});
  column->addWidget(split_, 1);
  column->addWidget(live_, 1);
  caution_->setText(Words::Supports());
  caution_->setToolTip(Words::Cautions().join("\n"));
  caution_->setObjectName("caution");
  column->addWidget(caution_);
  setCentralWidget(centre);
  read_out_->setObjectName("read_out");
  statusBar()->addWidget(read_out_, 1);
  lens_->hide();
  MakeDocks();
  MakeMenus();
  ConnectDesk();
  ConnectComparison();
  ConnectPage();
  ConnectTimeline();
  ConnectFilm();
  ConnectLive();
  Refresh();
}

QWidget* MainWindow::MakeBench() {
  auto* bench = new QWidget;
  auto* row = new QHBoxLayout(bench);
  row->setContentsMargins(0, 2, 0, 2);
  end_box_ = new QWidget;
  auto* end_row = new QHBoxLayout(end_box_);
  end_row->setContentsMargins(0, 0, 0, 0);
  end_->setMinimumWidth(280);
  end_row->addWidget(end_, 1);
  end_legend_->setFixedWidth(160);
  end_row->addWidget(end_legend_, 0, Qt::AlignTop);
  row->addWidget(end_box_, 0);
  welder_words_->setWordWrap(true);
  welder_words_->setTextFormat(Qt::RichText);
  welder_words_->setAlignment(Qt::AlignTop | Qt::AlignLeft);
  welder_words_->setObjectName("welder_words");
  auto* welder_area = new QScrollArea;
  welder_area->setObjectName("welder_area");
  welder_area->setWidgetResizable(true);
  welder_area->setFrameShape(QFrame::NoFrame);
  welder_area->setWidget(welder_words_);
  welder_area->hide();
  row->addWidget(welder_area, 2);
  list_->setModel(listed_);
  list_->setObjectName("list");
  list_->setWordWrap(true);
  list_->setAccessibleName(tr("What to look at"));
  list_->setToolTip(tr("What to look at. Enter goes there."));
  row->addWidget(list_, 3);
  words_->setAccessibleName(tr("What is known at the cross-hair"));
  words_->setObjectName("words");
  row->addWidget(words_, 3);
  auto* section_box = new QWidget;
  section_box->setObjectName("section_box");
  auto* section_column = new QVBoxLayout(section_box);
  section_column->setContentsMargins(0, 0, 0, 0);
  section_column->addWidget(section_, 1);
  section_column->addWidget(section_legend_, 0);
  row->addWidget(section_box, 2);
  return bench;
}

QWidget* MainWindow::MakeCompareBar() {
  auto* bar = new QFrame;
  bar->setFrameShape(QFrame::StyledPanel);
  auto* row = new QHBoxLayout(bar);
  row->setContentsMargins(8, 2, 8, 2);
  compare_text_->setWordWrap(true);
  compare_text_->setObjectName("compare_text");
  row->addWidget(compare_text_, 1);
  speak_of_after_->setCheckable(true);
  speak_of_after_->setObjectName("speak_of_after"), open_later_->setObjectName("open_later");
  row->addWidget(speak_of_after_);
  row->addWidget(open_later_);
  bar->hide();
  return bar;
}

void MainWindow::ConnectDesk() {
  connect(&desk_, &Desk::opened_joint, this, [this] {
    bar_->hide();
    lens_->setVisible(!welder_);
    if (desk_.opened().came_from.empty()) Remember(QString::fromStdString(desk_.opened().joint.file.string()));
    FillJoints();
    if (!desk_.listed().empty()) GoToListed(0);
  });
  connect(&desk_, &Desk::laidAside, this, [this] {
    lens_->hide();
    statusBar()->clearMessage();
  });
  connect(&desk_, &Desk::noJointFile, this, &MainWindow::NewJoint);
  connect(&desk_, &Desk::notMeasured, this, &MainWindow::AskToMeasure);
  connect(&desk_, &Desk::failed, this, &MainWindow::ShowFailure);
  connect(&desk_, &Desk::remarked, this, &MainWindow::Say);
  connect(&desk_, &Desk::changed, this, &MainWindow::Refresh);
  connect(&desk_, &Desk::placed, this, &MainWindow::Refresh);
  auto& jobs = desk_.jobs();
  connect(&jobs, &JobRunner::started, this, [this](const QString& title) {
    bar_text_->setText(title + " …");
    job_title_ = title;
    progress_->setValue(0);
    progress_->show(), cancel_->show(), bar_button_->hide(), bar_->show();
  });
  connect(&jobs, &JobRunner::progressed, this, [this](double fraction, const QString& stage) {
    progress_->setValue(static_cast<int>(100 * fraction));
    bar_text_->setText(job_title_ + " … " + stage);
  });
  connect(&jobs, &JobRunner::ended, this, [this] { bar_->hide(); });
  connect(cancel_, &QPushButton::clicked, &jobs, &JobRunner::Cancel);
}

void MainWindow::ConnectComparison() {
  connect(comparison_, &Comparison::ready, this, [this] {
    page_->SetOther(comparison_->after_pyramid(), comparison_->difference_pyramid(), comparison_->heights_pyramid());
    page_->SetOtherNotes(comparison_->other_notes());
    page_->SetLabels(comparison_->Label(false), comparison_->Label(true));
    if (page_->against() == Against::kNone) page_->SetAgainst(Against::kSwipe);
    compare_text_->setText(comparison_->Sentence());
    compare_bar_->show();
    Refresh();
  });
  connect(comparison_, &Comparison::ended, this, [this] {
    page_->SetOther({}, {});
    page_->SetOtherNotes({});
    compare_bar_->hide();
    speak_of_after_->setChecked(false);
    Refresh();
  });
  connect(comparison_, &Comparison::failed, this, &MainWindow::ShowFailure);
  connect(comparison_, &Comparison::notMeasured, this, [this](const Request& request) {
    AskToMeasure(request);
    bar_button_->setText(tr("&Measure and compare"));
    bar_button_->disconnect();
    connect(bar_button_, &QPushButton::clicked, this, [this, request] { comparison_->MeasureAndLay(request); });
  });
  connect(comparison_, &Comparison::spokenOf, this, [this] {
    speak_of_after_->setChecked(comparison_->at_after());
    Refresh();
  });
  connect(page_, &PageView::againstChanged, this, &MainWindow::ShowLegends);
  connect(page_, &PageView::halfChosen, comparison_, &Comparison::SpeakOfAfter);
  connect(speak_of_after_, &QPushButton::clicked, comparison_, &Comparison::SpeakOfAfter);
  connect(open_later_, &QPushButton::clicked, this,
          [this] { OpenPath(QString::fromStdString(comparison_->other().folder.string())); });
}

void MainWindow::ConnectPage() {
  connect(page_, &PageView::hovered, this, [this](double theta, double z) { SayPlace(theta, z); });
  connect(page_, &PageView::shapeDrawn, this, &MainWindow::NoteDrawn);
  connect(page_, &PageView::toeDrawn, this, [this](const std::vector<notes::Place>& points) { SetToe(points); });
  connect(page_, &PageView::noteAsked, this, &MainWindow::EditNote);
  connect(end_, &EndView::asked, this, [this](double theta, bool left) {
    // Onto the middle of an edge still visible there, else onto the toe.
    for (const Listed& thing : desk_.listed()) {
      const auto arc = vision::bore::ArcBetween(thing.start_deg, thing.end_deg);
      if (thing.sort == Listed::Sort::kUnfused && (thing.side == "left") == left && arc.Contains(theta)) {
        desk_.GoTo(theta, thing.z_mm);
        return page_->Reveal(theta, thing.z_mm);
      }
    }
    desk_.GoTo(theta, left ? -2 : 2);
    page_->Reveal(theta, desk_.z_mm());
  });
  connect(list_, &QListView::activated, this, [this](const QModelIndex& index) { GoToListed(index.row()); });
  connect(list_, &QListView::clicked, this, [this](const QModelIndex& index) { GoToListed(index.row()); });
  connect(list_, &QListView::doubleClicked, this, [this](const QModelIndex& index) {
    if (listed_->At(index.row()).note_id) EditNote(listed_->At(index.row()).note_id);
  });
}

void MainWindow::ConnectTimeline() {
  connect(timeline_, &TimelineView::failed, this, &MainWindow::ShowFailure);
  connect(timeline_, &TimelineView::remarked, this, &MainWindow::Say);
  connect(timeline_, &TimelineView::stretchTaken, this, [this](const Request& request) {
    if (request.bare()) return NewJoint(request);
    desk_.MeasureAndOpen(request);
  });
}

void MainWindow::OpenPath(const QString& path) { desk_.Open(path.toStdString()); }
void MainWindow::CompareWith(const QString& path) { comparison_->With(path.toStdString()); }

void MainWindow::GoToListed(int row) {
  if (row < 0 || row >= listed_->rowCount()) return;
  const Listed& thing = listed_->At(row);
  const double length = vision::bore::Wrap360(thing.end_deg - thing.start_deg);
  const double theta = thing.start_deg + (length < 180 ? length / 2 : 0), z = thing.z_mm;
  list_->setCurrentIndex(listed_->index(row));
  desk_.GoTo(theta, z);
  page_->Reveal(theta, z);
}

void MainWindow::StepThing(int by) {
  const int rows = listed_->rowCount();
  if (rows > 0) GoToListed(((list_->currentIndex().row() + by) % rows + rows) % rows);
}

void MainWindow::Say(const QString& sentence) { statusBar()->showMessage(sentence, 12000); }

void MainWindow::ShowFailure(const QString& sentence) {
  bar_text_->setText(sentence);
  progress_->hide(), cancel_->hide();
  bar_button_->setText(tr("Close"));
  bar_button_->disconnect();
  connect(bar_button_, &QPushButton::clicked, bar_, &QWidget::hide);
  bar_button_->show(), bar_->show();
}

void MainWindow::AskToMeasure(const Request& request) {
  waiting_file_ = request.joint_file;
  const bool waits = !desk_.has() && !desk_.waiting_for().empty();
  ShowFailure(tr("%1 has not been measured yet.")
                  .arg(QString::fromStdString(waits ? desk_.waiting_for() : request.joint_file.string())));
  bar_button_->setText(tr("&Measure now"));
  bar_button_->disconnect();
  connect(bar_button_, &QPushButton::clicked, this, [this, request] { desk_.MeasureAndOpen(request); });
}

void MainWindow::Remember(const QString& path) {
  QSettings settings;
  QStringList recent = settings.value("recent").toStringList();
  recent.removeAll(path);
  recent.prepend(path);
  settings.setValue("recent", recent.mid(0, 8));
  FillRecent();
}

void MainWindow::SetWelderMode(bool on) {
  welder_ = on;
  for (QWidget* part : std::initializer_list<QWidget*>{list_, words_, findChild<QWidget*>("section_box")})
    part->setVisible(!on);
  findChild<QWidget*>("welder_area")->setVisible(on);
  lens_->setVisible(!on && desk_.has());
  Layers layers = page_->layers();
  frame_->SetWanted(!on);
  layers.ribbons = layers.toes = layers.notes = !on;
  page_->SetLayers(layers);
  split_->setSizes(on ? QList<int>{340, 460} : QList<int>{560, 310});
  end_->setMinimumWidth(on ? 440 : 280);
  Refresh();
}

void MainWindow::SayPlace(double theta_deg, double z_mm) {
  QString text = Words::ReadOut(desk_.edited(), theta_deg, z_mm, desk_.units());
  if (const auto& belt = desk_.opened().belt) text += "   " + Words::AtStation(*belt, theta_deg);
  if (const QString change = comparison_->AtPlace(theta_deg, z_mm); !change.isEmpty()) text += "   " + change;
  read_out_->setText(text);
}

void MainWindow::Refresh() {
  const bool has = desk_.has();
  const QString waiting = QString::fromStdString(desk_.waiting_for());
  QString view = has                 ? Words::View(desk_.edited())
                 : waiting.isEmpty() ? tr("No joint is open.")
                                     : tr("%1: not measured yet, so that there is nothing to show.").arg(waiting);
  if (has && !desk_.opened().came_from.empty())
    view += " — " + tr("from the joint book: %1").arg(QString::fromStdString(desk_.opened().came_from));
  view_->setText(view);
  setWindowTitle(
      has ? QString("%1%2 — Rootscroll").arg(QString::fromStdString(desk_.opened().joint.id), desk_.saved() ? "" : " *")
          : QString(waiting.isEmpty() ? "Rootscroll" : waiting + " — Rootscroll"));
  if (!has) {
    ShowLegends();
    read_out_->clear(), welder_words_->clear();
    return words_->setHtml(waiting.isEmpty() ? tr("<p>Open a joint file to begin. F1 lists all keys.</p>")
                                             : view.toHtmlEscaped());
  }
  ShowLegends();
  QString words = Words::AtPlace(desk_.known(), desk_.ribbons(), desk_.theta_deg(), desk_.z_mm(), desk_.units());
  if (comparison_->at_after()) {
    const auto at = comparison_->InAfter(desk_.theta_deg(), desk_.z_mm());
    words =
        Words::AtPlace(comparison_->other_known(), comparison_->other_ribbons(), at.theta_deg, at.z_mm, desk_.units());
  }
  if (comparison_->has())
    words.prepend("<p><b>" + comparison_->Label(comparison_->at_after()).toHtmlEscaped() + "</b></p>");
  if (const auto& welded = desk_.opened().welded)
    words += "<p>" + Words::WeldedAt(*welded, desk_.theta_deg()).toHtmlEscaped() + "</p>";
  words_->setHtml(words);
  SayPlace(desk_.theta_deg(), desk_.z_mm());
  if (welder_) welder_words_->setText(Words::ForWelder(desk_.known(), desk_.units()));
}

void MainWindow::ShowLegends() {
  page_legend_->Show(OnPage(desk_, page_->layers(), page_->against()));
  end_legend_->Show(OnEndView(desk_));
  section_legend_->Show(OnSection(desk_));
  for (LegendView* legend : {page_legend_, end_legend_, section_legend_})
    legend->setVisible(legends_ && !legend->shown().empty());
}

void MainWindow::dragEnterEvent(QDragEnterEvent* event) {
  if (event->mimeData()->hasUrls()) event->acceptProposedAction();
}

void MainWindow::dropEvent(QDropEvent* event) {
  const auto urls = event->mimeData()->urls();
  if (!urls.isEmpty() && urls.front().isLocalFile()) OpenPath(urls.front().toLocalFile());
}

void MainWindow::closeEvent(QCloseEvent* event) {
  // What was not saved lies beside the joint and comes back; nothing needs to be asked.
  desk_.jobs().Cancel();
  live_->Stop();
  event->accept();
}

}  // namespace app::viewer
