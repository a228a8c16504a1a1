#include "app/viewer/film_card.h"

#include <gmock/gmock.h>

#include <QElapsedTimer>
#include <QListView>
#include <QSignalSpy>
#include <QStatusBar>
#include <QTest>
#include <QTextBrowser>
#include <cmath>
#include <nlohmann/json.hpp>

#include "app/viewer/main_window.h"
#include "app/viewer/tiles.h"
#include "tests/viewer/heartbeat.h"
#include "tests/viewer/support.h"
#include "vision/base/file.h"
#include "vision/recording/film.h"

namespace app::viewer {
namespace {

using testing::HasSubstr;
namespace fs = std::filesystem;

const fs::path kDemo = fs::path(ROOTSCROLL_SOURCE_DIR) / "fixtures" / "demo";

QImage PushAt(double time_s) {
  auto film = vision::recording::Film::OpenAt((kDemo / "push.avi").string(), time_s);
  EXPECT_TRUE(film.ok());
  const auto frame = film.value().Next();
  EXPECT_TRUE(frame.ok() && frame.value());
  return ImageOf(cv::Mat3b(frame.value()->image));
}

/// Welding from 100 to 190 degrees, a degree every 10 ms from 0.6 s on; stood still at 140 degrees, broke off at 160.
std::string MadeUpArc(const std::string& recording, const std::string& source) {
  vision::arc::Welding w;
  w.recording = recording, w.source = source, w.info.kind = "video", w.duration_s = 5, w.frames = 50;
  w.radius_mm = 77.1, w.theta_u_deg = 0.4, w.mean_speed_u_mm_min = 1;
  for (int i = 0; i <= 90; ++i) w.course.moments.push_back({0.6 + 0.01 * i, i, 100.0 + i, 100, 5});
  w.course.burns.push_back({0.6, 1.5, 100, 190, 0, 0});
  w.course.stops = {{2.6, 3.9, 140, true}, {3.4, 5.4, 160, false}};
  const auto text = vision::arc::ToJson(w);
  EXPECT_TRUE(text.ok()) << text.error().message;
  return text.value();
}

class FilmCardTest : public testing::Test {
 protected:
  void OpenWelded(MainWindow& window, const std::string& recording = "push") {
    const auto joint = viewer_test::WriteMadeUpJoint(folder_.path());
    fs::copy(kDemo / "push.avi", folder_.path() / "push.avi");
    fs::create_directories(folder_.path() / "welding");
    ASSERT_FALSE(
        vision::WriteFileWhole(folder_.path() / "welding" / "arc.json", MadeUpArc(recording, "elsewhere/push.avi")));
    window.show();
    QSignalSpy opened(&window.desk(), &Desk::opened_joint);
    window.OpenPath(QString::fromStdString(joint.string()));
    ASSERT_TRUE(opened.wait(20000));
  }
  static void Trigger(MainWindow& window, const char* action) { window.findChild<QAction*>(action)->trigger(); }

  viewer_test::TemporaryFolder folder_;
};

TEST_F(FilmCardTest, AStopOfWeldingStandsFirstInTheListAndOnTheStrip) {
  MainWindow window;
  OpenWelded(window);
  const auto& things = window.desk().listed();
  ASSERT_GE(things.size(), 2u);
  EXPECT_EQ(things[0].sort, Listed::Sort::kStop);
  EXPECT_EQ(things[1].sort, Listed::Sort::kStop);
  auto* list = window.findChild<QListView*>("list");
  EXPECT_EQ(list->model()->index(0, 0).data().toString().toStdString(),
            "Welding stood still for 1.3 s, arc on, at 4:40 (140.0°) (0:00:02.6 in push.avi)");
  EXPECT_EQ(list->model()->index(1, 0).data().toString().toStdString(),
            "Welding was interrupted for 2.0 s at 5:20 (160.0°) (0:00:03.4 in push.avi)");
  // The layer's own pixels about 160 degrees, and none at 120.
  auto& page = window.page();
  const auto painted = [&](double theta) {
    const auto spot = page.layout_of_page().SpotOf(theta, 0);
    EXPECT_TRUE(spot);
    const QRect column(static_cast<int>(spot->x) - 2, static_cast<int>(spot->y) - 60, 5, 120);
    Layers layers = page.layers();
    layers.notes = true;
    page.SetLayers(layers);
    const QImage with = page.grab(column).toImage();
    layers.notes = false;
    page.SetLayers(layers);
    const QImage without = page.grab(column).toImage();
    return with != without;
  };
  window.desk().GoTo(0, 0);
  window.lens().hide();
  EXPECT_TRUE(painted(160));
  EXPECT_FALSE(painted(120));
}

TEST_F(FilmCardTest, ThePlaceSaysWhenItWasWeldedAndPlaysThatMoment) {
  MainWindow window;
  OpenWelded(window);
  window.desk().GoTo(170, 0);  // welded at 0.6 + 70 * 0.01 s = 1.3 s
  auto* words = window.findChild<QTextBrowser*>("words");
  EXPECT_THAT(words->toPlainText().toStdString(), HasSubstr("Welded at 0:00:01.3 in push.avi (place ±0.8°, k = 2)."));
  QSignalSpy shown(&window.film().player(), &FilmPlayer::shown);
  Trigger(window, "play_welding");
  ASSERT_TRUE(shown.wait(10000));
  EXPECT_TRUE(window.film().isVisible());
  const auto spot = window.page().layout_of_page().SpotOf(170, 0);
  ASSERT_TRUE(spot);
  EXPECT_FALSE(window.film().geometry().contains(QPointF(spot->x, spot->y).toPoint()));  // never over the place
  EXPECT_NEAR(shown[0][1].toDouble(), 0.3, 0.07);  // a second before, to the frame
  EXPECT_EQ(shown[0][0].value<QImage>(), PushAt(shown[0][1].toDouble()));
  // Another place: its moment.
  shown.clear();
  window.desk().GoTo(190, 0);
  ASSERT_TRUE(QTest::qWaitFor([&] { return !shown.empty() && std::abs(shown[0][1].toDouble() - 0.5) < 0.07; }, 10000));
  // Where the arc never was nothing is played that would stand for it.
  shown.clear();
  window.desk().GoTo(300, 0);
  EXPECT_THAT(words->toPlainText().toStdString(), HasSubstr("Not welded in push.avi."));
}

TEST_F(FilmCardTest, WhatBelongsToNoRecordingOfTheJointIsNotLaidOnTheStrip) {
  MainWindow window;
  OpenWelded(window, "another");
  EXPECT_FALSE(window.desk().opened().welded);
  ASSERT_EQ(window.desk().opened().remarks.size(), 1u);
  EXPECT_THAT(window.desk().opened().remarks[0], HasSubstr("no recording of this joint"));
  Trigger(window, "play_welding");
  EXPECT_FALSE(window.film().isVisible());
  EXPECT_THAT(window.statusBar()->currentMessage().toStdString(), HasSubstr("rootscroll arc"));
}

TEST_F(FilmCardTest, PlaysAtTheRecordingsPaceHoldsAndEnds) {
  QWidget page;
  page.resize(900, 700);
  page.show();
  FilmCard card(&page);
  QSignalSpy shown(&card.player(), &FilmPlayer::shown), ended(&card.player(), &FilmPlayer::ended);
  viewer_test::Heartbeat heart;
  const std::string film = (kDemo / "push.avi").string();
  card.Play({film, std::nullopt, 0}, "all", false);
  QElapsedTimer clock;
  ASSERT_TRUE(shown.wait(10000));
  clock.start();
  ASSERT_TRUE(ended.wait(30000));
  const double took_s = static_cast<double>(clock.elapsed()) / 1000, lasts_s = shown.back()[1].toDouble();
  EXPECT_GT(took_s, 0.9 * lasts_s - 0.1);  // never faster than it was
  for (int i = 1; i < shown.size(); ++i) EXPECT_GT(shown[i][1].toDouble(), shown[i - 1][1].toDouble());
  EXPECT_EQ(shown.size(), 24);  // every picture of the demo's push
  std::printf("played %.2f s in %.2f s, longest block %lld ms\n", lasts_s, took_s,
              static_cast<long long>(heart.longest_ms()));
  shown.clear();
  card.Play({film, 3, 0}, "from frame 3", false);
  ASSERT_TRUE(shown.wait(10000));
  EXPECT_EQ(shown[0][0].value<QImage>(), PushAt(shown[0][1].toDouble()));
  card.player().Pause(true);
  QTest::qWait(100);
  const auto held = shown.size();
  QTest::qWait(500);
  EXPECT_EQ(shown.size(), held);
  card.player().Pause(false);
  ASSERT_TRUE(shown.wait(5000));
  card.Away();
  QTest::qWait(300);
  shown.clear();
  QTest::qWait(300);
  EXPECT_TRUE(shown.empty());
  EXPECT_FALSE(card.isVisible());
}

TEST_F(FilmCardTest, WhatCannotBePlayedIsSaidInOneSentence) {
  MainWindow window;
  window.show();
  QSignalSpy failed(&window.film(), &FilmCard::failed);
  window.film().Play({"/nowhere/film.avi", std::nullopt, 0}, "nothing", false);
  ASSERT_TRUE(failed.wait(5000));
  EXPECT_THAT(failed[0][0].toString().toStdString(), HasSubstr("/nowhere/film.avi"));
  EXPECT_FALSE(window.film().isVisible());
}

TEST_F(FilmCardTest, PlaysFromTheFrameThatShowsThePlace) {
  auto json = nlohmann::json::parse(vision::ReadFileWhole(kDemo / "joint.json").value());
  json["recordings"].erase(0);  // the stills: the push alone is measured
  fs::copy(kDemo / "push.avi", folder_.path() / "push.avi");
  ASSERT_FALSE(vision::WriteFileWhole(folder_.path() / "joint.json", json.dump()));
  const auto joint = joint::LoadJoint(folder_.path() / "joint.json");
  ASSERT_TRUE(joint.ok());
  const auto failed = MeasureInto(joint.value(), folder_.path() / "measured");
  ASSERT_FALSE(failed) << failed->message;
  MainWindow window;
  window.show();
  QSignalSpy opened(&window.desk(), &Desk::opened_joint);
  window.OpenPath(QString::fromStdString((folder_.path() / "joint.json").string()));
  ASSERT_TRUE(opened.wait(20000));
  window.desk().GoTo(200, 1);
  ASSERT_TRUE(window.lens().marked());
  const auto file = FileOfFrame(window.desk().opened(), window.lens().marked()->frame);
  ASSERT_TRUE(file.ok() && file.value().video);
  const auto expected = LoadFrame(file.value());
  ASSERT_TRUE(expected.ok());
  QSignalSpy shown(&window.film().player(), &FilmPlayer::shown);
  Trigger(window, "play_place");
  ASSERT_TRUE(shown.wait(10000));
  EXPECT_EQ(shown[0][0].value<QImage>(), ImageOf(expected.value()));
  EXPECT_THAT(window.film().words().toStdString(),
              HasSubstr("push.avi from frame " + std::to_string(file.value().index)));
}

}  // namespace
}  // namespace app::viewer
