#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "vision/base/result.h"
#include "vision/match/change.h"

/// A `rootscroll.change/1` read back, for a page of the record.
namespace app::compare {

struct SaidDepth {
  std::optional<double> mm;
  double u_mm = 0, theta_deg = 0, z_mm = 0;
  vision::Reason why;  ///< Why there is none.
};

struct SaidSlope {
  std::optional<double> deg;
  double u_deg = 0, z_from_mm = 0, z_to_mm = 0;
  std::string against_plan;  ///< Empty: no plan was given.
  vision::Reason why;        ///< Why there is none.
};

struct SaidPocket {
  vision::match::WallPlace middle;
  double circ_mm = 0, circ_u_mm = 0, axial_mm = 0, axial_u_mm = 0, area_mm2 = 0;
  bool larger_than_seen = false;
  SaidDepth floor_below_wall, greatest_removal;
  std::optional<SaidSlope> slope_left, slope_right;  ///< Towards -z and +z; files of earlier programs have none.
  std::vector<vision::match::WallPlace> outline;
  std::vector<vision::match::Spot> still_seen;
};

struct SaidFollowed {
  std::string what, fate;
  vision::Sentence reason;
  vision::match::WallPlace place;
  double length_mm = 0;
};

/// The three pictures beside change.json and the stretch they show.
struct SaidPicture {
  std::filesystem::path before, after, difference;
  double theta_from_deg = 0, theta_pitch_deg = 0, z_from_mm = 0, pitch_mm = 0;
  int columns = 0, rows = 0;
};

/// One of the two that were compared.
struct SaidLook {
  std::vector<std::string> recordings;
  std::string stage;  ///< Empty: none was named.
};

struct SaidChange {
  std::string joint_id;
  SaidLook before, after;
  double turned_deg = 0, residual_mm = 0, agreeing = 0, compared = 0;
  std::vector<SaidPocket> pockets;
  std::vector<vision::match::Spot> marks;
  std::vector<SaidFollowed> followed;
  SaidPicture picture;
  std::string depth_rule;
  std::vector<vision::Sentence> notes;
};

/// @param file A change.json; its pictures lie beside it.
/// @return kBadInput naming the place in it that does not fit the schema.
vision::Result<SaidChange> ReadChange(const std::filesystem::path& file);

}  // namespace app::compare
