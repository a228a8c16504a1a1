// A person's path from a folder of pictures and pictures of a board to a signed record, by mouse and keys in a real
// window, no joint file opened. Saves a picture of each step and prints clicks, letters typed and seconds.
// Not a test: scripts/prove people runs it and looks at what it left.
#include <QApplication>
#include <QComboBox>
#include <QDate>
#include <QDialogButtonBox>
#include <QElapsedTimer>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QMenu>
#include <QMenuBar>
#include <QPushButton>
#include <QSettings>
#include <QTest>
#include <QTimer>
#include <QToolBar>
#include <cmath>
#include <cstdio>
#include <filesystem>

#include "app/viewer/camera_sheet.h"
#include "app/viewer/facts_sheet.h"
#include "app/viewer/main_window.h"
#include "app/viewer/new_joint_sheet.h"
#include "app/viewer/record_sheet.h"
#include "app/viewer/theme.h"
#include "app/viewer/up_picture.h"
#include "tests/viewer/board_pictures.h"
#include "tests/viewer/hand.h"

namespace {

namespace fs = std::filesystem;
using namespace app::viewer;
using viewer_test::Hand;

QDialogButtonBox* ButtonsOf(QWidget& sheet) { return sheet.findChild<QDialogButtonBox*>(); }
QLineEdit* LineOf(QWidget& sheet, const char* name) { return sheet.findChild<QLineEdit*>(name); }
QComboBox* ChoiceOf(QWidget& sheet, const char* name) { return sheet.findChild<QComboBox*>(name); }

/// Eight pictures of the printed board become a camera in the library.
bool Camera(Hand& hand, MainWindow& window, const fs::path& boards) {
  hand.Menu(window, "calibrate_camera");
  auto* sheet = hand.Await<CameraSheet>(window);
  if (!sheet) return false;
  hand.Drop(*sheet, {boards});
  if (!hand.Until([&] { return sheet->report().has_value(); }, 120)) return false;
  hand.Type(LineOf(*sheet, "camera_id"), "head");
  hand.Save(*sheet, "1_camera");
  hand.Click(sheet->findChild<QPushButton*>("camera_save"));
  hand.Save(*sheet, "2_camera_saved");
  hand.Click(ButtonsOf(*sheet)->button(QDialogButtonBox::Close));
  return true;
}

/// The folder of pictures dropped on the window becomes a joint.
bool Joint(Hand& hand, MainWindow& window, const fs::path& pictures) {
  hand.WhenModal<NewJointSheet>([&](NewJointSheet& sheet) {
    hand.Type(LineOf(sheet, "id"), "P-7");
    hand.Type(LineOf(sheet, "bore"), "154.2");
    hand.Type(LineOf(sheet, "source"), "bore gauge");
    hand.Choose(ChoiceOf(sheet, "criterion"), "MIL-STD-2035A Class 1");
    hand.Choose(ChoiceOf(sheet, "looks"), "+z, from piece a to piece b");
    hand.Choose(ChoiceOf(sheet, "camera_kept"), "head");
    // The folder's pictures are from both sides: those from the second one are named as such.
    const QStringList files = LineOf(sheet, "frames")->text().split("; ");
    if (files.size() == 2) {
      hand.Type(LineOf(sheet, "frames"), files[0]);
      hand.Type(LineOf(sheet, "frames_back"), files[1]);
    }
    hand.Save(sheet, "3_new_joint");
    hand.Click(ButtonsOf(sheet)->button(QDialogButtonBox::Ok));
  });
  hand.Drop(window, {pictures});
  const bool waits = hand.Until([&] { return !window.desk().waiting_for().empty(); }, 30);
  hand.Save(window, "4_not_measured_yet");
  return waits;
}

/// @param clockwise_deg From the picture's up to where the datum is seen in it.
void ClickDatum(Hand& hand, QPushButton* button, double clockwise_deg) {
  hand.WhenModal<UpPicture>([&hand, clockwise_deg](UpPicture& picture) {
    const double high = std::min(picture.height() - 84.0, (picture.width() - 16) * 0.75), r = 0.3 * high;
    const double a = clockwise_deg * M_PI / 180;
    hand.ClickAt(picture, QPoint(static_cast<int>(std::lround(picture.width() / 2.0 + r * std::sin(a))),
                                 static_cast<int>(std::lround(8 + high / 2 - r * std::cos(a)))));
    hand.Save(picture, "6_datum");
    hand.Click(ButtonsOf(picture)->button(QDialogButtonBox::Ok));
  });
  hand.Click(button);
}

/// Facts in the form, the datum clicked in a picture of each way.
bool Facts(Hand& hand, MainWindow& window) {
  bool accepted = false;
  hand.WhenModal<FactsSheet>([&](FactsSheet& sheet) {
    hand.Tab(sheet, "Insert");
    hand.Choose(qobject_cast<QComboBox*>(sheet.FieldOf("/joint/insert/class")), "3");
    hand.Type(qobject_cast<QLineEdit*>(sheet.FieldOf("/joint/insert/width_mm")), "4.2");
    hand.Tab(sheet, "Recording root");
    // fixtures/demo/joint.json: up is 181 degrees looking along +z, where theta grows clockwise, and 257.9 looking
    // back.
    for (auto* button : sheet.findChildren<QPushButton*>())
      if (button->objectName().startsWith("up_0") && button->isVisible())
        ClickDatum(hand, button, button->objectName().endsWith("-z") ? 257.9 : -181.0);
    hand.Save(sheet, "7_facts");
    hand.Click(ButtonsOf(sheet)->button(QDialogButtonBox::Ok));
    accepted = sheet.result() == QDialog::Accepted;
  });
  hand.Menu(window, "facts");
  return hand.Until([&] { return accepted; }, 30);
}

bool Measure(Hand& hand, MainWindow& window) {
  auto* bar = window.findChild<QLabel*>("bar_text");
  for (auto* button : bar->parentWidget()->findChildren<QPushButton*>())
    if (button->isVisible() && button->text().contains("Measure")) hand.Click(button);
  QTest::qWait(1500);
  hand.Save(window, "8_measuring");
  if (!hand.Until([&] { return window.desk().has(); }, 300)) return false;
  hand.Save(window, "9_measured");
  return true;
}

bool Record(Hand& hand, MainWindow& window, const fs::path& out) {
  hand.Tool(window, "sign_off");
  auto* sheet = hand.Await<RecordSheet>(window);
  if (!sheet) return false;
  const auto type = [&](const char* name, const QString& text) { hand.Type(sheet->Line(name), text); };
  type("book", QString::fromStdString((out / "joints.book").string()));
  type("signer_name", "R. Example");
  bool refused = false, shown = false, written = false;
  QObject::connect(sheet, &RecordSheet::shown, [&] { shown = true; });
  QObject::connect(sheet, &RecordSheet::written, [&] { written = true; });
  QObject::connect(sheet, &RecordSheet::refused, [&](const QString& why) {
    std::printf("refused: %s\n", qPrintable(why));
    refused = true;
  });
  hand.Click(sheet->findChild<QPushButton*>("record_put"));
  if (!hand.Until([&] { return shown || refused; }, 300) || refused) return false;
  hand.Save(*sheet, "10_on_record");
  type("signer_role", "Inspector");
  type("qualification", "VT level 2, certificate 77");
  type("qualification_expires", "2099-01-31");
  type("vision_test", QDate::currentDate().addDays(-20).toString(Qt::ISODate));
  type("procedure", "VT-4");
  type("light", "1100 lx at the root");
  type("resolution", "0.8 mm line on the card");
  type("statement", "I examined the root by these pages.");
  type("key", QString::fromStdString((out / "me.pem").string()));
  type("passphrase", "three words here");
  type("passphrase_again", "three words here");
  hand.Click(sheet->findChild<QPushButton*>("record_make_key"));
  type("registered_by", "Q. Approver");
  hand.Save(*sheet, "11_before_signing");
  shown = false;
  hand.Click(sheet->findChild<QPushButton*>("record_sign"));
  if (!hand.Until([&] { return shown || refused; }, 60) || refused) return false;
  hand.Save(*sheet, "12_signed");
  type("record_folder", QString::fromStdString((out / "record").string()));
  hand.Click(sheet->findChild<QPushButton*>("record_write"));
  if (!hand.Until([&] { return written || refused; }, 60) || refused) return false;
  hand.Save(*sheet, "13_written");
  return true;
}

}  // namespace

int main(int count, char** arguments) {
  if (count != 4) {
    std::fprintf(stderr, "usage: person_path PICTURES_FOLDER WORK_FOLDER SHOTS_FOLDER\n");
    return 2;
  }
  std::setvbuf(stdout, nullptr, _IOLBF, 0);
  QApplication application(count, arguments);
  QApplication::setOrganizationName("rootscroll");
  QApplication::setApplicationName("person-path");
  QSettings().clear();
  ApplyTheme(application, Theme::kLight);
  const fs::path work = arguments[2];
  if (!viewer_test::WriteBoardPictures(work / "board")) return 1;
  Hand hand(arguments[3]);
  MainWindow window;
  window.open_document = nullptr;
  window.show();
  if (!QTest::qWaitForWindowExposed(&window)) return 1;
  hand.Save(window, "0_start");
  const std::pair<const char*, std::function<bool()>> steps[] = {
      {"camera", [&] { return Camera(hand, window, work / "board"); }},
      {"joint", [&] { return Joint(hand, window, arguments[1]); }},
      {"facts", [&] { return Facts(hand, window); }},
      {"measure", [&] { return Measure(hand, window); }},
      {"record", [&] { return Record(hand, window, work); }}};
  for (const auto& [name, step] : steps) {
    hand.Begin();
    if (!step()) {
      std::printf("step %s was not finished\n", name);
      hand.Save(window, QString("broken_") + name);
      return 1;
    }
    std::printf("figure: %s %d clicks, %d drops, %d letters, %.0f s\n", name, hand.clicks(), hand.drops(),
                hand.letters(), hand.seconds());
  }
  return 0;
}
