#include <gmock/gmock.h>

#include <limits>

#include "vision/arc/follow.h"
#include "vision/bead/toes.h"
#include "vision/live/watch.h"
#include "vision/match/change.h"
#include "vision/match/removed.h"
#include "vision/match/ring.h"
#include "vision/pose/axial_lines.h"
#include "vision/pose/doubt.h"
#include "vision/pose/ring_agreement.h"
#include "vision/reading/bore_rings.h"
#include "vision/reading/combine.h"
#include "vision/reading/film_frames.h"
#include "vision/reading/from_evidence.h"
#include "vision/reading/heights.h"
#include "vision/reading/rig.h"
#include "vision/reading/tint_step.h"
#include "vision/reading/toe_of_looks.h"
#include "vision/relief/light.h"
#include "vision/relief/light_track.h"
#include "vision/relief/section.h"
#include "vision/relief/travel_options.h"
#include "vision/scan/scan.h"
#include "vision/study/pod_plot.h"
#include "vision/surface/surface.h"
#include "vision/tint/tint.h"

namespace {

using testing::HasSubstr;
using namespace vision;  // NOLINT

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

template <class T>
class Options : public testing::Test {};

using All =
    testing::Types<arc::FollowOptions, arc::CourseOptions, bead::ToeOptions, live::ToesNowOptions, match::ChangeOptions,
                   match::FateOptions, match::DepthOptions, match::RingOptions, pose::AxialLineOptions,
                   pose::DoubtOptions, pose::RingAgreementOptions, reading::EdgeOptions, reading::FilmOptions,
                   reading::HeightOptions, reading::RigOptions, reading::RingOptions, reading::SightingOptions,
                   reading::StatingOptions, reading::TintRunOptions, reading::WidthOptions, relief::LightOptions,
                   relief::SectionOptions, relief::SweepOptions, relief::TravelOptions, scan::ScanOptions,
                   study::PodPlotOptions, surface::SurfaceOptions, tint::TintOptions, tint::WhiteOptions>;
TYPED_TEST_SUITE(Options, All);

TYPED_TEST(Options, AsTheyComeLieWithinTheirOwnRanges) {
  const auto broken = TypeParam{}.Check();
  EXPECT_FALSE(broken) << broken->message;
}

/// What an options struct says when one number that lies deeper in it is out of range.
template <class T, class Break>
std::string Said(Break break_one) {
  T options;
  break_one(options);
  const auto broken = options.Check();
  return broken ? broken->message : "nothing";
}

TEST(OptionsOutsideTheirRange, AreNamed) {
  EXPECT_THAT(Said<pose::AxialLineOptions>([](auto& o) { o.fine_deg = 0.5; }), HasSubstr("fine_deg"));  // over coarse
  EXPECT_THAT(Said<pose::RingAgreementOptions>([](auto& o) { o.columns = 250; }), HasSubstr("a multiple of sectors"));
  EXPECT_THAT(Said<pose::DoubtOptions>([](auto& o) { o.base = kNan; }), HasSubstr("DoubtOptions::base"));
  EXPECT_THAT(Said<match::RingOptions>([](auto& o) { o.max_gap_deg = 400; }), HasSubstr("max_gap_deg"));
  EXPECT_THAT(Said<reading::RigOptions>([](auto& o) { o.along_bore_deg = 90; }), HasSubstr("along_bore_deg"));
  EXPECT_THAT(Said<relief::SweepOptions>([](auto& o) { o.weld_from_mm = 1; }), HasSubstr("weld_from_mm"));  // over to
  EXPECT_THAT(Said<relief::TravelOptions>([](auto& o) { o.wall.beyond_mm[1] = 0; }), HasSubstr("beyond_mm"));
  EXPECT_THAT(Said<relief::TravelOptions>([](auto& o) { o.search.skews[0] = -2; }), HasSubstr("skews"));
  EXPECT_THAT(Said<study::PodPlotOptions>([](auto& o) { o.width_px = 0; }), HasSubstr("width_px"));
}

TEST(NestedOptions, AreAskedByTheStructTheyLieIn) {
  EXPECT_EQ(Said<surface::SurfaceOptions>([](auto& o) { o.pores.sector_deg = 1; }),
            "PoreOptions::sector_deg is 1; it must be 5 to 360.");
  EXPECT_THAT(Said<surface::SurfaceOptions>([](auto& o) { o.scale.step_mm = kNan; }),
              HasSubstr("ScaleOptions::step_mm"));
  EXPECT_THAT(Said<tint::TintOptions>([](auto& o) { o.bins.blown_out = 300; }), HasSubstr("BinOptions::blown_out"));
  EXPECT_THAT(Said<bead::ToeOptions>([](auto& o) { o.edge.step_unit = 0; }), HasSubstr("EdgeOptions::step_unit"));
  EXPECT_THAT(Said<bead::ToeOptions>([](auto& o) { o.hollow.dark_share = 2; }), HasSubstr("HollowOptions::dark_share"));
  EXPECT_THAT(Said<relief::LightOptions>([](auto& o) { o.cuts.bridged_mm = -1; }),
              HasSubstr("LightCutOptions::bridged_mm"));
  EXPECT_THAT(Said<relief::LightOptions>([](auto& o) { o.drawing.pitch_mm = 0; }),
              HasSubstr("DrawingOptions::pitch_mm"));
  EXPECT_THAT(Said<relief::SectionOptions>([](auto& o) { o.toes.rounds = 0; }), HasSubstr("SectionToeOptions::rounds"));
  EXPECT_THAT(Said<relief::TravelOptions>([](auto& o) { o.wall.around = 0; }), HasSubstr("TravelWallOptions::around"));
  EXPECT_THAT(Said<match::ChangeOptions>([](auto& o) { o.outline.directions = 3; }),
              HasSubstr("OutlineOptions::directions"));
  EXPECT_THAT(Said<match::DepthOptions>([](auto& o) { o.footprint.high_share = 2; }),
              HasSubstr("FootprintOptions::high_share"));
  EXPECT_THAT(Said<arc::CourseOptions>([](auto& o) { o.burning.rising = 0.5; }), HasSubstr("BurningOptions::rising"));
  EXPECT_THAT(Said<arc::FollowOptions>([](auto& o) { o.pool.most = -1; }), HasSubstr("PoolOptions::most"));
  EXPECT_THAT(Said<scan::ScanOptions>([](auto& o) { o.burned_in.window_s = 0; }),
              HasSubstr("BurnedInOptions::window_s"));
  EXPECT_THAT(Said<scan::ScanOptions>([](auto& o) { o.sort.cue.places = 0; }), HasSubstr("CueOptions::places"));
}

}  // namespace
