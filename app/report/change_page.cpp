#include "app/report/change_page.h"

#include <QImageReader>
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

QString PlaceOf(const vision::match::WallPlace& place) {
  return QString("%1, z %2 mm").arg(PlaceText(place.theta_deg, false)).arg(place.z_mm, 0, 'f', 1);
}

std::vector<Cell> Row(const QString& name, const QString& value, const QString& where) {
  return {{name, {}, true}, {value, {}, false}, {where, {}, false}};
}

std::vector<Cell> DepthRow(const QString& name, const SaidDepth& depth) {
  if (!depth.mm) return {{name, {}, true}, {"—"}, CellOf(depth.why)};
  return Row(name, LengthFormat{}.Measured(*depth.mm, depth.u_mm), PlaceOf({depth.theta_deg, depth.z_mm}));
}

void AddSlope(const QString& name, const std::optional<compare::SaidSlope>& slope, Table& table) {
  if (!slope) return;
  if (!slope->deg) return table.rows.push_back({{name, {}, true}, {"—"}, CellOf(slope->why)});
  const QString value = QString("%1 ± %2° (%3)")
                            .arg(*slope->deg, 0, 'f', 1)
                            .arg(2 * slope->u_deg, 0, 'f', 1)
                            .arg(Q(compare::TaperText(*slope->deg)));
  QString where = QString("z %1 to %2 mm").arg(slope->z_from_mm, 0, 'f', 1).arg(slope->z_to_mm, 0, 'f', 1);
  if (!slope->against_plan.empty()) where += "; against the plan's taper: " + Q(slope->against_plan);
  table.rows.push_back(Row(name, value, where));
}

Table PocketTable(const compare::SaidPocket& p, std::size_t number, std::size_t count) {
  Table table;
  const QString title = count > 1 ? QString("ground pocket %1").arg(number) : QString("ground pocket");
  table.columns = {{title, 34}, {"± U (k = 2)", 26}, {"where, or why there is none", 40}};
  const QString larger = p.larger_than_seen ? QString("it reaches what was not seen: larger than that") : QString();
  table.rows.push_back(Row("around, arc at the bore", LengthFormat{}.Measured(p.circ_mm, p.circ_u_mm),
                           larger.isEmpty() ? "middle at " + PlaceOf(p.middle) : larger));
  table.rows.push_back(Row("along the pipe", LengthFormat{}.Measured(p.axial_mm, p.axial_u_mm),
                           QString("z %1 to %2 mm")
                               .arg(p.middle.z_mm - p.axial_mm / 2, 0, 'f', 1)
                               .arg(p.middle.z_mm + p.axial_mm / 2, 0, 'f', 1)));
  table.rows.push_back(DepthRow("floor below the wall", p.floor_below_wall));
  table.rows.push_back(DepthRow("greatest removal", p.greatest_removal));
  AddSlope("slope of the flank towards −z", p.slope_left, table);
  AddSlope("slope of the flank towards +z", p.slope_right, table);
  QString seen = p.still_seen.empty() ? QString("nothing stands out from the ground finish") : QString();
  for (const auto& spot : p.still_seen)
    seen += (seen.isEmpty() ? "look: " : "; ") + PlaceOf(spot.place) +
            QString(", %1 × %2 mm").arg(spot.circ_mm, 0, 'f', 1).arg(spot.axial_mm, 0, 'f', 1);
  table.rows.push_back(Row("still stands out in it", QString::number(p.still_seen.size()), seen));
  return table;
}

QString FateText(const std::string& fate) { return Q(fate).replace('_', ' '); }

void AddFollowed(const SaidChange& change, Content& content) {
  if (change.followed.empty()) return;
  Table table;
  table.columns = {{"indication before", 24}, {"where", 26}, {"now", 14}, {"why", 36}};
  for (const auto& one : change.followed)
    table.rows.push_back({{Q(one.what), {}, false},
                          {PlaceOf(one.place), {}, false},
                          {FateText(one.fate), {}, true},
                          CellOf(one.reason)});
  content.blocks.push_back(std::move(table));
}

void AddMarks(const SaidChange& change, Content& content) {
  if (change.marks.empty()) {
    content.blocks.push_back(Paragraph{"Nothing else changed in what both recordings show."});
    return;
  }
  QString text;
  for (const auto& spot : change.marks)
    text += (text.isEmpty() ? "" : "; ") + PlaceOf(spot.place) +
            QString(" (%1 × %2 mm)").arg(spot.circ_mm, 0, 'f', 1).arg(spot.axial_mm, 0, 'f', 1);
  content.blocks.push_back(Paragraph{"Changed outside: a new mark, or dirt that came or went. Look there."});
  content.blocks.push_back(Paragraph{text, Weight::kSmall});
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
  content.blocks.push_back(Heading{"Before and after the blend"});
  content.blocks.push_back(Paragraph{"A: " + Q(change.before) + ". B: " + Q(change.after) +
                                         QString(". Laid on each other by the wall's surface texture: turned by %1°, "
                                                 "residual %2 mm, %3 % of the patches agree; %4 % of the wall is seen "
                                                 "in both.")
                                             .arg(change.turned_deg, 0, 'f', 1)
                                             .arg(change.residual_mm, 0, 'f', 2)
                                             .arg(std::floor(100 * change.agreeing))
                                             .arg(std::floor(100 * change.compared)),
                                     Weight::kSmall});
  content.blocks.push_back(ChangeFigure(change, text_width_mm));
  if (change.pockets.empty())
    content.blocks.push_back(Paragraph{"Nothing was removed, as far as the two recordings show.", Weight::kStrong});
  for (std::size_t i = 0; i < change.pockets.size(); ++i)
    content.blocks.push_back(PocketTable(change.pockets[i], i + 1, change.pockets.size()));
  if (!change.pockets.empty()) content.blocks.push_back(Notice{"Remaining wall", Q(change.depth_rule)});
  AddFollowed(change, content);
  AddMarks(change, content);
  for (const auto& note : change.notes) {
    Paragraph paragraph = ParagraphOf(note);
    paragraph.weight = Weight::kSmall;
    content.blocks.emplace_back(std::move(paragraph));
  }
}

vision::Result<ReportFiles> WriteChangePage(const SaidChange& change, const std::filesystem::path& out_dir, Paper paper,
                                            const HousePaper& house) {
  if (auto failed = StartOffscreen()) return *failed;
  if (auto wrong = CheckPictures(change)) return *wrong;
  return WriteContent(
      [&](double text_width_mm) {
        Content content;
        content.title = "Before and after a blend";
        content.joint_id = Q(change.joint_id);
        content.running_text = kSupports;
        content.company = Q(house.company);
        content.header = Q(house.header);
        AddChange(change, text_width_mm, content);
        content.blocks.push_back(Heading{"Cautions"});
        for (const QString& caution : StandingCautions())
          content.blocks.push_back(Paragraph{"▪ " + caution, Weight::kSmall});
        content.names << Q(change.joint_id);
        return content;
      },
      paper, out_dir, "change.html", "change.pdf", house);
}

}  // namespace app::report
