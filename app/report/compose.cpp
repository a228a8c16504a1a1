#include "app/report/compose.h"

#include <QStringList>
#include <algorithm>
#include <cmath>

#include "app/report/cautions.h"
#include "app/report/change_page.h"
#include "app/report/figures.h"
#include "vision/base/says.h"

namespace app::report {

QString ZeroText(const app::joint::Joint& joint) {
  return joint.datum.zero.empty() ? QString("unknown, no datum was entered") : Q(joint.datum.zero);
}

QString SideText(const ReportInput& input, const std::string& side) {
  const bool a = side == "left";
  return QString(a ? "piece a: " : "piece b: ") + Q(a ? input.reading.piece_a : input.reading.piece_b);
}

QString PlainName(const std::string& what) {
  QString name = Q(what);
  if (name.endsWith("_mm")) name.chop(3);
  name.replace("fusion_left", "fusion, piece a side").replace("fusion_right", "fusion, piece b side");
  name.replace("heat_tint_left", "heat tint, piece a side").replace("heat_tint_right", "heat tint, piece b side");
  name.replace("left_toe_z", "toe, piece a side").replace("right_toe_z", "toe, piece b side");
  return name.replace('_', ' ');
}

QString ReasonsFor(const vision::reading::Reading& reading, const std::string& what) {
  QStringList reasons;
  for (const auto& why : reading.why) {
    const QString reason = Q(vision::EnglishOf(why.reason));
    if (why.what == what && !reasons.contains(reason)) reasons << reason;
  }
  return reasons.isEmpty() ? "the reading gives no reason" : reasons.join("; ");
}

namespace {
QString SizedText(const ComposeContext& context, const app::joint::Sized& sized) {
  QString text =
      sized.u_mm > 0 ? context.length.Measured(sized.value_mm, sized.u_mm) : context.length.Plain(sized.value_mm);
  if (!sized.source.empty()) text += " · " + Q(sized.source);
  return text;
}

QString PipeText(const app::joint::Pipe& pipe) {
  QStringList parts;
  if (pipe.nps) parts << "NPS " + Q(*pipe.nps);
  if (pipe.schedule) parts << "schedule " + Q(*pipe.schedule);
  return parts.isEmpty() ? QString("sizes given one by one") : parts.join(", ");
}

QString PieceText(const ComposeContext& context, const app::joint::Piece& piece) {
  QStringList parts{Q(piece.name)};
  if (piece.heat) parts << "heat " + Q(*piece.heat);
  if (piece.outside_diameter) parts << "outside diameter " + SizedText(context, *piece.outside_diameter);
  if (piece.wall) parts << "wall " + SizedText(context, *piece.wall);
  if (piece.inside_diameter) parts << "inside diameter " + SizedText(context, *piece.inside_diameter);
  return parts.join(", ");
}

QString InsertText(const ComposeContext& context, const app::joint::Insert& insert) {
  QString text =
      insert.insert_class.empty() ? QString("class unknown") : "class " + Q(insert.insert_class) + " (AWS A5.30)";
  if (!insert.width_mm) return text + ", as-laid width unknown";
  text += ", as-laid width ";
  return text + (insert.width_u_mm ? context.length.Measured(*insert.width_mm, *insert.width_u_mm)
                                   : context.length.Plain(*insert.width_mm));
}

QString DatumText(const app::joint::Datum& datum) {
  if (datum.zero.empty() && datum.positive_z.empty()) return "unknown: nobody entered a datum";
  const auto or_unknown = [](const std::string& text) { return text.empty() ? QString("unknown") : Q(text); };
  return "zero: " + or_unknown(datum.zero) + "; +z: " + or_unknown(datum.positive_z) +
         (datum.evidence.empty() ? "; evidence: none given" : "; evidence: " + Q(datum.evidence));
}

QString CameraText(const app::joint::Camera& camera) {
  QStringList parts{Q(camera.id)};
  if (camera.calibration) {
    parts << "calibrated on " + Q(camera.calibration->target) + ", " + Q(camera.calibration->date);
    if (!camera.calibration->lens_serial.empty()) parts << "lens serial " + Q(camera.calibration->lens_serial);
    if (const auto u_deg = camera.calibration->sight_u_deg)
      parts << "sights uncertain by " + QString::number(2 * *u_deg, 'f', 2) + " degrees (k = 2)";
  } else {
    parts << "no calibration on record";
  }
  return parts.join(", ");
}

QString Joined(const std::vector<std::string>& texts) {
  QStringList list;
  for (const auto& text : texts) list << Q(text);
  return list.join(", ");
}

void AddFact(Table& table, const QString& name, const QString& text) {
  if (!text.isEmpty()) table.rows.push_back({{name, {}, true}, {text, {}, false}});
}

void AddCameraFacts(const ComposeContext& context, Table& table) {
  const auto& reading = context.known.measured;
  for (const auto& camera : context.input.joint.cameras) AddFact(table, "Camera", CameraText(camera));
  if (context.input.joint.cameras.empty()) AddFact(table, "Camera", "unknown: no lens was entered");
  const Sentence state{reading.calibrated ? Says::kCalibrated : Says::kIndicative};
  const Says with_note = reading.calibrated ? Says::kCalibratedAs : Says::kIndicativeSince;
  const Sentence& note = reading.calibration_note;
  table.rows.push_back({{"Calibration", {}, true}, CellOf(note.empty() ? state : Sentence{with_note, {note}})});
  AddFact(table, "Recording",
          Joined(reading.recordings) + (reading.stage.empty() ? "" : ", stage: " + Q(reading.stage)));
}
}  // namespace

void AddDisposition(const ComposeContext& context, Content& content) {
  const auto& verdict = context.input.verdict;
  QString text = Q(verdict.disposition);
  text += verdict.decided_by.empty() ? QString("\nNo single rule decided.") : "\nDecided by: " + Q(verdict.decided_by);
  text += "\nCriterion: " + Q(verdict.criterion);
  if (!verdict.standard.empty()) text += " · " + Q(verdict.standard);
  if (!verdict.edition.empty()) text += ", edition " + Q(verdict.edition);
  QStringList marks;
  if (!context.known.measured.weld_found) marks << "No weld was found in this recording.";
  if (!context.known.measured.strip.eye_only.empty())
    marks << "The strip is for the eye only: the camera's place in the bore is not trusted.";
  if (const auto count = context.known.OverruledCount(); count > 0)
    marks << QString("It rests on a person: %1 measured places are overruled.").arg(count);
  if (!context.known.measured.calibrated) marks << "NOT CALIBRATED: results are indicative.";
  if (!marks.isEmpty()) text += "\n" + marks.join(" · ");
  content.blocks.push_back(Notice{"Disposition", text + "\n" + kSupports});
}

void AddJointFacts(const ComposeContext& context, Content& content) {
  const auto& joint = context.input.joint;
  const auto& reading = context.known.measured;
  Table table;
  table.titled = false;
  table.columns = {{"", 24}, {"", 76}};
  AddFact(table, "Joint", Q(joint.id));
  AddFact(table, "Line", Q(joint.line));
  AddFact(table, "Material", Q(joint.material));
  AddFact(table, "Pipe", PipeText(joint.pipe));
  if (joint.pipe.outside_diameter) AddFact(table, "Outside diameter", SizedText(context, *joint.pipe.outside_diameter));
  if (joint.pipe.wall) AddFact(table, "Wall", SizedText(context, *joint.pipe.wall));
  AddFact(table, "Inside diameter", SizedText(context, joint.pipe.inside_diameter));
  AddFact(table, "Bore radius used", context.length.Measured(reading.bore_radius_mm, reading.bore_radius_u_mm));
  AddFact(table, "Piece a (−z)", PieceText(context, joint.a));
  AddFact(table, "Piece b (+z)", PieceText(context, joint.b));
  if (joint.flow) AddFact(table, "Flow", Q(*joint.flow));
  if (joint.camera_entered_from) AddFact(table, "Camera entered from", Q(*joint.camera_entered_from));
  AddFact(table, "Insert", InsertText(context, joint.insert));
  AddFact(table, "Datum", DatumText(joint.datum));
  if (context.relative) {
    AddFact(table, "Angles", "relative: the picture's up was not given, 0° is the picture's up and no clock is stated");
  }
  table.rows.push_back({{"z = 0", {}, true}, CellOf(vision::SentenceFrom(reading.z_zero))});
  AddCameraFacts(context, table);
  content.blocks.push_back(Heading{"Joint"});
  content.blocks.push_back(std::move(table));
}

void AddCoverage(const ComposeContext& context, Content& content) {
  const auto& reading = context.known.measured;
  const auto degrees = [](double value) {
    return std::isfinite(value) ? QString::number(std::floor(value)) : QString("none");
  };
  content.blocks.push_back(Heading{"Coverage", true});
  content.blocks.push_back(
      Paragraph{QString("examined: piece a side %1, piece b side %2 of 360 degrees")
                        .arg(degrees(reading.coverage_deg.left), degrees(reading.coverage_deg.right)) +
                    QString("; weld and 12.7 mm each side %1. What was not examined is not accepted.")
                        .arg(degrees(reading.coverage_deg.zone)),
                Paragraph::Weight::kStrongLine});
}

namespace {
/// Names and texts in what people decided.
QStringList TypedIn(const notes::Notes& notes) {
  QStringList typed;
  for (const auto& note : notes.notes) typed << Q(note.by.author) << Q(note.by.time) << Q(note.text) << Q(note.reason);
  for (const auto& ruling : notes.rulings)
    typed << Q(ruling.by.author) << Q(ruling.by.time) << Q(ruling.reason) << Q(ruling.about);
  for (const auto& toe : notes.toes) typed << Q(toe.by.author) << Q(toe.by.time) << Q(toe.reason);
  return typed;
}

/// Names, citations and what people typed.
QStringList NamesOf(const ReportInput& input) {
  const auto& joint = input.joint;
  const auto& reading = input.reading;
  QStringList names{Q(joint.id),
                    Q(reading.joint_id),
                    Q(joint.line),
                    Q(joint.material),
                    Q(joint.a.name),
                    Q(joint.b.name),
                    Q(reading.piece_a),
                    Q(reading.piece_b),
                    Q(joint.datum.zero),
                    Q(joint.datum.positive_z),
                    Q(joint.datum.evidence),
                    Q(input.verdict.criterion),
                    Q(input.verdict.standard),
                    Q(input.verdict.edition),
                    Q(reading.stage)};
  for (const auto* piece : {&joint.a, &joint.b}) {
    if (piece->heat) names << Q(*piece->heat);
    for (const auto* sized : {&piece->outside_diameter, &piece->wall, &piece->inside_diameter})
      if (*sized) names << Q((*sized)->source);
  }
  for (const auto* sized : {&joint.pipe.outside_diameter, &joint.pipe.wall})
    if (*sized) names << Q((*sized)->source);
  names << Q(joint.pipe.inside_diameter.source);
  for (const auto* text : {&joint.flow, &joint.camera_entered_from})
    if (*text) names << Q(**text);
  for (const auto& camera : joint.cameras) {
    names << Q(camera.id);
    if (camera.calibration)
      names << Q(camera.calibration->target + ", " + camera.calibration->date) << Q(camera.calibration->lens_serial);
  }
  for (const auto& recording : reading.recordings) names << Q(recording);
  for (const auto& pose : reading.poses) names << Q(pose.file);
  for (const auto& finding : input.verdict.findings)
    if (finding.rule_id != "coverage") names << Q(finding.paragraph);
  if (input.width_limit) names << Q(input.width_limit->source);
  if (input.stamp) names << Q(input.stamp->author) << Q(input.stamp->reason);
  names << TypedIn(input.notes);
  names.removeAll(QString());
  return names;
}
}  // namespace

namespace {
void ComposeAnnex(const ComposeContext& context, Content& content) {
  AddFoundInFull(context, content);
  AddStrip(context, content);
  AddTint(context, content);
  for (const auto& change : context.input.changes) AddChange(change, context.text_width_mm, content);
  AddNotMeasured(context, content);
  AddJointFacts(context, content);
  AddPoses(context, content);
  AddRecord(context, content);
  AddHouseTexts(context, content);
  AddWritten(context, content);
}
}  // namespace

Content Compose(const ReportInput& input, const Pictures& pictures, const ReportOptions& options, double text_width_mm,
                const PageOne& page_one) {
  const known::Known known = known::Know(input.reading, input.notes, input.recorded);
  const ComposeContext context{input,
                               known,
                               pictures,
                               options,
                               text_width_mm,
                               {options.inches, options.fraction_denominator},
                               known.relative(),
                               page_one};
  Content content;
  content.title = "Root pass examination record";
  content.joint_id = Q(input.joint.id);
  content.running_text =
      "Supports, and never replaces, the qualified examiner, the contract's code edition and local rules.";
  content.company = Q(input.paper.company);
  content.header = Q(input.paper.header);
  if (!input.paper.logo.empty()) content.logo = QImage(Q(input.paper.logo.string()));
  AddDisposition(context, content);
  AddFoundInShort(context, content);
  AddRingsAndStrip(context, content);
  AddCoverage(context, content);
  AddCautions(context, content);
  AddSignatures(context, content);
  content.blocks.emplace_back(std::in_place_type<PageBreak>);
  AddWidth(context, content);
  AddMeasured(context, content);
  AddSectors(context, content);
  AddCriteria(context, content);
  ComposeAnnex(context, content);
  content.names = NamesOf(input);
  return content;
}

}  // namespace app::report
