#include "app/viewer/desk.h"

#include <QDateTime>
#include <QSettings>
#include <QStandardPaths>
#include <QThreadPool>
#include <cmath>
#include <memory>

#include "vision/bore/angle.h"

namespace app::viewer {
namespace {

namespace fs = std::filesystem;

QString Sentence(const vision::Error& error) { return QString::fromStdString(error.message); }

}  // namespace

Desk::Desk(QObject* parent) : QObject(parent) {
  connect(&jobs_, &JobRunner::broke, this, &Desk::failed);
  units_.inches = QSettings().value("inches", false).toBool();
}

Desk::~Desk() { QThreadPool::globalInstance()->waitForDone(); }

void Desk::Open(const fs::path& path) {
  jobs_.Start(tr("Opening"), [this, path](const vision::JobContext& job) -> JobRunner::Finish {
    auto request = Resolve(path);
    if (!request.ok()) return [this, error = request.error()] { emit failed(Sentence(error)); };
    if (request.value().bare()) return [this, asked = request.value()] { emit noJointFile(asked); };
    if (request.value().folder.empty())
      return [this, asked = request.value()] {
        LayAside(asked.joint_file);
        emit notMeasured(asked);
      };
    auto opened = std::make_shared<vision::Result<Opened>>(OpenMeasured(request.value(), job));
    return [this, opened, asked = request.value()] {
      if (opened->cancelled()) return;
      if (!opened->ok()) return emit failed(Sentence(opened->error()));
      Take(std::move(*opened).value(), asked);
    };
  });
}

void Desk::OpenFromBook(const BookEntry& entry) {
  const fs::path root = QStandardPaths::writableLocation(QStandardPaths::AppDataLocation).toStdString();
  jobs_.Start(tr("Opening from the book"), [this, entry, root](const vision::JobContext& job) -> JobRunner::Finish {
    auto request = LayOut(entry, root / "from_books");
    if (!request.ok()) return [this, error = request.error()] { emit failed(Sentence(error)); };
    auto opened = std::make_shared<vision::Result<Opened>>(OpenMeasured(request.value(), job));
    return [this, opened, asked = request.value()] {
      if (opened->cancelled()) return;
      if (!opened->ok()) return emit failed(Sentence(opened->error()));
      Take(std::move(*opened).value(), asked);
    };
  });
}

void Desk::MeasureAndOpen(const Request& request) {
  std::error_code absent;
  if (has() && !fs::equivalent(opened_->joint.file, request.joint_file, absent)) LayAside(request.joint_file);
  jobs_.Start(tr("Measuring"), [this, request](const vision::JobContext& job) -> JobRunner::Finish {
    auto joint = joint::LoadJoint(request.joint_file);
    if (!joint.ok()) return [this, error = joint.error()] { emit failed(Sentence(error)); };
    Request measured = request;
    const std::string stage = request.stage.empty() && !joint.value().recordings.empty()
                                  ? joint.value().recordings.back().stage
                                  : request.stage;
    measured.folder = MeasuredFolderOf(joint.value(), stage);
    if (const auto bad = MeasureInto(joint.value(), measured.folder, job.Part(0, 0.95), stage))
      return [this, bad = *bad] {
        if (bad.code == vision::ErrorCode::kCancelled)
          emit remarked(tr("Measuring was stopped; nothing was written."));
        else
          emit failed(Sentence(bad));
      };
    auto opened = std::make_shared<vision::Result<Opened>>(OpenMeasured(measured, job.Part(0.95, 1)));
    return [this, opened, measured] {
      if (opened->cancelled()) return;
      if (!opened->ok()) return emit failed(Sentence(opened->error()));
      Take(std::move(*opened).value(), measured);
    };
  });
}

void Desk::LayAside(const fs::path& joint_file) {
  const auto joint = joint::LoadJoint(joint_file);
  waiting_for_ = joint.ok() ? joint.value().id : joint_file.filename().string();
  opened_.reset();
  keeper_.reset();
  notes_ = {}, known_ = {}, verdict_ = {}, criteria_ = {};
  ribbons_.clear(), listed_.clear(), undo_.clear();
  recovered_ = false;
  theta_deg_ = z_mm_ = 0;
  emit changed();
  emit placed();
  emit laidAside();
}

void Desk::Take(Opened opened, const Request& request) {
  notes::Keeper keeper(request.joint_file);
  auto written = keeper.Open(opened.joint.id);
  if (!written.ok()) return emit failed(Sentence(written.error()));
  auto criteria = joint::LoadCriteria(opened.joint.criterion, opened.joint.file.parent_path());
  if (!criteria.ok()) return emit failed(Sentence(criteria.error()));
  opened_ = std::move(opened);
  waiting_for_.clear();
  keeper_ = keeper;
  criteria_ = std::move(criteria).value();
  notes_ = written.value().notes;
  recovered_ = written.value().recovered;
  kept_ = !recovered_;
  undo_.clear();
  theta_deg_ = z_mm_ = 0;
  Derive();
  emit changed();  // the list and the ribbons first, so that whoever hears of the joint finds them
  emit placed();
  emit opened_joint();
  if (recovered_)
    emit remarked(tr("Changes that had not been saved came back. Save keeps them."));
  else if (!written.value().remark.empty())
    emit remarked(QString::fromStdString(written.value().remark));
  else if (!opened_->remarks.empty())
    emit remarked(QString::fromStdString(opened_->remarks.front()));
}

void Desk::Derive() {
  const auto where = kept_ ? known::Recorded::Where::kFile : known::Recorded::Where::kNowhere;
  known_ = known::Know(opened_->reading, notes_, {where, {}, 0});
  verdict_ = known::Judge(known_, opened_->joint, criteria_);
  ribbons_ = RibbonsOf(known_.decided, opened_->joint, criteria_);
  listed_ = ListedIn(known_, opened_->welded ? opened_->welded->times.stops : std::vector<vision::arc::Stop>());
}

void Desk::GoTo(double theta_deg, double z_mm) {
  theta_deg_ = vision::bore::Wrap360(theta_deg);
  z_mm_ = z_mm;
  emit placed();
}

void Desk::SetUnits(const Units& units) {
  units_ = units;
  QSettings().setValue("inches", units.inches);
  emit changed();
  emit placed();
}

void Desk::SetCriterion(const std::string& name) {
  if (!has()) return;
  auto criteria = joint::LoadCriteria(name, opened_->joint.file.parent_path());
  if (!criteria.ok()) return emit failed(Sentence(criteria.error()));
  criteria_ = std::move(criteria).value();
  Derive();
  emit changed();
}

QString Desk::author() const { return QSettings().value("author").toString(); }

void Desk::SetAuthor(const QString& name) { QSettings().setValue("author", name); }

notes::Signed Desk::Signature() const {
  return {author().toStdString(), QDateTime::currentDateTimeUtc().toString(Qt::ISODate).toStdString()};
}

void Desk::SetNotes(const notes::Notes& notes) {
  notes_ = notes;
  kept_ = false;
  Derive();
  // Before anything is shown: what a person sees on the strip is already in the file beside the joint.
  if (const auto bad = keeper_->KeepUnsaved(notes_)) emit failed(Sentence(*bad));
  QThreadPool::globalInstance()->start([keeper = *keeper_, this] {
    keeper.Settle();
    QMetaObject::invokeMethod(this, &Desk::kept, Qt::QueuedConnection);
  });
  emit changed();
}

void Desk::SaveNotes() {
  if (!has()) return;
  if (const auto bad = keeper_->Save(notes_)) return emit failed(Sentence(*bad));
  recovered_ = false;
  undo_.setClean();
  kept_ = true;
  Derive();
  emit changed();
  QString saved = tr("Saved: %1").arg(QString::fromStdString(keeper_->saved().string()));
  if (!opened_->came_from.empty()) saved += " — " + tr("`rootscroll book window-notes` puts them on the record");
  emit remarked(saved);
}

}  // namespace app::viewer
