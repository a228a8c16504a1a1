#include "app/diconde/diconde.h"

#include <openssl/sha.h>

#include <array>
#include <cmath>

#include "app/diconde/dataset.h"
#include "vision/base/file.h"
#include "vision/bore/angle.h"
#include "vision/recording/decode.h"

namespace app::diconde {

namespace {
namespace fs = std::filesystem;
using vision::reading::StripPicture;
using vision::recording::ReadPicture;

constexpr const char* kIndication = "astm.org/diconde/iod/NdeIndication";

/// How much was lost before: a JPEG is lossy for ever.
void PutLoss(Writer& writer, const fs::path& file, const cv::Mat& picture) {
  const bool jpeg = vision::EndsWithOneOf(file, {".jpg", ".jpeg"});
  writer.Text(DCM_LossyImageCompression, jpeg ? "01" : "00");
  if (!jpeg) return;
  std::error_code ignored;
  const double ratio = static_cast<double>(picture.total() * picture.elemSize()) /
                       static_cast<double>(std::max<std::uintmax_t>(1, fs::file_size(file, ignored)));
  writer.Text(DCM_LossyImageCompressionRatio, Decimal(std::round(100 * ratio) / 100));
  writer.Text(DCM_LossyImageCompressionMethod, "ISO_10918_1");
}

vision::Result<fs::path> WriteFrame(const Input& input, std::size_t index, const fs::path& folder) {
  auto picture = ReadPicture(input.frames[index].file);
  if (!picture.ok()) return picture.error();
  DcmFileFormat file;
  Writer writer(*file.getDataset());
  PutComponent(writer, input);
  PutStudyAndSeries(writer, input, "XC", "frames", 1);
  PutInstance(writer, UID_VLPhotographicImageStorage, FrameUid(input, index), static_cast<int>(index) + 1);
  writer.Text(DCM_ImageType, "ORIGINAL\\PRIMARY");
  writer.Text(DCM_ImageComments, input.frames[index].name);
  PutLoss(writer, input.frames[index].file, picture.value());
  writer.Note(file.getDataset()->insertEmptyElement(DCM_AcquisitionContextSequence), "AcquisitionContextSequence");
  if (auto failed = PutPixels(*file.getDataset(), writer, {picture.value()})) return *failed;
  char name[40];
  std::snprintf(name, sizeof name, "frame_%03zu.dcm", index);
  if (auto failed = Save(file, writer, folder / name)) return *failed;
  return folder / name;
}

/// A run on the flat strip: x is arc length from theta 0, y is z, both mm, at the bore's wall.
std::string Contour(const Input& input, const vision::reading::UnfusedRun& run) {
  const auto& reading = input.reading;
  const auto& toe = run.side == "left" ? reading.profile.left_toe_z_mm : reading.profile.right_toe_z_mm;
  const double mm_per_deg = reading.bore_radius_mm / vision::bore::kDegPerRad;
  std::string text;
  const double end = run.end_deg < run.start_deg ? run.end_deg + 360 : run.end_deg;
  for (const double theta : {run.start_deg, end}) {
    const std::size_t line = toe.empty() ? 0 : static_cast<std::size_t>(std::lround(theta * 2)) % toe.size();
    const double z = line < toe.size() && std::isfinite(toe[line]) ? toe[line] : 0.0;
    if (!text.empty()) text += '\\';
    text += Decimal(std::round(theta * mm_per_deg * 1e4) / 1e4) + "\\" + Decimal(std::round(z * 1e4) / 1e4) + "\\0";
  }
  return text;
}

void PutIndications(Writer& writer, const Input& input) {
  if (input.reading.unfused.empty()) return;
  DcmItem* evaluator = writer.PrivateItem(0x0021, 0x10, kIndication, 0x02);
  if (evaluator == nullptr) return;
  Writer inner(*evaluator);
  inner.Private(0x0021, 0x10, kIndication, 0x04, EVR_IS, "1");
  inner.Private(0x0021, 0x10, kIndication, 0x06, EVR_PN, input.inspector);
  inner.Private(0x0021, 0x10, kIndication, 0x08, EVR_IS, "1");
  int number = 0;
  for (const auto& run : input.reading.unfused) {
    DcmItem* item = inner.PrivateItem(0x0021, 0x10, kIndication, 0x12);
    if (item == nullptr) return;
    Writer indication(*item);
    const auto put = [&](unsigned element, DcmEVR vr, const std::string& value) {
      indication.Private(0x0021, 0x10, kIndication, element, vr, value);
    };
    put(0x14, EVR_IS, std::to_string(++number));
    put(0x16, EVR_SH, "original edge");
    put(0x18, EVR_ST,
        "original edge of the insert visible, piece " + std::string(run.side == "left" ? "a" : "b") + " side, theta " +
            Decimal(run.start_deg) + " to " + Decimal(run.end_deg) + " degrees");
    put(0x1A, EVR_CS, "ORIGINAL_EDGE");
    if (DcmItem* region = indication.PrivateItem(0x0021, 0x10, kIndication, 0x1E)) {
      Writer contour(*region);
      contour.Private(0x0021, 0x10, kIndication, 0x20, EVR_CS, "OPEN_PLANAR");
      contour.Private(0x0021, 0x10, kIndication, 0x22, EVR_IS, "2");
      contour.Private(0x0021, 0x10, kIndication, 0x24, EVR_DS, Contour(input, run));
      contour.Private(0x0021, 0x10, kIndication, 0x26, EVR_CS, "MM\\MM\\MM");
      contour.Private(0x0021, 0x10, kIndication, 0x28, EVR_IS, "2");
    }
    for (const auto& [label, value, units] : {std::tuple{"start theta", run.start_deg, "DEG"},
                                              {"end theta", run.end_deg, "DEG"},
                                              {"arc length", run.arc_mm, "MM"},
                                              {"arc length u", run.arc_u_mm, "MM"}}) {
      if (!std::isfinite(value)) continue;
      if (DcmItem* property = indication.PrivateItem(0x0021, 0x10, kIndication, 0x30)) {
        Writer one(*property);
        one.Private(0x0021, 0x10, kIndication, 0x32, EVR_SH, label);
        one.Private(0x0021, 0x10, kIndication, 0x34, EVR_DS, Decimal(value));
        one.Private(0x0021, 0x10, kIndication, 0x36, EVR_CS, units);
      }
    }
  }
}

/// Where a cell of the strip lies on the wall, and how far that is known.
void PutSpacing(Writer& writer, const Input& input) {
  const auto& reading = input.reading;
  const StripPicture& strip = reading.strip;
  const double column_mm = strip.theta_pitch_deg / vision::bore::kDegPerRad * reading.bore_radius_mm;
  writer.Text(DCM_PixelSpacing, Decimal(strip.pitch_mm) + "\\" + Decimal(column_mm));  // rows first: z, then arc
  writer.Text(DCM_PixelSpacingCalibrationType, "GEOMETRY");
  writer.Text(DCM_PixelSpacingCalibrationDescription,
              "flat wall at bore radius " + Decimal(std::round(reading.bore_radius_mm * 1e3) / 1e3) + " mm" +
                  (reading.calibrated ? "" : ", camera NOT CALIBRATED"));
}

std::string StripText(const Input& input) {
  const StripPicture& strip = input.reading.strip;
  return "Wall laid flat. Column 0 is theta 0, " + Decimal(strip.theta_pitch_deg) +
         " degrees a column; row 0 is z = " + Decimal(strip.z_from_mm) +
         " mm, z grows downward. Page 1 the strip, page 2 white where it was seen. Made by " + input.settings;
}

void PutSources(DcmDataset& dataset, Writer& writer, const Input& input) {
  for (std::size_t i = 0; i < input.frames.size(); ++i) {
    DcmItem* source = nullptr;
    writer.Note(dataset.findOrCreateSequenceItem(DCM_SourceImageSequence, source, -2), "SourceImageSequence");
    if (source == nullptr) return;
    Writer inner(*source);
    inner.Text(DCM_ReferencedSOPClassUID, UID_VLPhotographicImageStorage);
    inner.Text(DCM_ReferencedSOPInstanceUID, FrameUid(input, i));
  }
}

vision::Result<fs::path> WriteStrip(const Input& input, const fs::path& folder) {
  const StripPicture& strip = input.reading.strip;
  std::vector<cv::Mat> pages;
  for (const auto& name : {strip.file, strip.mask_file}) {
    auto picture = ReadPicture(input.reading_folder / name);
    if (!picture.ok()) return picture.error();
    pages.push_back(picture.value());
  }
  DcmFileFormat file;
  DcmDataset& dataset = *file.getDataset();
  Writer writer(dataset);
  PutComponent(writer, input);
  PutStudyAndSeries(writer, input, "OT", "strip", 2);
  PutInstance(writer, UID_MultiframeTrueColorSecondaryCaptureImageStorage,
              UidFrom("strip\n" + input.joint.id + "\n" + input.cycle + "\n" + input.record_hash), 1);
  writer.Text(DCM_ConversionType, "WSD");
  writer.Text(DCM_ImageType, "DERIVED\\SECONDARY");
  writer.Text(DCM_DerivationDescription, StripText(input));
  PutSources(dataset, writer, input);
  writer.Text(DCM_BurnedInAnnotation, "NO");
  writer.Text(DCM_LossyImageCompression, "00");
  writer.Text(DCM_NumberOfFrames, std::to_string(pages.size()));
  writer.Note(dataset.putAndInsertTagKey(DCM_FrameIncrementPointer, DCM_PageNumberVector), "FrameIncrementPointer");
  writer.Text(DCM_PageNumberVector, "1\\2");
  PutSpacing(writer, input);
  PutIndications(writer, input);
  if (auto failed = PutPixels(dataset, writer, pages)) return *failed;
  if (auto failed = Save(file, writer, folder / "strip.dcm")) return *failed;
  return folder / "strip.dcm";
}
}  // namespace

std::string UidFrom(const std::string& text) {
  std::array<unsigned char, SHA256_DIGEST_LENGTH> hash{};
  SHA256(reinterpret_cast<const unsigned char*>(text.data()), text.size(), hash.data());
  hash[6] = static_cast<unsigned char>((hash[6] & 0x0F) | 0x80);  // RFC 9562: version 8, made by a rule of our own
  hash[8] = static_cast<unsigned char>((hash[8] & 0x3F) | 0x80);  // its variant
  unsigned __int128 number = 0;
  for (int i = 0; i < 16; ++i) number = number << 8 | hash[static_cast<std::size_t>(i)];
  std::string digits;
  for (; number > 0; number /= 10)
    digits.insert(digits.begin(), static_cast<char>('0' + static_cast<int>(number % 10)));
  return "2.25." + digits;
}

vision::Result<Written> Write(const Input& input, const fs::path& folder) {
  if (input.reading.strip.file.empty())
    return vision::BadInput("The reading of joint " + input.joint.id + " has no strip; there is nothing to export.");
  if (auto failed = vision::MakeFolder(folder)) return *failed;
  Written written;
  for (std::size_t i = 0; i < input.frames.size(); ++i) {
    auto frame = WriteFrame(input, i, folder);
    if (!frame.ok()) return frame.error();
    written.frames.push_back(frame.value());
  }
  auto strip = WriteStrip(input, folder);
  if (!strip.ok()) return strip.error();
  written.strip = strip.value();
  return written;
}

}  // namespace app::diconde
