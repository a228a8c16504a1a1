#include "app/viewer/camera_sheet.h"

#include <QFileDialog>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QPushButton>
#include <QSpinBox>

#include "app/cameras/board_pdf.h"
#include "app/viewer/buttons.h"
#include "app/viewer/marks_sheet.h"
#include "app/viewer/on_screen.h"

namespace app::viewer {

namespace {

QString LensWords(vision::camera::LensModel model) {
  switch (model) {
    case vision::camera::LensModel::kPinhole:
      return CameraSheet::tr("perspective");
    case vision::camera::LensModel::kOmni:
      return CameraSheet::tr("fisheye, omnidirectional model");
    case vision::camera::LensModel::kKannalaBrandt:
      return CameraSheet::tr("fisheye, Kannala-Brandt model");
    default:
      return CameraSheet::tr("fisheye, equidistant model");
  }
}

}  // namespace

CameraSheet::CameraSheet(std::filesystem::path library, QWidget* parent)
    : CalibrationSheet(std::move(library), parent),
      columns_(new QSpinBox),
      rows_(new QSpinBox),
      square_(new QLineEdit("10")),
      list_(new QListWidget),
      coverage_(new QLabel),
      errors_(new QLabel) {
  setWindowTitle(tr("Calibrate a camera from board pictures"));
  setObjectName("camera_sheet");
  resize(OnScreen(*this, {900, 640}));
  auto* column = new QVBoxLayout(this);
  column->addWidget(MakeBoardRow());
  auto* middle = new QHBoxLayout;
  list_->setObjectName("board_pictures");
  list_->setAccessibleName(tr("Pictures of the board, corners drawn in"));
  list_->setIconSize({220, 180});
  list_->setWordWrap(true);
  middle->addWidget(list_, 1);
  coverage_->setObjectName("board_coverage");
  coverage_->setAlignment(Qt::AlignTop);
  coverage_->setToolTip(tr("Blue: corners were seen here; hatched: none yet, the lens is not known there."));
  errors_->setObjectName("board_errors");
  errors_->setAlignment(Qt::AlignTop);
  errors_->setToolTip(
      tr("How far each corner lies from where the lens shows it. Arrows that agree with their neighbours "
         "tell of a lens that does not fit; without order they are noise."));
  auto* maps = new QVBoxLayout;
  maps->addWidget(coverage_);
  maps->addWidget(errors_, 1);
  middle->addLayout(maps);
  column->addLayout(middle, 1);
  AddFoot(*column, "camera",
          tr("Drop pictures of the board here, or a video of it. Eight or more, tilted, out to the picture's edge."));
}

QWidget* CameraSheet::MakeBoardRow() {
  auto* box = new QWidget;
  auto* row = new QHBoxLayout(box);
  row->setContentsMargins(0, 0, 0, 0);
  columns_->setRange(3, 40), columns_->setValue(9), columns_->setObjectName("board_columns");
  rows_->setRange(3, 40), rows_->setValue(6), rows_->setObjectName("board_rows");
  square_->setObjectName("board_square");
  const std::pair<QString, QWidget*> fields[] = {{tr("Inner corners per &row"), columns_},
                                                 {tr("Rows of &corners"), rows_},
                                                 {tr("Square as &measured, mm"), square_}};
  for (const auto& [words, field] : fields) {
    auto* label = new QLabel(words);
    label->setBuddy(field);
    field->setAccessibleName(QString(words).remove('&'));
    row->addWidget(label);
    row->addWidget(field);
  }
  auto* print = new QPushButton(tr("&Print a board…"));
  connect(print, &QPushButton::clicked, this, &CameraSheet::PrintBoard);
  row->addWidget(print);
  auto* add = new QPushButton(tr("&Add pictures…"));
  connect(add, &QPushButton::clicked, this,
          [this] { AddFiles(QFileDialog::getOpenFileNames(this, tr("Pictures or a video of the board"))); });
  row->addWidget(add);
  auto* without = new QPushButton(tr("&No board…"));
  without->setObjectName("without_board");
  without->setToolTip(tr("Two rings scribed in a pipe of known bore serve instead."));
  connect(without, &QPushButton::clicked, this, &CameraSheet::WithoutBoard);
  row->addWidget(without);
  auto* again = new QPushButton(tr("Search a&gain"));
  again->setObjectName("board_again");
  connect(again, &QPushButton::clicked, this, &CameraSheet::Calibrate);
  row->addWidget(again);
  return box;
}

void CameraSheet::AddFiles(const QStringList& files) {
  if (files.isEmpty()) return;
  files_ += files;
  files_.removeDuplicates();
  Calibrate();
}

void CameraSheet::Calibrate() {
  QString not_a_number;
  const auto square = NumberIn(*square_, tr("Side of a square in mm"), &not_a_number);
  if (!square) return Say(not_a_number);
  vision::camera::CalibrationOptions options;
  options.board = {vision::camera::BoardKind::kChessboard, columns_->value(), rows_->value(), *square};
  std::vector<std::filesystem::path> files;
  for (const QString& file : files_) files.emplace_back(file.toStdString());
  jobs_.Start(tr("Searching the board"), [this, options, files](const vision::JobContext& job) -> JobRunner::Finish {
    auto found = FindBoards(files, options.board, job);
    if (!found.ok()) return [this, words = found.error().message] { Say(QString::fromStdString(words)); };
    auto report =
        vision::camera::Calibrate(found.value().views, found.value().width_px, found.value().height_px, options, job);
    return [this, found = std::move(found).value(), report = std::move(report)] { Show(found, report); };
  });
}

void CameraSheet::Show(BoardPictures found, vision::Result<vision::camera::CalibrationReport> report) {
  report_.reset();
  if (report.ok()) report_ = report.value();
  list_->clear();
  std::size_t view = 0;
  for (std::size_t i = 0; i < found.said.size(); ++i) {
    QString words = QString::fromStdString(found.said[i]);
    if (found.found[i] && report_ && view < report_->views.size()) {
      const auto& outcome = report_->views[view];
      words += outcome.used ? tr("\n%1 px off, seen to %2 degrees")
                                  .arg(outcome.rms_px, 0, 'f', 2)
                                  .arg(outcome.max_angle_deg, 0, 'f', 0)
                            : tr("\nnot used: %1").arg(QString::fromStdString(outcome.reason));
    }
    if (found.found[i]) ++view;
    list_->addItem(new QListWidgetItem(QIcon(QPixmap::fromImage(found.thumbnails[i])), words));
  }
  // Both maps, one above the other, as high as the list: on a small screen the scale at the lower one's foot is cut
  // otherwise.
  const double high = std::max(120, list_->height() / 2 - 24);
  const int width = std::min(320, static_cast<int>(high * found.width_px / std::max(found.height_px, 1)));
  coverage_->setPixmap(QPixmap::fromImage(CoverageOf(found, width)));
  errors_->setPixmap(report_ ? QPixmap::fromImage(ErrorMapOf(found, *report_, width)) : QPixmap());
  save_->setEnabled(report_.has_value());
  if (!report_) return Say(QString::fromStdString(report.error().message));
  said_->setToolTip(QString::fromStdString(report_->choice) + "\n" + QString::fromStdString(report_->max_angle_source));
  said_->setText(
      tr("%1 of %2 pictures used; %3 px off on the whole. Lens: %4, known to %5 degrees from its axis. Where "
         "the map is hatched no corner was seen yet: take more pictures there.")
          .arg(report_->ViewsUsed())
          .arg(found.said.size())
          .arg(report_->rms_px, 0, 'f', 2)
          .arg(LensWords(report_->lens.model))
          .arg(report_->lens.max_angle_deg, 0, 'f', 0));
  emit calibrated();
}

void CameraSheet::PrintBoard() {
  QString not_a_number;
  const auto square = NumberIn(*square_, tr("Side of a square in mm"), &not_a_number);
  if (!square) return Say(not_a_number);
  const QString file = QFileDialog::getSaveFileName(this, tr("Where the board is written"), "board.pdf", "*.pdf");
  if (file.isEmpty()) return;
  cameras::BoardSheet board;
  board.columns = columns_->value(), board.rows = rows_->value(), board.square_mm = *square;
  if (const auto failed = cameras::WriteBoard(file.toStdString(), board))
    return Say(QString::fromStdString(failed->message));
  said_->setText(tr("Written: %1. Print at 100 %, then measure the bar at its foot: 100.0 mm.").arg(file));
}

void CameraSheet::WithoutBoard() {
  auto* sheet = new MarksSheet(library_, this);
  sheet->setAttribute(Qt::WA_DeleteOnClose);
  connect(sheet, &MarksSheet::saved, this, [this, sheet] {
    kept_ = sheet->kept();
    emit saved();
  });
  sheet->show();
}

vision::Result<std::string> CameraSheet::Block(const vision::camera::CameraBlockFacts& facts) const {
  return vision::camera::CameraBlockJson(*report_, facts);
}

}  // namespace app::viewer
