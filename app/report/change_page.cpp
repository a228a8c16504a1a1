#include "app/report/change_page.h"

#include <QImageReader>
#include <algorithm>
#include <cmath>

#include "app/compare/compare.h"
#include "app/report/cautions.h"
#include "app/report/compose.h"
#include "app/report/write_content.h"
#include "vision/bore/angle.h"

namespace app::report {
namespace {

using compare::SaidChange;
using compare::SaidDepth;
using Weight = Paragraph::Weight;

Text Millimetres(double mm) { return Number(mm, 1); }

Text SpotAt(const vision::match::WallPlace& place) {
  return {Print::kPlaceAndZ, {PlaceText(place.theta_deg, false), Millimetres(place.z_mm)}};
}

/// A spot with its size, as `how` says: "%1, %2 × %3 mm".
Text SpotText(Print how, const vision::match::Spot& spot) {
  return {how, {SpotAt(spot.place), Millimetres(spot.circ_mm), Millimetres(spot.axial_mm)}};
}

std::vector<Cell> Row(Print name, const Text& value, const Text& where) { return {{name, {}, true}, {value}, {where}}; }

std::vector<Cell> DepthRow(Print name, const SaidDepth& depth) {
  if (!depth.mm) return Row(name, Typed("—"), depth.why);
  return Row(name, LengthFormat{}.Measured(*depth.mm, depth.u_mm), SpotAt({depth.theta_deg, depth.z_mm}));
}

void AddSlope(Print name, const std::optional<compare::SaidSlope>& slope, Table& table) {
  if (!slope) return;
  if (!slope->deg) return table.rows.push_back(Row(name, Typed("—"), slope->why));
  const Text value{Print::kSlopeOf,
                   {Number(*slope->deg, 1), Number(2 * slope->u_deg, 1), Typed(compare::TaperText(*slope->deg))}};
  const Text from_to{Print::kZFromTo, {Millimetres(slope->z_from_mm), Millimetres(slope->z_to_mm)}};
  const bool planned = !slope->against_plan.empty();
  table.rows.push_back(
      Row(name, value, planned ? Text(Print::kAgainstPlan, {from_to, Term(slope->against_plan)}) : from_to));
}

Text StillSeen(const std::vector<vision::match::Spot>& still_seen) {
  if (still_seen.empty()) return Print::kNothingStandsOut;
  std::vector<Text> spots;
  for (const auto& spot : still_seen) spots.push_back(SpotText(Print::kSpotOf, spot));
  return {Print::kLook, {Joined(Says::kBoth, spots)}};
}

Table PocketTable(const compare::SaidPocket& p, std::size_t number, std::size_t count) {
  Table table;
  table.columns = {{count > 1 ? Text(Print::kPocketNumber, {Typed(number)}) : Text(Print::kPocket), 34},
                   {Print::kUColumn, 26},
                   {Print::kWhereOrWhy, 40}};
  table.rows.push_back(Row(Print::kAround, LengthFormat{}.Measured(p.circ_mm, p.circ_u_mm),
                           p.larger_than_seen ? Text(Print::kLarger) : Text(Print::kMiddleAt, {SpotAt(p.middle)})));
  table.rows.push_back(Row(
      Print::kAlongPipe, LengthFormat{}.Measured(p.axial_mm, p.axial_u_mm),
      {Print::kZFromTo, {Millimetres(p.middle.z_mm - p.axial_mm / 2), Millimetres(p.middle.z_mm + p.axial_mm / 2)}}));
  table.rows.push_back(DepthRow(Print::kFloorBelowWall, p.floor_below_wall));
  table.rows.push_back(DepthRow(Print::kGreatestRemoval, p.greatest_removal));
  AddSlope(Print::kSlopeMinusZ, p.slope_left, table);
  AddSlope(Print::kSlopePlusZ, p.slope_right, table);
  table.rows.push_back(Row(Print::kStillStandsOut, Typed(p.still_seen.size()), StillSeen(p.still_seen)));
  return table;
}

Text FateText(std::string fate) {
  std::replace(fate.begin(), fate.end(), '_', ' ');
  return Term(fate);
}

void AddFollowed(const SaidChange& change, Content& content) {
  if (change.followed.empty()) return;
  Table table;
  table.columns = {{Print::kIndicationBefore, 24}, {Print::kWhereColumn, 26}, {Print::kNow, 14}, {Print::kWhy, 36}};
  for (const auto& one : change.followed)
    table.rows.push_back({{Term(one.what)}, {SpotAt(one.place)}, {FateText(one.fate), {}, true}, {one.reason}});
  content.blocks.push_back(std::move(table));
}

void AddMarks(const SaidChange& change, Content& content) {
  if (change.marks.empty()) {
    content.blocks.push_back(Paragraph{Print::kNothingElse});
    return;
  }
  std::vector<Text> spots;
  for (const auto& spot : change.marks) spots.push_back(SpotText(Print::kSpotAside, spot));
  content.blocks.push_back(Paragraph{Print::kChangedOutside});
  content.blocks.push_back(Paragraph{Joined(Says::kBoth, spots), Weight::kSmall});
}

Text LookText(const compare::SaidLook& look) {
  std::vector<Text> names;
  for (const auto& recording : look.recordings) names.push_back(Typed(recording));
  const Text recordings{Print::kRecordingOf, {Joined(Print::kThen, names)}};
  return look.stage.empty() ? recordings : Joined(Print::kThen, {recordings, {Print::kStageIs, {Typed(look.stage)}}});
}

}  // namespace

vision::Status CheckPictures(const SaidChange& change) {
  for (const auto* file : {&change.picture.before, &change.picture.after, &change.picture.difference}) {
    QImageReader reader(QString::fromStdString(file->string()));
    reader.setDecideFormatFromContent(true);
    if (reader.size() != QSize(change.picture.columns, change.picture.rows))
      return vision::BadInput(file->string() + " is missing, no picture, or of another size than change.json says.");
  }
  return std::nullopt;
}

void AddChange(const SaidChange& change, double text_width_mm, Content& content) {
  content.blocks.push_back(Heading{Print::kBeforeAndAfter});
  content.blocks.push_back(Paragraph{
      {Print::kLaidOnEachOther,
       {LookText(change.before), LookText(change.after), Number(change.turned_deg, 1), Number(change.residual_mm, 2),
        Number(std::floor(100 * change.agreeing), 0), Number(std::floor(100 * change.compared), 0)}},
      Weight::kSmall});
  content.blocks.push_back(ChangeFigure(change, text_width_mm));
  if (change.pockets.empty()) content.blocks.push_back(Paragraph{Print::kNothingRemoved, Weight::kStrong});
  for (std::size_t i = 0; i < change.pockets.size(); ++i)
    content.blocks.push_back(PocketTable(change.pockets[i], i + 1, change.pockets.size()));
  if (!change.pockets.empty()) content.blocks.push_back(Notice{Print::kRemainingWall, Term(change.depth_rule)});
  AddFollowed(change, content);
  AddMarks(change, content);
  for (const auto& note : change.notes) content.blocks.push_back(Paragraph{note, Weight::kSmall});
}

vision::Result<ReportFiles> WriteChangePage(const SaidChange& change, const std::filesystem::path& out_dir, Paper paper,
                                            const HousePaper& house) {
  if (auto failed = StartOffscreen()) return *failed;
  if (auto wrong = CheckPictures(change)) return *wrong;
  return WriteContent(
      [&](double text_width_mm) {
        Content content;
        content.title = Print::kChangeTitle;
        content.joint = JointText(change.joint_id);
        content.running_text = Print::kSupports;
        content.company = Typed(house.company);
        content.header = Typed(house.header);
        AddChange(change, text_width_mm, content);
        content.blocks.push_back(Heading{Print::kCautions});
        AddStandingCautions(content, Weight::kSmall);
        content.names << Q(change.joint_id);
        return content;
      },
      paper, out_dir, "change.html", "change.pdf", house);
}

}  // namespace app::report
