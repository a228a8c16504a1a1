#include "app/notes/kinds.h"

#include <algorithm>

namespace app::notes {

const std::vector<Kind>& Kinds() {
  static const std::vector<Kind> kinds{
      {"lack_of_root_fusion", "4013", "lack of root fusion (original edge visible)", ""},
      {"incomplete_root_penetration", "4021", "incomplete root penetration", "incomplete_root_penetration"},
      {"crack", "100", "crack", "crack"},
      {"crater_crack", "104", "crater crack", "crater_crack"},
      {"surface_pore", "2017", "surface pore", "surface_pore"},
      {"root_porosity", "516", "root porosity", "root_porosity"},
      {"crater_pipe", "2024", "crater pipe", "crater_pipe"},
      {"tungsten", "", "tungsten inclusion", ""},
      {"undercut", "5011", "continuous undercut", "undercut"},
      {"undercut_intermittent", "5012", "intermittent undercut", "undercut"},
      {"shrinkage_groove", "5013", "shrinkage groove", "shrinkage_groove"},
      {"excess_penetration", "504", "excess penetration", ""},
      {"overlap", "5062", "root overlap", ""},
      {"misalignment", "5072", "linear misalignment", ""},
      {"sagging", "509", "sagging", ""},
      {"burn_through", "510", "burn-through", "burn_through"},
      {"irregular_width", "513", "irregular width", ""},
      {"root_concavity", "515", "root concavity", ""},
      {"poor_restart", "517", "poor restart", "poor_restart"},
      {"stray_arc", "601", "stray arc", "stray_arc"},
      {"spatter", "602", "spatter", "spatter"},
      {"grind_mark", "604", "grinding mark", "grind_mark"},
      {"underflushing", "606", "underflushing", ""},
      {"temper_colour", "610", "temper colour", ""},
      {"scale", "613", "scaled surface", ""},
      {"gouge", "", "gouge", "gouge"},
      {"remark", "", "remark", ""},
      {"tack", "", "tack weld", "", true},
      {"ring_butt", "", "insert ring: butt of its ends", "", true},
      {"ring_lap", "", "insert ring: lap of its ends", "", true},
      {"tie_in", "", "tie-in", "", true},
      {"stop_start", "", "stop and start", "", true},
      {"fit_up_gap", "", "fit-up gap noted before welding", "", true},
      {"fit_up_misalignment", "", "fit-up misalignment noted before welding", "", true},
  };
  return kinds;
}

const Kind* FindKind(std::string_view id) {
  const auto found = std::find_if(Kinds().begin(), Kinds().end(), [&](const Kind& kind) { return kind.id == id; });
  return found == Kinds().end() ? nullptr : &*found;
}

}  // namespace app::notes
