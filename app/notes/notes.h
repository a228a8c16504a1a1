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

/// u of a place set by hand on the strip, mm.
double PickU(const vision::reading::Reading& reading);

/// The reading with what people decided: toes by hand, runs and indications overruled taken out, accepted annotations
/// of a judged kind put in. Everything so changed is a flag "by_hand" and a note with the author.
vision::reading::Reading Edited(const vision::reading::Reading& measured, const Notes& notes);

/// @return Text of the file.
std::string ToJson(const Notes& notes);

/// @return kBadInput naming file, field and what would be right.
vision::Result<Notes> FromJson(const std::string& text, const std::string& name);

/// First thing wrong with a note, as one sentence.
vision::Status Check(const Note& note);

}  // namespace app::notes
