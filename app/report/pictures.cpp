#include "app/report/pictures.h"

#include <QImageReader>

namespace app::report {

namespace {
constexpr int kMaxSide = 20000, kAllocationMb = 1024;

vision::Result<QImage> Load(const std::filesystem::path& folder, const std::string& file, const std::string& field) {
  if (file.empty()) return QImage();
  const std::filesystem::path relative = std::filesystem::path(file).lexically_normal();
  if (relative.is_absolute() || *relative.begin() == "..") {
    return vision::BadInput(field + " is \"" + file +
                            "\"; it must name a picture beside reading.json, inside its folder.");
  }
  const std::filesystem::path path = folder / relative;
  std::error_code none;
  if (!std::filesystem::is_regular_file(path, none)) {
    return vision::BadInput(field + " names " + path.string() +
                            ", which is missing; keep the pictures beside reading.json.");
  }
  QImageReader reader(QString::fromStdString(path.string()));
  QImageReader::setAllocationLimit(kAllocationMb);
  reader.setDecideFormatFromContent(true);
  const QSize size = reader.size();
  if (size.width() > kMaxSide || size.height() > kMaxSide) {
    return vision::BadInput(field + " names " + path.string() +
                            ", which is larger than 20000 pixels; make the strip coarser.");
  }
  QImage image = reader.read();
  if (image.isNull()) return vision::BadInput(field + " names " + path.string() + ", which is not a readable picture.");
  return image;
}
}  // namespace

vision::Result<Pictures> LoadPictures(const ReportInput& input) {
  Pictures pictures;
  std::optional<vision::Error> first;
  const auto take = [&](const std::string& file, const std::string& field) {
    auto loaded = Load(input.reading_folder, file, field);
    if (loaded.ok()) return std::move(loaded).value();
    if (!first) first = loaded.error();
    return QImage();
  };
  pictures.strip = take(input.reading.strip.file, "strip.file");
  pictures.seen = take(input.reading.strip.mask_file, "strip.mask_file");
  const auto& runs = input.reading.unfused;
  for (std::size_t i = 0; i < runs.size(); ++i) {
    pictures.runs.push_back(take(runs[i].picture, "unfused[" + std::to_string(i) + "].picture"));
  }
  const auto& indications = input.reading.indications;
  for (std::size_t i = 0; i < indications.size(); ++i) {
    pictures.indications.push_back(take(indications[i].picture, "indications[" + std::to_string(i) + "].picture"));
  }
  if (first) return *first;
  return pictures;
}

}  // namespace app::report
