#include <cstdio>
#include <memory>
#include <nlohmann/json.hpp>

#include "app/cli/commands.h"
#include "vision/base/file.h"
#include "vision/study/pod_data.h"
#include "vision/study/pod_plot.h"

namespace app::cli {
namespace {

namespace fs = std::filesystem;
using vision::study::PodFit;
using Json = nlohmann::ordered_json;

struct PodArguments {
  std::string data, size_column, hit_column, out, scale = "linear";
  vision::study::PodOptions options;
};

constexpr const char* kHolds =
    "It holds for targets, equipment, light and people like those of the data, and supports, never replaces, the "
    "qualified examiner.";

std::string Format(const char* format, double a, double b = 0, double c = 0) {
  char text[256];
  std::snprintf(text, sizeof text, format, a, b, c);
  return text;
}

std::string BoundText(const std::optional<double>& bound) { return bound ? Format("%.6f", *bound) : "none"; }

std::string PodWords(const PodFit& fit) {
  const auto& o = fit.options;
  const auto& good = fit.goodness;
  const bool log_scale = o.scale == vision::study::SizeScale::kLog;
  std::string text = Format("%.0f targets, %.0f found.", fit.targets, fit.hits);
  text += std::string("\nModel: logit p = b0 + b1 ") + (log_scale ? "ln(size)" : "size") +
          Format(", b0 %.6f (u %.6f)", fit.b0, std::sqrt(fit.covariance(0, 0))) +
          Format(", b1 %.6f (u %.6f)", fit.b1, std::sqrt(fit.covariance(1, 1)));
  text += Format("\na50 %.6f\na%.0f %.6f", fit.a50, 100 * o.detection, fit.ap);
  const std::string name = Format("\na%.0f/%.0f ", 100 * o.detection, 100 * o.confidence);
  text += name + BoundText(fit.ap_ratio) + " by the likelihood ratio (one-sided)";
  text += name + BoundText(fit.ap_wald) + " by Wald (one-sided)";
  text += Format("\nGoodness: log likelihood %.4f, AIC %.4f", good.log_likelihood, good.aic) +
          Format("; size against no size, p %.2g", good.slope_p) +
          Format("; Hosmer-Lemeshow over %.0f groups %.2f, p %.2f", good.groups, good.group_statistic, good.group_p);
  for (const auto& note : fit.notes) text += "\nNote: " + note;
  return text + "\n" + kHolds;
}

Json BoundJson(const std::optional<double>& bound) { return bound ? Json(*bound) : Json(nullptr); }

Json PodJson(const PodArguments& arguments, const PodFit& fit) {
  const auto& good = fit.goodness;
  Json json{{"format", "rootscroll.pod/1"}, {"data", arguments.data}, {"targets", fit.targets}, {"hits", fit.hits}};
  json["model"] = "logistic, maximum likelihood (MIL-HDBK-1823A)";
  json["size_scale"] = vision::study::NameOf(fit.options.scale);
  json["b0"] = fit.b0;
  json["b1"] = fit.b1;
  json["covariance"] = {fit.covariance(0, 0), fit.covariance(0, 1), fit.covariance(1, 1)};
  json["detection"] = fit.options.detection;
  json["confidence"] = fit.options.confidence;
  json["a50"] = fit.a50;
  json["ap"] = fit.ap;
  json["ap_bound_likelihood_ratio"] = BoundJson(fit.ap_ratio);
  json["ap_bound_wald"] = BoundJson(fit.ap_wald);
  json["goodness"] = {{"log_likelihood", good.log_likelihood},
                      {"log_likelihood_without_size", good.null_log_likelihood},
                      {"aic", good.aic},
                      {"size_p", good.slope_p},
                      {"hosmer_lemeshow_groups", good.groups},
                      {"hosmer_lemeshow", good.group_statistic},
                      {"hosmer_lemeshow_p", good.group_p}};
  json["notes"] = fit.notes;
  json["holds"] = kHolds;
  return json;
}

/// pod.csv, pod.svg, then pod.json last.
vision::Status WritePod(const PodArguments& arguments, const std::vector<vision::study::Target>& targets,
                        const PodFit& fit) {
  const fs::path folder = arguments.out;
  if (auto failed = vision::MakeFolder(folder)) return *failed;
  vision::study::PodPlotOptions plot;
  plot.title = "Probability of detection, " + fs::path(arguments.data).filename().string();
  plot.size_label = "size, in the unit of the data";
  if (auto e = vision::WriteFileWhole(folder / "pod.csv", vision::study::PodCsv(targets, fit))) return e;
  if (auto e = vision::WriteFileWhole(folder / "pod.svg", vision::study::PodSvg(targets, fit, plot))) return e;
  return vision::WriteFileWhole(folder / "pod.json", PodJson(arguments, fit).dump(1) + "\n");
}

void RunPod(PodArguments& arguments, Session& session) {
  using vision::study::SizeScale;
  arguments.options.scale = arguments.scale == "log" ? SizeScale::kLog : SizeScale::kLinear;
  auto text = vision::ReadFileWhole(arguments.data);
  if (!text.ok()) return session.Fail(text.error());
  auto table = vision::study::ReadTable(text.value(), arguments.data);
  if (!table.ok()) return session.Fail(table.error());
  auto targets = vision::study::TargetsFrom(table.value(), arguments.size_column, arguments.hit_column);
  if (!targets.ok()) return session.Fail(targets.error());
  auto fit = vision::study::FitPod(targets.value(), arguments.options, arguments.data);
  if (!fit.ok()) return session.Fail(fit.error());
  std::string written;
  if (!arguments.out.empty()) {
    if (auto failed = WritePod(arguments, targets.value(), fit.value())) return session.Fail(*failed);
    written = "\nWritten: " + (fs::path(arguments.out) / "pod.json").string() + ", pod.csv, pod.svg";
  }
  session.Say(PodWords(fit.value()) + written);
  if (session.json) std::printf("%s\n", PodJson(arguments, fit.value()).dump(1).c_str());
}

}  // namespace

void AddPod(CLI::App& program, Session& session) {
  auto* command = program.add_subcommand(
      "pod", "Probability of detection from hits and misses (logistic model after MIL-HDBK-1823A)");
  auto arguments = std::make_shared<PodArguments>();
  command->add_option("data", arguments->data, "CSV with a column of sizes and one of hits (1) and misses (0)")
      ->required();
  command->add_option("--size", arguments->size_column, "Column of sizes; else size_mm, size or x");
  command->add_option("--hit", arguments->hit_column, "Column of hits; else hit or y");
  command->add_option("--scale", arguments->scale, "linear or log: how size enters the model")
      ->check(CLI::IsMember({"linear", "log"}))
      ->capture_default_str();
  command->add_option("--detection", arguments->options.detection, "Probability whose size is asked for")
      ->capture_default_str();
  command->add_option("--confidence", arguments->options.confidence, "Of the one-sided bound")->capture_default_str();
  command->add_option("--out", arguments->out, "Folder for pod.json, pod.csv and pod.svg; made when absent");
  command->callback([arguments, &session] { RunPod(*arguments, session); });
}

}  // namespace app::cli
