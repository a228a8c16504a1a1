#include "vision/pose/head.h"

#include <Eigen/Geometry>
#include <Eigen/LU>
#include <algorithm>
#include <cmath>

#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/pose/light_pose.h"
#include "vision/pose/stand_strip.h"

namespace vision::pose {
namespace {

/// The search's frame: z along the mean sight of the cameras, origin in their middle.
struct SearchFrame {
  Eigen::Matrix3d search_from_head = Eigen::Matrix3d::Identity();
  Eigen::Vector3d middle_mm = Eigen::Vector3d::Zero();  ///< In the head's frame.
};

/// The head's own z is taken where its cameras look about along it, so that a camera left alone does not pull it aside.
SearchFrame FrameOf(const std::vector<HeadView>& views, double radius_mm, double outward_deg) {
  SearchFrame frame;
  Eigen::Vector3d sight = Eigen::Vector3d::Zero();
  for (const HeadView& view : views) {
    sight += view.head_from_cam.rotation.col(2);
    frame.middle_mm += view.head_from_cam.translation_mm / static_cast<double>(views.size());
  }
  Eigen::Vector3d z = sight.normalized();
  if (std::abs(z.z()) > std::cos(outward_deg * bore::kRadPerDeg)) {
    z = Eigen::Vector3d(0, 0, z.z() > 0 ? 1 : -1);
    if (frame.middle_mm.head<2>().norm() < 0.5 * radius_mm) frame.middle_mm.head<2>().setZero();
  }
  const Eigen::Vector3d near_x = std::abs(z.x()) < 0.8 ? Eigen::Vector3d::UnitX() : Eigen::Vector3d::UnitY();
  const Eigen::Vector3d x = (near_x - near_x.dot(z) * z).normalized();
  frame.search_from_head << x.transpose(), z.cross(x).transpose(), z.transpose();
  return frame;
}

/// @param lay Makes the chart of one view.
template <typename Lay>
std::vector<WallView> Laid(const std::vector<HeadView>& views, const SearchFrame& frame, double radius_mm,
                           const Lay& lay) {
  std::vector<WallView> laid;
  for (const HeadView& view : views) {
    WallView wall;
    wall.chart = lay(view);
    wall.cam_from_search = (view.head_from_cam.rotation.transpose() * frame.search_from_head.transpose()).cast<float>();
    wall.centre =
        (frame.search_from_head * (view.head_from_cam.translation_mm - frame.middle_mm) / radius_mm).cast<float>();
    laid.push_back(std::move(wall));
  }
  return laid;
}

/// The shortest rotation from one direction to another; Eigen's own brings a singular value decomposition along.
Eigen::Matrix3d RotationBetween(const Eigen::Vector3d& from, const Eigen::Vector3d& to) {
  const Eigen::Vector3d a = from.normalized(), b = to.normalized();
  const bool opposite = a.dot(b) < -1 + 1e-12;
  Eigen::Quaterniond half(opposite ? 0 : 1 + a.dot(b), 0, 0, 0);
  half.vec() = opposite ? a.unitOrthogonal() : a.cross(b);
  return half.normalized().toRotationMatrix();
}

/// Head in the bore for a known axis, turned so that the cameras' ups are where they are said to be.
Eigen::Matrix3d RotationOfHead(const std::vector<HeadView>& views, const Eigen::Vector3d& axis_head, Facing facing) {
  const Eigen::Vector3d z(0, 0, facing == Facing::kMinusZ ? -1 : 1);
  const Eigen::Matrix3d any = RotationBetween(axis_head, z);
  Eigen::Vector2d turn = Eigen::Vector2d::Zero();
  const bool some_known = std::any_of(views.begin(), views.end(), [](const HeadView& v) { return v.up_known; });
  for (const HeadView& view : views) {
    if (some_known && !view.up_known) continue;
    const Eigen::Vector3d up = any * -view.head_from_cam.rotation.col(1);
    const double is = std::atan2(-up.x(), up.y());
    const double by = view.setting.up_theta_deg * bore::kRadPerDeg - is;
    turn += up.head<2>().norm() * Eigen::Vector2d(std::cos(by), std::sin(by));
    if (!some_known) break;
  }
  // theta grows from +y towards -x, which is a positive turn about z.
  return Eigen::AngleAxisd(std::atan2(turn.y(), turn.x()), Eigen::Vector3d::UnitZ()).toRotationMatrix() * any;
}

struct Placed {
  bore::BoreFromCam bore_from_search;
  Eigen::Matrix2d bore_from_across;  ///< e1, e2 on the cross-section.
};

Placed PlaceOf(const std::vector<HeadView>& views, const SearchFrame& frame, const Stand& stand, double distance_mm,
               double radius_mm) {
  const Facing facing = views.front().setting.facing;
  const AxisBasis basis(stand.head<2>());
  const Eigen::Matrix3d head_from_search = frame.search_from_head.transpose();
  const Eigen::Matrix3d turn =
      RotationOfHead(views, head_from_search * basis.axis.cast<double>(), facing) * head_from_search;
  Placed placed;
  placed.bore_from_search.rotation = turn;
  placed.bore_from_across << (turn * basis.e1.cast<double>()).head<2>(), (turn * basis.e2.cast<double>()).head<2>();
  placed.bore_from_search.translation_mm << radius_mm * placed.bore_from_across * stand.tail<2>(),
      (facing == Facing::kMinusZ ? 1 : -1) * distance_mm;
  return placed;
}

/// A camera's known place as a stand about its own frame.
Stand StandOf(const bore::BoreFromCam& pose, Facing facing, double radius_mm) {
  const Eigen::Vector3d axis = (facing == Facing::kMinusZ ? -1 : 1) * pose.rotation.row(2).transpose();
  const AxisBasis basis(axis.head<2>());
  const Eigen::Vector2d across = pose.translation_mm.head<2>() / radius_mm;
  return {axis.x(), axis.y(), (pose.rotation * basis.e1.cast<double>()).head<2>().dot(across),
          (pose.rotation * basis.e2.cast<double>()).head<2>().dot(across)};
}

/// What light alone and the frames beside this one say, as places to try; of a camera alone.
std::vector<Stand> Hints(const std::vector<HeadView>& views, const bore::Bore& bore, const PoseOptions& options,
                         const JobContext& job) {
  if (views.size() != 1 || !views[0].head_from_cam.rotation.isIdentity(1e-9)) return {};
  const Facing facing = views[0].setting.facing;
  std::vector<Stand> hints;
  for (const bore::BoreFromCam& pose : options.near) hints.push_back(StandOf(pose, facing, bore.radius_mm));
  const auto light = FindPoseByLight(views[0].picture, bore, views[0].setting, options, job);
  if (light.ok()) hints.push_back(StandOf(light.value().bore_from_cam, facing, bore.radius_mm));
  return hints;
}

/// Does a frame beside this one say the same?
bool Confirmed(const Stand& stand, const std::vector<HeadView>& views, const bore::Bore& bore,
               const PoseOptions& options) {
  return views.size() == 1 && std::any_of(options.near.begin(), options.near.end(), [&](const bore::BoreFromCam& pose) {
           const Stand other = StandOf(pose, views[0].setting.facing, bore.radius_mm);
           return (other.head<2>() - stand.head<2>()).norm() < options.near_deg * bore::kRadPerDeg &&
                  (other.tail<2>() - stand.tail<2>()).norm() < options.near_share;
         });
}

/// A frame beside this one that says the same is a second witness of the stand.
double ChanceWrongStand(const Structure& found, const std::vector<HeadView>& views, const bore::Bore& bore,
                        const PoseOptions& options) {
  const DoubtOptions& doubt = options.structure.doubt;
  const double stand = ChanceOfWrongStand({found.margin, found.rings, found.read.TiltUDeg()}, doubt);
  return Confirmed(found.stand, views, bore, options) ? stand * doubt.seconded : stand;
}

void Judge(const Structure& found, const std::vector<HeadView>& views, const bore::Bore& bore,
           const PoseOptions& options, Pose* pose) {
  const DoubtOptions& doubt = options.structure.doubt;
  const double stand = ChanceWrongStand(found, views, bore, options), weld = found.weld ? found.weld->chance : 1;
  pose->chance_wrong = ChanceOfEither(stand, weld);
  pose->axis_told = stand <= doubt.most_wrong;
  pose->trusted = MayBeMeasured(stand, weld, doubt);
}

/// Covariance in the order of Pose::covariance, of the search's origin.
Eigen::Matrix<double, 5, 5> CovarianceOf(const Structure& found, const Placed& placed, double radius_mm,
                                         const PoseOptions& options) {
  const StructureOptions& o = options.structure;
  Eigen::Matrix4d stand = (found.curvature / o.score_unit).inverse();
  const double tilt = o.least_tilt_u_deg * bore::kRadPerDeg;
  const double distance = found.weld ? found.weld->middle_mm() : radius_mm;
  // The bead's wander and the walls' misalignment set the ring off its circle: an offset of wander * R / d.
  const double ring = std::hypot(options.ring_wander_mm, o.misalignment_mm) / std::max(distance, 0.3 * radius_mm);
  const double free = std::pow(o.least_offset_u_share, 2) + ring * ring;
  stand.topLeftCorner<2, 2>() += tilt * tilt * Eigen::Matrix2d::Identity();
  stand.bottomRightCorner<2, 2>() += (free + std::pow(tilt / o.valley, 2)) * Eigen::Matrix2d::Identity();
  stand.topRightCorner<2, 2>() += tilt * tilt / o.valley * Eigen::Matrix2d::Identity();
  stand.bottomLeftCorner<2, 2>() += tilt * tilt / o.valley * Eigen::Matrix2d::Identity();
  Eigen::Matrix<double, 5, 4> to = Eigen::Matrix<double, 5, 4>::Zero();
  to.block<2, 2>(0, 2) = radius_mm * placed.bore_from_across;
  to(3, 0) = to(4, 1) = 1;
  Eigen::Matrix<double, 5, 5> covariance = to * stand * to.transpose();
  covariance(2, 2) =
      std::pow(options.ring_wander_mm, 2) + std::pow(o.middle_u_mm, 2) + std::pow(o.distance_u_share * distance, 2);
  return covariance;
}

Status CheckInput(const std::vector<HeadView>& views, const bore::Bore& bore, const PoseOptions& options) {
  if (auto broken = options.Check()) return broken;
  if (!(bore.radius_mm > 0)) return BadInput("The bore's radius must be > 0 mm.");
  if (views.empty()) return BadInput("A head's pose needs one camera's picture or more.");
  for (const HeadView& view : views) {
    if (auto broken = view.setting.mount.Check()) return broken;
    if (view.setting.facing != views.front().setting.facing || view.setting.facing == Facing::kSide)
      return BadInput("The cameras of a head that are solved together must all look +z or all look -z.");
    if (view.picture.cols != view.setting.lens.width_px || view.picture.rows != view.setting.lens.height_px)
      return BadInput("A picture is " + std::to_string(view.picture.cols) + " x " + std::to_string(view.picture.rows) +
                      " px; its lens says " + std::to_string(view.setting.lens.width_px) + " x " +
                      std::to_string(view.setting.lens.height_px) + ".");
  }
  return std::nullopt;
}

}  // namespace

Result<HeadFound> FindHeadStand(const std::vector<HeadView>& views, const bore::Bore& bore, const PoseOptions& options,
                                const JobContext& job) {
  if (auto broken = CheckInput(views, bore, options)) return *broken;
  const StructureOptions& o = options.structure;
  const SearchFrame frame = FrameOf(views, bore.radius_mm, o.outward_deg);
  const auto wide = [&o](int width_px) {
    return [&o, width_px](const HeadView& view) {
      const double shrink = std::min(1.0, static_cast<double>(width_px) / view.picture.cols);
      return LayOnSphere(view.picture, view.setting.lens, view.setting.mask, shrink, o.chart);
    };
  };
  const auto to_read = [](const HeadView& view) {
    return StandChart(view.picture, view.setting.lens, view.setting.mask);
  };
  const Charts charts{Laid(views, frame, bore.radius_mm, wide(o.coarse_width_px)),
                      Laid(views, frame, bore.radius_mm, wide(o.fine_width_px)),
                      Laid(views, frame, bore.radius_mm, to_read)};
  if (job.Cancelled()) return Cancelled();
  auto found =
      FindStructure(charts, bore.radius_mm, views.front().setting.mount, Hints(views, bore, options, job), o, job);
  if (!found.ok()) return found.error();
  HeadFound head;
  head.structure = found.value();
  const Structure& s = head.structure;
  if (s.score < o.min_score && s.margin < o.min_margin) return NotFound(Says::kNoAxis);
  if (s.weld && s.weld->odds < 0) head.structure.weld.reset();  // that there is none is likelier
  const Placed placed = PlaceOf(views, frame, s.stand, s.weld ? s.weld->middle_mm() : 0, bore.radius_mm);
  head.bore_from_head.rotation = placed.bore_from_search.rotation * frame.search_from_head;
  head.bore_from_head.translation_mm =
      placed.bore_from_search.translation_mm - head.bore_from_head.rotation * frame.middle_mm;
  head.origin.bore_from_cam = head.bore_from_head;
  head.origin.covariance = CovarianceOf(s, placed, bore.radius_mm, options);
  head.origin.agreement = s.score;
  head.origin.margin = s.margin;
  Judge(s, views, bore, options, &head.origin);
  head.origin.how = WordsOf(views.size() > 1 ? Says::kSharedByHead : Says::kFoundInPicture);
  return head;
}

namespace {

Error NoWeld() { return NotFound(Says::kNoRingLikeAWeld); }

Error Sideways() { return NotFound(Says::kLooksSideways); }

}  // namespace

Result<HeadFound> FindHeadPose(const std::vector<HeadView>& views, const bore::Bore& bore, const PoseOptions& options,
                               const JobContext& job) {
  auto head = FindHeadStand(views, bore, options, job);
  if (head.ok() && !head.value().structure.weld) return NoWeld();
  return head;
}

Result<Pose> FindPose(const cv::Mat3b& frame, const bore::Bore& bore, const FrameSetting& setting,
                      const PoseOptions& options, const JobContext& job) {
  if (auto broken = options.Check()) return *broken;
  if (!(bore.radius_mm > 0)) return BadInput("The bore's radius must be > 0 mm.");
  if (setting.facing == Facing::kSide) return Sideways();
  if (!options.by_structure) return FindPoseByLight(frame, bore, setting, options, job);
  auto head = FindHeadPose({{frame, setting, {}}}, bore, options, job);
  if (!head.ok()) return head.error();
  return head.value().origin;
}

Sought SeekPose(const cv::Mat3b& frame, const bore::Bore& bore, const FrameSetting& setting, const PoseOptions& options,
                const JobContext& job) {
  if (setting.facing == Facing::kSide) return {Sideways(), std::nullopt};
  const auto head = FindHeadStand({{frame, setting, {}}}, bore, options, job);
  if (!head.ok()) return {head.error(), std::nullopt};
  Pose pose = head.value().origin;
  if (head.value().structure.weld) return {pose.trusted ? Result<Pose>(pose) : Result<Pose>(InDoubt()), pose};
  pose.bore_from_cam.translation_mm.z() += setting.facing == Facing::kMinusZ ? bore.radius_mm : -bore.radius_mm;
  return {NoWeld(), pose};
}

}  // namespace vision::pose
