#include <gmock/gmock.h>

#include <QComboBox>
#include <QPushButton>
#include <QSignalSpy>
#include <QTest>
#include <set>

#include "app/viewer/main_window.h"
#include "app/viewer/timeline_view.h"
#include "app/viewer/timeline_words.h"
#include "tests/viewer/film.h"
#include "tests/viewer/support.h"

namespace app::viewer {
namespace {

using testing::HasSubstr;
using vision::scan::Shows;

/// One film, sorted once for all tests.
class TimelineTest : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    folder_ = new viewer_test::TemporaryFolder;
    parts_ = viewer_test::WriteFilm(folder_->path());
    auto made = SortRecording(folder_->path() / "film.avi");
    ASSERT_TRUE(made.ok()) << made.error().message;
    timeline_ = std::make_shared<const Timeline>(std::move(made).value());
  }
  static void TearDownTestSuite() {
    timeline_.reset();
    delete folder_;
  }
  static const vision::scan::Stretch& At(double time_s) {
    for (const auto& stretch : timeline_->scanned.sorted.stretches)
      if (time_s >= stretch.from_s && time_s < stretch.to_s) return stretch;
    return timeline_->scanned.sorted.stretches.back();
  }
  static int Column(const TimelineBand& band, double time_s) { return static_cast<int>(std::lround(band.XOf(time_s))); }

  static inline viewer_test::TemporaryFolder* folder_ = nullptr;
  static inline std::vector<viewer_test::Part> parts_;
  static inline std::shared_ptr<const Timeline> timeline_;
};

TEST_F(TimelineTest, FilmIsSortedAsItWasSplicedWithTheCameraOfItsJointFile) {
  for (const auto& part : parts_)
    EXPECT_EQ(vision::scan::NameOf(At((part.from_s + part.to_s) / 2).shows), vision::scan::NameOf(part.shows))
        << part.from_s;
  EXPECT_TRUE(timeline_->scanned.camera_known);
  EXPECT_EQ(timeline_->recording, "push");
  EXPECT_FALSE(timeline_->scanned.burned_in.empty());
}

TEST_F(TimelineTest, StretchesStandWhereTheirTimesSayAndEachKindLooksDifferentInGrey) {
  TimelineBand band;
  band.resize(1000, 69);
  band.Show(timeline_);
  const QImage image = band.grab().toImage().convertToFormat(QImage::Format_Grayscale8);
  std::set<QByteArray> looks;
  for (const auto& part : parts_) {
    if (part.from_s == 16) continue;  // the second look at the weld looks like the first
    const auto& stretch = At((part.from_s + part.to_s) / 2);
    std::size_t index = 0;
    while (&timeline_->scanned.sorted.stretches[index] != &stretch) ++index;
    const QRectF rect = band.RectOf(index);
    EXPECT_NEAR(rect.left(), band.XOf(stretch.from_s), 1);
    EXPECT_NEAR(rect.right(), band.XOf(stretch.to_s), 1);
    // A piece beside the word, 16 px of each row.
    QByteArray look;
    for (int y = 0; y < 16; ++y)
      for (int x = 0; x < 16; ++x)
        look.append(static_cast<char>(
            image.pixelColor(static_cast<int>(rect.left()) + 4 + x, static_cast<int>(rect.top()) + 4 + y).value()));
    EXPECT_TRUE(looks.insert(look).second) << vision::scan::NameOf(stretch.shows) << " looks like another kind";
  }
  EXPECT_EQ(looks.size(), 5u);
}

TEST_F(TimelineTest, WhatIsProposedHasItsBracketAndTheMouseIsToldTimeAndReason) {
  TimelineBand band;
  band.resize(1000, 69);
  band.Show(timeline_);
  const auto& welds = timeline_->scanned.sorted.welds;
  ASSERT_FALSE(welds.empty());
  ASSERT_TRUE(welds[0].proposed);
  EXPECT_NEAR(band.TimeAt(band.BracketOf(0).left()), welds[0].best_from_s, 0.03);
  EXPECT_NEAR(band.TimeAt(band.BracketOf(0).right()), welds[0].best_to_s, 0.03);
  const auto& scanned = timeline_->scanned;
  const double proposed_s = (welds[0].best_from_s + welds[0].best_to_s) / 2;
  EXPECT_THAT(TimelineWords::AtTime(scanned, proposed_s).toStdString(), HasSubstr("Proposed for measuring weld 1."));
  EXPECT_THAT(TimelineWords::AtTime(scanned, 9).toStdString(), HasSubstr("0:00:09.0: lights off (0:00:08"));
  EXPECT_THAT(TimelineWords::AtTime(scanned, 14.5).toStdString(), HasSubstr("blurred"));
  EXPECT_THAT(TimelineWords::Whole(*timeline_).toStdString(), HasSubstr("burned into the picture"));
}

TEST_F(TimelineTest, EveryReasonTheSorterGivesHasWordsOfItsOwn) {
  using vision::scan::NotProposed;
  EXPECT_EQ(TimelineWords::Why({NotProposed::kGlareOnWall, 5}), "glare over more than 5 % of the wall");
  EXPECT_EQ(TimelineWords::Why({NotProposed::kTooFar, 2}), "too far: more than 2.0 bore radii from the weld");
  std::set<QString> words;
  for (int i = 0; i <= static_cast<int>(NotProposed::kOtherBetter); ++i) {
    const vision::scan::WhyNotProposed why{static_cast<NotProposed>(i), 2};
    EXPECT_EQ(TimelineWords::Why(why).isEmpty(), why.code == NotProposed::kUsable) << i;
    words.insert(TimelineWords::Why(why));
  }
  EXPECT_EQ(words.size(), static_cast<std::size_t>(NotProposed::kOtherBetter) + 1);
  std::set<QString> shorts;
  for (int i = 0; i <= static_cast<int>(Shows::kDamaged); ++i)
    shorts.insert(TimelineWords::Short(static_cast<Shows>(i)));
  EXPECT_EQ(shorts.size(), 7u);
}

TEST_F(TimelineTest, AClickHangsTheFrameOfThatMoment) {
  MainWindow window;
  window.show();
  window.timeline().Show(timeline_);
  QSignalSpy shown(&window.timeline(), &TimelineView::frameShown);
  auto& band = window.timeline().band();
  QTest::mouseClick(&band, Qt::LeftButton, {}, QPoint(Column(band, 9), 30));  // lights off
  ASSERT_TRUE(shown.wait(10000));
  EXPECT_NEAR(shown[0][0].toDouble(), 9, 0.02);
  auto* frame = window.timeline().frame();
  ASSERT_TRUE(frame && frame->isVisible());
  EXPECT_LT(frame->image().pixelColor(200, 360).value(), 20);
  QTest::mouseClick(&band, Qt::LeftButton, {}, QPoint(Column(band, 5), 30));  // in light
  ASSERT_TRUE(shown.wait(10000));
  EXPECT_GT(frame->image().pixelColor(200, 360).value(), 40);
  EXPECT_THAT(window.timeline().words().toStdString(), HasSubstr("at a weld"));
  QTest::keyClick(&band, Qt::Key_PageDown);  // to the next stretch
  ASSERT_TRUE(shown.wait(10000));
  EXPECT_NEAR(*band.chosen_s(), At(8.5).from_s, 1e-6);
}

TEST_F(TimelineTest, TheProposedStretchIsTakenOutAndItsJointFileIsMeasured) {
  const auto request = TakeStretch(*timeline_, 0);
  ASSERT_TRUE(request.ok()) << request.error().message;
  ASSERT_FALSE(request.value().bare());
  const auto joint = joint::LoadJoint(request.value().joint_file);
  ASSERT_TRUE(joint.ok()) << joint.error().message;
  ASSERT_EQ(joint.value().recordings.size(), 1u);
  const auto& frames = joint.value().recordings[0].frames;
  EXPECT_EQ(frames.size(), 6u);
  EXPECT_EQ(frames[0].camera, "head-video");
  EXPECT_EQ(frames[0].looks, "+z");
  const auto& weld = timeline_->scanned.sorted.welds[0];
  for (const auto& frame : frames) {
    const int index = std::atoi(frame.file.stem().string().substr(6).c_str());
    EXPECT_GE(index, weld.best_from_s * 10 - 0.5);
    EXPECT_LE(index, weld.best_to_s * 10 + 0.5);
  }
  EXPECT_FALSE(TakeStretch(*timeline_, 99).ok());
}

TEST_F(TimelineTest, SortingRunsAsAJobThatCanBeStopped) {
  MainWindow window;
  window.show();
  QSignalSpy sorted(&window.timeline(), &TimelineView::sorted), remarked(&window.timeline(), &TimelineView::remarked);
  window.timeline().Sort(QString::fromStdString((folder_->path() / "film.avi").string()));
  window.desk().jobs().Cancel();
  ASSERT_TRUE(QTest::qWaitFor([&] { return !remarked.empty() || !sorted.empty(); }, 20000));
  EXPECT_TRUE(sorted.empty());
  EXPECT_FALSE(window.timeline().isVisible());
  window.timeline().Sort(QString::fromStdString((folder_->path() / "film.avi").string()));
  ASSERT_TRUE(sorted.wait(30000));
  EXPECT_TRUE(window.timeline().isVisible());
  EXPECT_EQ(window.timeline().timeline()->scanned.sorted.stretches.size(), timeline_->scanned.sorted.stretches.size());
  EXPECT_TRUE(window.findChild<QPushButton*>("timeline_measure")->isEnabled());
}

TEST_F(TimelineTest, WhatIsNoRecordingIsSaidInOneSentence) {
  MainWindow window;
  QSignalSpy failed(&window.timeline(), &TimelineView::failed);
  window.timeline().Sort("/nowhere/film.avi");
  ASSERT_TRUE(failed.wait(10000));
  EXPECT_THAT(failed[0][0].toString().toStdString(), HasSubstr("/nowhere/film.avi"));
}

}  // namespace
}  // namespace app::viewer
