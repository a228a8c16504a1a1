#include "app/diconde/dataset.h"

#include <unistd.h>

#include <cmath>
#include <cstdio>
#include <opencv2/imgproc.hpp>

#include "vision/base/file.h"

namespace app::diconde {

namespace {
constexpr const char* kComponent = "astm.org/diconde/iod/Component";
constexpr const char* kClaim =
    "E2339 component module in a DICOM visible-light object; no conformance to a practice for visual testing is "
    "claimed. Aid to examination: acceptance is the decision of the certified examiner under the code edition and "
    "contract in force.";

std::string Cut(const std::string& text, std::size_t most) {
  if (text.size() <= most) return text;
  std::size_t end = most;
  while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0) == 0x80) --end;  // not inside a character
  return text.substr(0, end);
}

/// Names of persons and long texts may not hold a backslash, which parts values.
std::string Plain(std::string text, std::size_t most) {
  for (char& letter : text)
    if (letter == '\\' || letter == '^' || letter == '=' || static_cast<unsigned char>(letter) < 32) letter = ' ';
  return Cut(text, most);
}

/// The most characters of a value by its representation (DICOM PS3.5, 6.2); 0 = no text to be cut here. What may not
/// stand in it becomes a space: control characters, and in names and short texts what parts values and names.
std::string Fitted(std::string text, DcmEVR vr) {
  const bool named = vr == EVR_PN || vr == EVR_LO || vr == EVR_SH;
  const bool lined = vr == EVR_ST || vr == EVR_LT || vr == EVR_UT;
  if (!named && !lined) return text;
  if (named) return Plain(std::move(text), vr == EVR_SH ? 16 : 64);
  for (char& letter : text)
    if (static_cast<unsigned char>(letter) < 32 && letter != '\n' && letter != '\r' && letter != '\t') letter = ' ';
  return vr == EVR_UT ? text : Cut(text, vr == EVR_ST ? 1024 : 10240);
}

std::string Digits(std::string date) {
  std::erase(date, '-');
  return date;
}
}  // namespace

std::string Decimal(double value) {
  if (!std::isfinite(value)) return "";
  char text[40];
  for (int digits = 15; digits > 0; --digits) {
    std::snprintf(text, sizeof text, "%.*g", digits, value);
    if (std::string(text).size() <= 16) return text;
  }
  return "";
}

void Writer::Note(OFCondition condition, const std::string& what) {
  if (condition.bad() && trouble_.empty()) trouble_ = what + ": " + condition.text();
}

void Writer::Text(const DcmTagKey& key, const std::string& value) {
  const DcmTag tag(key);
  Note(item_.putAndInsertString(tag, Fitted(value, tag.getEVR()).c_str()), key.toString().c_str());
}

void Writer::Short(const DcmTagKey& key, unsigned value) {
  Note(item_.putAndInsertUint16(DcmTag(key), static_cast<Uint16>(value)), key.toString().c_str());
}

DcmTag Writer::PrivateTag(unsigned group, unsigned place, const char* creator, unsigned element, DcmEVR vr) {
  const DcmTagKey reserve(static_cast<Uint16>(group), static_cast<Uint16>(place));
  if (!item_.tagExists(reserve)) {
    DcmTag tag(reserve);
    tag.setVR(DcmVR(EVR_LO));
    Note(item_.putAndInsertString(tag, creator), creator);
  }
  DcmTag tag(static_cast<Uint16>(group), static_cast<Uint16>(place * 0x100 + element));
  tag.setPrivateCreator(creator);
  tag.setVR(DcmVR(vr));
  return tag;
}

void Writer::Private(unsigned group, unsigned place, const char* creator, unsigned element, DcmEVR vr,
                     const std::string& value) {
  if (value.empty()) return;
  Note(item_.putAndInsertString(PrivateTag(group, place, creator, element, vr), Fitted(value, vr).c_str()), creator);
}

DcmItem* Writer::PrivateItem(unsigned group, unsigned place, const char* creator, unsigned element) {
  DcmItem* item = nullptr;
  Note(item_.findOrCreateSequenceItem(PrivateTag(group, place, creator, element, EVR_SQ), item, -2), creator);
  return item;
}

void PutComponent(Writer& writer, const Input& input) {
  const auto& joint = input.joint;
  writer.Text(DCM_SpecificCharacterSet, "ISO_IR 192");
  writer.Text(DCM_PatientName, Plain(joint.id, 64));  // ComponentName
  writer.Text(DCM_PatientID, Plain(joint.id, 64));    // ComponentIDNumber
  writer.Text(DCM_PatientBirthDate, "");              // ComponentManufacturingDate
  writer.Text(DCM_PatientSex, "");
  writer.Text(DCM_PatientComments, kClaim);                           // ComponentNotes
  writer.Text(DcmTagKey(0x0010, 0x2160), Plain(joint.material, 16));  // MaterialName
  const auto put = [&](unsigned element, DcmEVR vr, const std::string& value) {
    writer.Private(0x0011, 0x10, kComponent, element, vr, value);
  };
  put(0x24, EVR_ST,
      "theta 0 at " + joint.datum.zero + ", clockwise looking along +z; z " + joint.datum.positive_z +
          "; z 0: " + input.reading.z_zero + "; piece a: " + joint.a.name + ", piece b: " + joint.b.name);
  if (const auto wall = joint.ThinnerWall()) put(0x30, EVR_DS, Decimal(wall->value_mm));
  put(0x42, EVR_ST, joint.material);
  if (const auto outside = joint.SmallerOutsideDiameter()) put(0x54, EVR_DS, Decimal(outside->value_mm));
  put(0x56, EVR_DS, Decimal(joint.pipe.inside_diameter.value_mm));
}

void PutStudyAndSeries(Writer& writer, const Input& input, const char* modality, const char* series,
                       int series_number) {
  const std::string study = input.joint.id + "\n" + input.cycle;
  writer.Text(DCM_StudyInstanceUID, UidFrom("study\n" + study));
  writer.Text(DCM_StudyDate, Digits(input.examined_on));
  writer.Text(DCM_StudyTime, "");
  writer.Text(DCM_AccessionNumber, "");
  writer.Text(DCM_ReferringPhysicianName, Plain(input.owner, 64));  // ComponentOwnerName
  writer.Text(DCM_StudyID, Plain(input.cycle, 16));
  if (!input.inspector.empty()) writer.Text(DCM_PerformingPhysicianName, Plain(input.inspector, 64));  // InspectorName
  writer.Text(DCM_Modality, modality);
  writer.Text(DCM_SeriesInstanceUID, UidFrom("series\n" + study + "\n" + series + "\n" + input.record_hash));
  writer.Text(DCM_SeriesNumber, std::to_string(series_number));
  writer.Text(DCM_SeriesDescription, series);
  writer.Text(DCM_Laterality, "");
  writer.Text(DCM_Manufacturer, "Rootscroll");
  writer.Text(DCM_SoftwareVersions, Plain("rootscroll " + input.reading.program_version, 64));
}

void PutInstance(Writer& writer, const char* sop_class, const std::string& instance_uid, int number) {
  writer.Text(DCM_SOPClassUID, sop_class);
  writer.Text(DCM_SOPInstanceUID, instance_uid);
  writer.Text(DCM_InstanceNumber, std::to_string(number));
  writer.Text(DCM_PatientOrientation, "");
}

vision::Status PutPixels(DcmDataset& dataset, Writer& writer, const std::vector<cv::Mat>& bgr) {
  const cv::Size size = bgr.front().size();
  constexpr int kMost = 65535;  // Rows and Columns are 16 bit
  if (size.width > kMost || size.height > kMost)
    return vision::BadInput("A picture of " + std::to_string(size.width) + " x " + std::to_string(size.height) +
                            " px is too large for DICOM; 65535 a side are the most.");
  std::string bytes;
  for (const auto& picture : bgr) {
    cv::Mat rgb;
    cv::cvtColor(picture, rgb, picture.channels() == 1 ? cv::COLOR_GRAY2RGB : cv::COLOR_BGR2RGB);
    if (rgb.size() != size) return vision::BadInput("The pictures of the strip are not of one size.");
    bytes.append(reinterpret_cast<const char*>(rgb.data), rgb.total() * rgb.elemSize());
  }
  if (bytes.size() % 2 != 0) bytes += '\0';
  writer.Short(DCM_SamplesPerPixel, 3);
  writer.Text(DCM_PhotometricInterpretation, "RGB");
  writer.Short(DCM_PlanarConfiguration, 0);
  writer.Short(DCM_Rows, static_cast<unsigned>(size.height));
  writer.Short(DCM_Columns, static_cast<unsigned>(size.width));
  writer.Short(DCM_BitsAllocated, 8);
  writer.Short(DCM_BitsStored, 8);
  writer.Short(DCM_HighBit, 7);
  writer.Short(DCM_PixelRepresentation, 0);
  DcmTag pixels(DCM_PixelData);
  pixels.setVR(DcmVR(EVR_OB));
  writer.Note(dataset.putAndInsertUint8Array(pixels, reinterpret_cast<const Uint8*>(bytes.data()),
                                             static_cast<unsigned long>(bytes.size())),
              "PixelData");
  return std::nullopt;
}

vision::Status Save(DcmFileFormat& file, const Writer& writer, const std::filesystem::path& path) {
  if (!writer.trouble().empty()) return vision::BadInput("DICOM does not take " + writer.trouble() + ".");
  const std::string temporary = path.string() + ".part" + std::to_string(::getpid());
  const auto written = file.saveFile(temporary.c_str(), EXS_LittleEndianExplicit);
  if (written.good()) return vision::PutInPlace(temporary, path);
  std::error_code ignored;
  std::filesystem::remove(temporary, ignored);
  return vision::Error{vision::ErrorCode::kIo, "Cannot write " + path.string() + ": " + written.text() + "."};
}

std::string FrameUid(const Input& input, std::size_t index) {
  return UidFrom("frame\n" + input.joint.id + "\n" + input.cycle + "\n" + input.record_hash + "\n" +
                 std::to_string(index) + "\n" + input.frames[index].name);
}

}  // namespace app::diconde
