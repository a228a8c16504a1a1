#include "tests/report/support.h"

#include <QImage>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <random>
#include <regex>
#include <sstream>

namespace report_test {

namespace {
using app::joint::Outcome;
using vision::reading::Fusion;

constexpr int kColumns = 2420, kRows = 181;  // 0.2 mm cells, z from -18 to 18 mm
constexpr double kRadius = 77.03;

bool Within(double theta, double from, double to) {
  return from <= to ? theta >= from && theta < to : theta >= from || theta < to;
}

double LeftToe(double theta) { return -3.0 + 0.25 * std::sin(theta * 0.21) + 0.1 * std::sin(theta * 1.7); }
double RightToe(double theta) { return 3.1 + 0.3 * std::cos(theta * 0.17) + 0.1 * std::sin(theta * 2.1); }
bool SeenA(double theta) { return !Within(theta, 200, 219); }
bool SeenB(double theta) { return !Within(theta, 180, 242); }
bool UnfusedA(double theta) { return Within(theta, 48, 56); }
bool UnfusedB(double theta) { return Within(theta, 352, 4); }

/// A wall with drawn texture, a rippled bead and straight ring edges with a dark gap where the insert is not fused.
int Grey(double theta, double z, double noise) {
  const double left = UnfusedA(theta) ? -2.3 : LeftToe(theta), right = UnfusedB(theta) ? 2.3 : RightToe(theta);
  double grey = 150 + 14 * std::sin(theta * 6.0) + 10 * std::sin(theta * 17.0 + 0.2 * z) - 1.6 * std::abs(z);
  if (z > left && z < right) grey = 185 + 22 * std::sin(theta * 5.3 + z * z * 0.25) - 6 * std::abs(z);
  if (UnfusedA(theta) && z < left && z > left - 0.3) grey = 22;
  if (UnfusedB(theta) && z > right && z < right + 0.3) grey = 22;
  if (std::abs(z - left) < 0.12 || std::abs(z - right) < 0.12) grey -= 55;
  return std::clamp(static_cast<int>(grey + noise), 0, 255);
}

void DrawPictures(const std::filesystem::path& folder) {
  QImage strip(kColumns, kRows, QImage::Format_RGB32), mask(kColumns, kRows, QImage::Format_Grayscale8);
  std::mt19937 random(7);
  std::normal_distribution<double> noise(0, 7);
  for (int y = 0; y < kRows; ++y) {
    for (int x = 0; x < kColumns; ++x) {
      const double theta = 360.0 * x / kColumns, z = -18 + 0.2 * y;
      const bool seen = z < 0 ? SeenA(theta) : SeenB(theta);
      const int grey = seen ? Grey(theta, z, noise(random)) : 0;
      const int tint = z > 4 && z < 8 ? 28 : 0;  // a straw band
      strip.setPixel(x, y, qRgb(grey, grey - tint / 3, std::max(0, grey - tint)));
      mask.setPixel(x, y, qRgb(seen ? 255 : 0, seen ? 255 : 0, seen ? 255 : 0));
    }
  }
  strip.save(QString::fromStdString((folder / "strip.png").string()));
  mask.save(QString::fromStdString((folder / "strip_mask.png").string()));
  strip.copy(300, 50, 110, 45).save(QString::fromStdString((folder / "unfused_0.png").string()));
  strip.copy(kColumns - 85, 75, 82, 45).save(QString::fromStdString((folder / "unfused_1.png").string()));
  strip.copy(1090, 75, 35, 30).save(QString::fromStdString((folder / "pore_0.png").string()));
}

void FillProfile(vision::reading::Profile& profile) {
  profile = {};
  constexpr std::size_t kLines = 720;
  const auto absent = std::vector<double>(kLines, vision::reading::kNotMeasured);
  profile.left_toe_z_mm = profile.right_toe_z_mm = profile.left_toe_u_mm = profile.right_toe_u_mm = absent;
  profile.width_mm = profile.width_u_mm = profile.crown_height_mm = profile.crown_height_u_mm = absent;
  profile.crown_over_left_mm = profile.crown_over_right_mm = profile.concavity_mm = profile.concavity_u_mm = absent;
  profile.concavity_under_left_mm = profile.concavity_under_right_mm = absent;
  profile.misalignment_mm = profile.misalignment_u_mm = absent;
  for (std::size_t i = 0; i < kLines; ++i) {
    const double theta = 0.5 * static_cast<double>(i);
    profile.theta_deg.push_back(theta);
    profile.fusion_left.push_back(!SeenA(theta)     ? Fusion::kNotVisible
                                  : UnfusedA(theta) ? Fusion::kUnfused
                                                    : Fusion::kFused);
    profile.fusion_right.push_back(!SeenB(theta)     ? Fusion::kNotVisible
                                   : UnfusedB(theta) ? Fusion::kUnfused
                                                     : Fusion::kFused);
    const double left = UnfusedA(theta) ? -2.3 : LeftToe(theta), right = UnfusedB(theta) ? 2.3 : RightToe(theta);
    if (SeenA(theta)) profile.left_toe_z_mm[i] = left, profile.left_toe_u_mm[i] = 0.06;
    if (SeenB(theta)) profile.right_toe_z_mm[i] = right, profile.right_toe_u_mm[i] = 0.11;
    if (!SeenA(theta) || !SeenB(theta)) continue;
    profile.width_mm[i] = right - left;
    profile.width_u_mm[i] = 0.13 + 0.05 * std::sin(theta * 0.02);
  }
}

app::joint::Joint MakeJoint() {
  app::joint::Joint joint;
  joint.id = "FB-112 / root";
  joint.line = "firewater ring main, frame 40";
  joint.material = "316L";
  joint.pipe.nps = "6";
  joint.pipe.schedule = "40S";
  joint.pipe.outside_diameter = {168.3, 0.2, "ASME B36.19M"};
  joint.pipe.wall = {7.11, 0.26, "ASME B36.19M, mill tolerance -12.5 %"};
  joint.pipe.inside_diameter = {154.06, 0.05, "bore gauge at the counterbore"};
  joint.a.name = "spool end";
  joint.a.heat = "H7741";
  joint.b.name = "elbow end";
  joint.insert.insert_class = "3";
  joint.insert.width_mm = 4.69;
  joint.datum = {"top dead centre", "from spool end to elbow end", "punch mark, photo 3"};
  joint.criterion = "example set";
  app::joint::Camera camera;
  camera.id = "head";
  joint.cameras.push_back(camera);
  return joint;
}

void FillLists(vision::reading::Reading& reading) {
  reading.why = {
      {"width_mm", 180, 242, vision::SentenceFrom("the toe at piece b lies behind the crown in every frame")},
      {"crown_height_mm", 0, 360,
       vision::SentenceFrom("single view: height is not measurable without travel or a light section")},
      {"concavity_mm", 0, 360,
       vision::SentenceFrom("single view: height is not measurable without travel or a light section")},
      {"misalignment_mm", 0, 360,
       vision::SentenceFrom("single view: a step between the walls cannot be told from a wider bead")},
      {"fusion_left", 200, 219, vision::SentenceFrom("glare over the edge")},
      {"fusion_right", 180, 242, vision::SentenceFrom("the edge at piece b is hidden behind the root reinforcement")}};
  reading.unfused = {{48, 56, "left", 0.93, 10.76, 0.4, "unfused_0.png"},
                     {352, 4, "right", 0.81, 16.13, 0.5, "unfused_1.png"}};
  vision::reading::Indication pore;
  pore.kind = "pore";
  pore.iso6520 = "2017";
  pore.theta_deg = 163.5;
  pore.z_mm = 0.7;
  pore.width_mm = 0.9;
  pore.width_u_mm = 0.1;
  pore.length_mm = 1.1;
  pore.length_u_mm = 0.1;
  pore.confidence = 0.7;
  pore.picture = "pore_0.png";
  reading.indications = {pore};
  reading.flags = {{"concave_look", 100, 118,
                    vision::SentenceFrom("The shading over the bead looks concave; look here with a light section.")}};
  reading.notes = {vision::SentenceFrom("Frame frame_007.jpg was refused: out of focus.")};
  reading.poses = {{"frame_000.jpg", -2.65, -3.39, 0.12, 40.1, 0.35, 2.46, 0.05, 0, 0.61, "+z", "found in the picture"},
                   {"frame_001.jpg", 1.12, 0.4, 0.15, 52.7, 0.41, 1.2, 0.06, 0, 0.74, "+z", "found in the picture"}};
}

vision::reading::Reading MakeReading() {
  vision::reading::Reading reading;
  reading.program_version = "0.1.0";
  reading.joint_id = "FB-112 / root";
  reading.recordings = {"root"};
  reading.stage = "root";
  reading.bore_radius_mm = kRadius;
  reading.bore_radius_u_mm = 0.025;
  reading.weld_found = true;
  reading.calibration_note = vision::SentenceFrom("no scale check in the bore after the recording");
  reading.z_zero = "mean of both toes";
  reading.piece_a = "spool end";
  reading.piece_b = "elbow end";
  reading.insert_width_mm = 4.69;
  FillProfile(reading.profile);
  FillLists(reading);
  reading.coverage_deg = {341, 298, 290};
  reading.strip = {"strip.png", "strip_mask.png", kColumns, kRows, 360.0 / kColumns, 0.2, -18, 0.13};
  return reading;
}

app::joint::Verdict MakeVerdict() {
  app::joint::Verdict verdict;
  verdict.criterion = "example set";
  verdict.standard = "EXAMPLE-1 (invented)";
  verdict.edition = "2026";
  const std::string flat = "Single view: height is not measurable without travel or a light section.";
  verdict.findings = {
      MakeFinding("Incomplete fusion", Outcome::kBeyond, "The original edge is visible over 16.1 mm at piece b."),
      MakeFinding("Root convexity", Outcome::kNotMeasured, flat),
      MakeFinding("Root concavity", Outcome::kNotMeasured, flat),
      MakeFinding("Offset", Outcome::kNotMeasured, flat),
      MakeFinding("Pores", Outcome::kUndecided, "The limit of 1.00 mm lies inside 1.10 ± 0.20 mm."),
      MakeFinding("Cracks", Outcome::kWithin, "None found in what was seen."),
      MakeFinding("Film density", Outcome::kAnnotated, "Needs the film; shown, never judged here."),
      MakeFinding("Root width", Outcome::kWithin, "Greatest width 6.78 mm against the user's own 8.00 mm.")};
  verdict.findings[0].theta_deg = 352;
  verdict.findings[0].end_theta_deg = 4;
  verdict.findings[4].theta_deg = 163.5;
  verdict.findings[4].z_mm = 0.7;
  verdict.findings[4].value_mm = 1.1;
  verdict.findings[4].u_mm = 0.1;
  verdict.findings[4].limit_mm = 1.0;
  verdict.disposition = "proposed: not accepted";
  verdict.decided_by = "Incomplete fusion";
  verdict.exit_code = 1;
  return verdict;
}
}  // namespace

app::joint::Finding MakeFinding(const std::string& title, Outcome outcome, const std::string& reason) {
  app::joint::Finding finding;
  finding.rule_id = title;
  finding.title = title;
  finding.paragraph = "4.2";
  finding.how_known = "secondary source, check the standard";
  finding.datum = "the line joining the toes";
  finding.outcome = outcome;
  finding.reason = vision::SentencesFrom(reason);
  return finding;
}

app::report::ReportInput MakeInput(const std::filesystem::path& folder) {
  DrawPictures(folder);
  app::report::ReportInput input;
  input.joint = MakeJoint();
  input.reading = MakeReading();
  input.verdict = MakeVerdict();
  input.reading_folder = folder;
  return input;
}

namespace {
app::notes::Notes EveryDecision(const vision::reading::Reading& reading) {
  namespace notes = app::notes;
  const notes::Signed by{"R. Example", "2026-01-31T10:00:00Z"};
  notes::Notes all;
  all.joint_id = reading.joint_id;
  all.rulings = {{notes::FingerprintOf(reading.unfused[1]), true, "a scratch of the clamp", by},
                 {notes::FingerprintOf(reading.indications[0]), true, "grinding dust", by}};
  all.toes = {{"left", {{100, -3.4}, {112, -3.5}}, by, "the lamp's glint was taken for it"}};
  all.notes = {
      {1, notes::Shape::kPoint, "surface_pore", {{30, 0.5}}, "dark spot", notes::Status::kOpen, "", by},
      {2, notes::Shape::kBox, "gouge", {{140, 4.5}, {146, 7}}, "", notes::Status::kAccepted, "felt with the nail", by}};
  return all;
}
}  // namespace

app::report::ReportInput EveryStatement(const std::filesystem::path& folder) {
  DrawPictures(folder);
  auto joint = MakeJoint();
  joint.insert = {};
  joint.datum = {};
  joint.cameras.clear();
  auto reading = MakeReading();
  reading.angles = "relative";
  reading.height_by = "light_section";
  reading.sections = {{200, 220, "convex", 0.97, 0.1}, {300, 320, "concave", 0.9, 0.1}};
  std::erase_if(reading.why, [](const auto& why) { return why.what == "crown_height_mm"; });
  for (std::size_t i = 0; i < 720; ++i)
    reading.profile.crown_height_mm[i] = 0.8, reading.profile.crown_height_u_mm[i] = 0.05;
  const auto set = app::joint::LoadCriteria("MIL-STD-2035A Class 1", {});
  app::known::Told told;
  told.notes = EveryDecision(reading);
  told.recorded.where = app::known::Recorded::Where::kFile;
  return app::report::InputOf(joint, reading, told, set.value(), folder);
}

std::filesystem::path FreshFolder(const std::string& name) {
  const auto folder = std::filesystem::path(ROOTSCROLL_BINARY_DIR) / "report_test" / name;
  std::filesystem::remove_all(folder);
  std::filesystem::create_directories(folder);
  return folder;
}

std::string ReadAll(const std::filesystem::path& file) {
  std::ifstream stream(file, std::ios::binary);
  std::ostringstream bytes;
  bytes << stream.rdbuf();
  return bytes.str();
}

std::optional<std::string> RunTool(const std::string& tool, const std::string& arguments) {
  if (std::system(("command -v " + tool + " >/dev/null 2>&1").c_str()) != 0) return std::nullopt;
  std::FILE* pipe = popen((tool + " " + arguments + " 2>&1").c_str(), "r");
  if (pipe == nullptr) return std::nullopt;
  std::string output;
  std::array<char, 4096> part{};
  for (std::size_t n = 0; (n = std::fread(part.data(), 1, part.size(), pipe)) > 0;) output.append(part.data(), n);
  pclose(pipe);
  return output;
}

namespace {
std::string SingleSpaces(const std::string& text) { return std::regex_replace(text, std::regex("\\s+"), " "); }
}  // namespace

std::optional<std::string> PdfText(const std::filesystem::path& pdf) {
  const auto text = RunTool("pdftotext", "-raw '" + pdf.string() + "' -");
  if (!text) return std::nullopt;
  return SingleSpaces(*text);
}

std::string HtmlText(const std::string& html) {
  std::string text;
  bool in_tag = false;
  for (const char c : html.substr(html.find("<body>"))) {
    if (c == '<') in_tag = true, text += ' ';
    if (!in_tag) text += c;
    if (c == '>') in_tag = false;
  }
  for (const auto& [entity, plain] : {std::pair{"&lt;", "<"}, {"&gt;", ">"}, {"&quot;", "\""}, {"&amp;", "&"}}) {
    text = std::regex_replace(text, std::regex(entity), plain);
  }
  return SingleSpaces(text);
}

}  // namespace report_test
