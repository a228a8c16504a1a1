#pragma once

#include <filesystem>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "app/joint/joint.h"
#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/match/change.h"
#include "vision/match/removed.h"
#include "vision/match/slope.h"
#include "vision/reading/reading.h"

/// Before and after a repair: two measured folders of one joint, laid on each other, and what was ground away.
namespace app::compare {

/// A measured folder: reading.json and its strip.
struct Look {
  std::filesystem::path folder;
  vision::reading::Reading reading;
  vision::match::FlatPicture picture;
  std::optional<vision::relief::Relief> relief;  ///< Where the recording has heights.
};

/// @return kBadInput naming the file that is missing or does not fit; kNotFound where no weld was found.
vision::Result<Look> LoadLook(const std::filesystem::path& folder);

/// What became of one indication of the first reading, or of a place that a person gave.
struct Followed {
  std::string what;  ///< Its kind, for people.
  vision::match::WallPlace place;
  double length_mm = 0;
  vision::match::FateOf fate;
};

/// A place to follow that no reading lists.
struct GivenPlace {
  double theta_deg = 0, z_mm = 0, length_mm = 0;
};

struct Comparison {
  std::string joint_id;
  Look before, after;
  vision::match::FlatPicture laid;  ///< The second picture on the first one's grid.
  vision::match::RingMatch match;
  vision::match::Change change;
  std::vector<vision::match::Depths> depths;  ///< One a pocket.
  std::vector<vision::match::Slopes> slopes;  ///< One a pocket.
  std::vector<Followed> followed;
  std::optional<double> planned_taper;  ///< n of n:1 by the blend plan, for the slopes to be set against.
  std::vector<vision::Sentence> notes;
};

/// @return kNotFound where the two cannot be laid on each other with trust: the sentence says why.
vision::Result<Comparison> Compare(const joint::Joint& joint, const std::filesystem::path& before,
                                   const std::filesystem::path& after, const std::vector<GivenPlace>& places,
                                   const vision::JobContext& job = {});

/// What stands in for a depth that is not stated, and the rule for any.
std::string DepthRule();

/// "no steeper", "steeper" or, where the plan's slope lies within the uncertainty (k = 2), "not decided".
std::string AgainstPlan(const vision::match::SlopeAt& slope, double planned_taper);

/// A slope as a taper, "5.7:1".
std::string TaperText(double slope_deg);

/// `rootscroll.change/1` (change.schema.json); angles and z are those of the first reading.
std::string ToJson(const Comparison& comparison);

/// Checks a text against change.schema.json, which is built into the program and installed beside it.
/// @return kBadInput naming `name`, the place in it and what is wrong.
vision::Status CheckChange(const std::string& text, const std::string& name);

/// A few lines for people.
std::string ToText(const Comparison& comparison);

/// The columns of the first strip that the pictures of the change show: about the largest pocket, or all round.
struct Shown {
  int first_column = 0, columns = 0;
};
Shown ShownOf(const Comparison& comparison);

/// One stretch, cut out of a picture on the first strip's grid.
cv::Mat3b CutOut(const cv::Mat3b& picture, const Shown& shown);

/// Before, after and their difference below each other, flat, with the outline, the clock and millimetres.
cv::Mat3b ChangePicture(const Comparison& comparison);

/// Writes change.json, which fits its schema, change.png, and the three pictures it is made of without any words
/// (change_before.png, change_after.png, change_difference.png), each whole; change.json last.
vision::Status Write(const Comparison& comparison, const std::filesystem::path& folder);

}  // namespace app::compare
