#include "vision/scan/structure_cue.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/pose/head.h"

namespace vision::scan {
namespace {

cv::Mat3b Coloured(const cv::Mat& picture, cv::Size size) {
  cv::Mat colour = picture, small;
  if (picture.channels() == 1) cv::cvtColor(picture, colour, cv::COLOR_GRAY2BGR);
  cv::resize(colour, small, size, 0, 0, cv::INTER_AREA);
  return small;
}

/// How far the ring stands out, over the profile's own spread.
double StrengthOf(const pose::WeldSeen& weld) { return std::hypot(weld.light, weld.texture); }

bool Told(const FrameLook& look) { return look.weld && look.weld->by_structure; }

/// Can both be the same weld, as fast as heads are driven?
bool Beside(const FrameLook& a, const FrameLook& b, const StructureCueOptions& o) {
  const double apart_s = std::abs(a.time_s - b.time_s);
  return apart_s <= o.beside_s &&
         std::abs(a.weld->distance_radii - b.weld->distance_radii) <= 0.15 + o.radii_a_second * apart_s;
}

void NoWeld(FrameLook* look) {
  look->weld->by_structure = false;
  look->weld->ring_strength = look->weld->distance_radii = 0;
}

bool Sure(const WeldCue& weld, const StructureCueOptions& o) { return weld.ring_strength >= o.sure_strength; }

bool Likely(const WeldCue& weld, const StructureCueOptions& o) { return weld.chance >= o.sure_chance; }

/// Weak rings that hang on no sure one in either direction of time are none.
void LeaveOutWeak(const std::vector<FrameLook*>& told, const StructureCueOptions& o) {
  std::vector<bool> kept(told.size());
  for (std::size_t i = 0; i < told.size(); ++i) kept[i] = Sure(*told[i]->weld, o);
  for (std::size_t i = 1; i < told.size(); ++i)
    if (Likely(*told[i - 1]->weld, o) && Likely(*told[i]->weld, o) && Beside(*told[i - 1], *told[i], o))
      kept[i - 1] = kept[i] = true;
  for (std::size_t i = 1; i < told.size(); ++i)
    if (kept[i - 1] && Beside(*told[i - 1], *told[i], o)) kept[i] = true;
  for (std::size_t i = told.size(); i-- > 1;)
    if (kept[i] && Beside(*told[i - 1], *told[i], o)) kept[i - 1] = true;
  for (std::size_t i = 0; i < told.size(); ++i)
    if (!kept[i]) NoWeld(told[i]);
}

void LeaveOutFaint(const std::vector<FrameLook*>& told, const StructureCueOptions& o) {
  std::vector<FrameLook*> faint;
  for (FrameLook* look : told)
    for (const FrameLook* other : told)
      if (std::abs(other->time_s - look->time_s) <= o.around_s &&
          other->weld->distance_radii >= look->weld->distance_radii &&
          look->weld->ring_strength < o.least_share * other->weld->ring_strength) {
        faint.push_back(look);
        break;
      }
  for (FrameLook* look : faint) NoWeld(look);
}

std::vector<FrameLook*> AllTold(std::vector<FrameLook>& looks) {
  std::vector<FrameLook*> told;
  for (FrameLook& look : looks)
    if (Told(look)) told.push_back(&look);
  return told;
}

/// Structure that agrees less than a pose asks for is enough here, where a ring stands out.
pose::PoseOptions Anywhere(const StructureCueOptions& o) {
  pose::PoseOptions options;
  options.structure.min_score = 0;
  options.structure.read_places = o.read_places;
  options.structure.most_looks = o.most_looks;
  return options;
}

/// About a place known: few tilts of its own, no long walk.
pose::PoseOptions About(const bore::BoreFromCam& last, const StructureCueOptions& o) {
  pose::PoseOptions options = Anywhere(o);
  options.near.push_back(last);
  options.structure.search_deg = o.near_deg;
  options.structure.walk_deg = o.near_deg;
  options.structure.most_looks = o.near_looks;
  options.structure.keep = 1;
  return options;
}

}  // namespace

Status StructureCueOptions::Check() const {
  if (width_px < 320 || width_px > 1280) return BadInput("StructureCueOptions::width_px must be 320 to 1280.");
  if (!(key_every_s > 0)) return BadInput("StructureCueOptions::key_every_s must be above 0 s.");
  if (!(near_deg > 0 && near_deg <= 10)) return BadInput("StructureCueOptions::near_deg must be in (0, 10].");
  if (read_places < 0 || read_places > 6) return BadInput("StructureCueOptions::read_places must be 0 to 6.");
  if (most_looks < 1 || most_looks > 6 || near_looks < 1 || near_looks > 6)
    return BadInput("StructureCueOptions::most_looks and near_looks must be 1 to 6.");
  if (!(least_chance >= 0 && least_chance <= 1))
    return BadInput("StructureCueOptions::least_chance must be in [0, 1].");
  if (!(sure_strength >= 0)) return BadInput("StructureCueOptions::sure_strength must be 0 or more.");
  if (!(sure_chance >= least_chance && sure_chance <= 1))
    return BadInput("StructureCueOptions::sure_chance must be at least least_chance and at most 1.");
  if (!(beside_s > 0 && radii_a_second > 0 && around_s > 0))
    return BadInput("StructureCueOptions: beside_s, radii_a_second and around_s must be above 0.");
  if (!(least_share >= 0 && least_share <= 1)) return BadInput("StructureCueOptions::least_share must be in [0, 1].");
  return std::nullopt;
}

StructureCueOptions Thorough() {
  const pose::StructureOptions pose;
  StructureCueOptions options;
  options.read_places = pose.read_places;
  options.most_looks = options.near_looks = pose.most_looks;
  return options;
}

void SettleCues(std::vector<FrameLook>& looks, const StructureCueOptions& options) {
  LeaveOutFaint(AllTold(looks), options);
  LeaveOutWeak(AllTold(looks), options);
  const auto told = AllTold(looks);
  for (std::size_t i = 1; i < told.size(); ++i) {
    if (!Beside(*told[i - 1], *told[i], options)) continue;
    for (FrameLook* between = told[i - 1] + 1; between != told[i]; ++between) between->weld.reset();
  }
}

std::optional<WeldCue> StructureCue::Found(const cv::Mat3b& picture, const pose::FrameSetting& setting,
                                           const pose::PoseOptions& options, const JobContext& job) {
  const auto head = pose::FindHeadStand({{picture, setting}}, {camera_.radius_mm, 0}, options, job);
  last_.reset();
  sure_ = false;
  if (!head.ok()) return std::nullopt;
  const auto& found = head.value().structure;
  const pose::StructureOptions usual;
  WeldCue cue;
  cue.bore = found.score >= usual.min_score || found.margin >= usual.min_margin ||
             (found.weld && StrengthOf(*found.weld) >= options_.sure_strength);
  if (!cue.bore) return cue;
  last_ = head.value().bore_from_head;
  // Tilt against offset may stay in doubt: where the weld is along the pipe hardly hangs on it. Which ring it is must
  // not.
  const auto& weld = head.value().structure.weld;
  if (!weld || weld->chance < options_.least_chance) return cue;
  cue.by_structure = true;
  cue.chance = weld->chance;
  cue.ring_strength = StrengthOf(*weld);
  sure_ = Sure(cue, options_) || Likely(cue, options_);
  cue.distance_radii = std::abs(last_->translation_mm.z()) / camera_.radius_mm;
  cv::Mat1b grey;
  cv::cvtColor(picture, grey, cv::COLOR_BGR2GRAY);
  cue.glare = GlareAbout(grey, setting.lens, *last_, 0, camera_.radius_mm);
  return cue;
}

std::optional<WeldCue> StructureCue::Look(const cv::Mat& picture, double reduce, double time_s, const JobContext& job) {
  const bool due = time_s + 1e-6 >= next_key_s_;
  const bool follow = last_ && sure_;
  if (!follow && !due) return std::nullopt;
  const double shrink = std::min(1.0, static_cast<double>(options_.width_px) / picture.cols);
  const cv::Size size(cvRound(shrink * picture.cols), cvRound(shrink * picture.rows));
  const cv::Mat3b small = Coloured(picture, size);
  const auto setting = Reduced(camera_, reduce * picture.cols / size.width, size);
  std::optional<WeldCue> about;
  if (follow) about = Found(small, setting, About(*last_, options_), job);
  if (!due || sure_) return about;
  next_key_s_ = time_s + options_.key_every_s;
  ++searched_;
  auto cue = Found(small, setting, Anywhere(options_), job);
  return cue ? cue : WeldCue{};
}

}  // namespace vision::scan
