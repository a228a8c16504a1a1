#include "tests/fuzz/readers.h"

#include <unistd.h>

#include <cstring>
#include <filesystem>
#include <fstream>

#include "app/book/bundle.h"
#include "app/book/bundle_parts.h"
#include "app/book/keys.h"
#include "app/book/purge_csv.h"
#include "app/book/record.h"
#include "app/book/text_gate.h"
#include "app/book/time_stamp.h"
#include "app/book/witness.h"
#include "app/compare/change_read.h"
#include "app/diconde/dataset.h"
#include "app/joint/criteria.h"
#include "app/joint/joint.h"
#include "app/joint/verdict.h"
#include "app/notes/notes.h"
#include "app/repair/repair_file.h"
#include "app/report/report.h"
#include "vision/reading/reading.h"
#include "vision/recording/decode.h"
#include "vision/recording/frame_source.h"
#include "vision/recording/picture_source.h"
#include "vision/scan/scan.h"

namespace fuzz {
namespace {
namespace fs = std::filesystem;

/// A folder of this process for readers that want a file; in memory where there is such a place.
const fs::path& Folder() {
  static const fs::path folder = [] {
    std::error_code failed;
    const fs::path memory = "/dev/shm";
    const fs::path made = (fs::exists(memory, failed) ? memory : fs::temp_directory_path()) /
                          ("rootscroll_fuzz_" + std::to_string(::getpid()));
    fs::create_directories(made, failed);
    return made;
  }();
  return folder;
}

/// Gone at the end of the process.
struct Cleaner {
  ~Cleaner() {
    std::error_code ignored;
    fs::remove_all(Folder(), ignored);
  }
} cleaner;

fs::path File(const std::string& bytes, const char* name = "input.json") {
  const fs::path file = Folder() / name;
  std::ofstream(file, std::ios::binary | std::ios::trunc) << bytes;
  return file;
}

void Bundle(const std::string& bytes) {
  static int count = 0;
  static app::book::Book* book = nullptr;  // left at the end: the application object behind it goes first
  if (book == nullptr || ++count % 5000 == 0) {
    delete book;
    std::error_code ignored;
    for (const char* end : {"", "-wal", "-shm", ".evidence"})
      fs::remove_all((Folder() / "a.book").string() + end, ignored);
    book = app::book::Book::Create((Folder() / "a.book").string()).value().release();
  }
  (void)app::book::ImportBundle(*book, File(bytes, "input.zip"), {true, 1u << 24, 1u << 22});
}

/// Texts of ours that go into DICOM elements of every representation that is written.
void Dicom(const std::string& bytes) {
  DcmFileFormat file;
  app::diconde::Writer writer(*file.getDataset());
  app::diconde::Input input;
  const std::string text = bytes.substr(0, bytes.find('\0'));
  input.joint.id = input.joint.material = input.joint.a.name = input.joint.datum.zero = text;
  input.owner = input.inspector = input.cycle = input.settings = input.record_hash = input.examined_on = text;
  input.reading.program_version = input.reading.z_zero = text;
  app::diconde::PutComponent(writer, input);
  app::diconde::PutStudyAndSeries(writer, input, "XC", "frames", 1);
  for (const DcmEVR vr : {EVR_PN, EVR_LO, EVR_SH, EVR_ST, EVR_LT, EVR_UT})
    writer.Private(0x0021, 0x10, "a test", 0x06, vr, text);
  writer.Text(DCM_ImageComments, text);
  OFString value;
  (void)file.getDataset()->findAndGetOFString(DCM_PatientName, value);
}

void Picture(const std::string& bytes) {
  const auto size = vision::recording::SizeFromHeader(bytes);
  (void)vision::recording::OrientationOf(bytes);
  (void)vision::recording::JpegLooksWhole(reinterpret_cast<const uchar*>(bytes.data()), bytes.size());
  const std::string refusal = vision::recording::RefusalOf(bytes);
  if (!refusal.empty() || (size && static_cast<double>(size->width) * size->height > 4e6)) return;  // many: nothing new
  (void)vision::recording::DecodePicture(bytes, "a picture");
}

/// Looks made of the bytes, as a scan sorts them.
void Sort(const std::string& bytes) {
  std::vector<vision::scan::FrameLook> looks;
  std::size_t at = 0;
  const auto next = [&] {
    float value = 0;
    std::memcpy(&value, bytes.data() + at, sizeof value);
    at += sizeof value;
    return static_cast<double>(value);
  };
  double time_s = 0;
  while (at + 10 * sizeof(float) <= bytes.size() && looks.size() < 2000) {
    vision::scan::FrameLook look;
    const double step = std::abs(next());
    time_s += step < 10 ? step : 0.2;
    look.time_s = time_s, look.index = static_cast<long>(looks.size());
    for (double* value : {&look.level, &look.bright, &look.glare, &look.blur_px, &look.change, &look.spot, &look.peak,
                          &look.middle, &look.one_sided})
      *value = next();
    looks.push_back(look);
  }
  if (looks.empty()) return;
  (void)vision::scan::Sort(looks, {}, 2.0, bytes.size() % 2 == 0, {});
}

/// Two bytes of length, a request, the rest as what an authority answers.
void Time(const std::string& bytes) {
  if (bytes.size() < 2) return;
  const auto byte = [&](std::size_t at) { return static_cast<std::size_t>(static_cast<unsigned char>(bytes[at])); };
  const std::size_t length = std::min(byte(0) << 8 | byte(1), bytes.size() - 2);
  app::book::TimeStamp stamp;
  stamp.signoff = std::string(64, 'a');
  stamp.request = app::book::HexOf(bytes.substr(2, length));
  stamp.response = app::book::HexOf(bytes.substr(2 + length));
  (void)app::book::TimeOf(stamp, "");
}

void History(const std::string& bytes) {
  const auto history = app::book::HistoryFromJson(bytes, "history");
  if (history.ok()) (void)app::book::CheckHistory(history.value(), "history");
}

void Record(const std::string& bytes) {
  const auto record = app::book::FromJson(bytes, "record");
  if (!record.ok()) return;
  (void)record.value().Check();
  (void)app::book::FromJson(app::book::ToJson(record.value()), "again");
}
}  // namespace

const std::map<std::string, Reader>& Readers() {
  static const std::map<std::string, Reader> readers{
      {"joint", [](const std::string& b) { (void)app::joint::LoadJoint(File(b)); }},
      {"criteria", [](const std::string& b) { (void)app::joint::LoadCriteria(File(b).string(), Folder()); }},
      {"repair", [](const std::string& b) { (void)app::repair::LoadRepair(File(b)); }},
      {"notes", [](const std::string& b) { (void)app::notes::FromJson(b, "notes"); }},
      {"reading", [](const std::string& b) { (void)vision::reading::FromJson(b, "reading"); }},
      {"verdict", [](const std::string& b) { (void)app::joint::VerdictFromJson(b, "verdict"); }},
      {"change", [](const std::string& b) { (void)app::compare::ReadChange(File(b)); }},
      {"paper", [](const std::string& b) { (void)app::report::LoadPaper(File(b)); }},
      {"scan", [](const std::string& b) { (void)vision::scan::CheckScanJson(b, "scan"); }},
      {"record", Record},
      {"history", History},
      {"statement", [](const std::string& b) { (void)app::book::StatementFromJson(b); }},
      {"bundle", Bundle},
      {"purge", [](const std::string& b) { (void)app::book::PurgeFromCsv(b, "purge"); }},
      {"witness", [](const std::string& b) { (void)app::book::ReadWitness(File(b, "witness.txt")); }},
      {"time", Time},
      {"text", [](const std::string& b) { (void)app::book::CheckText("text", b), (void)vision::Printable(b); }},
      {"dicom", Dicom},
      {"picture", Picture},
      {"sort", Sort}};
  return readers;
}

}  // namespace fuzz
