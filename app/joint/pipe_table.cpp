#include "app/joint/pipe_table.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstdio>
#include <numbers>

#include "app/joint/embedded.h"
#include "app/joint/json_check.h"
#include "vision/base/says.h"

namespace app::joint {
namespace {

const Json& Table() {
  static const Json table = Json::parse(EmbeddedText("pipe_sizes.json"));
  return table;
}

std::string Upper(const std::string& text) {
  std::string out;
  for (char c : text)
    if (!std::isspace(static_cast<unsigned char>(c)))
      out += static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  return out;
}

std::string PlainSize(const std::string& nps) {
  std::string out = nps;
  for (char& c : out)
    if (c == ' ') c = '-';
  if (out == "2.5" || out == "2-½" || out == "2½") return "2-1/2";
  return out;
}

const Json* FindSize(const std::string& nps) {
  for (const Json& size : Table().at("sizes"))
    if (size.at("nps") == PlainSize(nps)) return &size;
  return nullptr;
}

/// A schedule ends in S for the stainless table; STD, XS and XXS belong to B36.10M.
bool OfStainlessTable(const std::string& schedule) {
  return schedule.size() > 1 && schedule.back() == 'S' && std::isdigit(static_cast<unsigned char>(schedule[0]));
}

std::string List(const std::vector<std::string>& names) {
  std::string out;
  for (const std::string& name : names) out += (out.empty() ? "" : ", ") + name;
  return out;
}

double RectangularU(double half_width) { return half_width / std::numbers::sqrt3; }

std::string Short(const char* format, double value) {
  char text[32];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

}  // namespace

double NominalWallU(double wall_mm) { return RectangularU(Table().at("wall_tolerance_share").get<double>() * wall_mm); }

std::vector<std::string> NominalSizes() {
  std::vector<std::string> names;
  for (const Json& size : Table().at("sizes")) names.push_back(size.at("nps").get<std::string>());
  return names;
}

std::vector<std::string> Schedules(const std::string& nps) {
  std::vector<std::string> names;
  if (const Json* size = FindSize(nps))
    for (const auto& [schedule, unused] : size->at("walls_mm").items()) names.push_back(schedule);
  return names;
}

vision::Result<PipeSize> NominalPipe(const std::string& nps, const std::string& schedule) {
  const Json* size = FindSize(nps);
  if (!size)
    return vision::BadInput("nominal pipe size \"" + nps + "\" is not in the pipe table; it holds NPS " +
                            List(NominalSizes()) + " (otherwise give outside_diameter_mm and wall_mm).");
  const std::string name = Upper(schedule);
  const Json& walls = size->at("walls_mm");
  if (!walls.contains(name))
    return vision::BadInput("schedule \"" + schedule + "\" is not in the pipe table for NPS " + nps + "; it holds " +
                            List(Schedules(nps)) + " (otherwise give outside_diameter_mm and wall_mm).");
  const bool stainless = OfStainlessTable(name) && size->contains("outside_diameter_b36_19m_mm");
  const double od = size->at(stainless ? "outside_diameter_b36_19m_mm" : "outside_diameter_mm").get<double>();
  const double wall = walls.at(name).get<double>();
  const double od_u = RectangularU(size->at("outside_diameter_tolerance_mm").get<double>());
  const std::string standard = OfStainlessTable(name) ? "ASME B36.19M" : "ASME B36.10M";
  const std::string source = standard + " NPS " + size->at("nps").get<std::string>() + " Sch " + name;
  PipeSize out{size->at("nps").get<std::string>(), name, {}, {}, {}};
  out.outside_diameter = {od, od_u, source + ", diameter tolerance from memory"};
  out.wall = {wall, NominalWallU(wall), source + ", mill tolerance -12.5 %"};
  out.inside_diameter = {od - 2 * wall, std::hypot(od_u, 2 * out.wall.u_mm),
                         source + ", mill tolerance -12.5 %, diameter tolerance from memory"};
  return out;
}

vision::Sentence BoreUncertaintySentence(const Pipe& pipe) {
  const Sized& bore = pipe.inside_diameter;
  const double expanded = 2 * bore.u_mm;
  const double share = bore.value_mm > 0 ? 100 * expanded / bore.value_mm : 0;
  return {vision::Says::kBoreKnownTo,
          {Short("%.2f", bore.value_mm), Short("%.2g", expanded), bore.source, Short("%.2g", share)}};
}

}  // namespace app::joint
