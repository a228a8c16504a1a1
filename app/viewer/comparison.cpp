#include "app/viewer/comparison.h"

#include <cmath>
#include <memory>

#include "app/marks/marks.h"

namespace app::viewer {
namespace {

vision::match::FlatPicture FlatOf(const Opened& opened) {
  const auto& strip = opened.reading.strip;
  return {{opened.reading.bore_radius_mm, strip.pitch_mm, strip.z_from_mm, strip.rows, strip.columns},
          opened.strip,
          opened.seen};
}

constexpr double kFullColour_mm = 1;

/// The table's own colours.
vision::match::TwoColours Colours() {
  const auto bgr = [](marks::Means means) {
    const auto& rgb = marks::MarkOf(means).colour;
    return cv::Vec3b(rgb.b, rgb.g, rgb.r);
  };
  return {bgr(marks::Means::kLaterBrighter), bgr(marks::Means::kLaterDarker)};
}

Comparison::Shown ShownOf(const vision::match::FlatPicture& fixed, const vision::match::FlatPicture& laid,
                          const std::optional<Heights>& before, const std::optional<Heights>& after,
                          const vision::match::RingMatch& match) {
  Comparison::Shown shown{PyramidOf(laid.image, laid.seen, fixed.grid.pitch_mm),
                          PyramidOf(vision::match::Difference(fixed, laid, Colours()), {}, fixed.grid.pitch_mm),
                          {},
                          std::nullopt};
  if (before && after) {
    shown.change = vision::match::HeightChangeOf(before->relief, after->relief, match);
    shown.heights = PyramidOf(vision::match::HeightPicture(*shown.change, fixed.grid, kFullColour_mm, Colours()), {},
                              fixed.grid.pitch_mm);
  }
  return shown;
}

/// Of a joint file of its own; the open joint's notes are on the page already.
notes::Notes NotesOf(const Opened& other, const Opened& open) {
  std::error_code failed;
  if (std::filesystem::equivalent(other.joint.file, open.joint.file, failed)) return {};
  const auto kept = notes::Keeper(other.joint.file).Open(other.joint.id);
  return kept.ok() ? kept.value().notes : notes::Notes{};
}

}  // namespace

Comparison::Comparison(Desk& desk, QObject* parent) : QObject(parent), desk_(desk) {
  connect(&desk_, &Desk::opened_joint, this, &Comparison::End);
  connect(&desk_, &Desk::laidAside, this, &Comparison::End);
}

void Comparison::End() {
  other_.reset();
  other_known_ = {}, other_ribbons_.clear(), at_after_ = false;
  after_.release();
  shown_ = {};
  other_notes_ = laid_notes_ = {};
  consumption_.reset();
  emit ended();
}

void Comparison::With(const std::filesystem::path& path) {
  if (!desk_.has()) return;
  struct Found {
    Opened other;
    vision::match::RingMatch match;
  };
  const auto fixed = FlatOf(desk_.opened());
  const auto heights = std::make_shared<const std::optional<Heights>>(desk_.opened().heights);
  desk_.jobs().Start(tr("Laying the two recordings on each other"),
                     [this, path, fixed, heights](const vision::JobContext& job) -> JobRunner::Finish {
                       const auto fail = [this](const vision::Error& error) -> JobRunner::Finish {
                         return [this, error] {
                           if (error.code != vision::ErrorCode::kCancelled)
                             emit failed(QString::fromStdString(error.message));
                         };
                       };
                       auto request = Resolve(path);
                       if (!request.ok()) return fail(request.error());
                       if (request.value().folder.empty())
                         return [this, asked = request.value()] { emit notMeasured(asked); };
                       auto other = OpenMeasured(request.value(), job.Part(0, 0.2));
                       if (!other.ok()) return fail(other.error());
                       auto match = vision::match::MatchRing(fixed, FlatOf(other.value()), {}, job.Part(0.2, 0.9));
                       if (!match.ok()) return fail(match.error());
                       auto found = std::make_shared<Found>(Found{std::move(other).value(), match.value()});
                       const auto laid = vision::match::LaidOn(FlatOf(found->other), fixed.grid, found->match);
                       const auto shown = ShownOf(fixed, laid, *heights, found->other.heights, found->match);
                       return [this, found, laid, shown] {
                         other_ = std::move(found->other);
                         match_ = found->match;
                         hand_theta_deg_ = hand_z_mm_ = 0;
                         after_ = laid.image, shown_ = shown;
                         other_notes_ = NotesOf(*other_, desk_.opened());
                         other_known_ = known::Know(other_->reading, other_notes_);
                         other_ribbons_ = RibbonsOf(other_known_.decided, other_->joint, desk_.criteria());
                         at_after_ = false;
                         consumption_ = compare::ConsumptionOf(desk_.opened().reading, other_->reading, match_);
                         LayNotes();
                         emit ready();
                       };
                     });
}

void Comparison::MeasureAndLay(const Request& request) {
  if (!desk_.has()) return;
  desk_.jobs().Start(tr("Measuring"), [this, request](const vision::JobContext& job) -> JobRunner::Finish {
    auto joint = joint::LoadJoint(request.joint_file);
    vision::Status bad;
    std::filesystem::path folder;
    if (joint.ok()) {
      const std::string stage = joint.value().recordings.empty() ? "" : joint.value().recordings.back().stage;
      folder = MeasuredFolderOf(joint.value(), stage);
      bad = MeasureInto(joint.value(), folder, job, stage);
    } else {
      bad = joint.error();
    }
    return [this, bad, folder] {
      if (!bad) return With(folder);
      if (bad->code != vision::ErrorCode::kCancelled) emit failed(QString::fromStdString(bad->message));
    };
  });
}

void Comparison::SpeakOfAfter(bool after) {
  if (!has() || after == at_after_) return;
  at_after_ = after;
  emit spokenOf();
}

notes::Place Comparison::InAfter(double theta_deg, double z_mm) const {
  notes::Place place;
  Moved().MovingFromFixed(theta_deg, z_mm, &place.theta_deg, &place.z_mm);
  return place;
}

QString Comparison::Label(bool after) const {
  if (!has() || !desk_.has()) return after ? tr("after") : tr("before");
  const auto& reading = after ? other_->reading : desk_.opened().reading;
  return (after ? tr("after: %1, %2") : tr("before: %1, %2"))
      .arg(QString::fromStdString(reading.joint_id), QString::fromStdString(reading.stage));
}

vision::match::RingMatch Comparison::Moved() const {
  auto match = match_;
  match.roll_deg += hand_theta_deg_;
  for (auto* side : {&match.left_z_mm, &match.right_z_mm}) side->c[0] += hand_z_mm_;
  return match;
}

void Comparison::LayNotes() {
  laid_notes_ = other_notes_;
  const auto match = Moved();
  const auto lay = [&](std::vector<notes::Place>& points) {
    for (auto& point : points) match.FixedFromMoving(point.theta_deg, point.z_mm, &point.theta_deg, &point.z_mm);
  };
  for (auto& note : laid_notes_.notes) lay(note.points);
  for (auto& toe : laid_notes_.toes) lay(toe.points);
}

void Comparison::Nudge(double theta_deg, double z_mm) {
  if (!other_) return;
  hand_theta_deg_ += theta_deg;
  hand_z_mm_ += z_mm;
  const auto match = Moved();
  const auto fixed = FlatOf(desk_.opened());
  const auto before = std::make_shared<const std::optional<Heights>>(desk_.opened().heights);
  const auto after = std::make_shared<const std::optional<Heights>>(other_->heights);
  desk_.jobs().Start(
      tr("Moving"),
      [this, fixed, moving = FlatOf(*other_), match, before, after](const vision::JobContext&) -> JobRunner::Finish {
        const auto laid = vision::match::LaidOn(moving, fixed.grid, match);
        const auto shown = ShownOf(fixed, laid, *before, *after, match);
        return [this, laid, shown] {
          after_ = laid.image, shown_ = shown;
          LayNotes();
          emit ready();
        };
      });
}

QString Comparison::AtPlace(double theta_deg, double z_mm) const {
  if (!has() || !shown_.change) return {};
  const auto& change = *shown_.change;
  const int row = static_cast<int>(std::lround(change.grid.Row(z_mm)));
  if (row < 0 || row >= change.grid.rows) return tr("height change not measured here");
  const int column = change.grid.NearestColumn(theta_deg);
  const float mm = change.mm(row, column);
  if (!std::isfinite(mm)) return tr("height change not measured here");
  return tr("height changed by %1 ± %2 mm (k = 2)").arg(mm, 0, 'f', 2).arg(2 * change.u_mm(row, column), 0, 'f', 2);
}

QString Comparison::Sentence() const {
  if (!has()) return {};
  QString text =
      match_.trusted ? tr("Laid on each other by the wall") : tr("NOT TRUSTWORTHY: %1").arg(Words::Said(match_.doubt));
  text += tr(" — turned by %1°, residual %2 mm, %3 % of the wall's patches agree")
              .arg(match_.roll_deg, 0, 'f', 1)
              .arg(match_.residual_mm, 0, 'f', 2)
              .arg(100 * match_.agreeing, 0, 'f', 0);
  if (hand_theta_deg_ != 0 || hand_z_mm_ != 0)
    text += tr(" — moved by hand: %1°, %2 mm").arg(hand_theta_deg_, 0, 'f', 2).arg(hand_z_mm_, 0, 'f', 2);
  text += tr(" — difference (F8): of brightness evened out, for the eye, no measurement; grey where both are alike");
  if (shown_.change)
    text += tr(" — heights (Shift+F8): full colour at %1 mm").arg(kFullColour_mm);
  else if (desk_.has() && other_)
    text += tr(" — heights: not measurable from these recordings, the difference is of brightness only");
  if (consumption_)
    for (const bool left : {true, false}) {
      const auto& fate = left ? consumption_->left : consumption_->right;
      text += tr(" — insert edge, %1 side: seen at fit-up on %2°, of that no longer seen %3°, STILL VISIBLE %4°, not "
                 "examined %5°")
                  .arg(Words::Piece(desk_.edited(), left ? "left" : "right"))
                  .arg(fate.seen_before_deg, 0, 'f', 0)
                  .arg(fate.gone_deg, 0, 'f', 0)
                  .arg(fate.still_visible_deg, 0, 'f', 0)
                  .arg(fate.not_examined_deg, 0, 'f', 0);
    }
  return text;
}

}  // namespace app::viewer
