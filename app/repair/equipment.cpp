#include "app/joint/embedded.h"
#include "app/joint/json_check.h"
#include "app/repair/blend.h"

namespace app::repair {

vision::Result<Equipment> ReadEquipment(const std::string& text, const std::string& name) {
  auto parsed = joint::ParseJson(text, name);
  if (!parsed.ok()) return parsed.error();
  const auto& json = parsed.value();
  if (auto fault = joint::CheckSchema(json, "equipment.schema.json", name)) return *fault;
  Equipment equipment;
  equipment.name = json.at("name");
  equipment.invented_sample = json.value("invented_sample", false);
  equipment.bore_from_mm = json.at("bore_from_mm");
  equipment.bore_to_mm = json.at("bore_to_mm");
  equipment.reach_mm = json.at("reach_mm");
  equipment.elbows_passed = json.at("elbows_passed");
  equipment.largest_sweep_deg = json.at("largest_sweep_deg");
  if (equipment.bore_from_mm > equipment.bore_to_mm)
    return vision::BadInput(name + ": bore_from_mm must not be larger than bore_to_mm.");
  return equipment;
}

Equipment SampleEquipment() {
  return ReadEquipment(joint::EmbeddedText("equipment/sample-grinder.json"), "equipment/sample-grinder.json").value();
}

}  // namespace app::repair
