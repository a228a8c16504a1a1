#include <algorithm>
#include <cctype>
#include <cmath>

#include "app/joint/joint_parts.h"
#include "app/joint/pipe_table.h"

namespace app::joint {
namespace {

/// Standard uncertainty that a source implies, mm: a judgement, not a published value.
std::optional<double> ImpliedU(const std::string& source) {
  std::string lower = source;
  std::transform(lower.begin(), lower.end(), lower.begin(), [](unsigned char c) { return std::tolower(c); });
  const auto says = [&lower](const char* word) { return lower.find(word) != std::string::npos; };
  if (says("gauge") || says("gage") || says("micrometer")) return 0.05;
  if (says("caliper") || says("calliper")) return 0.1;
  return std::nullopt;
}

std::string SourceOr(const Json& json, const std::string& otherwise) {
  return Text(json, "source").value_or(otherwise);
}

vision::Result<Sized> ReadOwnBore(const Json& json, const Where& where) {
  Sized bore{json.at("inside_diameter_mm").get<double>(), 0, SourceOr(json, "given in the joint file")};
  if (const auto u = Number(json, "inside_diameter_u_mm")) {
    bore.u_mm = *u;
    return bore;
  }
  if (!json.contains("source"))
    return where.Wrong(
        "has inside_diameter_mm without its source; add source (such as \"bore gauge\") or inside_diameter_u_mm.");
  const auto implied = ImpliedU(bore.source);
  if (!implied)
    return where.Wrong("has inside_diameter_mm from \"" + bore.source +
                       "\", which implies no uncertainty; add inside_diameter_u_mm (standard uncertainty, mm).");
  bore.u_mm = *implied;
  bore.source += " (u implied by the source)";
  return bore;
}

std::optional<Sized> ReadWall(const Json& json) {
  const auto wall = Number(json, "wall_mm");
  if (!wall) return std::nullopt;
  if (const auto u = Number(json, "wall_u_mm")) return Sized{*wall, *u, SourceOr(json, "given in the joint file")};
  return Sized{*wall, NominalWallU(*wall), "nominal, mill tolerance -12.5 %"};
}

std::optional<Sized> ReadOutside(const Json& json) {
  const auto od = Number(json, "outside_diameter_mm");
  if (!od) return std::nullopt;
  const double tolerance = 0.01 * *od;  // +/- 1 %: common practice, no source.
  if (const auto u = Number(json, "outside_diameter_u_mm"))
    return Sized{*od, *u, SourceOr(json, "given in the joint file")};
  return Sized{*od, tolerance / std::sqrt(3.0),
               SourceOr(json, "given in the joint file") + ", +/- 1 % (common practice)"};
}

Sized BoreFrom(const Sized& od, const Sized& wall) {
  return {od.value_mm - 2 * wall.value_mm, std::hypot(od.u_mm, 2 * wall.u_mm), od.source + "; wall " + wall.source};
}

vision::Status CheckSizes(const std::optional<Sized>& od, const std::optional<Sized>& wall,
                          const std::optional<Sized>& bore, const Where& where) {
  if (od && wall && !(od->value_mm > 2 * wall->value_mm))
    return where.Wrong(
        "has walls thicker than the outside diameter; wall_mm must be less than half of outside_diameter_mm.");
  if (od && bore && !(od->value_mm > bore->value_mm))
    return where.Wrong("has an inside diameter as large as the outside diameter; inside_diameter_mm must be smaller.");
  if (bore && !(bore->value_mm >= 5 && bore->value_mm <= 10000))
    return where.Wrong("has an inside diameter of " + std::to_string(bore->value_mm) +
                       " mm; it must be 5 to 10000 mm.");
  if (bore && !(bore->u_mm < 0.2 * bore->value_mm))
    return where.Wrong("has inside_diameter_u_mm larger than a fifth of the diameter; give a measured diameter.");
  return std::nullopt;
}

vision::Status ReadNominal(const Json& json, const Where& where, Pipe* pipe, std::optional<Sized>* bore) {
  pipe->nps = Text(json, "nps");
  pipe->schedule = Text(json, "schedule");
  if (pipe->nps && !pipe->schedule) return where.Wrong("has nps without schedule; give both, or sizes in mm.");
  if (!pipe->nps && pipe->schedule) return where.Wrong("has schedule without nps; give both, or sizes in mm.");
  if (!pipe->nps) return std::nullopt;
  const auto size = NominalPipe(*pipe->nps, *pipe->schedule);
  if (!size.ok()) return vision::BadInput(where.file + ": " + where.path + ": " + size.error().message);
  pipe->outside_diameter = size.value().outside_diameter;
  pipe->wall = size.value().wall;
  *bore = size.value().inside_diameter;
  return std::nullopt;
}

}  // namespace

vision::Result<Pipe> ReadPipe(const Json& json, const Where& where) {
  Pipe pipe;
  std::optional<Sized> bore;
  if (auto wrong = ReadNominal(json, where, &pipe, &bore)) return *wrong;
  const auto od = ReadOutside(json), wall = ReadWall(json);
  if (od) pipe.outside_diameter = od;
  if (wall) pipe.wall = wall;
  if ((od || wall) && pipe.outside_diameter && pipe.wall) bore = BoreFrom(*pipe.outside_diameter, *pipe.wall);
  if (json.contains("inside_diameter_mm")) {
    auto own = ReadOwnBore(json, where);
    if (!own.ok()) return own.error();
    bore = own.value();
  }
  if (auto wrong = CheckSizes(pipe.outside_diameter, pipe.wall, bore, where)) return *wrong;
  if (!bore)
    return where.Wrong(
        "does not give the bore; give nps with schedule, or outside_diameter_mm with wall_mm, or "
        "inside_diameter_mm with its source.");
  pipe.inside_diameter = *bore;
  if (!pipe.outside_diameter && pipe.wall)
    pipe.outside_diameter = Sized{bore->value_mm + 2 * pipe.wall->value_mm, std::hypot(bore->u_mm, 2 * pipe.wall->u_mm),
                                  "inside diameter and wall"};
  return pipe;
}

vision::Result<Piece> ReadPiece(const Json& json, const Where& where) {
  Piece piece;
  if (json.is_string()) {
    piece.name = json.get<std::string>();
    return piece;
  }
  piece.name = json.at("name").get<std::string>();
  piece.heat = Text(json, "heat");
  piece.outside_diameter = ReadOutside(json);
  piece.wall = ReadWall(json);
  if (json.contains("inside_diameter_mm")) {
    auto bore = ReadOwnBore(json, where);
    if (!bore.ok()) return bore.error();
    piece.inside_diameter = bore.value();
  } else if (piece.outside_diameter && piece.wall) {
    piece.inside_diameter = BoreFrom(*piece.outside_diameter, *piece.wall);
  }
  if (auto wrong = CheckSizes(piece.outside_diameter, piece.wall, piece.inside_diameter, where)) return *wrong;
  return piece;
}

}  // namespace app::joint
