#include <gmock/gmock.h>

#include <cstdlib>
#include <filesystem>
#include <opencv2/calib3d.hpp>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

#include "app/cameras/board_pdf.h"
#include "tests/recording/temporary_folder.h"

namespace cameras_test {
namespace {

using app::cameras::BoardSheet;
using testing::HasSubstr;
namespace fs = std::filesystem;

constexpr double kDotsPerMm = 10;  // 254 dots an inch

class Board : public vision::recording::TemporaryFolder {
 protected:
  /// The page as poppler renders it.
  cv::Mat Rendered(const BoardSheet& board) const;
};

cv::Mat Board::Rendered(const BoardSheet& board) const {
  const fs::path pdf = folder_ / "board.pdf", picture = folder_ / "board";
  if (app::cameras::WriteBoard(pdf, board)) return {};
  const std::string line = "pdftoppm -r 254 -png -singlefile '" + pdf.string() + "' '" + picture.string() + "'";
  if (std::system(line.c_str()) != 0) return {};
  return cv::imread(picture.string() + ".png", cv::IMREAD_GRAYSCALE);
}

// Corners by OpenCV's detector on poppler's rendering.
TEST_F(Board, SquaresAreTrueToSize) {
  BoardSheet board;
  board.columns = 8, board.rows = 5, board.square_mm = 12.5;
  const cv::Mat page = Rendered(board);
  ASSERT_FALSE(page.empty());
  EXPECT_NEAR(page.cols, 2970, 2);
  EXPECT_NEAR(page.rows, 2100, 2);
  std::vector<cv::Point2f> corners;
  ASSERT_TRUE(cv::findChessboardCorners(page, {8, 5}, corners));
  cv::cornerSubPix(page, corners, {9, 9}, {-1, -1}, {cv::TermCriteria::EPS + cv::TermCriteria::COUNT, 50, 1e-4});
  const double across = cv::norm(corners[7] - corners[0]), down = cv::norm(corners[32] - corners[0]);
  EXPECT_NEAR(across, 7 * 12.5 * kDotsPerMm, 1);
  EXPECT_NEAR(down, 4 * 12.5 * kDotsPerMm, 1);
}

TEST_F(Board, TheBarIsAHundredMillimetresLong) {
  const cv::Mat page = Rendered({});
  ASSERT_FALSE(page.empty());
  int longest = 0;
  for (int y = page.rows / 2; y < page.rows; ++y) {
    int run = 0;
    for (int x = 0; x < page.cols; ++x) {
      run = page.at<uchar>(y, x) < 100 ? run + 1 : 0;
      longest = std::max(longest, run);
    }
  }
  EXPECT_NEAR(longest, 1000, 2);
}

TEST_F(Board, ABoardThatDoesNotFitNamesThePageItNeeds) {
  BoardSheet board;
  board.square_mm = 30;
  EXPECT_THAT(board.Check()->message, HasSubstr("does not fit on A4; it must be A3"));
  board.page = "A3";
  EXPECT_FALSE(board.Check().has_value());
  board.columns = board.rows = 6;
  EXPECT_THAT(board.Check()->message, HasSubstr("must differ"));
  board.columns = 2;
  EXPECT_THAT(board.Check()->message, HasSubstr("3 to 40"));
  BoardSheet other;
  other.page = "A9";
  EXPECT_THAT(other.Check()->message, HasSubstr("must be A4"));
  other = {};
  other.square_mm = 1;
  EXPECT_THAT(other.Check()->message, HasSubstr("2 to 200 mm"));
}

}  // namespace
}  // namespace cameras_test
