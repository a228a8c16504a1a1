// What was measured and what a person decided, both always shown: strip, end view, list, welder's view; one legend for
// all of them; the rings' rule; typed numbers; both languages.
#include <gmock/gmock.h>

#include <QComboBox>
#include <QDialogButtonBox>
#include <QLabel>
#include <QLineEdit>
#include <QListView>
#include <QPushButton>
#include <QSignalSpy>
#include <QTableWidget>
#include <QTest>
#include <QTextBrowser>
#include <QTranslator>
#include <nlohmann/json.hpp>
#include <set>

#include "app/viewer/buttons.h"
#include "app/viewer/commands.h"
#include "app/viewer/judge_sheet.h"
#include "app/viewer/legends.h"
#include "app/viewer/main_window.h"
#include "app/viewer/page_paint.h"
#include "app/viewer/pipe_end.h"
#include "app/viewer/report_sheet.h"
#include "app/viewer/toe_sheet.h"
#include "tests/viewer/support.h"
#include "vision/base/file.h"

namespace app::viewer {
namespace {

namespace fs = std::filesystem;
using marks::Means;
using testing::HasSubstr;
using testing::Not;

/// Pixels of a picture that are this meaning's own colour.
int Count(const QImage& picture, Means means, int off = 9) {
  const QColor colour = ColourOf(means);
  int count = 0;
  for (int y = 0; y < picture.height(); ++y)
    for (int x = 0; x < picture.width(); ++x) {
      const QColor c = picture.pixelColor(x, y);
      count += std::abs(c.red() - colour.red()) + std::abs(c.green() - colour.green()) +
                   std::abs(c.blue() - colour.blue()) <=
               off;
    }
  return count;
}

/// Of everything the page paints over the picture, on a grey strip.
QImage StripOf(MainWindow& window) { return window.page().grab().toImage(); }

class OneTruth : public testing::Test {
 protected:
  void SetUp() override {
    joint_ = viewer_test::WriteMadeUpJoint(folder_.path());
    window_.show();
    QSignalSpy opened(&window_.desk(), &Desk::opened_joint);
    window_.OpenPath(QString::fromStdString(joint_.string()));
    ASSERT_TRUE(opened.wait(20000));
    window_.lens().hide();
    window_.open_document = nullptr;
  }
  Desk& desk() { return window_.desk(); }
  std::string List() {
    std::string text;
    auto* model = window_.findChild<QListView*>("list")->model();
    for (int row = 0; row < model->rowCount(); ++row)
      text += model->index(row, 0).data().toString().toStdString() + "\n";
    return text;
  }
  std::string Welder() { return Words::ForWelder(desk().known(), {}).toStdString(); }
  void Overrule() {
    ASSERT_FALSE(Rule(desk(), notes::FingerprintOf(desk().opened().reading.unfused[0]), true, "looked at abeam"));
  }

  viewer_test::TemporaryFolder folder_;
  fs::path joint_;
  MainWindow window_;
};

/// The made-up reading has one run, 200 to 230 degrees on side a, and fused all round otherwise.
TEST_F(OneTruth, AnOverruledRunStaysAsMeasuredAndSaysWhoAndWhyInEveryView) {
  ASSERT_EQ(Count(StripOf(window_), Means::kOverruled), 0);
  ASSERT_GT(Count(window_.end_view().grab().toImage(), Means::kUnfused), 30);
  Overrule();
  const std::string why = "overruled by R. Example";
  EXPECT_GT(Count(StripOf(window_), Means::kOverruled), 200);
  EXPECT_EQ(Count(StripOf(window_), Means::kUnfused), 0);
  EXPECT_GT(Count(window_.end_view().grab().toImage(), Means::kOverruled), 30);
  EXPECT_THAT(List(), HasSubstr("OVERRULED: Original edge visible"));
  EXPECT_THAT(List(), HasSubstr(why));
  EXPECT_THAT(List(), HasSubstr("because: looked at abeam"));
  EXPECT_THAT(Welder(), HasSubstr("overruled by a person"));
  EXPECT_THAT(Welder(), HasSubstr("because: looked at abeam"));
  EXPECT_THAT(Welder(), Not(HasSubstr("NOT FUSED")));
  desk().GoTo(215, -2);
  const auto words = window_.findChild<QTextBrowser*>("words")->toPlainText().toStdString();
  EXPECT_THAT(words, HasSubstr("measured: ORIGINAL EDGE VISIBLE (unfused); a person overruled it"));
  EXPECT_THAT(words, HasSubstr("because: looked at abeam"));
  JudgeSheet judge(desk());
  bool said = false;
  auto* rules = judge.findChild<QTableWidget*>("rules");
  for (int row = 0; row < rules->rowCount(); ++row)
    said =
        said || (rules->item(row, 0)->text() == "overruled" && rules->item(row, 3)->text().contains("looked at abeam"));
  EXPECT_TRUE(said) << "Judge names the measured run, the person and the reason";
}

TEST_F(OneTruth, AToeByHandAsksWhyKeepsTheMeasuredOneAndItsDoubtIsNamedAsAssumed) {
  EXPECT_TRUE(viewer_test::SetToe(desk(), {{300, -4}, {330, -4}}, "")) << "no reason: refused";
  const auto drawn = ToeDrawn(desk(), {{300, -4}, {330, -4}});
  ASSERT_TRUE(drawn.ok());
  EXPECT_FALSE(PlacedBefore(desk().notes(), drawn.value()));
  ToeSheet sheet(desk(), drawn.value(), std::nullopt);
  QMetaObject::invokeMethod(sheet.findChild<QDialogButtonBox*>(), "accepted");
  EXPECT_EQ(sheet.result(), QDialog::Rejected);
  EXPECT_THAT(sheet.findChild<QLabel*>("wrong")->text().toStdString(), HasSubstr("needs a reason"));
  const int measured = Count(StripOf(window_), Means::kToe, 90);
  ASSERT_FALSE(viewer_test::SetToe(desk(), {{300, -4}, {330, -4}}, "a scratch was followed"));
  EXPECT_GT(Count(StripOf(window_), Means::kToeByHand), 20);
  ASSERT_GT(measured, 100);
  EXPECT_GT(Count(StripOf(window_), Means::kToe, 90), measured * 9 / 10) << "the measured toe stays";
  EXPECT_GT(Count(window_.end_view().grab().toImage(), Means::kToeByHand), 5);
  EXPECT_THAT(List(), HasSubstr("because: a scratch was followed"));
  EXPECT_THAT(List(), HasSubstr("is assumed until it is placed five times (now 1)"));
  EXPECT_THAT(Welder(), HasSubstr("a scratch was followed"));
  // The width there is less certain than before, not more (measured u 0.3 mm a toe, 0.25 mm the width).
  EXPECT_GT(desk().edited().profile.width_u_mm[630], 0.25);
  // Four more placings, spread by hand: 0, 0.1, -0.1, 0.2, -0.2 about -4 mm; their standard deviation is 0.158 mm.
  for (const double off : {0.1, -0.1, 0.2, -0.2}) {
    auto again = ToeDrawn(desk(), {{301, -4 + off}, {329, -4 + off}}).value();
    const auto before = PlacedBefore(desk().notes(), again);
    ASSERT_TRUE(before);
    ASSERT_FALSE(PlaceAgain(desk(), *before, again));
  }
  ASSERT_EQ(desk().known().toes.size(), 1u);
  EXPECT_FALSE(desk().known().toes[0].u.assumed);
  EXPECT_NEAR(desk().known().toes[0].u.u_mm, std::hypot(0.158, notes::PickU(desk().opened().reading)), 0.005);
  EXPECT_THAT(List(), HasSubstr("from 5 placings"));
}

/// Which ring is whose: told by the ring a click goes to and by the name that stands on it; turning round changes both.
TEST_F(OneTruth, TheEndOneLooksFromIsTheOuterRingAndItsNameStandsOnIt) {
  auto& end = window_.end_view();
  QString side;
  QObject::connect(&end, &EndView::asked, [&](double, bool left) { side = left ? "a" : "b"; });
  for (const bool from_b : {false, true}) {
    end.SetFromB(from_b);
    const QPointF outer = end.SpotOf(90);
    QTest::mouseClick(&end, Qt::LeftButton, {}, outer.toPoint());
    EXPECT_EQ(side, from_b ? "b" : "a");
    const QString near = from_b ? "b: elbow 7-4 end" : "a: spool 7-3 end",
                  far = from_b ? "a: spool 7-3 end" : "b: elbow 7-4 end";
    EXPECT_EQ(end.NameOnRing(marks::Ring::kOuter), near);
    EXPECT_EQ(end.NameOnRing(marks::Ring::kInner), far);
    EXPECT_THAT(end.Caption().toStdString(), HasSubstr("outer ring " + near.mid(3).toStdString()));
    EXPECT_THAT(end.Caption().toStdString(), HasSubstr("inner ring " + far.mid(3).toStdString()));
    // The only run is on side a: it is painted on the ring that bears a's name.
    const QImage seen = end.grab().toImage();
    int on_outer = 0, on_inner = 0;
    const QPointF spot = end.SpotOf(215), axis = end.Middle();
    const double radius = std::hypot(spot.x() - axis.x(), spot.y() - axis.y());
    for (double share = 0.5; share < 1.12; share += 0.01) {
      const QPointF at = axis + share * (spot - axis);
      const QColor c = seen.pixelColor(at.toPoint()), want = ColourOf(Means::kUnfused);
      const bool is = std::abs(c.red() - want.red()) + std::abs(c.green() - want.green()) < 30;
      (share * radius > 0.64 / 0.755 * radius ? on_outer : on_inner) += is;
    }
    EXPECT_GT(from_b ? on_inner : on_outer, 2);
    EXPECT_EQ(from_b ? on_outer : on_inner, 0);
  }
}

/// Every colour that a view shows is in its legend, with words.
TEST_F(OneTruth, TheLegendSaysEveryColourThatIsShown) {
  Overrule();
  ASSERT_FALSE(viewer_test::SetToe(desk(), {{300, -4}, {330, -4}}));
  notes::Note note;
  note.shape = notes::Shape::kPoint, note.kind = "tack", note.points = {{20, 0}};
  ASSERT_FALSE(AddNote(desk(), note));
  note.kind = "remark", note.points = {{25, 0}};
  ASSERT_FALSE(AddNote(desk(), note));
  const auto legends = window_.findChildren<LegendView*>();
  std::set<Means> said;
  int visible = 0;
  for (const auto* legend : legends) {
    said.insert(legend->shown().begin(), legend->shown().end());
    visible += legend->isVisible();
    for (const auto means : legend->shown()) EXPECT_FALSE(LegendView::WordsOf(means).isEmpty());
  }
  EXPECT_GE(visible, 2) << "strip and end view";
  for (const auto means : {Means::kFused, Means::kNotVisible, Means::kOverruled, Means::kToe, Means::kToeByHand,
                           Means::kNote, Means::kMarkedPlace, Means::kValue, Means::kUncertainty}) {
    EXPECT_TRUE(said.count(means)) << marks::MarkOf(means).words;
  }
  const QImage strip = StripOf(window_), end = window_.end_view().grab().toImage();
  const auto& page = OnPage(desk(), window_.page().layers(), Against::kNone);
  for (const auto& mark : marks::LegendOf(marks::kOnEndView))
    if (Count(end, mark.means) > 20) {
      const auto& listed = OnEndView(desk());
      EXPECT_TRUE(std::count(listed.begin(), listed.end(), mark.means)) << mark.words;
    }
  EXPECT_TRUE(std::count(page.begin(), page.end(), Means::kOverruled));
}

/// The layer is off until asked for; then chance and spread are on the strip and in its legend, and in words at the
/// cross-hair with the model's name.
TEST_F(OneTruth, WhatTheProgramSawIsShownWhereAPersonMayDisagree) {
  auto* layer = window_.findChild<QAction*>("layer_reader");
  const auto listed = [&] { return OnPage(desk(), window_.page().layers(), Against::kNone); };
  const auto has = [](const std::vector<Means>& means, Means one) {
    return std::count(means.begin(), means.end(), one) > 0;
  };
  EXPECT_FALSE(layer->isChecked() || has(listed(), Means::kChance));
  EXPECT_EQ(Words::AsSeenAt(desk().known().measured, 210).toStdString(),
            "the program saw: original edge still there, a 80 %, b not in sight (strip_reader 0)");
  EXPECT_THAT(Words::AsSeenAt(desk().known().measured, 10).toStdString(), HasSubstr("a 2 %"));
  auto sure = desk().known().measured;
  sure.profile.unfused_left_chance[20] = 0.998, sure.profile.unfused_left_chance[22] = 0.002;
  EXPECT_THAT(Words::AsSeenAt(sure, 10).toStdString(), HasSubstr("a over 95 %,"));
  EXPECT_THAT(Words::AsSeenAt(sure, 11).toStdString(), HasSubstr("a under 1 %,"));
  auto told = desk().known();
  told.measured.sections = {{200, 220, "convex", 0.97, 0.1}};
  const auto at = [&](double theta_deg) { return Words::AtPlace(told, {}, theta_deg, 0, {}).toStdString(); };
  EXPECT_THAT(at(210), HasSubstr("travel: convex, against 0.10 mm (no number"));
  EXPECT_THAT(at(240), Not(HasSubstr("convex")));
  const int before = Count(StripOf(window_), Means::kChance);
  layer->setChecked(true);
  EXPECT_TRUE(has(listed(), Means::kChance));
  const auto all = listed();
  EXPECT_EQ(std::count(all.begin(), all.end(), Means::kUncertainty), 1);
  EXPECT_GT(Count(StripOf(window_), Means::kChance), before + 200);
}

/// On the welder's view what is not fused stands out from its ground more than anything that is (contrast of relative
/// luminance, WCAG 2.1 1.4.3), and is said first.
TEST_F(OneTruth, WhatIsNotFusedIsTheLoudestThingOnTheWeldersView) {
  const auto luminance = [](const QColor& c) {
    const auto linear = [](double v) { return v <= 0.03928 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4); };
    return 0.2126 * linear(c.redF()) + 0.7152 * linear(c.greenF()) + 0.0722 * linear(c.blueF());
  };
  const auto contrast = [&](const QColor& a, const QColor& b) {
    const double x = luminance(a) + 0.05, y = luminance(b) + 0.05;
    return std::max(x, y) / std::min(x, y);
  };
  const QColor ground(250, 250, 248);
  EXPECT_GT(contrast(ColourOf(Means::kUnfused), ground), 1.5 * contrast(ColourOf(Means::kFused), ground));
  const auto words = Welder();
  EXPECT_LT(words.find("NOT FUSED"), words.find("Not seen"));
  EXPECT_THAT(words, HasSubstr("supports and never replaces"));
}

/// In a Spanish window the reasons of the verdict, the buttons and the record are Spanish.
TEST_F(OneTruth, InSpanishNothingOfTheVerdictStaysEnglish) {
  QTranslator translator;
  ASSERT_TRUE(translator.load(":/i18n/rootscroll_es.qm"));
  QApplication::installTranslator(&translator);
  Overrule();
  {
    EXPECT_EQ(Words::Language(), "es");
    JudgeSheet judge(desk());
    auto* rules = judge.findChild<QTableWidget*>("rules");
    ASSERT_GT(rules->rowCount(), 3);
    for (int row = 0; row < rules->rowCount(); ++row)
      for (int column : {0, 3}) {
        const auto text = rules->item(row, column)->text().toStdString();
        for (const char* english : {" the ", "Measured", "overruled", "not measured", " of ", "visible on"})
          EXPECT_THAT(text, Not(HasSubstr(english))) << row;
      }
    EXPECT_EQ(judge.findChild<QDialogButtonBox*>()->button(QDialogButtonBox::Close)->text(), "Cerrar");
    ReportSheet report(desk());
    QSignalSpy shown(&report, &ReportSheet::shown), ready(&report, &ReportSheet::written);
    EXPECT_TRUE(shown.wait(60000));
    report.findChild<QPushButton*>("report_write")->click();
    EXPECT_TRUE(ready.wait(60000));
    const auto html = vision::ReadFileWhole(ready[0][0].toString().toStdString());
    EXPECT_TRUE(html.ok());
    EXPECT_THAT(html.value(), HasSubstr("lang=\"es\""));
  }
  QApplication::removeTranslator(&translator);
}

/// 154.2 and 154,2 are one number; what could be read two ways is refused with a sentence.
TEST(TypedNumbers, APointOrACommaIsTakenInEveryLanguage) {
  QLineEdit field;
  QString wrong;
  for (const char* text : {"154.2", "154,2", " 154,2 "}) {
    field.setText(text);
    const auto number = NumberIn(field, "Bore", &wrong);
    ASSERT_TRUE(number) << text;
    EXPECT_DOUBLE_EQ(*number, 154.2);
  }
  for (const char* text : {"1.234,5", "1,234,5", "12 mm", ""}) {
    field.setText(text);
    EXPECT_FALSE(NumberIn(field, "Bore", &wrong)) << text;
    EXPECT_THAT(wrong.toStdString(), HasSubstr("Bore"));
  }
}

}  // namespace
}  // namespace app::viewer
