#include "vision/camera/calibrate.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "vision/base/median.h"
#include "vision/base/number.h"

namespace vision::camera {
namespace {

/// Does the radius on the picture grow with the angle all the way, so that a pixel has one sight?
bool OneSightPerPixel(const Lens& lens) {
  for (int i = 0; i <= 60; ++i)
    for (const double around : {0.3, 1.9, 3.4, 5.0}) {
      const double a = lens.max_angle_deg * 0.999999 * i / 60 * M_PI / 180;
      const Eigen::Vector3d sight(std::sin(a) * std::cos(around), std::sin(a) * std::sin(around), std::cos(a));
      const auto pixel = lens.Project(sight);
      const auto back = pixel ? lens.Ray(*pixel) : std::nullopt;
      if (!back || !((*back - sight).norm() < 1e-6)) return false;
    }
  return true;
}

/// One model after another on the same views, each started from the equidistant answer.
std::vector<ModelOutcome> FitModels(const LensFit& start, const std::vector<BoardView>& views,
                                    const CalibrationOptions& options, double huber_px, const JobContext& job) {
  std::vector<ModelOutcome> outcomes;
  const auto board_mm = options.board.PointsMm();
  const double n = 2.0 * static_cast<double>(board_mm.size() * views.size());
  for (const LensModel model : options.models) {
    if (job.Cancelled()) return {};
    ModelOutcome outcome;
    outcome.model = model;
    auto fit = RefineLens(AsModel(start, model), views, board_mm, {options.square_pixels, huber_px, huber_px <= 0});
    if (!fit.ok()) {
      outcome.reason = fit.error().message;
    } else if (model == LensModel::kPinhole && fit.value().lens.max_angle_deg >= 89) {
      outcome.reason = "pinhole cannot show corners at 90 degrees and beyond.";
    } else if (huber_px <= 0 && fit.value().middle_u_px > options.max_scale_u * fit.value().middle_px) {
      outcome.reason = NameOf(model) + " stays uncertain by " +
                       NumberText(100 * fit.value().middle_u_px / fit.value().middle_px, "%.1f") +
                       " % in scale; tilt the board in several directions.";
    } else if (huber_px <= 0 && !OneSightPerPixel(fit.value().lens)) {
      outcome.reason = NameOf(model) + " folds over inside the angle at which corners were seen.";
    } else {
      outcome.fit = std::move(fit).value();
      outcome.score = n * std::log(outcome.fit->rms_px * outcome.fit->rms_px) + outcome.fit->parameters * std::log(n);
    }
    outcomes.push_back(std::move(outcome));
    job.Report(static_cast<double>(outcomes.size()) / static_cast<double>(options.models.size()),
               "fitting " + NameOf(model));
  }
  return outcomes;
}

/// The rule of Calibrate's comment. @return nullptr when no model fits.
const ModelOutcome* Choose(const std::vector<ModelOutcome>& models, double evidence) {
  const ModelOutcome* best = nullptr;
  for (const auto& m : models)
    if (m.fit && (!best || m.score < best->score)) best = &m;
  const ModelOutcome* chosen = best;
  for (const auto& m : models)
    if (m.fit && m.score < best->score + evidence && m.fit->parameters < chosen->fit->parameters) chosen = &m;
  return chosen;
}

std::string ChoiceText(const std::vector<ModelOutcome>& models, const ModelOutcome& chosen, double evidence) {
  std::string text = NameOf(chosen.model) + " (rms " + NumberText(chosen.fit->rms_px, "%.3f") + " px)";
  for (const auto& m : models) {
    if (&m == &chosen) continue;
    text += m.fit ? "; " + NameOf(m.model) + " rms " + NumberText(m.fit->rms_px, "%.3f") +
                        " px, information criterion " + NumberText(m.score - chosen.score, "%+.1f")
                  : "; " + NameOf(m.model) + " refused";
  }
  return text + ". Rule: smallest information criterion, but fewer numbers when within " + NumberText(evidence) + ".";
}

Status TooFew(std::size_t have, const CalibrationOptions& options) {
  if (have >= static_cast<std::size_t>(options.min_views)) return std::nullopt;
  return NotFound("The whole board (" + options.board.Text() + ") is usable in " + std::to_string(have) +
                  " pictures; at least " + std::to_string(options.min_views) + " are needed.");
}

/// Views that make sense at all; the others are refused in `outcomes`.
std::vector<std::size_t> Sensible(const std::vector<BoardView>& views, std::size_t points, int width_px, int height_px,
                                  std::vector<ViewOutcome>& outcomes) {
  std::vector<std::size_t> kept;
  for (std::size_t i = 0; i < views.size(); ++i) {
    const bool inside = std::all_of(views[i].corners_px.begin(), views[i].corners_px.end(), [&](const auto& c) {
      return c.x() >= -0.5 && c.y() >= -0.5 && c.x() <= width_px - 0.5 && c.y() <= height_px - 0.5;
    });
    outcomes.push_back({views[i].name, false, "", 0, 0, {}});
    if (views[i].corners_px.size() != points)
      outcomes.back().reason =
          "has " + std::to_string(views[i].corners_px.size()) + " corners instead of " + std::to_string(points);
    else if (!inside)
      outcomes.back().reason = "has a corner outside the picture";
    else
      kept.push_back(i);
  }
  return kept;
}

std::vector<BoardView> Pick(const std::vector<BoardView>& views, const std::vector<std::size_t>& indices) {
  std::vector<BoardView> picked;
  for (const std::size_t i : indices) picked.push_back(views[i]);
  return picked;
}

/// Keeps the views that the best robust fit explains; poses of the rest leave `start` with them.
void RefuseOutliers(const LensFit& best, const CalibrationOptions& options, LensFit& start,
                    std::vector<std::size_t>& kept, std::vector<ViewOutcome>& outcomes) {
  const double limit = std::max(options.view_rms_limit_px, options.view_rms_factor * Median(best.view_rms_px));
  std::vector<std::size_t> good;
  std::vector<CamFromBoard> poses;
  for (std::size_t v = 0; v < kept.size(); ++v) {
    if (best.view_rms_px[v] <= limit) {
      good.push_back(kept[v]);
      poses.push_back(best.poses[v]);
    } else {
      outcomes[kept[v]].reason = "its corners lie " + NumberText(best.view_rms_px[v], "%.2f") +
                                 " px (rms) off; the limit is " + NumberText(limit, "%.2f") + " px";
    }
  }
  start.poses = std::move(poses);
  kept = std::move(good);
}

Status SetMaxAngle(const CalibrationOptions& options, CalibrationReport& report) {
  report.seen_to_deg = report.lens.max_angle_deg;
  report.max_angle_source = "largest angle from the axis at which corners were seen";
  if (!options.max_angle_deg) return std::nullopt;
  report.lens.max_angle_deg = *options.max_angle_deg;
  report.max_angle_source =
      "given; corners were seen to " + NumberText(report.seen_to_deg, "%.1f") + " degrees" +
      (*options.max_angle_deg > report.seen_to_deg ? ", beyond that the lens is extrapolated" : "");
  if (report.lens.Check() || !OneSightPerPixel(report.lens))
    return BadInput("max_angle_deg is " + NumberText(*options.max_angle_deg) + "; the " + NameOf(report.lens.model) +
                    " lens found does not reach so far, corners were seen to " +
                    NumberText(report.seen_to_deg, "%.1f") + " degrees.");
  return std::nullopt;
}

Result<CalibrationReport> ReportOf(CalibrationReport report, const std::vector<std::size_t>& kept,
                                   const CalibrationOptions& options) {
  const ModelOutcome* chosen = Choose(report.models, options.evidence);
  if (!chosen) {
    std::string why = "No lens model fits these views:";
    for (const auto& m : report.models) why += " " + m.reason;
    return NotFound(why);
  }
  report.lens = chosen->fit->lens;
  report.rms_px = chosen->fit->rms_px;
  report.middle_px = chosen->fit->middle_px;
  report.middle_u_px = chosen->fit->middle_u_px;
  report.centre_u_px = chosen->fit->centre_u_px;
  report.choice = ChoiceText(report.models, *chosen, options.evidence);
  for (std::size_t v = 0; v < kept.size(); ++v) {
    ViewOutcome& view = report.views[kept[v]];
    view.used = true;
    view.rms_px = chosen->fit->view_rms_px[v];
    view.max_angle_deg = chosen->fit->view_max_angle_deg[v];
    view.off_px = chosen->fit->view_off_px[v];
  }
  if (auto broken = SetMaxAngle(options, report)) return *broken;
  return report;
}

}  // namespace

Status CalibrationOptions::Check() const {
  if (auto broken = board.Check()) return broken;
  const auto wrong = [](const std::string& field, const std::string& rule) {
    return BadInput("calibration: " + field + "; it must be " + rule + ".");
  };
  if (models.empty()) return wrong("models is empty", "one or more of pinhole, kannala_brandt, omni, equidistant");
  if (min_views < 3) return wrong("min_views is " + std::to_string(min_views), "3 or more");
  if (!(view_rms_limit_px > 0)) return wrong("view_rms_limit_px is " + NumberText(view_rms_limit_px, "%.2f"), "> 0 px");
  if (!(view_rms_factor >= 1)) return wrong("view_rms_factor is " + NumberText(view_rms_factor, "%.2f"), "1 or more");
  if (!(max_scale_u > 0)) return wrong("max_scale_u is " + NumberText(max_scale_u, "%.2f"), "> 0");
  if (!(evidence >= 0)) return wrong("evidence is " + NumberText(evidence, "%.2f"), "0 or more");
  if (max_angle_deg && !(*max_angle_deg > 0 && *max_angle_deg < 180))
    return wrong("max_angle_deg is " + NumberText(*max_angle_deg, "%.2f"), "above 0 and below 180");
  return std::nullopt;
}

int CalibrationReport::ViewsUsed() const {
  return static_cast<int>(std::count_if(views.begin(), views.end(), [](const auto& v) { return v.used; }));
}

Result<CalibrationReport> Calibrate(const std::vector<BoardView>& views, int width_px, int height_px,
                                    const CalibrationOptions& options, const JobContext& job) {
  if (auto broken = options.Check()) return *broken;
  const auto board_mm = options.board.PointsMm();
  CalibrationReport report;
  report.board = options.board;
  auto kept = Sensible(views, board_mm.size(), width_px, height_px, report.views);
  if (auto few = TooFew(kept.size(), options)) return *few;
  auto start = StartLens(Pick(views, kept), board_mm, width_px, height_px);
  if (!start.ok()) return start.error();
  // A free radial curve first: its poses are a good start for every other model.
  const LensFitOptions robust{options.square_pixels, 1.0, false};
  auto bent = RefineLens(AsModel(start.value(), LensModel::kKannalaBrandt), Pick(views, kept), board_mm, robust);
  LensFit from = bent.ok() ? std::move(bent).value() : std::move(start).value();
  const auto first = FitModels(from, Pick(views, kept), options, 1.0, job.Part(0, 0.5));
  if (job.Cancelled()) return Cancelled();
  const LensFit* best = &from;
  for (const auto& m : first)
    if (m.fit && Median(m.fit->view_rms_px) < Median(best->view_rms_px)) best = &*m.fit;
  RefuseOutliers(LensFit(*best), options, from, kept, report.views);
  if (auto few = TooFew(kept.size(), options)) return *few;
  report.models = FitModels(from, Pick(views, kept), options, 0, job.Part(0.5, 1));
  if (job.Cancelled()) return Cancelled();
  return ReportOf(std::move(report), kept, options);
}

Result<CalibrationReport> Calibrate(const std::vector<NamedPicture>& pictures, const CalibrationOptions& options,
                                    const JobContext& job) {
  if (auto broken = options.Check()) return *broken;
  cv::Size size;
  std::vector<BoardView> views;
  std::vector<ViewOutcome> outcomes;
  std::vector<std::size_t> where;  // views[i] is pictures[where[i]]
  for (std::size_t i = 0; i < pictures.size(); ++i) {
    if (job.Cancelled()) return Cancelled();
    const auto& [name, picture] = pictures[i];
    if (size.empty()) size = picture.size();
    outcomes.push_back({name, false, "", 0, 0, {}});
    const bool fits = !picture.empty() && picture.size() == size;
    auto corners = fits ? FindBoard(picture, options.board) : std::nullopt;
    if (picture.empty())
      outcomes.back().reason = "is not a picture";
    else if (!fits)
      outcomes.back().reason = "is " + std::to_string(picture.cols) + " x " + std::to_string(picture.rows) +
                               " px; the others are " + std::to_string(size.width) + " x " +
                               std::to_string(size.height) + " px";
    else if (!corners)
      outcomes.back().reason = "the whole board was not found";
    else
      where.push_back(i), views.push_back({name, std::move(*corners)});
    job.Report(0.6 * static_cast<double>(i + 1) / static_cast<double>(pictures.size()), "finding the board");
  }
  auto result = Calibrate(views, size.width, size.height, options, job.Part(0.6, 1));
  if (!result.ok()) return result;
  for (std::size_t v = 0; v < where.size(); ++v) outcomes[where[v]] = result.value().views[v];
  result.value().views = std::move(outcomes);
  return result;
}

}  // namespace vision::camera
