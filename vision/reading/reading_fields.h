#pragma once

#include "vision/reading/reading.h"

/// Which members each part of a reading has in its file (`rootscroll.reading/1`), for reading_json.cpp.
namespace vision::reading {

/// A text, number or array of lines whose key may be absent, which is the same as empty or not measured.
template <class Value>
struct Maybe {
  Value& value;
};
template <class Value>
Maybe(Value&) -> Maybe<Value>;

/// One member table serves writing and reading, so that the two cannot drift apart.
template <class Visit>
void VisitProfile(Visit visit, auto& p) {
  visit("theta_deg", p.theta_deg);
  visit("left_toe_z_mm", p.left_toe_z_mm);
  visit("right_toe_z_mm", p.right_toe_z_mm);
  visit("left_toe_u_mm", p.left_toe_u_mm);
  visit("right_toe_u_mm", p.right_toe_u_mm);
  visit("width_mm", p.width_mm);
  visit("width_u_mm", p.width_u_mm);
  visit("crown_height_mm", p.crown_height_mm);
  visit("crown_height_u_mm", p.crown_height_u_mm);
  visit("crown_over_left_mm", p.crown_over_left_mm);
  visit("crown_over_right_mm", p.crown_over_right_mm);
  visit("concavity_mm", p.concavity_mm);
  visit("concavity_u_mm", p.concavity_u_mm);
  visit("concavity_under_left_mm", p.concavity_under_left_mm);
  visit("concavity_under_right_mm", p.concavity_under_right_mm);
  visit("misalignment_mm", p.misalignment_mm);
  visit("misalignment_u_mm", p.misalignment_u_mm);
  visit("fusion_left", p.fusion_left);
  visit("fusion_right", p.fusion_right);
  visit("unfused_left_chance", Maybe{p.unfused_left_chance});
  visit("unfused_right_chance", Maybe{p.unfused_right_chance});
}

template <class Visit>
void VisitPose(Visit visit, auto& p) {
  visit("file", p.file);
  visit("offset_x_mm", p.offset_x_mm);
  visit("offset_y_mm", p.offset_y_mm);
  visit("offset_u_mm", p.offset_u_mm);
  visit("distance_to_weld_mm", p.distance_to_weld_mm);
  visit("distance_u_mm", p.distance_u_mm);
  visit("tilt_deg", p.tilt_deg);
  visit("tilt_u_deg", p.tilt_u_deg);
  visit("axis_azimuth_deg", Maybe{p.axis_azimuth_deg});
  visit("residual_px", p.residual_px);
  visit("looks", p.facing);
  visit("how", p.how);
  visit("source_map", Maybe{p.source_map});
}

template <class Visit>
void VisitIndication(Visit visit, auto& i) {
  visit("kind", i.kind);
  visit("iso6520", i.iso6520);
  visit("theta_deg", i.theta_deg);
  visit("z_mm", i.z_mm);
  visit("length_mm", i.length_mm);
  visit("width_mm", i.width_mm);
  visit("depth_mm", i.depth_mm);
  visit("length_u_mm", i.length_u_mm);
  visit("width_u_mm", i.width_u_mm);
  visit("depth_u_mm", i.depth_u_mm);
  visit("confidence", i.confidence);
  visit("picture", i.picture);
}

template <class Visit>
void VisitSearchedArc(Visit visit, auto& a) {
  visit("start_deg", a.start_deg);
  visit("end_deg", a.end_deg);
  visit("smallest_mm", a.smallest_mm);
}

template <class Visit>
void VisitSearched(Visit visit, auto& s) {
  visit("kind", s.kind);
  visit("side", s.side);
  visit("size", s.size);
  visit("degrees", s.degrees);
  visit("smallest_mm", s.smallest_mm);
  visit("why", s.why);
}

template <class Visit>
void VisitRun(Visit visit, auto& u) {
  visit("start_deg", u.start_deg);
  visit("end_deg", u.end_deg);
  visit("side", u.side);
  visit("confidence", u.confidence);
  visit("arc_mm", u.arc_mm);
  visit("arc_u_mm", u.arc_u_mm);
  visit("picture", u.picture);
}

template <class Visit>
void VisitStrip(Visit visit, auto& s) {
  visit("file", s.file);
  visit("mask_file", s.mask_file);
  visit("columns", s.columns);
  visit("rows", s.rows);
  visit("theta_pitch_deg", s.theta_pitch_deg);
  visit("pitch_mm", s.pitch_mm);
  visit("z_from_mm", s.z_from_mm);
  visit("resolution_mm", s.resolution_mm);
  visit("smallest_line_mm", Maybe{s.smallest_line_mm});
  visit("eye_only", Maybe{s.eye_only});
  visit("origin_file", Maybe{s.origin_file});
}

template <class Visit>
void VisitRelief(Visit visit, auto& r) {
  visit("file", r.file);
  visit("u_file", r.u_file);
  visit("how", r.how);
  visit("columns", r.columns);
  visit("rows", r.rows);
  visit("theta_pitch_deg", r.theta_pitch_deg);
  visit("pitch_mm", r.pitch_mm);
  visit("z_from_mm", r.z_from_mm);
  visit("shared_u_mm", r.shared_u_mm);
}

template <class Visit>
void VisitHead(Visit visit, auto& r) {
  visit("program_version", r.program_version);
  visit("joint_id", r.joint_id);
  visit("recordings", r.recordings);
  visit("stage", r.stage);
  visit("bore_radius_mm", r.bore_radius_mm);
  visit("bore_radius_u_mm", r.bore_radius_u_mm);
  visit("weld_found", r.weld_found);
  visit("read_by", Maybe{r.read_by});
  visit("angles", r.angles);
  visit("calibrated", r.calibrated);
  visit("calibration_note", r.calibration_note);
  visit("z_zero", r.z_zero);
  visit("piece_a", r.piece_a);
  visit("piece_b", r.piece_b);
  visit("insert_width_mm", r.insert_width_mm);
  visit("notes", r.notes);
}

template <class Visit>
void VisitWhy(Visit visit, auto& w) {
  visit("what", w.what);
  visit("start_deg", w.start_deg);
  visit("end_deg", w.end_deg);
  visit("reason", w.reason);
}

template <class Visit>
void VisitFlag(Visit visit, auto& f) {
  visit("kind", f.kind);
  visit("start_deg", f.start_deg);
  visit("end_deg", f.end_deg);
  visit("text", f.text);
}

template <class Visit>
void VisitTintRun(Visit visit, auto& t) {
  visit("start_deg", t.start_deg);
  visit("end_deg", t.end_deg);
  visit("side", t.side);
  visit("shade", t.shade);
  visit("reach_mm", t.reach_mm);
  visit("reach_u_mm", t.reach_u_mm);
}

template <class Visit>
void VisitTint(Visit visit, auto& t) {
  visit("against", t.against);
  visit("left_deg", t.left_deg);
  visit("right_deg", t.right_deg);
}

template <class Visit>
void VisitCoverage(Visit visit, auto& c) {
  visit("left", c.left);
  visit("right", c.right);
  visit("zone", c.zone);
}

template <class Visit>
void VisitSection(Visit visit, auto& s) {
  visit("start_deg", s.start_deg);
  visit("end_deg", s.end_deg);
  visit("kind", s.kind);
  visit("chance", s.chance);
  visit("against_mm", s.against_mm);
}

template <class Visit>
void VisitRing(Visit visit, auto& ring) {
  visit("z_mm", ring.z_mm);
  visit("u_mm", ring.u_mm);
  visit("seen_deg", ring.seen_deg);
}

inline constexpr auto kSections = [](auto visit, auto& item) { VisitSection(visit, item); };
inline constexpr auto kRings = [](auto visit, auto& item) { VisitRing(visit, item); };
inline constexpr auto kPoses = [](auto visit, auto& item) { VisitPose(visit, item); };
inline constexpr auto kWhys = [](auto visit, auto& item) { VisitWhy(visit, item); };
inline constexpr auto kRuns = [](auto visit, auto& item) { VisitRun(visit, item); };
inline constexpr auto kIndications = [](auto visit, auto& item) { VisitIndication(visit, item); };
inline constexpr auto kSearchedArcs = [](auto visit, auto& item) { VisitSearchedArc(visit, item); };
inline constexpr auto kFlags = [](auto visit, auto& item) { VisitFlag(visit, item); };
inline constexpr auto kTintRuns = [](auto visit, auto& item) { VisitTintRun(visit, item); };

}  // namespace vision::reading
