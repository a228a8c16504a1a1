#include "vision/camera/wall_marks.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <opencv2/calib3d.hpp>

#include "vision/base/number.h"
#include "vision/bore/angle.h"
#include "vision/bore/bore.h"

namespace vision::camera {
namespace {

constexpr int kLensNumbers = 5, kViewNumbers = 5;  // ln f, cx, cy, one coefficient, ln of the lengths' ratio; a pose
constexpr double kFar_px = 1e3;                    ///< Residual of a sight that meets no wall.

/// A model with its coefficient free or none.
struct Candidate {
  LensModel model;
  bool bent;
};
constexpr Candidate kCandidates[] = {{LensModel::kEquidistant, false},
                                     {LensModel::kPinhole, false},
                                     {LensModel::kKannalaBrandt, true},
                                     {LensModel::kPinhole, true}};

/// One model's fit to all views. Numbers: the lens's, then of each view tilt about x and y (rad), place across the bore
/// and the distance of along_mm = 0 (all three over the radius).
class WallFit : public cv::LMSolver::Callback {
 public:
  WallFit(Candidate candidate, const std::vector<MarkedView>& views, cv::Size size, const WallOptions& options)
      : candidate_(candidate), views_(views), size_(size), options_(options) {
    for (const auto& view : views) points_ += view.points.size();
  }

  Lens LensOf(const double* numbers) const {
    Lens lens;
    lens.model = candidate_.model;
    lens.width_px = size_.width, lens.height_px = size_.height;
    lens.fx_px = lens.fy_px = std::exp(numbers[0]);
    lens.cx_px = numbers[1], lens.cy_px = numbers[2];
    if (candidate_.bent) {
      lens.distortion.assign(candidate_.model == LensModel::kPinhole ? 5 : 4, 0.0);
      lens.distortion[0] = numbers[3];
    }
    lens.max_angle_deg = candidate_.model == LensModel::kPinhole ? kWidestPinhole_deg : 150;
    return lens;
  }

  /// Where along the bore the sight at a pixel meets the wall, over the radius; NaN where it meets none.
  static double Along(const Lens& lens, const double* pose, const Eigen::Vector2d& pixel) {
    const auto ray = lens.Ray(pixel);
    if (!ray) return NAN;
    const Eigen::Vector3d tilt(pose[0], pose[1], 0);
    const double angle = tilt.norm();
    const Eigen::Vector3d sight = angle > 1e-12 ? Eigen::Vector3d(Eigen::AngleAxisd(angle, tilt / angle) * *ray) : *ray;
    const auto wall = bore::WallFromRay({pose[2], pose[3], 0}, sight, 1);
    return wall ? wall->z_mm : NAN;
  }

  /// Its gradient over the picture, per px.
  static double Slope(const Lens& lens, const double* pose, const Eigen::Vector2d& pixel) {
    constexpr double kStep_px = 0.5;
    const Eigen::Vector2d x(kStep_px, 0), y(0, kStep_px);
    return std::hypot(Along(lens, pose, pixel + x) - Along(lens, pose, pixel - x),
                      Along(lens, pose, pixel + y) - Along(lens, pose, pixel - y)) /
           (2 * kStep_px);
  }

  /// Signed distance of a point from its mark's picture, px. @param slope At this point.
  double Off_px(const Lens& lens, const double* numbers, const double* pose, const MarkedPoint& point,
                double slope) const {
    const double mark = pose[4] + std::exp(numbers[4]) * point.along_mm / (0.5 * options_.target.bore_mm);
    const double off = (Along(lens, pose, point.px) - mark) / slope;
    return std::isfinite(off) ? std::clamp(off, -kFar_px, kFar_px) : kFar_px;
  }

  bool compute(cv::InputArray param, cv::OutputArray err, cv::OutputArray jacobian) const override {
    const cv::Mat numbers = param.getMat();
    const auto gradients = Slopes(numbers);
    cv::Mat_<double> errors(static_cast<int>(points_) + 4, 1, 0.0);
    Fill(numbers, 0, gradients, errors);
    errors.copyTo(err);
    if (!jacobian.needed()) return true;
    cv::Mat_<double> slopes(errors.rows, numbers.rows, 0.0);
    for (int i = 0; i < numbers.rows; ++i) {
      const double step = i == 1 || i == 2 ? 1e-3 : 1e-6;
      cv::Mat_<double> moved = numbers.clone();
      moved(i) += step;
      cv::Mat_<double> there = errors.clone();
      Fill(moved, i, gradients, there);  // the gradients hardly change
      slopes.col(i) = (there - errors) / step;
    }
    slopes.copyTo(jacobian);
    return true;
  }

  double point_u_px = 1;

  /// Root of the mean square over the points, px. @param view -1: over all.
  double Rms_px(const cv::Mat& numbers, int view = -1) const {
    double sum = 0, count = 0;
    const Lens lens = LensOf(numbers.ptr<double>());
    for (std::size_t v = 0; v < views_.size(); ++v)
      for (const auto& point : views_[v].points)
        if (view < 0 || static_cast<std::size_t>(view) == v)
          sum += std::pow(
              Off_px(lens, numbers.ptr<double>(), PoseIn(numbers, v), point, Slope(lens, PoseIn(numbers, v), point.px)),
              2),
              ++count;
    return std::sqrt(sum / count);
  }
  std::size_t points() const { return points_; }
  bool bent() const { return candidate_.bent; }
  const Candidate& candidate() const { return candidate_; }

  /// Relative uncertainty of apart over bore.
  double ratio_u() const {
    const auto& t = options_.target;
    return std::hypot(t.apart_u_mm / t.apart_mm, t.bore_u_mm / t.bore_mm);
  }

 private:
  static const double* PoseIn(const cv::Mat& numbers, std::size_t view) {
    return numbers.ptr<double>() + kLensNumbers + kViewNumbers * static_cast<int>(view);
  }

  std::vector<double> Slopes(const cv::Mat& numbers) const {
    std::vector<double> slopes;
    const Lens lens = LensOf(numbers.ptr<double>());
    for (std::size_t v = 0; v < views_.size(); ++v)
      for (const auto& point : views_[v].points) slopes.push_back(Slope(lens, PoseIn(numbers, v), point.px));
    return slopes;
  }

  /// Points over their uncertainty, then what is known beforehand: the rows that depend on number `moved`; on one of
  /// the lens's all do.
  void Fill(const cv::Mat& numbers, int moved, const std::vector<double>& slopes, cv::Mat_<double>& errors) const {
    const double* n = numbers.ptr<double>();
    const Lens lens = LensOf(n);
    int row = 0;
    for (std::size_t v = 0; v < views_.size(); ++v) {
      const bool asked = moved < kLensNumbers || (moved - kLensNumbers) / kViewNumbers == static_cast<int>(v);
      for (const auto& point : views_[v].points) {
        const double slope = slopes[static_cast<std::size_t>(row)];
        if (asked) errors(row) = Off_px(lens, n, PoseIn(numbers, v), point, slope) / point_u_px;
        ++row;
      }
    }
    const double centre_u_px = options_.centre_share * size_.width;
    errors(row++) = (n[1] - 0.5 * (size_.width - 1)) / centre_u_px;
    errors(row++) = (n[2] - 0.5 * (size_.height - 1)) / centre_u_px;
    errors(row++) = n[4] / ratio_u();
    errors(row++) = candidate_.bent ? 0 : n[3];  // stays 0
  }

  Candidate candidate_;
  const std::vector<MarkedView>& views_;
  cv::Size size_;
  const WallOptions& options_;
  std::size_t points_ = 0;
};

/// A model's answer.
struct Fitted {
  cv::Ptr<WallFit> fit;
  cv::Mat numbers, covariance;
  double rms_px = 0, score = 0;
};

/// Mean radius from the picture's middle by mark, of one view.
struct MarkRadius {
  double along_mm, radius_px;
};
std::vector<MarkRadius> RadiiOf(const MarkedView& view, cv::Size size) {
  std::vector<MarkRadius> radii;
  std::vector<int> counts;
  for (const auto& point : view.points) {
    const double r = (point.px - 0.5 * Eigen::Vector2d(size.width - 1, size.height - 1)).norm();
    const auto same = [&](const MarkRadius& m) { return m.along_mm == point.along_mm; };
    const auto found = std::find_if(radii.begin(), radii.end(), same);
    if (found == radii.end()) {
      radii.push_back({point.along_mm, r}), counts.push_back(1);
    } else {
      found->radius_px += r, ++counts[static_cast<std::size_t>(found - radii.begin())];
    }
  }
  for (std::size_t i = 0; i < radii.size(); ++i) radii[i].radius_px /= counts[i];
  return radii;
}

/// Distance of along_mm = 0 over the radius, and how badly the marks agree on it, seen straight along the axis.
std::pair<double, double> Straight(const std::vector<MarkRadius>& radii, bool pinhole, double f, double radius_mm) {
  double sum = 0, squares = 0;
  for (const auto& mark : radii) {
    const double angle = pinhole ? std::atan(mark.radius_px / f) : std::min(mark.radius_px / f, 3.0);
    const double away = 1 / std::tan(angle) - mark.along_mm / radius_mm;
    sum += away, squares += away * away;
  }
  const double n = static_cast<double>(radii.size());
  return {sum / n, squares / n - std::pow(sum / n, 2)};
}

/// f by trial, the camera on the axis.
cv::Mat Start(const std::vector<MarkedView>& views, cv::Size size, bool pinhole, double radius_mm) {
  cv::Mat best;
  double least = INFINITY;
  for (double f = 0.1 * size.width; f < 4 * size.width; f *= 1.03) {
    cv::Mat numbers = cv::Mat::zeros(kLensNumbers + kViewNumbers * static_cast<int>(views.size()), 1, CV_64F);
    auto* n = numbers.ptr<double>();
    n[0] = std::log(f), n[1] = 0.5 * (size.width - 1), n[2] = 0.5 * (size.height - 1);
    double bad = 0;
    for (std::size_t v = 0; v < views.size(); ++v) {
      const auto [away, spread] = Straight(RadiiOf(views[v], size), pinhole, f, radius_mm);
      n[kLensNumbers + kViewNumbers * static_cast<int>(v) + 4] = away;
      bad += spread;
    }
    if (bad < least) least = bad, best = numbers;
  }
  return best;
}

/// Numbers that the points themselves must tell.
double FreeNumbers(const WallFit& fit, std::size_t views) {
  return 1 + (fit.bent() ? 1 : 0) + kViewNumbers * static_cast<double>(views);
}

std::optional<Fitted> FitOne(Candidate candidate, const std::vector<MarkedView>& views, cv::Size size,
                             const WallOptions& options) {
  Fitted fitted;
  fitted.fit = cv::makePtr<WallFit>(candidate, views, size, options);
  fitted.numbers = Start(views, size, candidate.model == LensModel::kPinhole, 0.5 * options.target.bore_mm);
  const double points = static_cast<double>(fitted.fit->points());
  const double freedom = points - FreeNumbers(*fitted.fit, views.size());
  for (int round = 0; round < 3; ++round) {  // each with the points' spread found by the one before
    cv::LMSolver::create(fitted.fit, 100, 1e-7)->run(fitted.numbers);
    if (!cv::checkRange(fitted.numbers)) return std::nullopt;
    fitted.rms_px = fitted.fit->Rms_px(fitted.numbers);
    if (freedom > 0) fitted.fit->point_u_px = std::max(options.point_px, fitted.rms_px * std::sqrt(points / freedom));
  }
  if (!(freedom > 0)) return std::nullopt;
  cv::Mat errors, slopes;
  fitted.fit->compute(fitted.numbers, errors, slopes);
  if (cv::invert(slopes.t() * slopes, fitted.covariance, cv::DECOMP_CHOLESKY) == 0) return std::nullopt;
  return fitted;
}

/// Angle from the axis of the sight at a radius on the picture, deg; NaN where there is none.
double AngleAt(const Lens& lens, double radius_px) {
  const auto ray = lens.Ray({lens.cx_px + radius_px, lens.cy_px});
  return ray ? std::acos(std::clamp(ray->z(), -1.0, 1.0)) * bore::kDegPerRad : NAN;
}

/// Standard uncertainty of that angle from f and the coefficient.
double AngleU(const Fitted& fitted, double radius_px) {
  Eigen::Vector2d slope;
  const double here = AngleAt(fitted.fit->LensOf(fitted.numbers.ptr<double>()), radius_px);
  for (int i = 0; i < 2; ++i) {
    cv::Mat moved = fitted.numbers.clone();
    moved.at<double>(3 * i) += 1e-6;
    slope[i] = (AngleAt(fitted.fit->LensOf(moved.ptr<double>()), radius_px) - here) / 1e-6;
  }
  const auto& c = fitted.covariance;
  const double cross = slope[0] * slope[1] * c.at<double>(0, 3);
  return std::sqrt(slope[0] * slope[0] * c.at<double>(0, 0) + 2 * cross + slope[1] * slope[1] * c.at<double>(3, 3));
}

/// Least and largest distance of the points from the optical centre, px.
std::pair<double, double> RadiusRange(const std::vector<MarkedView>& views, const Lens& lens) {
  double least = INFINITY, most = 0;
  for (const auto& view : views)
    for (const auto& point : view.points) {
      const double r = (point.px - Eigen::Vector2d(lens.cx_px, lens.cy_px)).norm();
      least = std::min(least, r), most = std::max(most, r);
    }
  return {least, most};
}

/// Fills angles and their uncertainty. @param rivals Fits that explain the points about as well.
void TellSights(const Fitted& chosen, const std::vector<Fitted>& rivals, const std::vector<MarkedView>& views,
                WallCalibration& report) {
  const auto [least, most] = RadiusRange(views, report.lens);
  constexpr int kPlaces = 12;
  for (int i = 0; i <= kPlaces; ++i) {
    const double r = least + (most - least) * i / kPlaces, here = AngleAt(report.lens, r);
    double apart = 0;  // rectangular between the models: over the root of three
    for (const auto& rival : rivals)
      apart = std::max(apart, std::abs(AngleAt(rival.fit->LensOf(rival.numbers.ptr<double>()), r) - here));
    const double u = std::hypot(AngleU(chosen, r), apart / std::sqrt(3.0));
    report.sight_u_deg = std::isnan(u) ? INFINITY : std::max(report.sight_u_deg, u);
  }
  report.seen_from_deg = AngleAt(report.lens, least);
  report.lens.max_angle_deg = std::min(AngleAt(report.lens, most) + 1e-6, report.lens.max_angle_deg);
}

WallCalibration ReportOf(const Fitted& chosen, const std::vector<Fitted>& all, const std::vector<MarkedView>& views,
                         const WallOptions& options) {
  WallCalibration report;
  report.target = options.target;
  report.lens = chosen.fit->LensOf(chosen.numbers.ptr<double>());
  report.rms_px = chosen.rms_px;
  report.middle_px = report.lens.fx_px;
  report.middle_u_px = report.middle_px * std::sqrt(chosen.covariance.at<double>(0, 0));
  report.centre_u_px = std::sqrt(std::max(chosen.covariance.at<double>(1, 1), chosen.covariance.at<double>(2, 2)));
  for (std::size_t v = 0; v < views.size(); ++v)
    report.view_rms_px.push_back(chosen.fit->Rms_px(chosen.numbers, static_cast<int>(v)));
  std::vector<Fitted> rivals;
  report.choice = NameOf(report.lens.model) + (chosen.fit->bent() ? " with one coefficient" : "");
  for (const auto& other : all) {
    if (&other == &chosen || other.score > chosen.score + options.evidence) continue;
    rivals.push_back(other);
    report.choice += "; " + NameOf(other.fit->candidate().model) + (other.fit->bent() ? " with one coefficient" : "") +
                     " explains the points about as well and is in the uncertainty";
  }
  report.choice += ".";
  TellSights(chosen, rivals, views, report);
  return report;
}

Status CheckViews(const std::vector<MarkedView>& views, const WallOptions& options) {
  if (views.size() < static_cast<std::size_t>(options.min_views))
    return BadInput("marks: " + std::to_string(views.size()) + " pictures are marked; at least " +
                    std::to_string(options.min_views) + " from different distances are needed.");
  for (const auto& view : views) {
    if (view.points.size() < static_cast<std::size_t>(options.min_points))
      return BadInput(view.name + ": " + std::to_string(view.points.size()) + " points are set; at least " +
                      std::to_string(options.min_points) + " are needed.");
    const auto [low, high] = std::minmax_element(view.points.begin(), view.points.end(),
                                                 [](const auto& a, const auto& b) { return a.along_mm < b.along_mm; });
    if (!(high->along_mm > low->along_mm))
      return BadInput(view.name + ": all points lie on one mark; each picture must show two or more marks.");
  }
  return std::nullopt;
}

/// Marks that lie nearer the camera show farther from the middle: along_mm grows away from the camera in all views.
std::vector<MarkedView> AwayFromCamera(std::vector<MarkedView> views, cv::Size size) {
  for (auto& view : views) {
    const auto radii = RadiiOf(view, size);
    const auto by_along = [](const MarkRadius& a, const MarkRadius& b) { return a.along_mm < b.along_mm; };
    const auto [low, high] = std::minmax_element(radii.begin(), radii.end(), by_along);
    if (high->radius_px > low->radius_px)
      for (auto& point : view.points) point.along_mm = -point.along_mm;
  }
  return views;
}

}  // namespace

Result<WallCalibration> CalibrateByWall(const std::vector<MarkedView>& views, int width_px, int height_px,
                                        const WallOptions& options, const JobContext& job) {
  if (auto broken = options.Check()) return *broken;
  if (auto broken = CheckViews(views, options)) return *broken;
  const cv::Size size(width_px, height_px);
  const auto turned = AwayFromCamera(views, size);
  std::vector<Fitted> all;
  double tried = 0;
  for (const Candidate& candidate : kCandidates) {
    if (job.Cancelled()) return Cancelled();
    if (auto fitted = FitOne(candidate, turned, size, options)) all.push_back(std::move(*fitted));
    job.Report(++tried / std::size(kCandidates), "fitting " + NameOf(candidate.model));
  }
  if (all.empty()) return NotFound("No lens explains the marked points.");
  double n = static_cast<double>(all.front().fit->points()), point_u_px = INFINITY;
  for (const auto& fitted : all) point_u_px = std::min(point_u_px, fitted.fit->point_u_px);
  for (auto& fitted : all)
    fitted.score = n * std::pow(fitted.rms_px / point_u_px, 2) + (fitted.fit->bent() ? 2 : 1) * std::log(n);
  const auto better = [](const Fitted& a, const Fitted& b) { return a.score < b.score; };
  const auto report = ReportOf(*std::min_element(all.begin(), all.end(), better), all, turned, options);
  if (!(report.sight_u_deg <= options.max_sight_u_deg))
    return NotFound("The lens stays uncertain by " + NumberText(std::round(report.sight_u_deg * 10) / 10) +
                    " degrees (k = 1); mark more points, in pictures from more distances.");
  return report;
}

}  // namespace vision::camera
