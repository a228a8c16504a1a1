#include "vision/recording/interlace.h"

#include <opencv2/imgproc.hpp>

namespace vision::recording {
namespace {

/// Pixels that differ from both neighbours in one direction, the same way and by more than the step.
int StandOut(const cv::Mat1s& a, const cv::Mat1s& b, const cv::Mat1s& c) {
  const cv::Mat up = b - a, down = b - c;
  return cv::countNonZero((up > kCombStep) & (down > kCombStep)) +
         cv::countNonZero((up < -kCombStep) & (down < -kCombStep));
}

}  // namespace

double Combing(const cv::Mat& picture) {
  if (picture.rows < 8 || picture.cols < 8) return 0;
  cv::Mat grey = picture;
  if (picture.channels() == 3) cv::cvtColor(picture, grey, cv::COLOR_BGR2GRAY);
  cv::Mat1s g;
  grey.convertTo(g, CV_16S);
  const int h = g.rows, w = g.cols;
  const int lines = StandOut(g.rowRange(0, h - 2), g.rowRange(1, h - 1), g.rowRange(2, h));
  const int columns = StandOut(g.colRange(0, w - 2), g.colRange(1, w - 1), g.colRange(2, w));
  return 100.0 * (lines - columns) / (static_cast<double>(h) * w);
}

void Deinterlace(cv::Mat* picture) {
  for (int y = 1; y + 1 < picture->rows; y += 2)
    cv::addWeighted(picture->row(y - 1), 0.5, picture->row(y + 1), 0.5, 0, picture->row(y));
  if (picture->rows % 2 == 0 && picture->rows > 1)
    picture->row(picture->rows - 2).copyTo(picture->row(picture->rows - 1));
}

}  // namespace vision::recording
