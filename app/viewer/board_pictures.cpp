// Pictures of the board: read, searched, drawn for the camera sheet.
#include <QPainter>
#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "app/viewer/camera_sheet.h"
#include "app/viewer/opened.h"
#include "vision/base/file.h"
#include "vision/recording/decode.h"
#include "vision/recording/frame_source.h"

namespace app::viewer {
namespace {

namespace fs = std::filesystem;
constexpr int kVideoParts = 24;  ///< Sharpest frames of so many equal stretches of a video.
constexpr int kThumbnail = 220;

struct Picture {
  std::string name;
  cv::Mat bgr;
  std::string why;  ///< Not empty: it could not be read.
};

bool IsStill(const fs::path& file) {
  const QString ending = QString::fromStdString(file.extension().string()).toLower();
  return QStringList{".jpg", ".jpeg", ".png", ".tif", ".tiff", ".bmp"}.contains(ending);
}

std::vector<fs::path> Spread(const std::vector<fs::path>& given) {
  std::vector<fs::path> files;
  for (const fs::path& path : given) {
    std::error_code failed;
    if (!fs::is_directory(path, failed)) {
      files.push_back(path);
      continue;
    }
    for (const auto& entry : fs::directory_iterator(path, failed))
      if (entry.is_regular_file(failed) && (IsStill(entry.path()) || IsVideo(entry.path())))
        files.push_back(entry.path());
  }
  std::sort(files.begin(), files.end());
  files.erase(std::unique(files.begin(), files.end()), files.end());
  return files;
}

void ReadInto(const fs::path& file, std::vector<Picture>& pictures, const vision::JobContext& job) {
  if (IsVideo(file)) {
    const auto frames = vision::recording::ReadVideo(file, {}, kVideoParts, nullptr, job);
    if (!frames.ok()) return pictures.push_back({file.filename().string(), {}, frames.error().message});
    for (const auto& frame : frames.value()) pictures.push_back({frame.name, frame.image, {}});
    return;
  }
  const auto bytes = vision::ReadFileWhole(file);
  if (!bytes.ok()) return pictures.push_back({file.filename().string(), {}, bytes.error().message});
  const auto picture = vision::recording::DecodePicture(bytes.value(), file.filename().string());
  if (picture.ok())
    pictures.push_back({file.filename().string(), picture.value(), {}});
  else
    pictures.push_back({file.filename().string(), {}, picture.error().message});
}

QImage Thumbnail(const cv::Mat& bgr, const std::vector<Eigen::Vector2d>& corners) {
  const double scale = kThumbnail / static_cast<double>(std::max(bgr.cols, 1));
  cv::Mat small, rgb;
  cv::resize(bgr, small, {}, scale, scale, cv::INTER_AREA);
  cv::cvtColor(small, rgb, small.channels() == 1 ? cv::COLOR_GRAY2RGB : cv::COLOR_BGR2RGB);
  QImage image = QImage(rgb.data, rgb.cols, rgb.rows, static_cast<int>(rgb.step), QImage::Format_RGB888).copy();
  QPainter painter(&image);
  painter.setRenderHint(QPainter::Antialiasing);
  painter.setPen(QPen(Qt::black, 1));
  painter.setBrush(Qt::yellow);
  for (const auto& corner : corners) painter.drawEllipse(QPointF(corner.x(), corner.y()) * scale, 2.5, 2.5);
  return image;
}

void Search(const Picture& picture, const vision::camera::Board& board, BoardPictures& all) {
  const auto refuse = [&](const std::string& why) {
    all.said.push_back(picture.name + ": " + why);
    all.found.push_back(false);
    all.thumbnails.push_back(picture.bgr.empty() ? QImage() : Thumbnail(picture.bgr, {}));
  };
  if (picture.bgr.empty()) return refuse(picture.why);
  if (all.width_px == 0) all.width_px = picture.bgr.cols, all.height_px = picture.bgr.rows;
  if (picture.bgr.cols != all.width_px || picture.bgr.rows != all.height_px)
    return refuse("not of the first picture's size");
  const auto corners = vision::camera::FindBoard(picture.bgr, board);
  if (!corners) return refuse("the whole board is not found");
  all.said.push_back(picture.name);
  all.found.push_back(true);
  all.thumbnails.push_back(Thumbnail(picture.bgr, *corners));
  all.views.push_back({picture.name, *corners});
}

}  // namespace

vision::Result<BoardPictures> FindBoards(const std::vector<fs::path>& files, const vision::camera::Board& board,
                                         const vision::JobContext& job) {
  if (auto wrong = board.Check()) return *wrong;
  std::vector<Picture> pictures;
  for (const fs::path& file : Spread(files)) {
    if (job.Cancelled()) return vision::Cancelled();
    ReadInto(file, pictures, job);
  }
  if (pictures.empty()) return vision::BadInput("No picture of the board was given; four or more are needed.");
  BoardPictures all;
  for (std::size_t i = 0; i < pictures.size(); ++i) {
    if (job.Cancelled()) return vision::Cancelled();
    job.Report(static_cast<double>(i) / static_cast<double>(pictures.size()), pictures[i].name);
    Search(pictures[i], board, all);
  }
  return all;
}

QImage CoverageOf(const BoardPictures& pictures, int width) {
  constexpr int kAcross = 16;
  if (pictures.width_px == 0) return {};
  const double cell = pictures.width_px / static_cast<double>(kAcross);
  const int down = std::max(1, static_cast<int>(pictures.height_px / cell));
  std::vector<int> seen(static_cast<std::size_t>(kAcross * down));
  for (const auto& view : pictures.views)
    for (const auto& corner : view.corners_px) {
      const int x = std::clamp(static_cast<int>(corner.x() / cell), 0, kAcross - 1);
      const int y = std::clamp(static_cast<int>(corner.y() / cell), 0, down - 1);
      ++seen[static_cast<std::size_t>(y * kAcross + x)];
    }
  const double side = width / static_cast<double>(kAcross);
  QImage image(width, static_cast<int>(side * down), QImage::Format_RGB32);
  image.fill(Qt::white);
  QPainter painter(&image);
  for (int y = 0; y < down; ++y)
    for (int x = 0; x < kAcross; ++x) {
      const QRectF box(x * side, y * side, side, side);
      const int count = seen[static_cast<std::size_t>(y * kAcross + x)];
      if (count > 0)  // darker: more corners; uncovered cells are hatched, so that no colour alone tells them
        painter.fillRect(box, QColor::fromHsv(210, 60 + std::min(190, 25 * count), 230));
      else
        painter.fillRect(box, QBrush(Qt::gray, Qt::BDiagPattern));
      painter.setPen(QPen(Qt::lightGray, 1));
      painter.drawRect(box);
    }
  return image;
}

QImage ErrorMapOf(const BoardPictures& pictures, const vision::camera::CalibrationReport& report, int width) {
  if (pictures.width_px == 0 || pictures.views.size() != report.views.size()) return {};
  std::vector<double> lengths;
  for (const auto& view : report.views)
    for (const auto& off : view.off_px) lengths.push_back(off.norm());
  if (lengths.empty()) return {};
  const double scale = width / static_cast<double>(pictures.width_px);
  const auto most = lengths.begin() + static_cast<std::ptrdiff_t>(lengths.size() * 19 / 20);
  std::nth_element(lengths.begin(), most, lengths.end());
  const double usual = std::max(*most, *std::max_element(lengths.begin(), lengths.end()) / 4);
  double times = 1000;  // of 1, 2, 5, 10 ... the largest that leaves most arrows shorter than a twentieth of the map
  for (int step = 0; times > 1 && usual * scale * times > 0.05 * width; ++step) times /= step % 3 == 1 ? 2.5 : 2;
  constexpr int kFoot = 36;  // two lines of words
  QImage image(width, static_cast<int>(scale * pictures.height_px) + kFoot, QImage::Format_RGB32);
  image.fill(Qt::white);
  QPainter painter(&image);
  painter.setRenderHint(QPainter::Antialiasing);
  painter.setPen(QPen(Qt::lightGray, 1));
  painter.drawRect(0, 0, width - 1, image.height() - kFoot);
  for (std::size_t v = 0; v < report.views.size(); ++v)
    for (std::size_t i = 0; i < report.views[v].off_px.size(); ++i) {
      const auto& corner = pictures.views[v].corners_px[i];
      const auto& off = report.views[v].off_px[i];
      const QPointF from = QPointF(corner.x(), corner.y()) * scale;
      painter.setPen(QPen(QColor(0, 70, 140), 1.2));
      painter.drawLine(from, from + QPointF(off.x(), off.y()) * (scale * times));
      painter.drawEllipse(from, 1.2, 1.2);
    }
  const double bar_px = times >= 100 ? 0.1 : times >= 10 ? 1 : 10;
  const double length = bar_px * scale * times;
  painter.setPen(QPen(Qt::black, 2));
  const double middle = image.height() - kFoot / 2;
  painter.drawLine(QPointF(6, middle), QPointF(6 + length, middle));
  painter.drawText(QRectF(12 + length, image.height() - kFoot, width - 14 - length, kFoot),
                   Qt::AlignVCenter | Qt::TextWordWrap,
                   CameraSheet::tr("%1 px; arrows %2 times longer").arg(bar_px).arg(times));
  return image;
}

}  // namespace app::viewer
