#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "app/repair/blend.h"
#include "app/repair/film_picture.h"
#include "app/repair/film_station.h"
#include "app/repair/minimum_wall.h"

/// What a person writes down before a blend: the repair file `rootscroll.repair/1` (schema
/// app/joint/repair.schema.json).
namespace app::repair {

struct PlaceInside {
  double theta_deg = 0, z_mm = 0;
};

struct FilmPlace {
  Belt belt;
  FilmIndication indication;
  std::optional<double> z_mm;
  std::optional<FilmPicture> picture;  ///< Of the radiograph, to be laid beside the strip; checked against the belt.
};

enum class DesignCode { kB313, kB311 };

struct RepairFile {
  std::filesystem::path file;
  std::string joint_id, cycle, indication;
  std::optional<PlaceInside> place;
  std::optional<FilmPlace> film;  ///< At least one of `place` and `film`.
  Measured depth;
  std::vector<Measured> readings;  ///< Empty: `nominal_mm` is given.
  std::optional<double> nominal_mm;
  double mill_tolerance = 0.125;
  std::optional<double> drawing_floor_mm;
  std::optional<PressureDesign> design;  ///< Lengths in mm.
  DesignCode code = DesignCode::kB313;
  std::optional<std::string> criterion;
  Pocket pocket;        ///< Without theta and z.
  Surroundings around;  ///< Without the bore's radius.
  Equipment equipment;
};

/// @return kBadInput with one sentence naming file, field and what would be right.
vision::Result<RepairFile> LoadRepair(const std::filesystem::path& file);

}  // namespace app::repair
