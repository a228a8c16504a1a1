#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "app/viewer/opened.h"

namespace app::viewer {

/// What is known of the weld, as it lies in one source frame. Pixels of the frame, pixel centres at integers.
struct FrameMarks {
  using Line = std::vector<cv::Point2d>;
  std::vector<Line> toes;     ///< Pieces of both, where they are known and the frame sees them.
  std::vector<Line> borders;  ///< Of the strip: what was laid flat lies between them.
  struct Hour {
    int hour = 12;
    cv::Point2d at;
  };
  std::vector<Hour> hours;  ///< 12, 3, 6, 9 on the strip's border nearer to the camera; none where angles are relative.
};

/// @param decided The reading with what people put in. @param frame Index into its poses.
FrameMarks MarksOn(const Opened& opened, const vision::reading::Reading& decided, int frame);

}  // namespace app::viewer
