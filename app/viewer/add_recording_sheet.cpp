#include "app/viewer/add_recording_sheet.h"

#include <QComboBox>
#include <QFileDialog>
#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>

#include "app/joint/add_recording.h"
#include "app/viewer/buttons.h"
#include "app/viewer/opened.h"
#include "vision/base/file.h"

namespace app::viewer {
AddRecordingSheet::AddRecordingSheet(const joint::Joint& joint, QWidget* parent)
    : QDialog(parent),
      joint_(joint),
      stage_(new QComboBox),
      camera_(new QComboBox),
      looks_(new QComboBox),
      id_(new QLineEdit),
      files_(new QLineEdit),
      up_(new QLineEdit) {
  setWindowTitle(tr("Add a recording to %1").arg(QString::fromStdString(joint.id)));
  setObjectName("add_recording_sheet");
  setMinimumWidth(540);
  auto* form = new QFormLayout(this);
  stage_->setEditable(true);
  stage_->addItems({"fit-up", "root", "after blend 1"});
  form->addRow(tr("&Stage"), stage_);
  form->addRow(tr("&Id"), id_);
  auto* pick = new QPushButton(tr("&Frames or video…"));
  connect(pick, &QPushButton::clicked, this, [this] {
    const QStringList files = QFileDialog::getOpenFileNames(this, tr("Frames of the recording"));
    if (!files.isEmpty()) files_->setText(files.join("; "));
  });
  form->addRow(pick, files_);
  for (const auto& camera : joint.cameras) camera_->addItem(QString::fromStdString(camera.id));
  form->addRow(tr("C&amera"), camera_);
  looks_->addItem(tr("choose one"), QString());
  looks_->addItem(tr("+z, from piece a to piece b"), "+z");
  looks_->addItem(tr("-z, from piece b to piece a"), "-z");
  looks_->addItem(tr("sideways"), "side");
  form->addRow(tr("Camera &looked"), looks_);
  up_->setPlaceholderText(tr("empty: not known; clock positions are then relative"));
  form->addRow(tr("Picture's &up, degrees"), up_);
  wrong_ =
      new QLabel(tr("A fit-up recording, made before welding, is what the insert's consumption is told against: "
                    "compare it with the root."));
  wrong_->setWordWrap(true);
  wrong_->setObjectName("add_wrong");
  form->addRow(wrong_);
  auto* buttons = OkCancel();
  connect(buttons, &QDialogButtonBox::accepted, this, &AddRecordingSheet::accept);
  connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
  form->addRow(buttons);
  const auto suggest = [this] { id_->setText(QString::fromStdString(joint::IdOfStage(stage()))); };
  connect(stage_, &QComboBox::currentTextChanged, this, suggest);
  suggest();
  const std::pair<QWidget*, const char*> fields[] = {{stage_, "add_stage"}, {id_, "add_id"},
                                                     {files_, "add_files"}, {camera_, "add_camera"},
                                                     {looks_, "add_looks"}, {up_, "add_up"}};
  for (const auto& [field, name] : fields) field->setObjectName(name);
  files_->setAccessibleName(tr("Frames or video"));
}

std::string AddRecordingSheet::stage() const { return stage_->currentText().trimmed().toStdString(); }

void AddRecordingSheet::accept() {
  joint::NewRecording recording;
  recording.id = id_->text().trimmed().toStdString(), recording.stage = stage();
  recording.camera = camera_->currentText().toStdString();
  recording.looks = looks_->currentData().toString().toStdString();
  for (const QString& file : files_->text().split(';', Qt::SkipEmptyParts))
    recording.frames.push_back(joint::NamedFrom(joint_.file, file.trimmed().toStdString()));
  if (recording.frames.size() == 1 && IsVideo(recording.frames.front()))
    recording.video = recording.frames.front(), recording.frames.clear();
  if (!up_->text().trimmed().isEmpty()) {
    QString not_a_number;
    recording.up_theta_deg = NumberIn(*up_, tr("The picture's up in degrees"), &not_a_number);
    if (!recording.up_theta_deg) return wrong_->setText(not_a_number);
  }
  const auto before = vision::ReadFileWhole(joint_.file);
  if (!before.ok()) return wrong_->setText(QString::fromStdString(before.error().message));
  const auto after = joint::WithRecording(before.value(), recording, joint_.file.string());
  if (!after.ok()) return wrong_->setText(QString::fromStdString(after.error().message));
  if (const auto failed = vision::WriteFileWhole(joint_.file, after.value()))
    return wrong_->setText(QString::fromStdString(failed->message));
  // The whole file is looked at once more; what does not load is taken back.
  if (const auto loaded = joint::LoadJoint(joint_.file); !loaded.ok()) {
    if (const auto failed = vision::WriteFileWhole(joint_.file, before.value()))
      return wrong_->setText(QString::fromStdString(failed->message));
    return wrong_->setText(QString::fromStdString(loaded.error().message));
  }
  QDialog::accept();
}

}  // namespace app::viewer
