#pragma once

#include <optional>
#include <string>
#include <vector>

#include "vision/base/result.h"
#include "vision/reading/reading.h"

/// What people write on a joint's strip, kept apart from what was measured (JSON `rootscroll.notes/1`). Places are
/// theta and z (vision/bore/bore.h), never pixels.
namespace app::notes {

enum class Shape { kPoint, kLine, kBox, kOutline, kText };
enum class Status { kOpen, kAccepted, kRejected };

std::string NameOf(Shape shape);    ///< point | line | box | outline | text
std::string NameOf(Status status);  ///< open | accepted | rejected

struct Place {
  double theta_deg = 0, z_mm = 0;
  bool operator==(const Place&) const = default;
};

/// Who wrote something, and when.
struct Signed {
  std::string author;
  std::string time;  ///< ISO 8601, UTC.
  bool operator==(const Signed&) const = default;
};

struct Note {
  int id = 0;  ///< > 0, unique in its file.
  Shape shape = Shape::kPoint;
  std::string kind;           ///< Kind::id.
  std::vector<Place> points;  ///< point, text: 1; box: 2 corners; line: 2 or more; outline: 3 or more.
  std::string text;
  Status status = Status::kOpen;
  std::string reason;  ///< Why accepted or rejected; needed when rejected.
  Signed by;
  bool operator==(const Note&) const = default;
};

/// What a person says about something that was measured. The measurement stays as it is; both are kept.
struct Ruling {
  std::string about;  ///< FingerprintOf(run or indication).
  bool overruled = false;
  std::string reason;  ///< Must not be empty when overruled.
  Signed by;
  bool operator==(const Ruling&) const = default;
};

/// A toe set by hand over a stretch, clockwise through `points`; z between them is linear.
struct HandToe {
  std::string side;           ///< left | right
  std::vector<Place> points;  ///< Two or more; theta grows, may pass 360.
  Signed by;
  std::string reason = {};                     ///< Why the measured one is not right; older files have none.
  std::vector<std::vector<Place>> again = {};  ///< Further placings of the same stretch: how well a hand repeats it.
  bool operator==(const HandToe&) const = default;
};

struct Notes {
  std::string joint_id;
  std::vector<Note> notes;
  std::vector<Ruling> rulings;
  std::vector<HandToe> toes;  ///< Later ones win where they overlap.
  bool operator==(const Notes&) const = default;

  int NextId() const;
  const Note* Find(int id) const;
  const Ruling* RulingOn(const std::string& about) const;
};

/// Names a measured thing by side or kind and rounded place (whole degrees), so that a ruling survives measuring again
/// within half a degree.
std::string FingerprintOf(const vision::reading::UnfusedRun& run);
std::string FingerprintOf(const vision::reading::Indication& indication);

/// Size of an annotation on the wall, NaN where its shape has none. length: the larger extent, width: across it.
/// u from one source pixel at either end (rectangular, JCGM 100:2008 4.3.7) and the scale's own uncertainty (bore
/// radius and camera offset).
struct Extent {
  double length_mm = vision::reading::kNotMeasured, length_u_mm = vision::reading::kNotMeasured;
  double width_mm = vision::reading::kNotMeasured, width_u_mm = vision::reading::kNotMeasured;
};
Extent ExtentOf(const Note& note, const vision::reading::Reading& reading);

/// u of a click on a place that shows plainly on the strip, mm: half a source pixel, rectangular.
double PickU(const vision::reading::Reading& reading);

/// How well a hand finds a toe.
struct HandOptions {
  /// u of one placing of a toe, mm, > 0. An assumption, named as such wherever it is used, until somebody places the
  /// same stretch again: no repeat study of people has been made; chosen not below the u of the program's own toes.
  double assumed_u_mm = 0.4;
  int placings_needed = 5;  ///< In [3, 50]; placings of a stretch from which u is taken from their spread.
  vision::Status Check() const;
};

/// u of a toe set by hand and where it comes from.
struct HandU {
  double u_mm = 0;
  bool assumed = true;  ///< false: from the spread of `placings` placings.
  int placings = 1;
};
/// The spread of the placings (pooled over whole degrees) and a click's own u; with too few placings the assumed u.
HandU HandUOf(const HandToe& toe, const vision::reading::Reading& reading, const HandOptions& options = {});

/// Whether an annotation enters the verdict: accepted, of a judged kind, no marked place.
bool Counts(const Note& note);
/// Whether it is an edge of the insert that a person saw.
bool IsEdge(const Note& note);

/// The reading with what people put in: toes by hand, accepted annotations of a judged kind. Runs and indications that
/// were measured stay, overruled or not (app/known says which). Everything so put in is a flag "by_hand" and a note
/// with the author.
vision::reading::Reading Edited(const vision::reading::Reading& measured, const Notes& notes);

/// @return Text of the file.
std::string ToJson(const Notes& notes);

/// @return kBadInput naming file, field and what would be right.
vision::Result<Notes> FromJson(const std::string& text, const std::string& name);

/// First thing wrong with a note, as one sentence.
vision::Status Check(const Note& note);
/// A toe needs a side, two or more points and, where it is made anew, a reason.
vision::Status Check(const HandToe& toe, bool needs_reason = true);

}  // namespace app::notes
