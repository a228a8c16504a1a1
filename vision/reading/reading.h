#pragma once

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "vision/base/result.h"
#include "vision/base/sentence.h"

/// The Reading: all that was measured on one or more recordings of a joint. The contract that report, judge, window and
/// scorer read (JSON `rootscroll.reading/1`, schema vision/reading/reading.schema.json). Frames as in
/// vision/bore/bore.h. u = standard uncertainty (k = 1). A number that was not measured is NaN here and null in the
/// file, and `why` says so.
namespace vision::reading {

constexpr double kNotMeasured = std::numeric_limits<double>::quiet_NaN();

/// State of one edge of the insert at one station line. `kUnfused` is shown to people as "original edge visible".
enum class Fusion { kNotVisible, kFused, kUnfused };

std::string NameOf(Fusion fusion);  ///< not_visible | fused | unfused

/// One frame's place, as people and the scorer read it.
struct FramePose {
  std::string file;
  double offset_x_mm = 0, offset_y_mm = 0;  ///< Camera centre in the bore frame (+x at 9 o'clock looking along +z).
  double offset_u_mm = kNotMeasured;        ///< Standard uncertainty of either offset.
  double distance_to_weld_mm = 0;           ///< Unsigned, along the axis.
  double distance_u_mm = kNotMeasured;
  double tilt_deg = 0;  ///< Unsigned angle between the optical axis and the bore axis.
  double tilt_u_deg = kNotMeasured;
  double axis_azimuth_deg = kNotMeasured;  ///< Bore angle towards which the view leans, in [0, 360).
  double residual_px = 0;                  ///< Root mean square of what the pose was fitted to.
  std::string facing = "+z";               ///< +z | -z | side
  std::string how;              ///< "found in the picture" | "points given by a person" | "given in the joint file"
  std::string source_map = {};  ///< Where each cell of the strip lies in this frame (source_map.h); empty = none.
};

/// Arrays over theta_deg (720 station lines, 0.5 degree steps), all of the same length.
struct Profile {
  std::vector<double> theta_deg;
  std::vector<double> left_toe_z_mm, right_toe_z_mm, left_toe_u_mm, right_toe_u_mm;
  std::vector<double> width_mm, width_u_mm;
  std::vector<double> crown_height_mm, crown_height_u_mm;       ///< Above the chord of the two toes.
  std::vector<double> crown_over_left_mm, crown_over_right_mm;  ///< Above each side's own wall.
  std::vector<double> concavity_mm, concavity_u_mm;             ///< Depth below the chord, positive; 0 if none.
  std::vector<double> concavity_under_left_mm, concavity_under_right_mm;
  std::vector<double> misalignment_mm, misalignment_u_mm;  ///< b wall's h minus the a wall's.
  std::vector<Fusion> fusion_left, fusion_right;
  /// How likely the original edge is still there, as the fitted reader saw it, in [0, 1]: what the states above rest
  /// on.
  std::vector<double> unfused_left_chance, unfused_right_chance;

  /// Makes every array `lines` long: theta filled in, numbers not measured, fusion not visible.
  void Resize(std::size_t lines);
};

/// A circle round the bore beside the weld: the edge of a bored end or a turning mark, which one look does not tell
/// apart. Never a toe.
struct BoreRing {
  double z_mm = 0, u_mm = kNotMeasured;
  double seen_deg = 0;  ///< Of the circumference.
};

/// An arc of one kind of section: a class where a number may be out of reach. No verdict rests on it unless a criteria
/// set says that a class suffices; none that ships does.
struct SectionArc {
  double start_deg = 0, end_deg = 0;
  std::string kind;       ///< convex | flush | concave
  double chance = 0;      ///< Of that kind, the least over the arc; in (0, 1].
  double against_mm = 0;  ///< Convex, concave: by more than this over, under the chord of the toes.
};

/// Why a number is absent over an arc (clockwise from start to end; may wrap).
struct Why {
  std::string what;  ///< width_mm, crown_height_mm, fusion_right, ...
  double start_deg = 0, end_deg = 0;
  Reason reason;  ///< One sentence of English in the file.
};

/// An arc over which an edge of the insert is still to be seen.
struct UnfusedRun {
  double start_deg = 0, end_deg = 0;
  std::string side;       ///< left | right
  double confidence = 0;  ///< 0 to 1.
  double arc_mm = 0;      ///< Inside arc length.
  double arc_u_mm = kNotMeasured;
  std::string picture;  ///< File beside reading.json; empty = none written.
};

/// Something seen on the surface, with its number in ISO 6520-1 where it has one.
struct Indication {
  std::string kind, iso6520;
  double theta_deg = 0, z_mm = 0;
  double length_mm = kNotMeasured, width_mm = kNotMeasured, depth_mm = kNotMeasured;
  double length_u_mm = kNotMeasured, width_u_mm = kNotMeasured, depth_u_mm = kNotMeasured;
  double confidence = 0;
  std::string picture;
};

/// An arc that was searched (clockwise from start to end; may wrap).
struct SearchedArc {
  double start_deg = 0, end_deg = 0;
  double smallest_mm = 0;  ///< The smallest that would have been seen anywhere on it.
};

/// What was searched for one kind of indication. Nothing smaller, and nothing elsewhere, is said to be absent.
struct Searched {
  std::string kind;                   ///< pore | burn_through | undercut | scale | crack
  std::string side;                   ///< left | right toe; empty = bead and 1 mm beyond each toe.
  std::string size;                   ///< diameter | length: what smallest_mm is.
  double degrees = 0;                 ///< Of the circumference.
  double smallest_mm = kNotMeasured;  ///< The coarsest of all arcs; not measured where nothing was searched.
  std::vector<SearchedArc> arcs;
  Reason why;  ///< Why the rest was not searched, the commonest reason; empty when all round.
};

/// A sign that a person should look at; never a number.
struct Flag {
  std::string kind;  ///< concave_look, ...
  double start_deg = 0, end_deg = 0;
  Sentence text;
};

/// An arc of one side's wall that shows an oxide colour (vision/tint). Shades in the order of heat.
struct TintRun {
  double start_deg = 0, end_deg = 0;
  std::string side;                                           ///< left | right
  std::string shade;                                          ///< straw | blue_purple | grey_matt
  double reach_mm = kNotMeasured, reach_u_mm = kNotMeasured;  ///< Farthest end of the colour from the toe.
};

/// Heat tint beside the weld, where a white target in the same light belongs to the recording. Never an oxygen figure.
struct Tint {
  std::string against;                 ///< "white and bare metal" | "white": what the colours are told from.
  double left_deg = 0, right_deg = 0;  ///< Of the circumference assessed; the rest has its reason in `why`.
  std::vector<TintRun> runs;
};

/// How much of the circumference was examined, degrees. zone = weld and 12.7 mm each side.
struct Coverage {
  double left = 0, right = 0, zone = 0;
};

/// The flat picture that goes with the reading.
struct StripPicture {
  std::string file, mask_file;  ///< PNG beside reading.json; mask: 255 = seen.
  int columns = 0, rows = 0;    ///< columns: theta 0 at the left edge; rows: z growing downward.
  double theta_pitch_deg = 0, pitch_mm = 0, z_from_mm = 0;  ///< Centre of row 0 is z_from_mm.
  double resolution_mm = kNotMeasured;  ///< Median source-pixel size on the wall across the bead, along z.
  double smallest_line_mm =
      kNotMeasured;              ///< Median of the smallest line it could show across the bead (vision/resolve).
  std::string origin_file = {};  ///< Which frame each cell came from: 1 = first of `poses`, 0 = none; empty = none.
  /// Not empty: for the eye only, and why. The camera's place is not trusted, so neither z nor theta hold.
  Sentence eye_only = {};
};

/// The relief that goes with the reading: heights over the bore's cylinder, cell by cell (vision/relief/relief.h).
struct ReliefPicture {
  std::string file, u_file;  ///< 16-bit PNG: h_mm = (value - 32768) * 0.001, 0 = not measured; u_mm = value * 0.001.
  std::string how;           ///< light_section | travel
  int columns = 0, rows = 0;
  double theta_pitch_deg = 0, pitch_mm = 0, z_from_mm = 0;  ///< As for the strip.
  double shared_u_mm = 0;                                   ///< Part of u that cells a few mm apart share.
};

struct Reading {
  std::string program_version;
  std::string joint_id;
  std::vector<std::string> recordings;
  std::string stage;
  double bore_radius_mm = 0, bore_radius_u_mm = 0;
  bool weld_found = false;
  std::string read_by = {};      ///< The fitted readers of strip and stand: name, version, SHA-256; empty = none.
  std::string angles = "joint";  ///< joint | relative (the image's up was not given; theta 0 is the picture's up)
  bool calibrated = false;
  Sentence calibration_note;     ///< Why results are marked not calibrated, or on what the calibration stands.
  std::string z_zero;            ///< "mean of both toes" | "near toe and half the insert width" | ...
  std::string piece_a, piece_b;  ///< Names of the -z and +z pieces, for people.
  double insert_width_mm = kNotMeasured;
  std::vector<FramePose> poses;
  Profile profile;
  std::optional<std::string> height_by;   ///< light_section | travel | nullopt
  std::vector<SectionArc> sections = {};  ///< Where the kind of section is told; absent in older files.
  std::vector<Why> why;
  std::vector<UnfusedRun> unfused;
  std::vector<Indication> indications;
  std::vector<Searched> searched;  ///< Absent in older files: nothing is said to have been searched.
  std::vector<Flag> flags;
  std::vector<BoreRing> rings = {};  ///< Found beside the weld; absent in older files.
  std::optional<Tint> tint;          ///< Absent: colour not assessed, `why` (heat_tint) says why.
  Coverage coverage_deg;
  StripPicture strip;
  std::optional<ReliefPicture> relief;  ///< Where heights were measured.
  std::vector<Sentence> notes;          ///< About the whole reading (refused frames, assumptions).
};

/// The arc of one kind of section that the place lies in; null where none is told.
const SectionArc* SectionAt(const Reading& reading, double theta_deg);

/// @return The file's text (JSON, two-space indent, NaN as null).
std::string ToJson(const Reading& reading);

/// Reads and checks against the schema. @param name How the file is called in a message.
Result<Reading> FromJson(const std::string& text, const std::string& name);

}  // namespace vision::reading
