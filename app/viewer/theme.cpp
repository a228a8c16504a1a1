#include "app/viewer/theme.h"

#include <QApplication>
#include <QPalette>
#include <QStyleFactory>

namespace app::viewer {
namespace {

QPalette Light() {
  QPalette palette;
  palette.setColor(QPalette::Window, QColor(244, 243, 240));
  palette.setColor(QPalette::Base, QColor(253, 252, 250));
  palette.setColor(QPalette::AlternateBase, QColor(236, 235, 231));
  palette.setColor(QPalette::Button, QColor(236, 235, 231));
  palette.setColor(QPalette::Mid, QColor(170, 168, 162));
  for (auto role : {QPalette::WindowText, QPalette::Text, QPalette::ButtonText, QPalette::ToolTipText})
    palette.setColor(role, QColor(24, 26, 30));
  palette.setColor(QPalette::PlaceholderText, QColor(84, 84, 84));
  palette.setColor(QPalette::Highlight, QColor(0, 94, 150));
  palette.setColor(QPalette::HighlightedText, Qt::white);
  palette.setColor(QPalette::ToolTipBase, QColor(255, 253, 232));
  return palette;
}

QPalette Dark() {
  QPalette palette;
  palette.setColor(QPalette::Window, QColor(38, 40, 44));
  palette.setColor(QPalette::Base, QColor(27, 29, 32));
  palette.setColor(QPalette::AlternateBase, QColor(44, 46, 51));
  palette.setColor(QPalette::Button, QColor(54, 57, 62));
  palette.setColor(QPalette::Mid, QColor(104, 108, 114));
  for (auto role : {QPalette::WindowText, QPalette::Text, QPalette::ButtonText, QPalette::ToolTipText})
    palette.setColor(role, QColor(232, 232, 228));
  palette.setColor(QPalette::PlaceholderText, QColor(176, 176, 172));
  palette.setColor(QPalette::Highlight, QColor(86, 180, 233));
  palette.setColor(QPalette::HighlightedText, Qt::black);
  palette.setColor(QPalette::Link, QColor(120, 195, 240));
  palette.setColor(QPalette::ToolTipBase, QColor(60, 60, 52));
  return palette;
}

void GreyOut(QPalette& palette) {
  for (auto role : {QPalette::WindowText, QPalette::Text, QPalette::ButtonText})
    palette.setColor(QPalette::Disabled, role, palette.color(QPalette::Mid));
}

}  // namespace

void ApplyTheme(QApplication& application, Theme theme) {
  application.setStyle(QStyleFactory::create("Fusion"));
  static const QPalette system = application.palette();
  const bool dark =
      theme == Theme::kDark || (theme == Theme::kSystem && system.color(QPalette::Window).lightness() < 128);
  QPalette palette = dark ? Dark() : Light();
  GreyOut(palette);
  application.setPalette(palette);
}

Theme ThemeFromName(const QString& name) {
  return name == "light" ? Theme::kLight : name == "dark" ? Theme::kDark : Theme::kSystem;
}

QString NameOf(Theme theme) { return theme == Theme::kLight ? "light" : theme == Theme::kDark ? "dark" : "system"; }

}  // namespace app::viewer
