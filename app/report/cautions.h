#pragma once

#include <QString>
#include <vector>

#include "app/joint/cautions.h"

namespace app::report {

/// Stands wherever a verdict stands.
inline const QString kSupports = QString::fromUtf8(app::joint::kSupports);

/// The standing cautions (app/joint/cautions.h), on every record.
inline std::vector<QString> StandingCautions() {
  std::vector<QString> lines;
  for (const auto& line : app::joint::StandingCautions()) lines.push_back(QString::fromStdString(line));
  return lines;
}

}  // namespace app::report
