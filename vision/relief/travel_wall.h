#pragma once

#include "vision/relief/travel_line.h"

/// What the bare wall tells: its own gloss, light that comes round, the lamps' ring, and each frame's gain.
namespace vision::relief {

struct WallTold {
  Gloss gloss;
  double ambient = 0.03;
  LampRing lamps;
  double residual = kNotMeasured;  ///< Median absolute deviation of ln light about what is told.
  int places = 0;                  ///< Of bare wall, seen in three or more frames.
};

/// The same places of bare wall, seen from several distances, tell how it shines: their albedo cancels, and each
/// frame's gain is left free. @return kNotFound where too little bare wall is shared by the frames.
Result<WallTold> AskWall(const std::vector<TravelFrame>& frames, const Samples& samples, const TravelOptions& options);

/// Gain of each frame at each line (line by frame), by the wall beside the toes, even round the bore; and the wall's
/// usual albedo. Written into `scenery`, whose stands, gloss and ambient are set.
void SetGains(const Samples& samples, const std::vector<double>& frame_gain, Scenery& scenery,
              const TravelWallOptions& o);

/// ln gain of each frame by the wall at large. @param told As AskWall says.
std::vector<double> FrameGains(const std::vector<TravelFrame>& frames, const Samples& samples, const WallTold& told,
                               const TravelSampleOptions& travel_sample, const TravelWallOptions& travel_wall);

}  // namespace vision::relief
