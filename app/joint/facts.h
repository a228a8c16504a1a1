#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/joint/criteria.h"
#include "vision/base/result.h"

/// The facts of a joint as a form shows them, so that nobody has to open the joint file.
namespace app::joint {

/// One fact. Empty value: not known, and then left out of the file.
struct Fact {
  enum class Kind { kText, kNumber, kChoice };
  std::string path;   ///< JSON pointer into the joint file; `*` stands for all frames of a recording, or its video;
                      ///< `*{+z}` for those that look that way.
  std::string group;  ///< "joint", "pipe", "pieces", "insert", "datum", "recording ID" or "camera ID".
  std::string words;  ///< For people, in English; unit with it.
  Kind kind = Kind::kText;
  std::vector<std::string> choices = {};  ///< Of kChoice: what the file holds.
  std::string value = {};
};

/// Which frames a path speaks of, by the way they look; empty: all.
std::string LooksOf(const std::string& path);

/// All facts in the form's order with what the file holds. A fact whose frames differ from each other has the value
/// kDiffers, which WithFacts leaves as it is.
/// @return kBadInput for a text that is no joint file.
vision::Result<std::vector<Fact>> FactsOf(const std::string& text, const std::string& name);

inline constexpr const char* kDiffers = "(differs)";

/// The joint file's text with the facts as given; all else stays.
/// @return kBadInput for a number that is none; the sentence names the fact.
vision::Result<std::string> WithFacts(const std::string& text, const std::vector<Fact>& facts, const std::string& name);

/// What the criteria set judges, only shows and does not measure, for the person who chooses: one line each.
std::string CoverOf(const CriteriaSet& set);

/// The bore angle of the picture's up, from a click on the datum's direction (theta 0, such as top dead centre).
/// @param u,v The click; cu, cv the middle of the view along the bore, px.
/// @param looks +z or -z. @param mirrored The camera's pictures are mirror images.
/// @return [0, 360) degrees; nullopt for a camera that looks sideways or a click in the middle.
std::optional<double> UpFromDatum(double u, double v, double cu, double cv, const std::string& looks, bool mirrored);

}  // namespace app::joint
