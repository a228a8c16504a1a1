#include "app/report/compose.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "app/report/cautions.h"
#include "app/report/change_page.h"
#include "app/report/figures.h"

namespace app::report {

Text ZeroText(const app::joint::Joint& joint) {
  return joint.datum.zero.empty() ? Text(Print::kNoDatumEntered) : Typed(joint.datum.zero);
}

Text SideText(const ReportInput& input, const std::string& side) {
  return side == "left" ? Text(Print::kPieceA, {Typed(input.reading.piece_a)})
                        : Text(Print::kPieceB, {Typed(input.reading.piece_b)});
}

Text PlainName(const std::string& what) {
  static const std::map<std::string, Print, std::less<>> names{{"fusion_left", Print::kFusionA},
                                                               {"fusion_right", Print::kFusionB},
                                                               {"heat_tint_left", Print::kTintA},
                                                               {"heat_tint_right", Print::kTintB},
                                                               {"left_toe_z", Print::kToeA},
                                                               {"right_toe_z", Print::kToeB},
                                                               {"indications.depth", Print::kDepthOfIndications}};
  std::string name = what.ends_with("_mm") ? what.substr(0, what.size() - 3) : what;
  if (const auto known = names.find(name); known != names.end()) return known->second;
  std::replace(name.begin(), name.end(), '_', ' ');
  return Term(name);
}

Text ReasonsFor(const vision::reading::Reading& reading, const std::string& what) {
  std::vector<Text> reasons;
  for (const auto& why : reading.why)
    if (why.what == what && std::find(reasons.begin(), reasons.end(), Text(why.reason)) == reasons.end())
      reasons.emplace_back(why.reason);
  return reasons.empty() ? Text(Print::kNoReason) : Joined(Says::kBoth, reasons);
}

namespace {
Text SizedText(const ComposeContext& context, const app::joint::Sized& sized) {
  return Joined(Print::kBeside, {sized.u_mm > 0 ? context.length.Measured(sized.value_mm, sized.u_mm)
                                                : context.length.Plain(sized.value_mm),
                                 Typed(sized.source)});
}

/// Where there is one, said as `code` says.
Text Where(Print code, const std::optional<std::string>& text) { return text ? Text(code, {Typed(*text)}) : Text(); }

Text PipeText(const app::joint::Pipe& pipe) {
  const Text text = Joined(Print::kThen, {Where(Print::kNps, pipe.nps), Where(Print::kSchedule, pipe.schedule)});
  return text.empty() ? Text(Print::kSizesOneByOne) : text;
}

Text PieceText(const ComposeContext& context, const app::joint::Piece& piece) {
  const auto sized = [&](Print code, const std::optional<app::joint::Sized>& size) {
    return size ? Text(code, {SizedText(context, *size)}) : Text();
  };
  return Joined(
      Print::kThen,
      {Typed(piece.name), Where(Print::kHeat, piece.heat), sized(Print::kOutsideDiameterOf, piece.outside_diameter),
       sized(Print::kWallOf, piece.wall), sized(Print::kInsideDiameterOf, piece.inside_diameter)});
}

Text InsertText(const ComposeContext& context, const app::joint::Insert& insert) {
  const Text of_class =
      insert.insert_class.empty() ? Text(Print::kClassUnknown) : Text(Print::kClassOf, {Typed(insert.insert_class)});
  if (!insert.width_mm) return Joined(Print::kThen, {of_class, Print::kWidthUnknown});
  const Text width = insert.width_u_mm ? context.length.Measured(*insert.width_mm, *insert.width_u_mm)
                                       : context.length.Plain(*insert.width_mm);
  return Joined(Print::kThen, {of_class, {Print::kWidthAsLaid, {width}}});
}

Text DatumText(const app::joint::Datum& datum) {
  if (datum.zero.empty() && datum.positive_z.empty()) return Print::kNobodyEnteredDatum;
  const auto or_unknown = [](const std::string& text) { return text.empty() ? Text(Print::kUnknown) : Typed(text); };
  return {Print::kDatumOf,
          {or_unknown(datum.zero), or_unknown(datum.positive_z),
           datum.evidence.empty() ? Text(Print::kNoneGiven) : Typed(datum.evidence)}};
}

Text CameraText(const app::joint::Camera& camera) {
  if (!camera.calibration) return Joined(Print::kThen, {Typed(camera.id), Print::kNoCalibrationOnRecord});
  const auto& calibration = *camera.calibration;
  std::vector<Text> parts{Typed(camera.id),
                          {Print::kCalibratedOn, {Typed(calibration.target + ", " + calibration.date)}}};
  if (!calibration.lens_serial.empty()) parts.push_back({Print::kLensSerial, {Typed(calibration.lens_serial)}});
  if (calibration.sight_u_deg) parts.push_back({Print::kSightsUncertain, {Number(2 * *calibration.sight_u_deg, 2)}});
  return Joined(Print::kThen, parts);
}

Text RecordingText(const vision::reading::Reading& reading) {
  std::vector<Text> parts;
  for (const auto& recording : reading.recordings) parts.push_back(Typed(recording));
  if (!reading.stage.empty()) parts.push_back({Print::kStageOf, {Typed(reading.stage)}});
  return Joined(Print::kThen, parts);
}

void AddFact(Table& table, Print name, const Text& text) {
  if (!text.empty()) table.rows.push_back({{name, {}, true}, {text}});
}

void AddCameraFacts(const ComposeContext& context, Table& table) {
  const auto& reading = context.known.measured;
  for (const auto& camera : context.input.joint.cameras) AddFact(table, Print::kCamera, CameraText(camera));
  if (context.input.joint.cameras.empty()) AddFact(table, Print::kCamera, Print::kNoLensEntered);
  const Text note = reading.calibration_note;
  const Says alone = reading.calibrated ? Says::kCalibrated : Says::kIndicative;
  const Says with_note = reading.calibrated ? Says::kCalibratedAs : Says::kIndicativeSince;
  AddFact(table, Print::kCalibration, note.empty() ? Text(alone) : Text(with_note, {note}));
  AddFact(table, Print::kRecording, RecordingText(reading));
}

/// What of the whole record must not be overlooked.
Text MarksOf(const ComposeContext& context) {
  const auto& reading = context.known.measured;
  std::vector<Text> marks;
  if (!reading.weld_found) marks.push_back(Print::kNoWeldFound);
  if (!reading.strip.eye_only.empty()) marks.push_back(Print::kEyeOnly);
  if (const auto count = context.known.OverruledCount(); count > 0)
    marks.push_back({Print::kRestsOnPerson, {Typed(count)}});
  if (!reading.calibrated) marks.push_back(Print::kNotCalibrated);
  return Joined(Print::kBeside, marks);
}
}  // namespace

void AddDisposition(const ComposeContext& context, Content& content) {
  const auto& verdict = context.input.verdict;
  const auto edition = verdict.edition.empty() ? std::nullopt : std::optional(verdict.edition);
  const Text criterion =
      Joined(Print::kBeside, {{Print::kCriterionOf, {Typed(verdict.criterion)}}, Typed(verdict.standard)});
  content.blocks.push_back(
      Notice{Print::kDisposition,
             Joined(Says::kBelow, {Term(verdict.disposition),
                                   verdict.decided_by.empty() ? Text(Print::kNoSingleRule)
                                                              : Text(Print::kDecidedBy, {Term(verdict.decided_by)}),
                                   Joined(Print::kThen, {criterion, Where(Print::kEditionOf, edition)}),
                                   MarksOf(context), Print::kSupports})});
}

void AddJointFacts(const ComposeContext& context, Content& content) {
  const auto& joint = context.input.joint;
  const auto& reading = context.known.measured;
  Table table;
  table.titled = false;
  table.columns = {{{}, 24}, {{}, 76}};
  AddFact(table, Print::kJoint, Typed(joint.id));
  AddFact(table, Print::kLine, Typed(joint.line));
  AddFact(table, Print::kMaterial, Typed(joint.material));
  AddFact(table, Print::kPipe, PipeText(joint.pipe));
  if (joint.pipe.outside_diameter)
    AddFact(table, Print::kOutsideDiameter, SizedText(context, *joint.pipe.outside_diameter));
  if (joint.pipe.wall) AddFact(table, Print::kWall, SizedText(context, *joint.pipe.wall));
  AddFact(table, Print::kInsideDiameter, SizedText(context, joint.pipe.inside_diameter));
  AddFact(table, Print::kBoreRadius, context.length.Measured(reading.bore_radius_mm, reading.bore_radius_u_mm));
  AddFact(table, Print::kPieceAMinusZ, PieceText(context, joint.a));
  AddFact(table, Print::kPieceBPlusZ, PieceText(context, joint.b));
  AddFact(table, Print::kFlow, Typed(joint.flow.value_or("")));
  AddFact(table, Print::kEnteredFrom, Typed(joint.camera_entered_from.value_or("")));
  AddFact(table, Print::kInsert, InsertText(context, joint.insert));
  AddFact(table, Print::kDatum, DatumText(joint.datum));
  if (context.relative) AddFact(table, Print::kAngles, Print::kAnglesRelative);
  AddFact(table, Print::kZIsZero, vision::SentenceFrom(reading.z_zero));
  AddCameraFacts(context, table);
  content.blocks.push_back(Heading{Print::kJoint});
  content.blocks.push_back(std::move(table));
}

void AddCoverage(const ComposeContext& context, Content& content) {
  const auto& seen = context.known.measured.coverage_deg;
  const auto degrees = [](double value) {
    return std::isfinite(value) ? Number(std::floor(value), 0) : Text(Print::kNone);
  };
  content.blocks.push_back(Heading{Print::kCoverage, true});
  content.blocks.push_back(Paragraph{
      Joined(Says::kBesides, {{Print::kExaminedDegrees, {degrees(seen.left), degrees(seen.right), degrees(seen.zone)}},
                              Print::kNotExaminedNotAccepted}),
      Paragraph::Weight::kStrongLine});
}

namespace {
/// Names and typed texts that stand in sentences of reading and verdict.
QStringList NamesOf(const ReportInput& input) {
  const auto& joint = input.joint;
  const auto& reading = input.reading;
  QStringList names{Q(joint.id), Q(joint.a.name), Q(joint.b.name), Q(reading.piece_a), Q(reading.piece_b)};
  for (const auto& camera : joint.cameras) names << Q(camera.id);
  for (const auto& recording : reading.recordings) names << Q(recording);
  for (const auto& pose : reading.poses) names << Q(pose.file);
  for (const auto& ruling : input.notes.rulings) names << Q(ruling.by.author) << Q(ruling.by.time) << Q(ruling.reason);
  for (const auto& toe : input.notes.toes) names << Q(toe.by.author) << Q(toe.by.time) << Q(toe.reason);
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
  content.title = Print::kTitle;
  content.joint = JointText(input.joint.id);
  content.running_text = Print::kRunningText;
  content.company = Typed(input.paper.company);
  content.header = Typed(input.paper.header);
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
