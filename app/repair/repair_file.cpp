#include "app/repair/repair_file.h"

#include "app/joint/json_check.h"
#include "vision/base/file.h"

namespace app::repair {
namespace {

using joint::Json;

Measured MeasuredOf(const Json& json) { return {json.at("value_mm"), json.at("u_mm")}; }

Belt BeltOf(const Json& json) {
  Belt belt;
  belt.view = json.at("view") == "along +z" ? View::kAlongPlusZ : View::kAgainstPlusZ;
  belt.zero_clock_deg = json.at("zero_clock_deg");
  belt.numbers_run = json.at("numbers_run") == "clockwise" ? Turn::kClockwise : Turn::kAnticlockwise;
  belt.spacing_mm = json.at("spacing_mm");
  belt.length_mm = json.at("length_mm");
  return belt;
}

Side SideOf(const std::string& text) {
  if (text == "towards higher") return Side::kTowardsHigher;
  if (text == "towards lower") return Side::kTowardsLower;
  return text == "right" ? Side::kRight : Side::kLeft;
}

FilmPlace FilmOf(const Json& json, const std::filesystem::path& folder) {
  FilmPlace film;
  film.belt = BeltOf(json.at("belt"));
  FilmIndication& at = film.indication;
  at.number = json.at("number");
  at.side = SideOf(json.at("side"));
  at.film_mm = json.at("film_mm");
  at.interval_on_film_mm = json.at("interval_on_film_mm");
  at.exposure = json.at("exposure") == "single wall" ? Exposure::kSingleWall : Exposure::kDoubleWallElliptic;
  if (const auto up = joint::Text(json, "up_points"))
    at.up_points = *up == "+z" ? View::kAlongPlusZ : View::kAgainstPlusZ;
  if (const auto from = joint::Text(json, "read_from")) at.read_from_outside = *from == "outside";
  film.z_mm = joint::Number(json, "z_mm");
  if (json.contains("picture")) {
    const Json& picture = json.at("picture");
    film.picture = FilmPicture{folder / picture.at("file").get<std::string>(), {}};
    for (const Json& marker : picture.at("markers"))
      film.picture->markers.push_back({marker.at("number"), marker.at("x_px")});
  }
  return film;
}

void ReadFloor(const Json& json, RepairFile& repair) {
  repair.drawing_floor_mm = joint::Number(json, "minimum_wall_mm");
  if (!json.contains("design")) return;
  const Json& from = json.at("design");
  repair.code = from.at("code") == "B31.1 104.1.2" ? DesignCode::kB311 : DesignCode::kB313;
  PressureDesign design;
  design.pressure = from.at("pressure");
  design.outside_diameter = from.at("outside_diameter_mm");
  design.stress = from.at("stress");
  design.quality = from.at("quality");
  design.weld_strength = from.at("weld_strength");
  design.coefficient = from.at("coefficient");
  design.allowance = from.at("allowance_mm");
  repair.design = design;
}

void ReadWall(const Json& json, RepairFile& repair) {
  if (json.contains("readings"))
    for (const Json& reading : json.at("readings")) repair.readings.push_back(MeasuredOf(reading));
  repair.nominal_mm = joint::Number(json, "nominal_mm");
  repair.mill_tolerance = joint::Number(json, "mill_tolerance").value_or(repair.mill_tolerance);
}

void ReadBlend(const Json& json, RepairFile& repair) {
  const Json& blend = json.at("blend");
  repair.pocket.depth = repair.depth;
  repair.pocket.flat_axial_mm = blend.at("flat_axial_mm");
  repair.pocket.flat_around_mm = blend.at("flat_around_mm");
  repair.pocket.taper = blend.at("taper");
  repair.pocket.corner_radius_mm = joint::Number(blend, "corner_radius_mm").value_or(0);
  if (!json.contains("around")) return;
  const Json& around = json.at("around");
  repair.around.room_axial_mm = joint::Number(around, "room_axial_mm");
  repair.around.distance_to_open_end_mm = joint::Number(around, "distance_to_open_end_mm").value_or(0);
  repair.around.elbows = around.value("elbows", 0);
}

vision::Result<Equipment> LoadEquipment(const Json& json, const std::filesystem::path& folder) {
  const auto name = joint::Text(json, "equipment");
  if (!name) return SampleEquipment();
  auto text = vision::ReadFileWhole(folder / *name);
  if (!text.ok()) return text.error();
  return ReadEquipment(text.value(), *name);
}

}  // namespace

vision::Result<RepairFile> LoadRepair(const std::filesystem::path& file) {
  auto text = vision::ReadFileWhole(file);
  if (!text.ok()) return text.error();
  auto parsed = joint::ParseJson(text.value(), file.string());
  if (!parsed.ok()) return parsed.error();
  const Json& json = parsed.value();
  if (auto fault = joint::CheckSchema(json, "repair.schema.json", file.string())) return *fault;
  if (!json.contains("place") && !json.contains("film"))
    return vision::BadInput(file.string() + ": give place (theta_deg, z_mm) or film, so that the spot can be found.");
  RepairFile repair;
  repair.file = file;
  repair.joint_id = json.at("joint_id");
  repair.cycle = joint::Text(json, "cycle").value_or("");
  repair.indication = json.at("indication");
  if (json.contains("place")) repair.place = PlaceInside{json.at("place").at("theta_deg"), json.at("place").at("z_mm")};
  if (json.contains("film")) repair.film = FilmOf(json.at("film"), file.parent_path());
  if (repair.film && repair.film->picture) {
    auto fault = repair.film->belt.Check();
    if (!fault) fault = repair.film->picture->Check(repair.film->belt);
    if (fault) return vision::BadInput(file.string() + ": " + fault->message);
  }
  repair.depth = MeasuredOf(json.at("depth"));
  repair.criterion = joint::Text(json, "criterion");
  ReadWall(json.at("wall"), repair);
  ReadFloor(json.at("floor"), repair);
  ReadBlend(json, repair);
  auto equipment = LoadEquipment(json, file.parent_path());
  if (!equipment.ok()) return equipment.error();
  repair.equipment = std::move(equipment).value();
  return repair;
}

}  // namespace app::repair
