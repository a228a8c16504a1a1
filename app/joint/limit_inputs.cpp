#include "app/joint/limit_inputs.h"

namespace app::joint {

LimitInputs LimitInputsOf(const Joint& joint) {
  LimitInputs inputs;
  if (const auto wall = joint.ThinnerWall()) inputs.t_mm = inputs.s_mm = wall->value_mm;
  if (const auto od = joint.SmallerOutsideDiameter()) inputs.od_mm = od->value_mm;
  inputs.id_mm = joint.pipe.inside_diameter.value_mm;
  if (joint.outside_cap_height_mm) inputs.cap_mm = *joint.outside_cap_height_mm;
  inputs.material = joint.material;
  return inputs;
}

}  // namespace app::joint
