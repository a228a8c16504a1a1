#pragma once

#include <string>
#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/scan/burned_in.h"
#include "vision/scan/sort.h"
#include "vision/scan/structure_cue.h"
#include "vision/scan/weld_cue.h"

/// Sorts a whole recording: what each stretch shows, the welds, and the best stretch to measure each by.
namespace vision::scan {

/// Source: not noted, so taken as chosen; where a field says none.
struct ScanOptions {
  double look_every_s = 0.2;  ///< One frame is looked at in so much of the recording; > 0.
  double weld_every_s = 1.0;  ///< The weld is looked for as often; at least look_every_s.
  int width_px = 320;         ///< Pictures are made about this wide before they are looked at; in [160, 480].
  double stop_after_s = 0;    ///< For sources that never end; 0 = to the end.
  SortOptions sort;
  /// Where light tells no weld and camera and bore are known.
  StructureCueOptions structure;
  BurnedInOptions burned_in;

  [[nodiscard]] Status Check() const;
};

struct Scanned {
  std::string source;
  recording::StreamInfo info;
  double duration_s = 0;  ///< From the first frame to the last.
  long frames = 0, looked_at = 0;
  bool camera_known = false;
  std::vector<FrameLook> looks;
  std::vector<recording::Damage> damage;
  std::vector<BurnedIn> burned_in;  ///< Text and marks in the picture.
  Sorted sorted;
  std::vector<std::string> notes;
};

/// @param camera nullptr: a lens is guessed for each size of picture, and the notes say so.
/// @return kBadInput for a camera of another size than the recording; kCancelled; as FrameStream.
Result<Scanned> Scan(const std::string& source, const CameraKnown* camera, const ScanOptions& options = {},
                     const JobContext& job = {});

/// `rootscroll.scan/1`, whole and checked against its schema (scan.schema.json).
Result<std::string> ToJson(const Scanned& scanned);

/// First broken rule of a scan.json; `name` goes into the sentence.
Status CheckScanJson(const std::string& text, const std::string& name);

/// The recording as one picture: a band of what it shows over the minutes, each kind with its own height and hatching
/// so that it can be read without colour, welds and proposed stretches named, sharpness and light below.
cv::Mat3b TimelinePicture(const Scanned& scanned);

/// h:mm:ss.s
std::string ClockText(double time_s);

}  // namespace vision::scan
