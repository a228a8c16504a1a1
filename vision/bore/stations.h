#pragma once

namespace vision::bore {

/// Station lines round the joint; line i stands for the half degree that begins at i * kStationLine_deg.
constexpr int kStationLines = 720;                          ///< Format: of every reading.
constexpr double kStationLine_deg = 360.0 / kStationLines;  ///< Format: the same.

}  // namespace vision::bore
