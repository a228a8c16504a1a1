#include "app/viewer/comparison.h"

#include <cmath>
#include <memory>

namespace app::viewer {
namespace {

vision::match::FlatPicture FlatOf(const Opened& opened) {
  const auto& strip = opened.reading.strip;
  return {{opened.reading.bore_radius_mm, strip.pitch_mm, strip.z_from_mm, strip.rows, strip.columns},
          opened.strip,
          opened.seen};
}

Comparison::Shown ShownOf(const vision::match::FlatPicture& fixed, const vision::match::FlatPicture& laid) {
  return {PyramidOf(laid.image, laid.seen, fixed.grid.pitch_mm),
          PyramidOf(vision::match::Difference(fixed, laid), {}, fixed.grid.pitch_mm)};
}

}  // namespace

Comparison::Comparison(Desk& desk, QObject* parent) : QObject(parent), desk_(desk) {
  connect(&desk_, &Desk::opened_joint, this, &Comparison::End);
}

void Comparison::End() {
  other_.reset();
  after_.release();
  shown_ = {};
  emit ended();
}

void Comparison::With(const std::filesystem::path& path) {
  if (!desk_.has()) return;
  struct Found {
    Opened other;
    vision::match::RingMatch match;
  };
  const auto fixed = FlatOf(desk_.opened());
  desk_.jobs().Start(tr("Laying the two recordings on each other"),
                     [this, path, fixed](const vision::JobContext& job) -> JobRunner::Finish {
                       const auto fail = [this](const vision::Error& error) -> JobRunner::Finish {
                         return [this, error] {
                           if (error.code != vision::ErrorCode::kCancelled)
                             emit failed(QString::fromStdString(error.message));
                         };
                       };
                       auto request = Resolve(path);
                       if (!request.ok()) return fail(request.error());
                       if (request.value().folder.empty())
                         return fail(vision::BadInput(
                             tr("The other joint is not measured yet; open it once and measure it.").toStdString()));
                       auto other = OpenMeasured(request.value(), job.Part(0, 0.2));
                       if (!other.ok()) return fail(other.error());
                       auto match = vision::match::MatchRing(fixed, FlatOf(other.value()), {}, job.Part(0.2, 0.9));
                       if (!match.ok()) return fail(match.error());
                       auto found = std::make_shared<Found>(Found{std::move(other).value(), match.value()});
                       const auto laid = vision::match::LaidOn(FlatOf(found->other), fixed.grid, found->match);
                       const auto shown = ShownOf(fixed, laid);
                       return [this, found, laid, shown] {
                         other_ = std::move(found->other);
                         match_ = found->match;
                         hand_theta_deg_ = hand_z_mm_ = 0;
                         after_ = laid.image, shown_ = shown;
                         emit ready();
                       };
                     });
}

void Comparison::Nudge(double theta_deg, double z_mm) {
  if (!other_) return;
  hand_theta_deg_ += theta_deg;
  hand_z_mm_ += z_mm;
  auto match = match_;
  match.roll_deg += hand_theta_deg_;
  for (auto* side : {&match.left_z_mm, &match.right_z_mm}) side->c[0] += hand_z_mm_;
  const auto fixed = FlatOf(desk_.opened());
  desk_.jobs().Start(tr("Moving"),
                     [this, fixed, moving = FlatOf(*other_), match](const vision::JobContext&) -> JobRunner::Finish {
                       const auto laid = vision::match::LaidOn(moving, fixed.grid, match);
                       const auto shown = ShownOf(fixed, laid);
                       return [this, laid, shown] {
                         after_ = laid.image, shown_ = shown;
                         emit ready();
                       };
                     });
}

QString Comparison::Sentence() const {
  if (!has()) return {};
  QString text = match_.trusted ? tr("Laid on each other by the wall")
                                : tr("NOT TRUSTWORTHY: %1").arg(Words::Reason(match_.doubt));
  text += tr(" — turned by %1°, residual %2 mm, %3 % of the wall's patches agree")
              .arg(match_.roll_deg, 0, 'f', 1)
              .arg(match_.residual_mm, 0, 'f', 2)
              .arg(100 * match_.agreeing, 0, 'f', 0);
  if (hand_theta_deg_ != 0 || hand_z_mm_ != 0)
    text += tr(" — moved by hand: %1°, %2 mm").arg(hand_theta_deg_, 0, 'f', 2).arg(hand_z_mm_, 0, 'f', 2);
  if (desk_.has() && other_ && !desk_.edited().height_by)
    text += tr(" — heights: not measurable from these recordings, the difference is of brightness only");
  return text;
}

}  // namespace app::viewer
