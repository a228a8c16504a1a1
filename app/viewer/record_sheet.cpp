#include "app/viewer/record_sheet.h"

#include <unistd.h>

#include <QComboBox>
#include <QFileDialog>
#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QScrollArea>
#include <QSettings>

#include "app/measure/measure_joint.h"
#include "app/viewer/buttons.h"
#include "app/viewer/job_bar.h"
#include "app/viewer/on_screen.h"
#include "app/viewer/pages_view.h"

namespace app::viewer {
namespace {

QString Q(const std::string& text) { return QString::fromStdString(text); }

/// Kept for the next joint; never a passphrase, nor what must be said anew each time (light, resolution, statement).
constexpr const char* kKept[] = {"book",        "signer_name", "signer_role", "qualification", "qualification_expires",
                                 "vision_test", "procedure",   "key"};

}  // namespace

RecordSheet::RecordSheet(Desk& desk, QWidget* parent)
    : QDialog(parent),
      measure(book::MeasureAndJudge({})),
      desk_(desk),
      pages_(new PagesView),
      recording_(new QComboBox),
      kind_(new QComboBox),
      said_(new QLabel),
      put_(new QPushButton(tr("1. &Put on record"))),
      sign_(new QPushButton(tr("2. &Sign what the pages show"))),
      write_(new QPushButton(tr("3. &Write the record"))) {
  setWindowTitle(tr("Record and sign-off: %1").arg(Q(desk.opened().joint.id)));
  setObjectName("record_sheet");
  resize(OnScreen(*this, {1300, 840}));
  auto* row = new QHBoxLayout(this);
  row->addWidget(pages_, 3);
  row->addWidget(MakeForm(), 2);
  sign_->setEnabled(false), write_->setEnabled(false);
  connect(put_, &QPushButton::clicked, this, &RecordSheet::PutOnRecord);
  connect(sign_, &QPushButton::clicked, this, &RecordSheet::Sign);
  connect(write_, &QPushButton::clicked, this, &RecordSheet::Write);
  connect(&jobs_, &JobRunner::broke, this, &RecordSheet::Say);
  CloseWithJoint(desk_, *this);
}

QWidget* RecordSheet::MakeForm() {
  auto* box = new QWidget;
  auto* column = new QVBoxLayout(box);
  auto* inside = new QWidget;
  auto* form = new QFormLayout(inside);
  AddBookRows(form);
  AddPersonRows(form);
  AddKeyRows(form);
  auto* area = new QScrollArea;
  area->setObjectName("record_form");
  area->setWidgetResizable(true);
  area->setFrameShape(QFrame::NoFrame);
  area->setWidget(inside);
  column->addWidget(area, 1);
  said_->setText(
      tr("The joint comes into the book with its pictures and is measured there once more. %1").arg(Words::Supports()));
  said_->setWordWrap(true);
  said_->setTextInteractionFlags(Qt::TextSelectableByMouse);
  said_->setObjectName("record_said");
  column->addWidget(said_);
  column->addWidget(new JobBar(jobs_));
  put_->setObjectName("record_put"), sign_->setObjectName("record_sign"), write_->setObjectName("record_write");
  for (QPushButton* step : {put_, sign_, write_}) {
    step->setAutoDefault(false);
    column->addWidget(step);
  }
  auto* buttons = CloseOnly();
  connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::close);
  column->addWidget(buttons);
  return box;
}

QLineEdit* RecordSheet::AddLine(QFormLayout* form, const QString& name, const QString& words, const QString& hint,
                                QPushButton* beside) {
  auto* line = new QLineEdit;
  line->setObjectName(name);
  line->setAccessibleName(words);
  line->setPlaceholderText(hint);
  if (std::find(std::begin(kKept), std::end(kKept), name) != std::end(kKept))
    line->setText(QSettings().value(name == "book" ? name : "sign/" + name).toString());
  if (beside) {
    beside->setAutoDefault(false);
    auto* row = new QHBoxLayout;
    row->addWidget(line, 1);
    row->addWidget(beside);
    form->addRow(words, row);
  } else {
    form->addRow(words, line);
  }
  lines_[name] = line;
  return line;
}

void RecordSheet::AddBookRows(QFormLayout* form) {
  auto* pick = new QPushButton(tr("Choose…"));
  pick->setAccessibleName(tr("Choose the book"));
  auto* book = AddLine(form, "book", tr("Joint book"), tr("a file, made where there is none"), pick);
  connect(pick, &QPushButton::clicked, this, [this, book] {
    const QString file = QFileDialog::getSaveFileName(this, tr("Joint book; a new name makes a new one"), book->text(),
                                                      {}, nullptr, QFileDialog::DontConfirmOverwrite);
    if (!file.isEmpty()) book->setText(file);
  });
  AddLine(form, "cycle", tr("Cycle"), tr("R0 the first weld, R1 the first repair"))->setText("R0");
  recording_->setObjectName("record_recording");
  recording_->setAccessibleName(tr("Recording"));
  for (const auto& recording : desk_.opened().joint.recordings) recording_->addItem(Q(recording.id));
  for (const auto& recording : desk_.opened().joint.recordings)
    if (recording.stage == desk_.opened().reading.stage) recording_->setCurrentText(Q(recording.id));
  form->addRow(tr("Recording"), recording_);
  AddLine(form, "welder", tr("Welder"), tr("not known"));
  AddLine(form, "welded_on", tr("Welded on"), "2026-01-31");
}

void RecordSheet::AddPersonRows(QFormLayout* form) {
  auto* name = AddLine(form, "signer_name", tr("Your name"));
  if (name->text().isEmpty()) name->setText(desk_.author());
  kind_->addItem(tr("examined"), "examined");
  kind_->addItem(tr("approved"), "approved");
  kind_->setAccessibleName(tr("What you sign"));
  form->addRow(tr("What you sign"), kind_);
  AddLine(form, "signer_role", tr("Role"), tr("as the code in force calls it"));
  AddLine(form, "qualification", tr("Qualification"), tr("method, level, certificate"));
  AddLine(form, "qualification_expires", tr("valid to"), "2027-01-31");
  AddLine(form, "vision_test", tr("Vision test on"), "2026-01-31");
  AddLine(form, "procedure", tr("Examination procedure"), tr("its number"));
  AddLine(form, "light", tr("Light level"), tr("as measured, such as 1100 lx at the root"));
  AddLine(form, "resolution", tr("Resolution shown"), tr("how it was demonstrated"));
  AddLine(form, "statement", tr("Statement"), tr("what you sign, in your own words"));
}

void RecordSheet::AddKeyRows(QFormLayout* form) {
  auto* pick = new QPushButton(tr("Choose…"));
  pick->setAccessibleName(tr("Choose the key"));
  auto* key = AddLine(form, "key", tr("Your key"), tr("a file, or a token's address"), pick);
  connect(pick, &QPushButton::clicked, this, [this, key] {
    if (const QString file = QFileDialog::getOpenFileName(this, tr("Your key")); !file.isEmpty()) key->setText(file);
  });
  AddLine(form, "passphrase", tr("Passphrase or PIN"))->setEchoMode(QLineEdit::Password);
  auto* make = new QPushButton(tr("Make a new key"));
  make->setObjectName("record_make_key");
  connect(make, &QPushButton::clicked, this, &RecordSheet::MakeKey);
  AddLine(form, "passphrase_again", tr("once more"), tr("only for a new key"), make)->setEchoMode(QLineEdit::Password);
  AddLine(form, "registered_by", tr("Key registered by"), tr("who answers for it; the first time only"));
  AddLine(form, "record_folder", tr("Record into the folder"))
      ->setText(Q((desk_.opened().joint.file.parent_path() / "record").string()));
}

QLineEdit* RecordSheet::Line(const QString& name) const {
  const auto at = lines_.find(name);
  return at == lines_.end() ? nullptr : at->second;
}

std::string RecordSheet::Text(const QString& name) const { return Line(name)->text().trimmed().toStdString(); }

Look RecordSheet::LookOf() const {
  Look look;
  look.options.inches = desk_.units().inches;
  look.language = Words::Language().toStdString();
  return look;
}

void RecordSheet::Run(const QString& what, JobRunner::Work work) {
  for (const char* name : kKept)
    QSettings().setValue(name == std::string("book") ? QString(name) : QString("sign/") + name, Line(name)->text());
  if (!jobs_.Start(what, std::move(work))) return Say(tr("Something is still being done; wait for it or stop it."));
  said_->setText(what + " …");
}

void RecordSheet::PutOnRecord() {
  if (!desk_.has()) return;
  if (Text("book").empty()) return Say(tr("Give the joint book: a file, or the address of a server."));
  if (Text("signer_name").empty()) return Say(tr("Give your name: it stands beside every change of the record."));
  if (!desk_.saved()) desk_.SaveNotes();
  book::OnRecordRequest request;
  const auto& file = desk_.opened().joint.file;
  request.intake.joint_file = file;
  request.intake.recordings = {recording_->currentText().toStdString()};
  request.intake.cycle = Text("cycle");
  request.intake.welder = Text("welder"), request.intake.welded_on = Text("welded_on");
  request.notes = file;
  request.notes.replace_extension(".notes.json");
  request.author = Text("signer_name");
  request.reason = "put on record in the window";
  request.worker = book::WorkerName(static_cast<int>(::getpid()), 0);
  on_record_.reset();
  sign_->setEnabled(false), write_->setEnabled(false);
  const std::string book = Text("book");
  const bool make = !Q(book).startsWith("postgresql:");
  Run(tr("Putting the joint on record"),
      [this, book, make, request, look = LookOf()](const vision::JobContext& job) -> JobRunner::Finish {
        auto found = PutOnRecordIn(book, make, request, measure, look, job);
        return [this, found = std::move(found)] { Show(found); };
      });
}

void RecordSheet::Show(const vision::Result<OnRecord>& found) {
  if (found.cancelled()) return Say(tr("Stopped; what is in the book already stays there."));
  if (!found.ok()) return Say(Words::Sentence(found.error().message));
  on_record_ = found.value();
  pages_->Show(on_record_->pages);
  sign_->setEnabled(true), write_->setEnabled(true);
  said_->setText(tr("%1, revision %2: %3. Signatures on it: %4. Look through all pages before you sign. Seal of the "
                    "book, to be noted outside it: %5")
                     .arg(Q(on_record_->joint))
                     .arg(on_record_->revision)
                     .arg(Words::Outcome(on_record_->disposition))
                     .arg(on_record_->signatures)
                     .arg(Q(on_record_->seal)));
  emit shown();
}

void RecordSheet::MakeKey() {
  if (Text("key").empty()) return Say(tr("Say where the new key is to lie."));
  if (Line("passphrase")->text().isEmpty())
    return Say(tr("A key without a passphrase signs for whoever finds the file; give one."));
  if (Line("passphrase")->text() != Line("passphrase_again")->text())
    return Say(tr("The two passphrases differ; type both again."));
  const std::string secret = Line("passphrase")->text().toStdString();
  const auto key = book::SignerAt(Text("key"), {secret, secret}, true);
  if (!key.ok()) return Say(Q(key.error().message));
  Line("passphrase_again")->clear();
  said_->setText(tr("The key lies there, locked by its passphrase, which nobody can tell you again. Fingerprint: %1")
                     .arg(Q(book::Fingerprint(key.value()->PublicHex()))));
}

void RecordSheet::Sign() {
  if (!on_record_) return;
  SignRequest request;
  request.book = on_record_->book, request.cycle = on_record_->cycle;
  auto& statement = request.statement;
  statement.joint = on_record_->joint, statement.revision = on_record_->revision;
  statement.kind = kind_->currentData().toString().toStdString();
  const std::pair<std::string*, const char*> texts[] = {{&statement.name, "signer_name"},
                                                        {&statement.role, "signer_role"},
                                                        {&statement.qualification, "qualification"},
                                                        {&statement.qualification_expires, "qualification_expires"},
                                                        {&statement.vision_test, "vision_test"},
                                                        {&statement.procedure, "procedure"},
                                                        {&statement.light_level, "light"},
                                                        {&statement.resolution, "resolution"},
                                                        {&statement.statement, "statement"},
                                                        {&request.key, "key"},
                                                        {&request.registered_by, "registered_by"}};
  for (const auto& [text, name] : texts) *text = Text(name);
  const std::string secret = Line("passphrase")->text().toStdString();
  request.secrets = {secret, secret};
  Line("passphrase")->clear();
  Run(tr("Signing"), [this, request, look = LookOf()](const vision::JobContext& job) -> JobRunner::Finish {
    auto found = SignIn(request, look, job);
    return [this, found = std::move(found)] {
      if (!found.ok()) return Say(Q(found.error().message));
      Show(found);
    };
  });
}

void RecordSheet::Write() {
  if (!on_record_) return;
  const std::filesystem::path out = Text("record_folder");
  if (out.empty()) return Say(tr("Say into which folder the record goes."));
  Run(tr("Writing the record"),
      [this, shown = *on_record_, out, look = LookOf()](const vision::JobContext& job) -> JobRunner::Finish {
        auto files = WriteRecord(shown, out, look, job);
        return [this, files = std::move(files)] {
          if (!files.ok()) return Say(Q(files.error().message));
          said_->setText(tr("Written: %1").arg(Q(files.value().pdf.string())));
          emit written(Q(files.value().pdf.string()));
        };
      });
}

void RecordSheet::Say(const QString& sentence) {
  said_->setText(sentence);
  emit refused(sentence);
}

}  // namespace app::viewer
