#include <QDate>
#include <QDateTime>
#include <algorithm>
#include <cmath>

#include "app/report/cautions.h"
#include "app/report/compose.h"
#include "vision/base/says.h"

namespace app::report {

namespace {
/// A measured quantity around the joint.
struct Quantity {
  const char* what;
  const char* name;
  const std::vector<double>*values, *u;
};

std::vector<Quantity> QuantitiesOf(const vision::reading::Profile& profile) {
  return {
      {"width_mm", "width between the toes", &profile.width_mm, &profile.width_u_mm},
      {"crown_height_mm", "root reinforcement over the line joining the toes", &profile.crown_height_mm,
       &profile.crown_height_u_mm},
      {"concavity_mm", "concavity below the line joining the toes", &profile.concavity_mm, &profile.concavity_u_mm},
      {"misalignment_mm", "misalignment, wall b over wall a", &profile.misalignment_mm, &profile.misalignment_u_mm}};
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

Cell PlaceCell(const ComposeContext& context, const Quantity& quantity, bool least) {
  const auto at = Extreme(*quantity.values, least);
  if (!at) return {"–"};
  const auto& theta = context.known.decided.profile.theta_deg;
  return {context.length.Measured((*quantity.values)[*at], (*quantity.u)[*at]) + " at " +
          PlaceText(theta[*at], context.relative)};
}

QString StatedText(const std::vector<double>& values) {
  const auto stated = std::count_if(values.begin(), values.end(), [](double mm) { return std::isfinite(mm); });
  return QString::number(std::floor(360.0 * static_cast<double>(stated) / static_cast<double>(values.size()))) +
         " of 360°";
}
}  // namespace

void AddMeasured(const ComposeContext& context, Content& content) {
  const auto& reading = context.known.decided;
  Table table;
  table.columns = {{"quantity", 26}, {"stated over", 14}, {"least", 30}, {"greatest (magnitude)", 30}};
  Table absent;
  absent.titled = false;
  absent.columns = {{"", 50}, {"", 50}};
  for (const Quantity& quantity : QuantitiesOf(reading.profile)) {
    if (Extreme(*quantity.values, true)) {
      table.rows.push_back({{quantity.name, {}, true},
                            {StatedText(*quantity.values)},
                            PlaceCell(context, quantity, true),
                            PlaceCell(context, quantity, false)});
      continue;
    }
    const QString why = NotMeasurable(ReasonsFor(reading, quantity.what));
    if (!absent.rows.empty() && absent.rows.back()[1].text == why)
      absent.rows.back()[0].text += QString("\n") + quantity.name;  // one reason, said once
    else
      absent.rows.push_back({{quantity.name, {}, true}, {why}});
  }
  if (!absent.rows.empty()) content.blocks.push_back(std::move(absent));
  if (table.rows.empty()) return;
  content.blocks.push_back(std::move(table));
  content.blocks.push_back(
      Paragraph{"± U: expanded uncertainty, k = 2 (about 95 %). Heights by: " +
                    (reading.height_by ? Q(*reading.height_by).replace('_', ' ') : QString("none")) + ".",
                Paragraph::Weight::kSmall});
}

namespace {
QString WhereOf(const ComposeContext& context, const app::joint::Finding& finding) {
  if (!finding.theta_deg) return {};
  QString text = finding.end_theta_deg ? SpanText(*finding.theta_deg, *finding.end_theta_deg, context.relative)
                                       : PlaceText(*finding.theta_deg, context.relative);
  if (finding.z_mm && std::isfinite(*finding.z_mm)) text += ", z " + context.length.Plain(*finding.z_mm, 1);
  return "at " + text;
}

QString NumbersOf(const ComposeContext& context, const app::joint::Finding& finding) {
  QString text;
  if (finding.value_mm && std::isfinite(*finding.value_mm)) {
    text += "measured " + context.length.Measured(*finding.value_mm, finding.u_mm.value_or(NAN));
  }
  if (finding.limit_mm && std::isfinite(*finding.limit_mm))
    text += (text.isEmpty() ? "limit " : "\nlimit ") + context.length.Plain(*finding.limit_mm);
  return text;
}

/// Sentences that several rules say: each stands once under the table and is named by its number in it.
std::vector<Sentence> SaidTwice(const std::vector<app::joint::Finding>& findings) {
  std::vector<Sentence> once, twice;
  const auto has = [](const auto& all, const Sentence& one) {
    return std::find(all.begin(), all.end(), one) != all.end();
  };
  for (const auto& finding : findings)
    for (const Sentence& sentence : finding.reason) {
      if (has(once, sentence) && !has(twice, sentence) && EnglishOf(sentence).size() > 40) twice.push_back(sentence);
      once.push_back(sentence);
    }
  return twice;
}

/// The one, then the other by `how`; either may say nothing.
Sentence Beside(const Sentence& one, const Sentence& other, Says how) {
  if (one.empty() || other.empty()) return one.empty() ? other : one;
  return {how, {one, other}};
}

Sentence ReasonOf(const app::joint::Finding& finding, const std::vector<Sentence>& twice) {
  Sentence own;
  std::string numbers;
  for (const Sentence& sentence : finding.reason) {
    const auto number = std::find(twice.begin(), twice.end(), sentence) - twice.begin();
    if (number == static_cast<std::ptrdiff_t>(twice.size()))
      own = Beside(own, sentence, Says::kBesides);
    else
      numbers += (numbers.empty() ? "(" : " (") + std::to_string(number + 1) + ")";
  }
  return Beside(own, SentenceOf(Q(numbers)), Says::kBelow);
}

/// @param named The rule stands in the row above: its source is not said again.
std::vector<Cell> FindingRow(const ComposeContext& context, const app::joint::Finding& finding, bool named,
                             const std::vector<Sentence>& twice) {
  QString rule = Q(finding.title);
  if (!finding.iso6520.empty()) rule += " (ISO 6520-1: " + Q(finding.iso6520) + ")";
  QString source = Q(finding.paragraph);
  if (!finding.how_known.empty()) source += "\n" + Q(finding.how_known);
  return {{rule, {}, true},
          {named ? QString("as above") : source},
          {named ? QString() : Q(finding.datum)},
          {Q(app::joint::WordsOf(finding.outcome)), {}, true},
          CellOf(Beside(Beside(ReasonOf(finding, twice), SentenceOf(NumbersOf(context, finding)), Says::kBelow),
                        SentenceOf(WhereOf(context, finding)), Says::kBelow))};
}

Table TwiceTable(const std::vector<Sentence>& twice) {
  Table table;
  table.titled = false;
  table.fine = true;
  table.columns = {{"", 5}, {"", 95}};
  for (std::size_t i = 0; i < twice.size(); ++i)
    table.rows.push_back({{"(" + QString::number(i + 1) + ")", {}, true}, CellOf(twice[i])});
  return table;
}
}  // namespace

void AddCriteria(const ComposeContext& context, Content& content) {
  const auto& verdict = context.input.verdict;
  content.blocks.push_back(Heading{"Criteria"});
  content.blocks.push_back(Paragraph{Q(verdict.criterion) + " · " + Q(verdict.standard) + ", edition " +
                                     Q(verdict.edition) + ". Undecided: the limit lies inside ± U (k = 2)."});
  Table table;
  table.fine = true;
  table.columns = {{"rule", 20}, {"paragraph, how known", 23}, {"measured from", 15}, {"outcome", 14}, {"why", 34}};
  const std::vector<Sentence> twice = SaidTwice(verdict.findings);
  for (std::size_t i = 0; i < verdict.findings.size(); ++i) {
    const bool named = i > 0 && verdict.findings[i].title == verdict.findings[i - 1].title;
    table.rows.push_back(FindingRow(context, verdict.findings[i], named, twice));
  }
  content.blocks.push_back(std::move(table));
  if (!twice.empty()) content.blocks.push_back(TwiceTable(twice));
  for (const auto& note : verdict.notes) content.blocks.emplace_back(ParagraphOf({Says::kNote, {note}}));
}

void AddNotMeasured(const ComposeContext& context, Content& content) {
  const auto& reading = context.known.decided;
  content.blocks.push_back(Heading{"Not measured, and why"});
  if (reading.why.empty()) {
    content.blocks.push_back(Paragraph{"The reading lists nothing as not measured."});
    return;
  }
  std::vector<std::pair<vision::Reason, QStringList>> by_reason;  // each reason once, with all it holds for
  for (const auto& why : reading.why) {
    auto at =
        std::find_if(by_reason.begin(), by_reason.end(), [&](const auto& one) { return one.first == why.reason; });
    if (at == by_reason.end()) at = by_reason.insert(at, {why.reason, {}});
    at->second << PlainName(why.what) + ": " + SpanText(why.start_deg, why.end_deg, context.relative);
  }
  Table table;
  table.columns = {{"reason", 48}, {"what, and where clockwise", 52}};
  for (const auto& [reason, what] : by_reason) table.rows.push_back({CellOf(reason), {what.join("\n")}});
  content.blocks.push_back(std::move(table));
}

namespace {
QString PoseNumber(double value, double u, const char* unit, int decimals) {
  if (!std::isfinite(value)) return "not stated";
  QString text = QString::number(value, 'f', decimals);
  if (std::isfinite(u)) text += " ± " + QString::number(kCoverage * u, 'f', decimals);
  return text + (unit[0] == '\xc2' ? "" : " ") + unit;  // no space before a degree sign
}
}  // namespace

void AddPoses(const ComposeContext& context, Content& content) {
  const auto& reading = context.known.decided;
  content.blocks.push_back(Heading{"Where the camera stood"});
  if (reading.poses.empty()) content.blocks.push_back(Paragraph{"No frame was placed in the bore."});
  Table table;
  table.columns = {{"frame", 20},
                   {"looks", 8},
                   {"offset to 9 o'clock", 16},
                   {"offset to 12 o'clock", 16},
                   {"to the weld", 17},
                   {"tilt", 14},
                   {"residual", 11},
                   {"how", 18}};
  if (context.relative) table.columns[2].title = "offset to 270°", table.columns[3].title = "offset to 0°";
  for (const auto& pose : reading.poses) {
    table.rows.push_back({{Q(pose.file)},
                          {Q(pose.facing)},
                          {PoseNumber(pose.offset_x_mm, pose.offset_u_mm, "mm", 2)},
                          {PoseNumber(pose.offset_y_mm, pose.offset_u_mm, "mm", 2)},
                          {PoseNumber(pose.distance_to_weld_mm, pose.distance_u_mm, "mm", 2)},
                          {PoseNumber(pose.tilt_deg, pose.tilt_u_deg, "°", 2)},
                          {PoseNumber(pose.residual_px, NAN, "px", 2)},
                          CellOf(vision::SentenceFrom(pose.how))});
  }
  if (!table.rows.empty()) content.blocks.push_back(std::move(table));
  for (const auto& note : context.known.measured.notes) content.blocks.emplace_back(ParagraphOf({Says::kNote, {note}}));
}

void AddCautions(const ComposeContext&, Content& content) {
  content.blocks.push_back(Heading{"Cautions", true});
  for (const QString& caution : StandingCautions())
    content.blocks.push_back(Paragraph{"▪ " + caution, Paragraph::Weight::kFine});
}

void AddWritten(const ComposeContext& context, Content& content) {
  const QString date = context.options.written_on.empty() ? QDateTime::currentDateTimeUtc().date().toString(Qt::ISODate)
                                                          : Q(context.options.written_on);
  content.blocks.push_back(Paragraph{
      "Record written " + date + " by Rootscroll " + Q(context.known.measured.program_version) +
          " (report " ROOTSCROLL_VERSION "), from a reading of joint " + Q(context.known.measured.joint_id) + ".",
      Paragraph::Weight::kSmall});
}

}  // namespace app::report
