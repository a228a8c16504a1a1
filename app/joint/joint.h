#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "vision/base/result.h"
#include "vision/camera/lens.h"
#include "vision/pose/pose.h"

/// What a joint is: the joint file `rootscroll.joint/1` (schema app/joint/joint.schema.json). Units in every key.
namespace app::joint {

/// A length with where it comes from.
struct Sized {
  double value_mm = 0;
  double u_mm = 0;     ///< Standard uncertainty, given or implied by the source.
  std::string source;  ///< One phrase: "bore gauge", "ASME B36.10M NPS 6 Sch 80, mill tolerance -12.5 %".
};

struct Pipe {
  std::optional<std::string> nps, schedule;
  std::optional<Sized> outside_diameter, wall;  ///< wall: nominal unless its source says measured.
  Sized inside_diameter;                        ///< Always known after loading.
};

struct Piece {
  std::string name;
  std::optional<std::string> heat;
  std::optional<Sized> outside_diameter, wall, inside_diameter;  ///< Where they differ from the pipe's.
};

struct Insert {
  std::string insert_class;  ///< AWS A5.30 class 1 to 5, as text; empty = unknown.
  std::optional<double> width_mm, width_u_mm;
};

/// Each empty where nobody knows it.
struct Datum {
  std::string zero, positive_z, evidence;
};

struct ScaleCheck {
  std::string when;
  double known_mm = 0, measured_mm = 0;
};

struct Calibration {
  std::string date, target, lens_serial;
  std::optional<ScaleCheck> scale_before, scale_after;
  std::optional<double>
      sight_u_deg;  ///< Standard uncertainty (k = 1) of a sight's angle, where the calibration told it.
};

struct Camera {
  std::string id;
  vision::camera::Lens lens;
  std::optional<Calibration> calibration;
  std::optional<std::filesystem::path> mask;  ///< Resolved against the joint file's folder.
  bool mirrored = false;                      ///< Its pictures are mirror images.
};

struct KnownPose {
  double offset_x_mm = 0, offset_y_mm = 0, z_mm = 0, pitch_deg = 0, yaw_deg = 0;
};

/// A point on a toe, clicked by an inspector in a frame.
struct ToePoint {
  double u_px = 0, v_px = 0;
};

struct FrameEntry {
  std::filesystem::path file;  ///< Resolved against the joint file's folder.
  std::string camera;          ///< Camera id.
  std::string looks = "+z";    ///< +z | -z | side
  std::optional<double> up_theta_deg, travel_mm;
  std::optional<KnownPose> pose;
  std::vector<ToePoint> toe_points;  ///< Six or more, or none.
  std::optional<int> shot;           ///< Frames with the same number were taken together by the cameras of the rig.
};

struct LightSection {
  std::optional<double> distance_mm, tilt_x_deg, tilt_y_deg;
};

/// A picture of a white target in the recording's own light, the camera's white balance fixed.
struct WhiteTarget {
  std::filesystem::path file;
  std::vector<int> box_px;  ///< Left, top, width, height of the target in it; empty = the whole picture.
};

struct Recording {
  std::string id, stage;
  std::string operator_name;                      ///< Who held the camera; empty = not given.
  std::vector<FrameEntry> frames;                 ///< Still files; empty when `video` is given.
  std::optional<std::filesystem::path> video;     ///< One video file.
  std::optional<vision::pose::MountPrior> mount;  ///< How the head rides, as far as a person knows.
  FrameEntry video_defaults;                      ///< camera, looks, up_theta_deg for every frame of the video.
  std::optional<LightSection> light_section;
  std::optional<WhiteTarget> white;
};

/// One camera's place in a rig of cameras fixed to each other.
struct RigCamera {
  std::string camera;  ///< Camera id.
  double x_mm = 0, y_mm = 0, z_mm = 0;
  std::vector<double> rotation_deg;  ///< Rotation vector, rig from camera: three numbers.
};

struct Joint {
  std::filesystem::path file;  ///< The joint file itself.
  std::string id, line, material;
  Pipe pipe;
  Piece a, b;
  std::optional<std::string> flow, camera_entered_from;
  Insert insert;
  Datum datum;
  std::string criterion;  ///< Name of a shipped set, or path of the user's own file.
  std::optional<double> outside_cap_height_mm, minimum_wall_mm;
  std::vector<Camera> cameras;  ///< Empty while no lens is known: nothing can be measured then.
  std::vector<Recording> recordings;
  std::vector<RigCamera> rig;

  /// Wall of the thinner of the two pieces (their own where given, else the pipe's); nullopt when none is known.
  std::optional<Sized> ThinnerWall() const;

  /// Outside diameter of the smaller of the two pieces; nullopt when none is known.
  std::optional<Sized> SmallerOutsideDiameter() const;

  const Camera* FindCamera(const std::string& id) const;
  const RigCamera* FindPlace(const std::string& camera) const;  ///< In the rig; null when it has none.
  const Recording* FindRecording(const std::string& id) const;
};

/// Reads, checks against the schema and resolves sizes (pipe table) and paths.
/// @return kBadInput with one sentence naming file, field and what would be right.
vision::Result<Joint> LoadJoint(const std::filesystem::path& file);

}  // namespace app::joint
