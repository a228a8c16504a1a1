#include "app/cli/repeat_words.h"

#include <cmath>

#include "vision/study/text.h"

namespace app::cli {
namespace {

using namespace vision::study;  // NOLINT(google-build-using-namespace): tells nothing but this room's results
using Json = nlohmann::ordered_json;

Json Number(double value) { return std::isfinite(value) ? Json(value) : Json(nullptr); }

std::string SpreadWords(const GaugeSpread& s) {
  return Text(
      "\n  %s: repeatability %.5f (%.2f %%), operators %.5f (%.2f %%), interaction %.5f, gauge %.5f (%.2f %%), "
      "parts %.5f (%.2f %%), total %.5f; %d distinct categories",
      s.method.c_str(), s.repeatability, s.PercentOf(s.repeatability), s.operators, s.PercentOf(s.operators),
      s.interaction, s.gauge, s.PercentOf(s.gauge), s.parts, s.PercentOf(s.parts), s.total, s.distinct_categories);
}

Json SpreadJson(const GaugeSpread& s) {
  return {{"repeatability", s.repeatability},
          {"operators", s.operators},
          {"interaction", s.interaction},
          {"gauge", s.gauge},
          {"parts", s.parts},
          {"total", s.total},
          {"percent",
           {{"repeatability", s.PercentOf(s.repeatability)},
            {"operators", s.PercentOf(s.operators)},
            {"interaction", s.PercentOf(s.interaction)},
            {"gauge", s.PercentOf(s.gauge)},
            {"parts", s.PercentOf(s.parts)}}},
          {"distinct_categories", s.distinct_categories}};
}

Json FitnessJson(const std::string& quantity, double expanded_mm, const StudyLimitMap& limits) {
  const auto limit = limits.find(quantity);
  if (limit == limits.end()) return nullptr;
  return {{"limit_mm", limit->second.value_mm},
          {"limit_from", limit->second.text},
          {"ratio", Number(expanded_mm / limit->second.value_mm)},
          {"fit_for", SentenceOf(FitnessOf(expanded_mm, limit->second.value_mm))}};
}

}  // namespace

std::string FitnessWords(const std::string& quantity, double expanded_mm, const StudyLimitMap& limits) {
  const auto limit = limits.find(quantity);
  if (limit == limits.end()) return Text("U %.3f mm (k = 2); no limit to hold it beside", expanded_mm);
  return Text("U %.3f mm (k = 2) is %.3f of the limit %.3f mm (%s): ", expanded_mm,
              expanded_mm / limit->second.value_mm, limit->second.value_mm, limit->second.text.c_str()) +
         SentenceOf(FitnessOf(expanded_mm, limit->second.value_mm));
}

std::string GaugeWords(const GaugeStudy& study) {
  std::string text = Text("Gauge study: %d parts, %d operator%s, %d readings each; k = 1.", study.parts,
                          study.operators, study.operators == 1 ? "" : "s", study.trials);
  if (study.operators == 1) text += " One operator: what operators add is not known.";
  text += SpreadWords(study.average_and_range) + SpreadWords(study.anova_without_interaction) +
          SpreadWords(study.anova_with_interaction);
  text +=
      Text("\n  Interaction: F %.3f, p %.3f; quoted: ", study.variance.f_interaction, study.variance.p_interaction) +
      study.Quoted().method + Text(" (interaction kept at p <= %.2f: common practice, no source).", kKeepInteraction);
  if (study.ranges_out > 0)
    text += Text("\n  Note: %d ranges lie above the limit %.4f: those readings should be looked at.", study.ranges_out,
                 study.upper_range_limit);
  return text;
}

Json GaugeJson(const GaugeStudy& study) {
  const auto& v = study.variance;
  return {{"parts", study.parts},
          {"operators", study.operators},
          {"trials", study.trials},
          {"mean_range", study.mean_range},
          {"upper_range_limit", study.upper_range_limit},
          {"ranges_out", study.ranges_out},
          {"operator_difference", study.operator_difference},
          {"part_range", study.part_range},
          {"sum_of_squares",
           {{"parts", v.ss_parts},
            {"operators", v.ss_operators},
            {"interaction", v.ss_interaction},
            {"error", v.ss_error}}},
          {"interaction_f", v.f_interaction},
          {"interaction_p", v.p_interaction},
          {"average_and_range", SpreadJson(study.average_and_range)},
          {"anova_with_interaction", SpreadJson(study.anova_with_interaction)},
          {"anova_without_interaction", SpreadJson(study.anova_without_interaction)},
          {"quoted", study.Quoted().method}};
}

std::string RepeatWords(const RepeatReport& report, const std::vector<std::string>& names,
                        const StudyLimitMap& limits) {
  std::string text = Text("%zu readings of one joint.", names.size());
  for (std::size_t i = 1; i < names.size(); ++i) {
    const auto& a = report.alignments[i];
    text += a.used ? Text("\n  %s lies %+.1f degrees from the first (likeness %.2f)", names[i].c_str(), a.shift_deg,
                          a.likeness)
                   : "\n  " + names[i] + " was not turned: too little shape to align by";
  }
  for (const auto& q : report.quantities) {
    text += Text(
        "\n%s: repeatability %.3f mm (pooled, k = 1; median %.3f, 95th percentile %.3f) on %d of %zu station "
        "lines",
        q.quantity.c_str(), q.pooled, q.median, q.p95, q.lines, q.s.size());
    if (std::isfinite(q.stated_u)) text += Text("; the readings state %.3f mm", q.stated_u);
    text += "\n  " + FitnessWords(q.quantity, q.Expanded(), limits);
    for (const auto& study : q.study) text += "\n  " + GaugeWords(study);
    for (const auto& note : q.notes) text += "\n  Note: " + note;
  }
  return text +
         "\nU is twice the larger of the spread found here and the uncertainty the readings state: what all readings "
         "have in common (bore, lens) does not show in their spread.";
}

namespace {
Json QuantityJson(const vision::study::Repeatability& q, const StudyLimitMap& limits) {
  Json entry{{"quantity", q.quantity},
             {"station_lines", q.lines},
             {"pooled_s", Number(q.pooled)},
             {"median_s", q.median},
             {"p95_s", q.p95},
             {"stated_u", Number(q.stated_u)},
             {"notes", q.notes},
             {"expanded", Number(q.Expanded())}};
  entry["fitness"] = FitnessJson(q.quantity, q.Expanded(), limits);
  entry["gauge_study"] = q.study.empty() ? Json(nullptr) : GaugeJson(q.study.front());
  return entry;
}
}  // namespace

Json RepeatJson(const RepeatReport& report, const std::vector<std::string>& names, const StudyLimitMap& limits) {
  Json json{{"format", "rootscroll.repeat/1"}};
  for (std::size_t i = 0; i < names.size(); ++i)
    json["readings"].push_back({{"name", names[i]},
                                {"shift_deg", report.alignments[i].shift_deg},
                                {"likeness", report.alignments[i].likeness},
                                {"aligned", report.alignments[i].used}});
  json["quantities"] = Json::array();
  for (const auto& q : report.quantities) json["quantities"].push_back(QuantityJson(q, limits));
  return json;
}

std::string RepeatCsv(const RepeatReport& report) {
  std::string csv = "theta_deg";
  for (const auto& q : report.quantities) csv += "," + q.quantity + "_mean," + q.quantity + "_s";
  csv += "\n";
  const std::size_t lines = report.quantities.empty() ? 0 : report.quantities.front().s.size();
  const auto cell = [](double value) { return std::isfinite(value) ? Text(",%.4f", value) : std::string(","); };
  for (std::size_t i = 0; i < lines; ++i) {
    csv += Text("%.1f", 360.0 * static_cast<double>(i) / static_cast<double>(lines));
    for (const auto& q : report.quantities) csv += cell(q.mean[i]) + cell(q.s[i]);
    csv += "\n";
  }
  return csv;
}

}  // namespace app::cli
