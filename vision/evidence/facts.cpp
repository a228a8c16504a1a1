#include <nlohmann/json.hpp>

#include "vision/evidence/evidence.h"
#include "vision/evidence/model_file.h"

namespace vision::evidence {
namespace {

using Json = nlohmann::json;

const Json& Facts() {
  static const Json facts = Json::parse(FactsText());
  return facts;
}

Trust ReadTrust() {
  const Json& f = Facts();
  Trust trust;
  const auto& spread = f.at("spread_scale");
  const auto& hidden = f.at("stated_below_hidden");
  trust.spread_scale = {spread.at("near"), spread.at("far")};
  trust.spread_floor_mm = f.at("spread_floor_mm");
  trust.spread_floor_px = {f.at("spread_floor_px").at("near"), f.at("spread_floor_px").at("far")};
  trust.hidden_below = {hidden.at("near"), hidden.at("far")};
  trust.edge_hidden_below = f.at("edge_hidden_below");
  trust.unfused_above = f.at("unfused_above");
  trust.unfused_goes_on_above = f.at("unfused_goes_on_above");
  trust.fused_below = f.at("fused_below");
  const auto& map = f.at("map_above");
  trust.covered_above = map.at("covered");
  trust.pore_above = map.at("pore");
  trust.near_undercut_above = map.at("near_undercut");
  trust.far_undercut_above = map.at("far_undercut");
  trust.pocket_above = map.at("pocket");
  trust.scale_above = map.at("scale");
  return trust;
}

}  // namespace

std::string Model::Named() const {
  return name + " " + std::to_string(version) + " (sha256 " + sha256.substr(0, 12) + ")";
}

std::string Model::NamedInFull() const { return name + " " + std::to_string(version) + " (sha256 " + sha256 + ")"; }

const Model& TheModel() {
  static const Model model{Facts().at("name"), Facts().at("version"), std::string(FactsSha256())};
  return model;
}

const Trust& TheTrust() {
  static const Trust trust = ReadTrust();
  return trust;
}

Status Trust::Check() const {
  for (const double scale : spread_scale)
    if (!(scale > 0 && scale <= 10)) return BadInput("Trust::spread_scale must be above 0 and at most 10.");
  if (!(spread_floor_mm >= 0)) return BadInput("Trust::spread_floor_mm must be zero or more.");
  for (const double share : spread_floor_px)
    if (!(share >= 0 && share <= 1)) return BadInput("Trust::spread_floor_px must be 0 to 1.");
  for (const double chance :
       {hidden_below[0], hidden_below[1], edge_hidden_below, unfused_above, unfused_goes_on_above, fused_below,
        covered_above, pore_above, near_undercut_above, far_undercut_above, pocket_above, scale_above})
    if (!(chance >= 0 && chance <= 1)) return BadInput("Trust: every chance must be 0 to 1.");
  if (!(fused_below <= unfused_goes_on_above && unfused_goes_on_above <= unfused_above))
    return BadInput("Trust: fused_below, unfused_goes_on_above and unfused_above must not fall.");
  return std::nullopt;
}

}  // namespace vision::evidence
