#pragma once

#include <QString>

class QApplication;

namespace app::viewer {

enum class Theme { kSystem, kLight, kDark };

/// Sets the style and the palette of the whole program.
void ApplyTheme(QApplication& application, Theme theme);
Theme ThemeFromName(const QString& name);  ///< system | light | dark; anything else is system.
QString NameOf(Theme theme);

}  // namespace app::viewer
