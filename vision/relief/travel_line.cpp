#include "vision/relief/travel_line.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>

#include "vision/bore/angle.h"

namespace vision::relief {
namespace {

/// Where each cell of a section appears in one frame, how much of it is to be seen, and how bright it is per albedo.
struct Rendered {
  std::vector<double> at_mm, wide_mm, light;
};

Rendered Render(const LineTask& task, const std::vector<double>& h, std::size_t f) {
  const auto& scenery = *task.scenery;
  const Stand& stand = scenery.stands[f];
  const double theta = task.samples->theta_deg * bore::kRadPerDeg, st = std::sin(theta), ct = std::cos(theta);
  const std::size_t n = h.size();
  const double cell = task.cells_mm[1] - task.cells_mm[0];
  const Eigen::Vector3d& eye = stand.eye;
  const double c = eye.head<2>().squaredNorm() - task.radius_mm * task.radius_mm;
  Rendered out;
  out.at_mm.resize(n), out.wide_mm.resize(n), out.light.resize(n);
  for (std::size_t j = 0; j < n; ++j) {
    const double r = task.radius_mm - h[j];
    const Eigen::Vector3d at(-r * st, r * ct, task.cells_mm[j]);
    const Eigen::Vector2d out_xy = (at - eye).head<2>();
    const double a = out_xy.squaredNorm(), b = eye.head<2>().dot(out_xy);
    const double t = (-b + std::sqrt(std::max(0.0, b * b - a * c))) / a;
    out.at_mm[j] = eye.z() + t * (at.z() - eye.z());
    const double rise = j == 0       ? (h[1] - h[0]) / cell
                        : j + 1 == n ? (h[j] - h[j - 1]) / cell
                                     : (h[j + 1] - h[j - 1]) / (2 * cell);
    const double q = 1 / std::sqrt(1 + rise * rise);
    out.light[j] = scenery.gain[task.index][f] * ShadeWith(at, {st * q, -ct * q, -rise * q}, stand, task.gloss[j],
                                                           &task.lobes[f][j * stand.lamps.size()], scenery.ambient);
  }
  double seen_to = -1e9;  // what lies nearer hides what appears before it
  const std::vector<double> at = out.at_mm;
  for (std::size_t j = 0; j < n; ++j) {
    double low = j == 0 ? at[0] - 0.5 * (at[1] - at[0]) : 0.5 * (at[j - 1] + at[j]);
    const double high = j + 1 == n ? at[j] + 0.5 * (at[j] - at[j - 1]) : 0.5 * (at[j] + at[j + 1]);
    low = std::max(low, seen_to);
    seen_to = std::max(seen_to, high);
    out.wide_mm[j] = std::max(0.0, high - low);
    if (out.wide_mm[j] > 0) out.at_mm[j] = 0.5 * (low + high);
  }
  return out;
}

/// exp(-x), x in [0, 8], to 1e-4 of 1.
double Falling(double x) {
  static const std::vector<double> table = [] {
    std::vector<double> t;
    for (int i = 0; i <= 514; ++i) t.push_back(std::exp(-i / 64.0));
    return t;
  }();
  const double at = 64 * std::min(x, 8.0);
  const auto i = static_cast<std::size_t>(at);
  return table[i] + (at - static_cast<double>(i)) * (table[i + 1] - table[i]);
}

/// One sample as a weighted sum over albedo knots.
struct Row {
  int first = 0, count = 0;
  double value = 0, weight = 0;  ///< Observed light; 1 / variance.
  std::size_t frame = 0, place = 0;
  bool clipped = false;
};

/// The linear model of one section: rows of `coefficients`, each `Row::count` long.
struct Model {
  std::vector<Row> rows;
  std::vector<double> coefficients;  ///< knots a row.
  int knots = 0;
};

/// A cell that is to be seen, between its albedo's knot and the next.
struct SeenCell {
  double at_mm = 0, wide_mm = 0, light = 0, part = 0;
  int knot = 0;
};

/// Along the sight: what runs back behind something nearer is hidden.
std::vector<SeenCell> SeenCells(const LineTask& task, const Rendered& r, int knots) {
  std::vector<SeenCell> cells;
  cells.reserve(r.at_mm.size());
  for (std::size_t j = 0; j < r.at_mm.size(); ++j) {
    if (r.wide_mm[j] == 0) continue;
    const double at = std::clamp((task.cells_mm[j] - task.first_knot_mm) / task.knot_mm, 0.0, knots - 1.000001);
    const int k = static_cast<int>(at);
    cells.push_back({r.at_mm[j], r.wide_mm[j], r.light[j], at - k, k});
  }
  return cells;
}

void AddFrame(const LineTask& task, const Rendered& r, std::size_t f, Model& model) {
  const auto& s = *task.samples;
  const double sigma = task.scenery->blur_mm[f], reach = 4 * sigma, scale = 1 / (2 * sigma * sigma);
  const int knots = model.knots;
  const std::vector<SeenCell> cells = SeenCells(task, r, knots);
  std::size_t begin = 0;
  for (std::size_t i = 0; i < s.along_mm.size(); ++i) {
    const float weight = task.weight[f][i];
    if (weight <= 0) continue;
    const double x = s.along_mm[i];
    while (begin < cells.size() && cells[begin].at_mm - x < -reach) ++begin;
    const std::size_t offset = model.coefficients.size();
    model.coefficients.resize(offset + static_cast<std::size_t>(knots), 0.0);
    double* row = &model.coefficients[offset];
    double sum = 0;
    int low = knots, high = -1;
    for (std::size_t j = begin; j < cells.size(); ++j) {
      const SeenCell& cell = cells[j];
      const double off = cell.at_mm - x;
      if (off > reach) break;
      const double w = cell.wide_mm * Falling(off * off * scale);
      sum += w;
      row[cell.knot] += w * cell.light * (1 - cell.part);
      row[cell.knot + 1] += w * cell.light * cell.part;
      low = std::min(low, cell.knot), high = std::max(high, cell.knot + 1);
    }
    if (sum < 1e-6) {
      model.coefficients.resize(offset);
      continue;
    }
    for (int k = low; k <= high; ++k) row[k] /= sum;
    model.rows.push_back({low, high - low + 1, static_cast<double>(s.light[f][i]), static_cast<double>(weight), f, i,
                          s.clipped[f][i] != 0});
  }
}

/// Adds a row to the lower half of the normal equations; the upper half is not read.
void AddRow(const Row& row, const double* own, double weight, Eigen::MatrixXd& normal, Eigen::VectorXd& right) {
  for (int c = 0; c < row.count; ++c) {
    double* column = &normal(row.first, row.first + c);
    for (int r = c; r < row.count; ++r) column[r] += weight * own[r] * own[c];
    right[row.first + c] += weight * row.value * own[c];
  }
}

/// Albedo of every knot under the present weights; adds the prior's cost and the log-determinant.
double SolveAlbedo(const LineTask& task, const Model& model, const std::vector<double>& weights, Eigen::VectorXd& rho) {
  const int n = model.knots;
  const double usual = task.scenery->albedo;
  Eigen::MatrixXd normal = Eigen::MatrixXd::Zero(n, n);
  Eigen::VectorXd right = Eigen::VectorXd::Zero(n);
  for (std::size_t i = 0; i < model.rows.size(); ++i) {
    const Row& row = model.rows[i];
    if (weights[i] == 0) continue;
    AddRow(row, &model.coefficients[i * static_cast<std::size_t>(n) + static_cast<std::size_t>(row.first)], weights[i],
           normal, right);
  }
  const double prior = 1 / std::pow(task.albedo_spread * usual, 2);
  normal.diagonal().array() += prior;
  right.array() += prior * usual;
  for (int k = 0; k + 1 < n; ++k) {
    const double tie = 1 / std::pow(task.tie[static_cast<std::size_t>(k)] * usual, 2);
    normal(k, k) += tie, normal(k + 1, k + 1) += tie, normal(k + 1, k) -= tie;
  }
  const Eigen::LLT<Eigen::MatrixXd> llt(normal);
  rho = llt.solve(right);
  double cost = 0;
  for (int k = 0; k < n; ++k) cost += 2 * std::log(std::max(1e-9, llt.matrixLLT()(k, k)));
  cost -= n * std::log(1 / (usual * usual));
  cost += prior * (rho.array() - usual).square().sum();
  for (int k = 0; k + 1 < n; ++k)
    cost += std::pow((rho[k + 1] - rho[k]) / (task.tie[static_cast<std::size_t>(k)] * usual), 2);
  return cost;
}

}  // namespace

LineTask MakeTask(const Samples& samples, std::size_t line, const Scenery& scenery, const TravelOptions& o,
                  double near_mm, double far_mm) {
  LineTask task;
  const LineSamples& s = samples.lines[line];
  task.toe_near = s.toe_near + near_mm, task.toe_far = s.toe_far + far_mm;
  task.samples = &s, task.scenery = &scenery, task.index = line;
  task.radius_mm = samples.radius_mm, task.tail = o.tail, task.albedo_spread = o.albedo_spread;
  task.reweighting_rounds = o.reweighting_rounds;
  const double from = s.toe_near - o.before_mm + 0.2, to = s.toe_far + o.behind_mm - 0.6;
  for (double z = from; z < to; z += o.cell_mm) {
    task.cells_mm.push_back(z);
    const double in = std::clamp(std::min(z - task.toe_near, task.toe_far - z) / o.toe_blend_mm + 0.5, 0.0, 1.0);
    task.gloss.push_back({scenery.wall.share + in * (scenery.bead.share - scenery.wall.share),
                          scenery.wall.roughness + in * (scenery.bead.roughness - scenery.wall.roughness)});
  }
  task.first_knot_mm = from, task.knot_mm = o.hat_mm;
  const auto knots = static_cast<std::size_t>((task.cells_mm.back() - from) / o.hat_mm) + 2;
  for (std::size_t k = 0; k + 1 < knots; ++k) {
    const double middle = from + (static_cast<double>(k) + 0.5) * o.hat_mm;
    const bool at_toe = std::abs(middle - task.toe_near) < o.calm_mm || std::abs(middle - task.toe_far) < o.calm_mm;
    const bool inside = middle > task.toe_near && middle < task.toe_far;
    task.tie.push_back(at_toe ? o.hat_toe_share : inside ? o.hat_share : o.wall_share);
  }
  const double t = s.theta_deg * bore::kRadPerDeg;
  for (const Stand& stand : scenery.stands) {
    std::vector<double> all;
    for (const double z : task.cells_mm) {
      const auto own = LobesAt({-task.radius_mm * std::sin(t), task.radius_mm * std::cos(t), z}, stand, scenery.spread);
      all.insert(all.end(), own.begin(), own.end());
    }
    task.lobes.push_back(std::move(all));
  }
  for (const auto& light : s.light) {
    std::vector<float> weight;
    for (const float v : light)
      weight.push_back(std::isfinite(v) ? static_cast<float>(1 / (std::pow(o.noise_share * static_cast<double>(v), 2) +
                                                                  o.noise_floor * o.noise_floor))
                                        : 0.F);
    task.weight.push_back(std::move(weight));
  }
  return task;
}

LineCost CostOf(const LineTask& task, const std::vector<double>& h, std::vector<std::vector<float>>* predicted) {
  thread_local Model model;  // a quarter of a megabyte that is asked for some hundred thousand times
  model.rows.clear(), model.coefficients.clear();
  model.knots = static_cast<int>(task.tie.size()) + 1;
  for (std::size_t f = 0; f < task.scenery->stands.size(); ++f) AddFrame(task, Render(task, h, f), f, model);
  std::vector<double> weights;
  for (const Row& row : model.rows) weights.push_back(row.clipped ? 0 : row.weight);  // what others say first
  Eigen::VectorXd rho;
  LineCost out;
  for (int round = 0; round < task.reweighting_rounds; ++round) {
    const bool last = round + 1 == task.reweighting_rounds;
    out.cost = SolveAlbedo(task, model, weights, rho);
    for (std::size_t i = 0; i < model.rows.size(); ++i) {
      const Row& row = model.rows[i];
      const double* own = &model.coefficients[i * static_cast<std::size_t>(model.knots)];
      double shown = 0;
      for (int k = row.first; k < row.first + row.count; ++k) shown += own[k] * rho[k];
      if (predicted && last) (*predicted)[row.frame][row.place] = static_cast<float>(shown);
      if (row.clipped && shown > row.value) {
        weights[i] = 0;
        continue;
      }
      const double off2 = (row.value - shown) * (row.value - shown) * row.weight;
      if (last) {
        const double robust = (task.tail + 1) * std::log1p(off2 / task.tail);
        out.cost += robust, out.misfit += robust;
      }
      weights[i] = row.weight * (task.tail + 1) / (task.tail + off2);
    }
  }
  out.misfit /= static_cast<double>(std::max<std::size_t>(1, model.rows.size()));
  return out;
}

}  // namespace vision::relief
