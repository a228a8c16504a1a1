#include <QActionGroup>
#include <QDialog>
#include <QFileDialog>
#include <QLabel>
#include <QListView>
#include <QMenuBar>
#include <QScrollArea>
#include <QSettings>
#include <QTextBrowser>
#include <QToolBar>
#include <QVBoxLayout>

#include "app/viewer/main_window.h"
#include "app/viewer/new_joint_sheet.h"
#include "app/viewer/theme.h"

namespace app::viewer {

QAction* MainWindow::Add(QMenu* menu, const QString& text, const QString& key, std::function<void()> run,
                         const char* name) {
  auto* action = menu->addAction(text);
  action->setObjectName(name);
  if (!key.isEmpty()) {
    action->setShortcut(QKeySequence(key));
    QString plain = text;
    keys_ << QString("<tr><td><b>%1</b>&nbsp;&nbsp;</td><td>%2</td></tr>")
                 .arg(action->shortcut().toString(QKeySequence::NativeText).toHtmlEscaped(),
                      plain.remove('&').toHtmlEscaped());
  }
  connect(action, &QAction::triggered, this, [run = std::move(run)] { run(); });
  return action;
}

void MainWindow::MakeMenus() {
  MakeFileMenu();
  MakeEditMenu();
  MakeNoteMenu();
  MakeViewMenu();
  MakeLightMenu();
  MakeRecordingMenu();
  MakeCompareMenu();
  MakeSettingsMenu();
  MakeHelpMenu();
}

void MainWindow::MakeEditMenu() {
  auto* menu = menuBar()->addMenu(tr("&Edit"));
  auto* undo = desk_.undo().createUndoAction(this, tr("&Undo"));
  auto* redo = desk_.undo().createRedoAction(this, tr("&Redo"));
  undo->setShortcut(QKeySequence("Ctrl+Z"));
  redo->setShortcut(QKeySequence("Ctrl+Shift+Z"));
  menu->addAction(undo);
  menu->addAction(redo);
  keys_ << QString("<tr><td><b>Ctrl+Z, Ctrl+Shift+Z</b></td><td>%1</td></tr>").arg(tr("Undo, redo"));
  menu->addSeparator();
  Add(
      menu, tr("&Next place in the list"), "N", [this] { StepThing(1); }, "next");
  Add(
      menu, tr("&Previous place in the list"), "P", [this] { StepThing(-1); }, "previous");
  Add(
      menu, tr("&Accept what was measured here"), "A", [this] { RuleOnThing(false); }, "accept");
  Add(
      menu, tr("&Overrule what was measured here…"), "O", [this] { RuleOnThing(true); }, "overrule");
  Add(
      menu, tr("&Edit the chosen note…"), "E",
      [this] {
        const auto index = list_->currentIndex();
        if (index.isValid()) EditNote(listed_->At(index.row()).note_id);
      },
      "edit_note");
  Add(
      menu, tr("&Delete the chosen note"), "Del", [this] { RemoveChosen(); }, "delete_note");
}

void MainWindow::MakeNoteMenu() {
  auto* menu = menuBar()->addMenu(tr("&Note"));
  auto* bar = addToolBar(tr("Tools"));
  bar->setObjectName("tools");
  bar->setMovable(false);
  auto* group = new QActionGroup(this);
  struct Entry {
    Tool tool;
    QString text, key;
    const char* name;
  };
  const Entry entries[] = {
      {Tool::kLook, tr("&Look"), "Esc", "tool_look"},        {Tool::kPoint, tr("&Point"), "1", "tool_point"},
      {Tool::kLine, tr("L&ine"), "2", "tool_line"},          {Tool::kBox, tr("&Box"), "3", "tool_box"},
      {Tool::kOutline, tr("&Outline"), "4", "tool_outline"}, {Tool::kText, tr("&Text"), "5", "tool_text"},
      {Tool::kToe, tr("Toe by &hand"), "6", "tool_toe"}};
  for (const Entry& entry : entries) {
    auto* action = Add(
        menu, entry.text, entry.key,
        [this, tool = entry.tool] {
          page_->SetTool(tool);
          page_->setFocus();
        },
        entry.name);
    action->setCheckable(true);
    action->setChecked(entry.tool == Tool::kLook);
    action->setToolTip(entry.tool == Tool::kLook
                           ? tr("Drag pans, a click goes there (Esc)")
                           : tr("Click puts points in, right click or Enter ends (%1)").arg(entry.key));
    group->addAction(action);
    bar->addAction(action);
    connect(page_, &PageView::toolChanged, action,
            [action, tool = entry.tool](Tool now) { action->setChecked(now == tool); });
  }
  bar->addSeparator();
  for (const char* name : {"judge", "report", "sign_off"}) bar->addAction(findChild<QAction*>(name));
}

void MainWindow::AddLayerActions(QMenu* menu) {
  struct Entry {
    bool Layers::*layer;
    QString text, key;
    const char* name;
  };
  const Entry entries[] = {{&Layers::toes, tr("&Toe lines"), "Alt+1", "layer_toes"},
                           {&Layers::fusion, tr("&Fusion along the edges"), "Alt+2", "layer_fusion"},
                           {&Layers::indications, tr("&Indications"), "Alt+3", "layer_indications"},
                           {&Layers::not_examined, tr("&Not examined"), "Alt+4", "layer_not_examined"},
                           {&Layers::notes, tr("N&otes and marked places"), "Alt+5", "layer_notes"},
                           {&Layers::ribbons, tr("&Profiles"), "Alt+6", "layer_ribbons"},
                           {&Layers::rulers, tr("&Ruler"), "Alt+7", "layer_rulers"},
                           {&Layers::film, tr("Radio&graph by its numbers"), "Alt+8", "layer_film"},
                           {&Layers::reader, tr("&What the program saw"), "Alt+0", "layer_reader"}};
  for (const Entry& entry : entries) {
    auto* action = Add(
        menu, entry.text, entry.key, [] {}, entry.name);
    action->setCheckable(true);
    action->setChecked(page_->layers().*entry.layer);
    connect(action, &QAction::toggled, this, [this, layer = entry.layer](bool on) {
      Layers layers = page_->layers();
      layers.*layer = on;
      page_->SetLayers(layers);
      ShowLegends();
    });
  }
  auto* legends = Add(
      menu, tr("Le&gends"), "Alt+9", [] {}, "legends");
  legends->setCheckable(true);
  legends->setChecked(true);
  connect(legends, &QAction::toggled, this, [this](bool on) {
    legends_ = on;
    ShowLegends();
  });
}

void MainWindow::AddLensActions(QMenu* menu) {
  auto* lens = Add(
      menu, tr("&Lens"), "L", [] {}, "lens");
  lens->setCheckable(true);
  lens->setChecked(true);
  connect(lens, &QAction::toggled, this, [this](bool on) { lens_->setVisible(on && desk_.has()); });
  AddDockActions(menu);
  auto* frame = Add(
      menu, tr("Whole source &frame"), "F", [] {}, "frame");
  frame->setCheckable(true);
  frame->setChecked(true);
  connect(frame, &QAction::toggled, frame_, &FrameView::SetWanted);
  Add(
      menu, tr("Lens: ne&xt frame that saw it"), "]", [this] { lens_->Step(1); }, "lens_next");
  Add(
      menu, tr("Lens: pre&vious frame that saw it"), "[", [this] { lens_->Step(-1); }, "lens_previous");
  Add(
      menu, tr("Lens: &magnify"), "Shift+L", [this] { lens_->SetMagnification(lens_->magnification() * 1.5); },
      "lens_more");
  Add(
      menu, tr("Lens: s&hrink"), "Ctrl+L", [this] { lens_->SetMagnification(lens_->magnification() / 1.5); },
      "lens_less");
}

void MainWindow::MakeViewMenu() {
  auto* menu = menuBar()->addMenu(tr("&View"));
  Add(
      menu, tr("&Whole ring"), "0", [this] { page_->ShowWhole(); }, "whole");
  Add(
      menu, tr("Zoom &in"), "+", [this] { page_->Zoom(1.25); }, "zoom_in");
  Add(
      menu, tr("Zoom &out"), "-", [this] { page_->Zoom(0.8); }, "zoom_out");
  Add(
      menu, tr("To single &source pixels"), "9", [this] { page_->ZoomToSourcePixels(); }, "zoom_source");
  menu->addSeparator();
  AddLayerActions(menu);
  menu->addSeparator();
  AddLensActions(menu);
  Add(
      menu, tr("Turn the end view roun&d"), "T", [this] { end_->SetFromB(!end_->from_b()); }, "turn_round");
  auto* welder = Add(
      menu, tr("For the wel&der"), "W", [] {}, "welder");
  welder->setCheckable(true);
  connect(welder, &QAction::toggled, this, &MainWindow::SetWelderMode);
}

void MainWindow::MakeLightMenu() {
  auto* menu = menuBar()->addMenu(tr("&Light"));
  const auto change = [this](auto edit) {
    Light light = page_->tiles().light();
    edit(light);
    page_->SetLight(light);
  };
  Add(
      menu, tr("&Brighter"), "B", [=] { change([](Light& l) { l.gain = std::min(4.0, l.gain * 1.2); }); }, "brighter");
  Add(
      menu, tr("&Darker"), "D", [=] { change([](Light& l) { l.gain = std::max(0.25, l.gain / 1.2); }); }, "darker");
  Add(
      menu, tr("&Lift the dark (gamma)"), "G",
      [=] { change([](Light& l) { l.gamma = std::min(3.0, l.gamma * 1.2); }); }, "gamma_up");
  Add(
      menu, tr("L&ower the dark (gamma)"), "Shift+G",
      [=] { change([](Light& l) { l.gamma = std::max(0.3, l.gamma / 1.2); }); }, "gamma_down");
  Add(
      menu, tr("Local &contrast"), "C", [=] { change([](Light& l) { l.local_contrast = !l.local_contrast; }); },
      "local_contrast");
  Add(
      menu, tr("&As recorded"), "R", [=] { change([](Light& l) { l = Light(); }); }, "as_recorded");
}

void MainWindow::MakeCompareMenu() {
  auto* menu = menuBar()->addMenu(tr("&Compare"));
  Add(
      menu, tr("With a &later recording…"), "Ctrl+K",
      [this] {
        const QString path =
            QFileDialog::getExistingDirectory(this, tr("Folder of the later recording, measured or not"));
        if (!path.isEmpty()) CompareWith(path);
      },
      "compare");
  Add(
      menu, tr("&Beside each other"), "F5", [this] { page_->SetAgainst(Against::kBeside); }, "compare_beside");
  Add(
      menu, tr("&Split line"), "F6", [this] { page_->SetAgainst(Against::kSwipe); }, "compare_swipe");
  Add(
      menu, tr("B&link"), "F7", [this] { page_->SetAgainst(Against::kBlink); }, "compare_blink");
  Add(
      menu, tr("&Difference"), "F8", [this] { page_->SetAgainst(Against::kDifference); }, "compare_difference");
  Add(
      menu, tr("Difference in &height"), "Shift+F8",
      [this] {
        if (comparison_->heights_pyramid().picture.empty())
          return Say(tr("Heights are not known in both recordings: the difference can be shown in brightness only."));
        page_->SetAgainst(Against::kHeights);
      },
      "compare_heights");
  Add(
      menu, tr("Split line towards the s&tart of the page"), ",", [this] { page_->SetSwipe(page_->swipe() - 0.05); },
      "swipe_left");
  Add(
      menu, tr("Split line towards the &end of the page"), ".", [this] { page_->SetSwipe(page_->swipe() + 0.05); },
      "swipe_right");
  menu->addSeparator();
  Add(
      menu, tr("Move the later one &clockwise"), "Ctrl+Right", [this] { comparison_->Nudge(-0.1, 0); },
      "nudge_clockwise");
  Add(
      menu, tr("Move the later one c&ounter-clockwise"), "Ctrl+Left", [this] { comparison_->Nudge(0.1, 0); },
      "nudge_counter");
  Add(
      menu, tr("Move the later one &up"), "Ctrl+Up", [this] { comparison_->Nudge(0, 0.1); }, "nudge_up");
  Add(
      menu, tr("Move the later one dow&n"), "Ctrl+Down", [this] { comparison_->Nudge(0, -0.1); }, "nudge_down");
  menu->addSeparator();
  Add(
      menu, tr("E&nd comparing"), "F9", [this] { comparison_->End(); }, "compare_end");
}

void MainWindow::MakeSettingsMenu() {
  auto* menu = menuBar()->addMenu(tr("&Settings"));
  auto* rulers = menu->addMenu(tr("&Ruler"));
  const std::pair<Ruler, QString> choices[] = {{Ruler::kClock, tr("&Clock")},
                                               {Ruler::kDegrees, tr("&Degrees")},
                                               {Ruler::kInsideMm, tr("mm of arc, &inside")},
                                               {Ruler::kOutsideMm, tr("mm of arc, &outside")}};
  for (const auto& [ruler, text] : choices)
    connect(rulers->addAction(text), &QAction::triggered, this, [this, ruler = ruler] { page_->SetRuler(ruler); });
  auto* stations = rulers->addAction(tr("&Stations of the belt outside"));
  stations->setObjectName("ruler_stations");
  connect(stations, &QAction::triggered, this, [this] {
    if (desk_.has() && desk_.opened().belt) return page_->SetRuler(Ruler::kStations);
    Say(tr("No belt is known: a repair file (film.belt) beside the joint file tells where its numbers are."));
  });
  auto* inches = Add(
      menu, tr("&Inches and fractions beside millimetres"), "I", [] {}, "inches");
  inches->setCheckable(true);
  inches->setChecked(desk_.units().inches);
  connect(inches, &QAction::toggled, this, [this](bool on) { desk_.SetUnits({on, 64}); });
  auto* themes = menu->addMenu(tr("&Colours"));
  for (const auto& [name, text] :
       {std::pair<QString, QString>{"system", tr("As the &system")}, {"light", tr("&Light")}, {"dark", tr("&Dark")}})
    connect(themes->addAction(text), &QAction::triggered, this, [name = name] {
      QSettings().setValue("theme", name);
      ApplyTheme(*qApp, ThemeFromName(name));
    });
  auto* languages = menu->addMenu(tr("Lan&guage"));
  for (const auto& [code, text] : Words::Languages())
    connect(languages->addAction(text), &QAction::triggered, this, [this, code = code] {
      QSettings().setValue("language", code);
      Say(tr("The language changes when the program is started again."));
    });
}

void MainWindow::NewJoint(const Request& bare) {
  NewJointSheet sheet(bare, this);
  if (sheet.exec() == QDialog::Accepted) OpenPath(sheet.file());
}

}  // namespace app::viewer
