#include "vision/arc/arc_options.h"

#include "vision/base/range.h"

namespace vision::arc {

Status BurningOptions::Check() const {
  return FirstOutside("BurningOptions", {{"about_s", about_s, 0.5, 600},
                                         {"usual_share", usual_share, 0, 1},
                                         {"least_of_all", least_of_all, 0, 1},
                                         {"going_out", going_out, 0, 1},
                                         {"rising", rising, 1, 10},
                                         {"shortest_off_s", shortest_off_s, 0, 10},
                                         {"shortest_on_s", shortest_on_s, 0, 10}});
}

Status StandingOptions::Check() const {
  return FirstOutside("StandingOptions", {{"beside_s", beside_s, 0.1, 60},
                                          {"least_beside_s", least_beside_s, 0.1, 60},
                                          {"least_gain", least_gain, 0, 1000},
                                          {"least_share", least_share, 0, 1},
                                          {"step_s", step_s, 0.01, 2},
                                          {"shortest_looked_s", shortest_looked_s, 0.05, 10}});
}

Status PoolOptions::Check() const {
  return FirstOutside("PoolOptions", {{"dim", dim, 0, 100},
                                      {"step_mm", step_mm, 0.05, 50},
                                      {"most", most, 0, 1000},
                                      {"travel_mm_s", travel_mm_s, 0, 1000},
                                      {"forgets_s", forgets_s, 0, 60}});
}

}  // namespace vision::arc
