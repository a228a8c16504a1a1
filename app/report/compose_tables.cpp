#include <QDate>
#include <QDateTime>
#include <algorithm>
#include <cmath>

#include "app/report/cautions.h"
#include "app/report/compose.h"

namespace app::report {

namespace {
/// A measured quantity around the joint.
struct Quantity {
  const char* what;
  Print name;
  const std::vector<double>*values, *u;
};

std::vector<Quantity> QuantitiesOf(const vision::reading::Profile& profile) {
  return {{"width_mm", Print::kWidthBetweenToes, &profile.width_mm, &profile.width_u_mm},
          {"crown_height_mm", Print::kReinforcement, &profile.crown_height_mm, &profile.crown_height_u_mm},
          {"concavity_mm", Print::kConcavity, &profile.concavity_mm, &profile.concavity_u_mm},
          {"misalignment_mm", Print::kMisalignment, &profile.misalignment_mm, &profile.misalignment_u_mm}};
}

/// Index of the value farthest from zero (or nearest, for the least); nullopt when nothing was measured.
std::optional<std::size_t> Extreme(const std::vector<double>& values, bool least) {
  std::optional<std::size_t> best;
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (!std::isfinite(values[i])) continue;
    const double here = std::abs(values[i]);
    if (!best || (least ? here < std::abs(values[*best]) : here > std::abs(values[*best]))) best = i;
  }
  return best;
}

Text PlaceOf(const ComposeContext& context, const Quantity& quantity, bool least) {
  const auto at = Extreme(*quantity.values, least);
  if (!at) return Typed("–");
  const auto& theta = context.known.decided.profile.theta_deg;
  return {
      Print::kAtPlace,
      {context.length.Measured((*quantity.values)[*at], (*quantity.u)[*at]), PlaceText(theta[*at], context.relative)}};
}

Text StatedText(const std::vector<double>& values) {
  const auto stated = std::count_if(values.begin(), values.end(), [](double mm) { return std::isfinite(mm); });
  return {Print::kOf360,
          {Number(std::floor(360.0 * static_cast<double>(stated) / static_cast<double>(values.size())), 0)}};
}

Text HeightsBy(const vision::reading::Reading& reading) {
  std::string by = reading.height_by.value_or("none");
  std::replace(by.begin(), by.end(), '_', ' ');
  return {Print::kHeightsBy, {Term(by)}};
}
}  // namespace

void AddMeasured(const ComposeContext& context, Content& content) {
  const auto& reading = context.known.decided;
  Table table;
  table.columns = {{Print::kQuantity, 26}, {Print::kStatedOver, 14}, {Print::kLeast, 30}, {Print::kGreatest, 30}};
  Table absent;
  absent.titled = false;
  absent.columns = {{{}, 50}, {{}, 50}};
  for (const Quantity& quantity : QuantitiesOf(reading.profile)) {
    if (Extreme(*quantity.values, true)) {
      table.rows.push_back({{quantity.name, {}, true},
                            {StatedText(*quantity.values)},
                            {PlaceOf(context, quantity, true)},
                            {PlaceOf(context, quantity, false)}});
      continue;
    }
    const Text why = NotMeasurable(ReasonsFor(reading, quantity.what));
    if (!absent.rows.empty() && absent.rows.back()[1].text == why)
      absent.rows.back()[0].text = Joined(Says::kBelow, {absent.rows.back()[0].text, quantity.name});  // said once
    else
      absent.rows.push_back({{quantity.name, {}, true}, {why}});
  }
  if (!absent.rows.empty()) content.blocks.push_back(std::move(absent));
  if (table.rows.empty()) return;
  content.blocks.push_back(std::move(table));
  content.blocks.push_back(Paragraph{HeightsBy(reading), Paragraph::Weight::kSmall});
}

namespace {
Text WhereOf(const ComposeContext& context, const app::joint::Finding& finding) {
  if (!finding.theta_deg) return {};
  const Text place = finding.end_theta_deg ? SpanText(*finding.theta_deg, *finding.end_theta_deg, context.relative)
                                           : PlaceText(*finding.theta_deg, context.relative);
  const bool z = finding.z_mm && std::isfinite(*finding.z_mm);
  return {Print::kAt,
          {Joined(Print::kThen, {place, z ? Text(Print::kZOf, {context.length.Plain(*finding.z_mm, 1)}) : Text()})}};
}

Text NumbersOf(const ComposeContext& context, const app::joint::Finding& finding) {
  std::vector<Text> numbers;
  if (finding.value_mm && std::isfinite(*finding.value_mm))
    numbers.push_back({Print::kMeasuredOf, {context.length.Measured(*finding.value_mm, finding.u_mm.value_or(NAN))}});
  if (finding.limit_mm && std::isfinite(*finding.limit_mm))
    numbers.push_back({Print::kLimitOf, {context.length.Plain(*finding.limit_mm)}});
  return Joined(Says::kBelow, numbers);
}

/// Sentences that several rules say: each stands once under the table and is named by its number in it.
std::vector<vision::Sentence> SaidTwice(const std::vector<app::joint::Finding>& findings) {
  std::vector<vision::Sentence> once, twice;
  const auto has = [](const auto& all, const vision::Sentence& one) {
    return std::find(all.begin(), all.end(), one) != all.end();
  };
  for (const auto& finding : findings)
    for (const vision::Sentence& sentence : finding.reason) {
      if (has(once, sentence) && !has(twice, sentence) && EnglishOf(sentence).size() > 40) twice.push_back(sentence);
      once.push_back(sentence);
    }
  return twice;
}

Text ReasonOf(const app::joint::Finding& finding, const std::vector<vision::Sentence>& twice) {
  std::vector<Text> own, numbers;
  for (const vision::Sentence& sentence : finding.reason) {
    const auto number = std::find(twice.begin(), twice.end(), sentence) - twice.begin();
    if (number == static_cast<std::ptrdiff_t>(twice.size()))
      own.emplace_back(sentence);
    else
      numbers.push_back({Print::kInBrackets, {Typed(number + 1)}});
  }
  return Joined(Says::kBelow, {Joined(Says::kBesides, own), Joined(Says::kBesides, numbers)});
}

/// @param named The rule stands in the row above: its source is not said again.
std::vector<Cell> FindingRow(const ComposeContext& context, const app::joint::Finding& finding, bool named,
                             const std::vector<vision::Sentence>& twice) {
  const Text paragraph = finding.rule_id == "coverage" ? Term(finding.paragraph) : Typed(finding.paragraph);
  const Text source = Joined(Says::kBelow, {paragraph, Term(finding.how_known)});
  return {{WithIso(Term(finding.title), finding.iso6520), {}, true},
          {named ? Text(Print::kAsAbove) : source},
          {named ? Text() : Text(Term(finding.datum))},
          {Term(app::joint::WordsOf(finding.outcome)), {}, true},
          {Joined(Says::kBelow, {ReasonOf(finding, twice), NumbersOf(context, finding), WhereOf(context, finding)})}};
}

Table TwiceTable(const std::vector<vision::Sentence>& twice) {
  Table table;
  table.titled = false;
  table.fine = true;
  table.columns = {{{}, 5}, {{}, 95}};
  for (std::size_t i = 0; i < twice.size(); ++i)
    table.rows.push_back({{{Print::kInBrackets, {Typed(i + 1)}}, {}, true}, {twice[i]}});
  return table;
}
}  // namespace

void AddCriteria(const ComposeContext& context, Content& content) {
  const auto& verdict = context.input.verdict;
  content.blocks.push_back(Heading{Print::kCriteria});
  content.blocks.push_back(
      Paragraph{{Print::kCriteriaOf, {Typed(verdict.criterion), Typed(verdict.standard), Typed(verdict.edition)}}});
  Table table;
  table.fine = true;
  table.columns = {{Print::kRule, 20},
                   {Print::kParagraph, 23},
                   {Print::kMeasuredFrom, 15},
                   {Print::kOutcome, 14},
                   {Print::kWhy, 34}};
  const std::vector<vision::Sentence> twice = SaidTwice(verdict.findings);
  for (std::size_t i = 0; i < verdict.findings.size(); ++i) {
    const bool named = i > 0 && verdict.findings[i].title == verdict.findings[i - 1].title;
    table.rows.push_back(FindingRow(context, verdict.findings[i], named, twice));
  }
  content.blocks.push_back(std::move(table));
  if (!twice.empty()) content.blocks.push_back(TwiceTable(twice));
  for (const auto& note : verdict.notes) content.blocks.push_back(Paragraph{{Says::kNote, {note}}});
}

void AddNotMeasured(const ComposeContext& context, Content& content) {
  const auto& reading = context.known.decided;
  content.blocks.push_back(Heading{Print::kNotMeasuredAndWhy});
  if (reading.why.empty()) {
    content.blocks.push_back(Paragraph{Print::kNothingNotMeasured});
    return;
  }
  std::vector<std::pair<vision::Reason, std::vector<Text>>> by_reason;  // each reason once, with all it holds for
  for (const auto& why : reading.why) {
    auto at =
        std::find_if(by_reason.begin(), by_reason.end(), [&](const auto& one) { return one.first == why.reason; });
    if (at == by_reason.end()) at = by_reason.insert(at, {why.reason, {}});
    at->second.push_back(
        {Print::kNamed, {PlainName(why.what), SpanText(why.start_deg, why.end_deg, context.relative)}});
  }
  Table table;
  table.columns = {{Print::kReasonColumn, 48}, {Print::kWhatAndWhere, 52}};
  for (const auto& [reason, what] : by_reason) table.rows.push_back({{reason}, {Joined(Says::kBelow, what)}});
  content.blocks.push_back(std::move(table));
}

namespace {
/// @param unit How the number is written: "%1 mm".
Text PoseNumber(double value, double u, Print unit) {
  if (!std::isfinite(value)) return Print::kNotStated;
  const Text number = Number(value, 2);
  return {unit, {std::isfinite(u) ? Text(Print::kWithU, {number, Number(kCoverage * u, 2)}) : number}};
}
}  // namespace

void AddPoses(const ComposeContext& context, Content& content) {
  const auto& reading = context.known.decided;
  content.blocks.push_back(Heading{Print::kWhereCameraStood});
  if (reading.poses.empty()) content.blocks.push_back(Paragraph{Print::kNoFramePlaced});
  Table table;
  table.columns = {{Print::kFrame, 20},
                   {Print::kLooks, 8},
                   {context.relative ? Print::kOffset270 : Print::kOffset9, 16},
                   {context.relative ? Print::kOffset0 : Print::kOffset12, 16},
                   {Print::kToTheWeld, 17},
                   {Print::kTilt, 14},
                   {Print::kResidual, 11},
                   {Print::kHow, 18}};
  for (const auto& pose : reading.poses) {
    table.rows.push_back({{Typed(pose.file)},
                          {Typed(pose.facing)},
                          {PoseNumber(pose.offset_x_mm, pose.offset_u_mm, Print::kMillimetres)},
                          {PoseNumber(pose.offset_y_mm, pose.offset_u_mm, Print::kMillimetres)},
                          {PoseNumber(pose.distance_to_weld_mm, pose.distance_u_mm, Print::kMillimetres)},
                          {PoseNumber(pose.tilt_deg, pose.tilt_u_deg, Print::kDegrees)},
                          {PoseNumber(pose.residual_px, NAN, Print::kPixels)},
                          {vision::SentenceFrom(pose.how)}});
  }
  if (!table.rows.empty()) content.blocks.push_back(std::move(table));
  for (const auto& note : context.known.measured.notes) content.blocks.push_back(Paragraph{{Says::kNote, {note}}});
}

void AddCautions(const ComposeContext&, Content& content) {
  content.blocks.push_back(Heading{Print::kCautions, true});
  AddStandingCautions(content, Paragraph::Weight::kFine);
}

void AddWritten(const ComposeContext& context, Content& content) {
  const std::string& date = context.options.written_on;
  content.blocks.push_back(Paragraph{
      {Print::kWritten,
       {Typed(date.empty() ? QDateTime::currentDateTimeUtc().date().toString(Qt::ISODate).toStdString() : date),
        Typed(context.known.measured.program_version), Typed(ROOTSCROLL_VERSION),
        Typed(context.known.measured.joint_id)}},
      Paragraph::Weight::kSmall});
}

}  // namespace app::report
