#include "app/viewer/facts_sheet.h"

#include <QComboBox>
#include <QCoreApplication>
#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QScrollArea>
#include <QTabWidget>

#include "app/joint/joint.h"
#include "app/viewer/buttons.h"
#include "app/viewer/data_texts.h"
#include "app/viewer/on_screen.h"
#include "app/viewer/up_picture.h"
#include "vision/base/file.h"

namespace app::viewer {
namespace {

QString Said(const std::string& text) { return QCoreApplication::translate(kDataContext, text.c_str()); }

/// A group's tab; a recording's keeps the recording's own name.
QString TabOf(const std::string& group) {
  const std::string recording = "recording ", camera = "camera ";
  if (group.starts_with(recording))
    return FactsSheet::tr("Recording %1").arg(QString::fromStdString(group.substr(recording.size())));
  if (group.starts_with(camera))
    return FactsSheet::tr("Camera %1").arg(QString::fromStdString(group.substr(camera.size())));
  const QString words = Said(group);
  return words.left(1).toUpper() + words.mid(1);
}

/// The first still that looks this way, any way where that is empty; null: there is none.
const joint::FrameEntry* FrameThatLooks(const joint::Recording& recording, const std::string& looks) {
  for (const auto& frame : recording.frames)
    if (looks.empty() || frame.looks == looks) return &frame;
  return nullptr;
}

/// What the file holds, in words.
QString ChoiceWords(const std::string& choice) {
  if (choice == "+z") return FactsSheet::tr("from piece a to piece b (+z)");
  if (choice == "-z") return FactsSheet::tr("from piece b to piece a (-z)");
  if (choice == "side") return FactsSheet::tr("sideways");
  return Said(choice);
}

}  // namespace

FactsSheet::FactsSheet(const std::filesystem::path& joint_file, QWidget* parent)
    : QDialog(parent), file_(joint_file), tabs_(new QTabWidget), wrong_(new QLabel), cover_(new QLabel) {
  setWindowTitle(tr("Facts of the joint"));
  setObjectName("facts_sheet");
  resize(OnScreen(*this, {640, 620}));
  auto* column = new QVBoxLayout(this);
  column->addWidget(tabs_, 1);
  wrong_->setText(tr("What you do not know stays empty: it is then left out, never guessed."));
  wrong_->setWordWrap(true);
  wrong_->setObjectName("facts_wrong");
  column->addWidget(wrong_);
  cover_->setWordWrap(true);
  cover_->setObjectName("facts_cover");
  auto* buttons = OkCancel();
  connect(buttons, &QDialogButtonBox::accepted, this, &FactsSheet::accept);
  connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
  column->addWidget(buttons);
  Fill();
}

void FactsSheet::Fill() {
  const auto text = vision::ReadFileWhole(file_);
  if (!text.ok()) return wrong_->setText(QString::fromStdString(text.error().message));
  text_ = text.value();
  auto facts = joint::FactsOf(text_, file_.string());
  if (!facts.ok()) return wrong_->setText(QString::fromStdString(facts.error().message));
  facts_ = std::move(facts).value();
  QFormLayout* form = nullptr;
  QString shown;
  for (const joint::Fact& fact : facts_) {
    if (const QString tab = TabOf(fact.group); tab != shown || !form) {
      shown = tab;
      auto* page = new QWidget;
      form = new QFormLayout(page);
      auto* area = new QScrollArea;
      area->setWidgetResizable(true);
      area->setFrameShape(QFrame::NoFrame);
      area->setWidget(page);
      tabs_->addTab(area, tab);
    }
    fields_.push_back(MakeField(fact));
    form->addRow(Said(fact.words), fields_.back());
    if (fact.path == "/joint/criterion") form->addRow(cover_);
    if (fact.path.ends_with("/up_theta_deg")) AddPicture(QString::fromStdString(fact.path), form);
  }
}

QWidget* FactsSheet::MakeField(const joint::Fact& fact) {
  const QString value = QString::fromStdString(fact.value);
  QWidget* field = nullptr;
  if (fact.kind == joint::Fact::Kind::kChoice) {
    auto* box = new QComboBox;
    box->addItem(tr("not known"), QString());
    for (const std::string& choice : fact.choices) box->addItem(ChoiceWords(choice), QString::fromStdString(choice));
    if (box->findData(value) < 0) box->addItem(ChoiceWords(fact.value), value);
    box->setCurrentIndex(box->findData(value));
    if (fact.path == "/joint/criterion") {
      connect(box, &QComboBox::currentIndexChanged, this, [this, box] { ShowCover(box->currentData().toString()); });
      ShowCover(value);
    }
    field = box;
  } else {
    auto* line = new QLineEdit(fact.value == joint::kDiffers ? tr("(differs)") : value);
    line->setPlaceholderText(tr("not known"));
    field = line;
  }
  field->setObjectName(QString::fromStdString(fact.path));
  field->setAccessibleName(Said(fact.words));
  return field;
}

void FactsSheet::ShowCover(const QString& criterion) {
  const auto set = joint::LoadCriteria(criterion.toStdString(), file_.parent_path());
  cover_->setText(set.ok() ? QString::fromStdString(joint::CoverOf(set.value())) : QString());
}

/// A picture of the recording to click in, where it has stills.
void FactsSheet::AddPicture(const QString& path, QFormLayout* form) {
  const std::size_t recording = path.section('/', 2, 2).toULong();
  const auto loaded = joint::LoadJoint(file_);
  if (!loaded.ok() || recording >= loaded.value().recordings.size()) return;
  const std::string looks = joint::LooksOf(path.toStdString());
  const auto* frame = FrameThatLooks(loaded.value().recordings[recording], looks);
  if (!frame) return;
  auto* show = new QPushButton(tr("Click the datum in a picture…"));
  show->setObjectName(QString("up_%1%2").arg(recording).arg(QString::fromStdString(looks)));
  const QString picture = QString::fromStdString(frame->file.string());
  connect(show, &QPushButton::clicked, this, [this, recording, picture, looks] {
    UpPicture sheet(picture, this);
    if (sheet.exec() == QDialog::Accepted && sheet.clicked())
      SetUp(recording, sheet.clicked()->x(), sheet.clicked()->y(), looks);
  });
  form->addRow(show);
}

void FactsSheet::SetUp(std::size_t recording, double u, double v, const std::string& looks) {
  const auto loaded = joint::LoadJoint(file_);
  if (!loaded.ok() || recording >= loaded.value().recordings.size()) return;
  const auto& joint = loaded.value();
  const auto& one = joint.recordings[recording];
  const auto* frame = FrameThatLooks(one, looks);
  const auto* camera = joint.FindCamera(frame ? frame->camera : one.video_defaults.camera);
  const std::string path = "/recordings/" + std::to_string(recording) + "/*";
  const auto* chosen = qobject_cast<QComboBox*>(FieldOf(path + "/looks"));
  if (!camera || !chosen) return;
  const std::string way = looks.empty() ? chosen->currentData().toString().toStdString() : looks;
  const auto up = joint::UpFromDatum(u, v, camera->lens.cx_px, camera->lens.cy_px, way, camera->mirrored);
  if (!up)
    return wrong_->setText(tr("Say first which way the camera looked, along the pipe; then click beside the middle."));
  SetValue(path + (looks.empty() ? "" : "{" + looks + "}") + "/up_theta_deg", QString::number(*up, 'f', 1));
}

QWidget* FactsSheet::FieldOf(const std::string& path) const {
  for (std::size_t i = 0; i < facts_.size() && i < fields_.size(); ++i)
    if (facts_[i].path == path) return fields_[i];
  return nullptr;
}

void FactsSheet::SetValue(const std::string& path, const QString& value) {
  if (auto* line = qobject_cast<QLineEdit*>(FieldOf(path))) line->setText(value);
}

QString FactsSheet::ValueOf(const joint::Fact& fact) const {
  const QWidget* field = FieldOf(fact.path);
  if (const auto* box = qobject_cast<const QComboBox*>(field)) return box->currentData().toString();
  const QString typed = qobject_cast<const QLineEdit*>(field)->text().trimmed();
  return typed == tr("(differs)") ? QString(joint::kDiffers) : typed;
}

void FactsSheet::accept() {
  std::vector<joint::Fact> wanted = facts_;
  for (joint::Fact& fact : wanted) fact.value = ValueOf(fact).toStdString();
  const auto after = joint::WithFacts(text_, wanted, file_.string());
  if (!after.ok()) return wrong_->setText(QString::fromStdString(after.error().message));
  if (const auto failed = vision::WriteFileWhole(file_, after.value()))
    return wrong_->setText(QString::fromStdString(failed->message));
  // The whole file is looked at once more; what does not load is taken back.
  if (const auto loaded = joint::LoadJoint(file_); !loaded.ok()) {
    if (const auto failed = vision::WriteFileWhole(file_, text_))
      return wrong_->setText(QString::fromStdString(failed->message));
    return wrong_->setText(QString::fromStdString(loaded.error().message));
  }
  QDialog::accept();
}

}  // namespace app::viewer
