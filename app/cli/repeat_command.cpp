#include <algorithm>
#include <cmath>
#include <cstdio>
#include <memory>

#include "app/cli/commands.h"
#include "app/cli/repeat_words.h"
#include "app/joint/criteria.h"
#include "app/joint/measure_input.h"
#include "vision/base/file.h"
#include "vision/reading/measure.h"
#include "vision/reading/repeated.h"
#include "vision/study/table.h"

namespace app::cli {
namespace {

namespace fs = std::filesystem;
using vision::study::RepeatedReading;

struct RepeatArguments {
  std::vector<std::string> inputs, recordings, operators, limits;
  std::string joint, criterion, out;
  vision::study::RepeatOptions options;
};

/// What was gathered; the joint when one was named.
struct Repeats {
  std::vector<RepeatedReading> readings;
  std::vector<std::string> names;
  std::optional<app::joint::Joint> joint;
};

bool EndsWith(const std::string& text, const std::string& end) {
  return text.size() >= end.size() && text.compare(text.size() - end.size(), end.size(), end) == 0;
}

vision::Result<vision::reading::Reading> ReadingAt(const std::string& input) {
  const fs::path path = input;
  if (fs::is_directory(path)) return LoadReading(path);
  auto text = vision::ReadFileWhole(path);
  if (!text.ok()) return text.error();
  return vision::reading::FromJson(text.value(), input);
}

/// A joint file and the recordings of it that repeat each other, each measured by itself.
vision::Status MeasureEach(const RepeatArguments& arguments, Repeats& repeats, Session& session) {
  auto joint = app::joint::LoadJoint(arguments.inputs.front());
  if (!joint.ok()) return joint.error();
  for (const auto& id : arguments.recordings) {
    auto input = app::joint::MeasureInputFor(joint.value(), {id});
    if (!input.ok()) return input.error();
    auto measured = vision::reading::Measure(input.value(), {}, session.Job());
    if (!measured.ok()) return measured.error();
    if (!measured.value().reading.weld_found)
      return vision::NotFound("recording " + id + ": no weld found, so there is nothing to compare.");
    repeats.names.push_back(id);
    repeats.readings.push_back(
        vision::reading::RepeatedFrom(measured.value().reading, id, joint.value().FindRecording(id)->operator_name));
  }
  repeats.joint = std::move(joint).value();
  return std::nullopt;
}

vision::Status LoadEach(const RepeatArguments& arguments, Repeats& repeats) {
  std::string first_joint;
  for (const auto& input : arguments.inputs) {
    auto reading = ReadingAt(input);
    if (!reading.ok()) return reading.error();
    if (!reading.value().weld_found)
      return vision::BadInput(input + ": no weld was found in this reading; there is nothing to compare.");
    if (first_joint.empty()) first_joint = reading.value().joint_id;
    if (reading.value().joint_id != first_joint)
      return vision::BadInput(input + " is of joint " + reading.value().joint_id + ", the first reading of " +
                              first_joint + "; repeated readings must be of one joint.");
    repeats.names.push_back(input);
    repeats.readings.push_back(vision::reading::RepeatedFrom(reading.value(), input, ""));
  }
  return std::nullopt;
}

/// --operator, in the order of the readings, goes before what the joint file says.
vision::Status NameOperators(const RepeatArguments& arguments, Repeats& repeats) {
  if (arguments.operators.empty()) return std::nullopt;
  if (arguments.operators.size() != repeats.readings.size())
    return vision::BadInput("--operator is given " + std::to_string(arguments.operators.size()) + " times for " +
                            std::to_string(repeats.readings.size()) +
                            " readings; give one for each, in the order of the readings.");
  for (std::size_t i = 0; i < repeats.readings.size(); ++i) repeats.readings[i].operator_name = arguments.operators[i];
  return std::nullopt;
}

double MedianWidth(const vision::study::RepeatReport& report) {
  for (const auto& q : report.quantities) {
    if (q.quantity != "width_mm") continue;
    std::vector<double> known;
    std::copy_if(q.mean.begin(), q.mean.end(), std::back_inserter(known), [](double w) { return std::isfinite(w); });
    if (known.empty()) break;
    std::nth_element(known.begin(), known.begin() + static_cast<std::ptrdiff_t>(known.size() / 2), known.end());
    return known[known.size() / 2];
  }
  return NAN;
}

/// Limits given by hand (QUANTITY=MM) go before those of the criterion.
vision::Result<StudyLimitMap> LimitsFor(const RepeatArguments& arguments, const std::optional<app::joint::Joint>& joint,
                                        double width_mm) {
  StudyLimitMap limits;
  if (joint) {
    auto set = app::joint::LoadCriteria(arguments.criterion.empty() ? joint->criterion : arguments.criterion,
                                        joint->file.parent_path());
    if (!set.ok()) return set.error();
    limits = app::joint::StudyLimits(set.value(), *joint, width_mm);
  } else if (!arguments.criterion.empty()) {
    return vision::BadInput("--criterion needs the joint file for its limits; give --joint as well.");
  }
  for (const auto& given : arguments.limits) {
    const auto equals = given.find('=');
    char* end = nullptr;
    const double value = equals == std::string::npos ? 0 : std::strtod(given.c_str() + equals + 1, &end);
    if (!(value > 0) || *end != '\0')
      return vision::BadInput("--limit is `" + given + "`; it must be like width_mm=1.5 (above 0 mm).");
    limits[given.substr(0, equals)] = {value, "given with --limit"};
  }
  return limits;
}

vision::Status WriteStudy(const std::string& out, const std::string& json, const std::string& csv) {
  if (out.empty()) return std::nullopt;
  if (auto failed = vision::MakeFolder(out)) return *failed;
  if (!csv.empty())
    if (auto e = vision::WriteFileWhole(fs::path(out) / "repeatability.csv", csv)) return e;
  return vision::WriteFileWhole(fs::path(out) / "repeatability.json", json);
}

/// A gauge study of any readings: columns part, operator, value.
vision::Status RunTable(const RepeatArguments& arguments, Session& session) {
  const std::string& file = arguments.inputs.front();
  auto text = vision::ReadFileWhole(file);
  if (!text.ok()) return text.error();
  auto table = vision::study::ReadTable(text.value(), file);
  if (!table.ok()) return table.error();
  auto parts = vision::study::TextColumn(table.value(), "part");
  if (!parts.ok()) return parts.error();
  auto operators = vision::study::TextColumn(table.value(), "operator");
  if (!operators.ok()) return operators.error();
  auto values = vision::study::NumberColumn(table.value(), "value");
  if (!values.ok()) return values.error();
  std::vector<vision::study::GaugeValue> readings;
  for (std::size_t i = 0; i < values.value().size(); ++i)
    readings.push_back({parts.value()[i], operators.value()[i], values.value()[i]});
  auto study = vision::study::Arrange(readings, file);
  if (!study.ok()) return study.error();
  const auto limits = LimitsFor(arguments, std::nullopt, NAN);
  if (!limits.ok()) return limits.error();
  const auto result = vision::study::StudyGauge(study.value());
  auto json = GaugeJson(result);
  json["expanded"] = 2 * result.Quoted().gauge;
  if (auto failed = WriteStudy(arguments.out, json.dump(1) + "\n", "")) return failed;
  session.Say(GaugeWords(result) + "\n  " + FitnessWords("value", 2 * result.Quoted().gauge, limits.value()) + "\n" +
              CautionText());
  if (session.json) std::printf("%s\n", json.dump(1).c_str());
  return std::nullopt;
}

vision::Status RunReadings(const RepeatArguments& arguments, Session& session) {
  Repeats repeats;
  auto failed = arguments.recordings.empty() ? LoadEach(arguments, repeats) : MeasureEach(arguments, repeats, session);
  if (!failed) failed = NameOperators(arguments, repeats);
  if (failed) return failed;
  if (!arguments.joint.empty()) {
    auto joint = app::joint::LoadJoint(arguments.joint);
    if (!joint.ok()) return joint.error();
    repeats.joint = std::move(joint).value();
  }
  auto report = vision::study::StudyRepeats(std::move(repeats.readings), arguments.options);
  if (!report.ok()) return report.error();
  auto limits = LimitsFor(arguments, repeats.joint, MedianWidth(report.value()));
  if (!limits.ok()) return limits.error();
  const auto json = RepeatJson(report.value(), repeats.names, limits.value());
  if (auto e = WriteStudy(arguments.out, json.dump(1) + "\n", RepeatCsv(report.value()))) return e;
  session.Say(RepeatWords(report.value(), repeats.names, limits.value()) + "\n" + CautionText());
  if (session.json) std::printf("%s\n", json.dump(1).c_str());
  return std::nullopt;
}

}  // namespace

void AddRepeat(CLI::App& program, Session& session) {
  auto* command = program.add_subcommand(
      "repeatability",
      "How far repeated readings of one joint agree, and a gauge study where several operators took them");
  auto arguments = std::make_shared<RepeatArguments>();
  command
      ->add_option(
          "inputs", arguments->inputs,
          "Readings (folders or reading.json files), or one joint file with --recording for each repetition, or "
          "one CSV with columns part, operator, value")
      ->required();
  command->add_option("--recording", arguments->recordings,
                      "Recording of the joint file, measured by itself; give two or more");
  command->add_option("--operator", arguments->operators,
                      "Who took each reading, in their order; else `operator` in the joint file");
  command->add_option("--joint", arguments->joint, "Joint file whose criterion gives the limits, beside readings");
  command->add_option("--criterion", arguments->criterion,
                      "A shipped set or your own file, instead of the joint file's");
  command->add_option("--limit", arguments->limits, "QUANTITY=MM, such as width_mm=1.5 (value=MM for a CSV)");
  command->add_option("--parts", arguments->options.parts, "Half-degree lines that stand as the parts of a gauge study")
      ->capture_default_str();
  command->add_option("--out", arguments->out, "Folder for repeatability.json and repeatability.csv; made when absent");
  command->callback([arguments, &session] {
    const bool table = arguments->inputs.size() == 1 && EndsWith(arguments->inputs.front(), ".csv");
    if (auto failed = table ? RunTable(*arguments, session) : RunReadings(*arguments, session)) session.Fail(*failed);
  });
}

}  // namespace app::cli
