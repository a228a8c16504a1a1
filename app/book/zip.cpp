#include "app/book/zip.h"

#include <unistd.h>
#include <zip.h>

#include <fstream>
#include <set>

#include "app/book/digest.h"
#include "vision/base/file.h"
#include "vision/base/text.h"

namespace app::book {

namespace {
namespace fs = std::filesystem;
constexpr zip_uint16_t kFixedDate = (46 << 9) | (1 << 5) | 1;  // 2026-01-01 in the format's own coding

constexpr std::string_view kSumTitle = "rootscroll sha256 ";  // the comment: this and 64 digits
constexpr std::size_t kSumDigits = 64;

vision::Error Failure(const fs::path& path, const std::string& what) {
  return {vision::ErrorCode::kIo, "The archive " + path.string() + ": " + what + "."};
}

vision::Status AddEntry(zip_t* archive, const fs::path& path, const ZipEntry& entry) {
  zip_source_t* source = entry.file.empty() ? zip_source_buffer(archive, entry.bytes.data(), entry.bytes.size(), 0)
                                            : zip_source_file(archive, entry.file.c_str(), 0, -1);
  if (source == nullptr) return Failure(path, "cannot read " + entry.name);
  const zip_int64_t index = zip_file_add(archive, entry.name.c_str(), source, ZIP_FL_ENC_UTF_8);
  if (index < 0) {
    zip_source_free(source);
    return Failure(path, "cannot add " + entry.name);
  }
  // Pictures and videos are compressed already, and what is stored cannot be larger than the archive.
  const bool store = !entry.file.empty() || entry.name.starts_with("files/");
  const zip_int32_t method = store ? ZIP_CM_STORE : ZIP_CM_DEFLATE;
  zip_set_file_compression(archive, static_cast<zip_uint64_t>(index), method, 0);
  zip_file_set_dostime(archive, static_cast<zip_uint64_t>(index), 0, kFixedDate, 0);
  constexpr zip_uint32_t kPlainFile = 0100644u << 16;  // whatever the rights where it lies
  zip_file_set_external_attributes(archive, static_cast<zip_uint64_t>(index), 0, ZIP_OPSYS_UNIX, kPlainFile);
  return std::nullopt;
}
/// SHA-256 of all of the file but its last 64 bytes.
vision::Result<std::string> SumOf(const fs::path& path) {
  std::error_code failed;
  const auto size = fs::file_size(path, failed);
  if (failed || size < kSumDigits) return Failure(path, "cannot be read");
  return Sha256OfFile(path, size - kSumDigits);
}

vision::Status WriteSum(const fs::path& path) {
  auto sum = SumOf(path);
  if (!sum.ok()) return sum.error();
  std::fstream file(path, std::ios::binary | std::ios::in | std::ios::out);
  file.seekp(-static_cast<std::streamoff>(kSumDigits), std::ios::end);
  file << sum.value();
  file.close();
  if (!file) return Failure(path, "cannot be written");
  return std::nullopt;
}
}  // namespace

vision::Status CheckWhole(const fs::path& path) {
  std::error_code failed;
  const auto size = fs::file_size(path, failed);
  const std::size_t tail = kSumTitle.size() + kSumDigits;
  std::string end(tail, '\0');
  std::ifstream in(path, std::ios::binary);
  in.seekg(-static_cast<std::streamoff>(tail), std::ios::end);
  if (failed || size < tail || !in.read(end.data(), static_cast<std::streamsize>(tail)) || !end.starts_with(kSumTitle))
    return vision::BadInput(path.string() + " carries no sum over all of it; it is no bundle, or its end has changed.");
  auto sum = SumOf(path);
  if (!sum.ok()) return sum.error();
  if (end.substr(kSumTitle.size()) == sum.value()) return std::nullopt;
  return vision::BadInput(path.string() + " is no longer what was exported: the sum over all of it differs.");
}

vision::Status WriteZip(const fs::path& path, const std::vector<ZipEntry>& entries) {
  const fs::path temporary = path.string() + ".part" + std::to_string(::getpid());
  int error = 0;
  zip_t* archive = zip_open(temporary.c_str(), ZIP_CREATE | ZIP_TRUNCATE, &error);
  if (archive == nullptr) return Failure(path, "cannot be written; its folder must exist and be writable");
  for (const auto& entry : entries)
    if (auto failed = AddEntry(archive, path, entry)) return zip_discard(archive), failed;
  const std::string comment = std::string(kSumTitle) + std::string(kSumDigits, '0');
  zip_set_archive_comment(archive, comment.data(), static_cast<zip_uint16_t>(comment.size()));
  std::error_code ignored;
  if (zip_close(archive) != 0) {
    zip_discard(archive);
    fs::remove(temporary, ignored);
    return Failure(path, "cannot be written; is there room on the disk?");
  }
  if (auto failed = WriteSum(temporary)) return fs::remove(temporary, ignored), failed;
  return vision::PutInPlace(temporary, path);
}

vision::Result<ZipReader> ZipReader::Open(const fs::path& path) {
  int error = 0;
  std::error_code failed;
  if (!fs::is_regular_file(path, failed))
    return vision::Error{vision::ErrorCode::kIo, "No file " + path.string() + "."};
  zip_t* archive = zip_open(path.c_str(), ZIP_RDONLY | ZIP_CHECKCONS, &error);
  if (archive == nullptr) return vision::BadInput(path.string() + " is not a zip archive, or it is damaged.");
  return ZipReader(std::shared_ptr<void>(archive, [](void* open) { zip_discard(static_cast<zip_t*>(open)); }),
                   path.string());
}

vision::Result<std::vector<ZipListed>> ZipReader::List(std::size_t most) const {
  zip_t* archive = static_cast<zip_t*>(archive_.get());
  const zip_int64_t count = zip_get_num_entries(archive, 0);
  if (count < 0 || static_cast<std::size_t>(count) > most)
    return vision::BadInput("The archive " + path_ + " holds more than " + std::to_string(most) + " files.");
  std::vector<ZipListed> listed;
  std::set<std::string> names;
  for (zip_uint64_t i = 0; i < static_cast<zip_uint64_t>(count); ++i) {
    zip_stat_t about;
    constexpr zip_uint64_t kWanted = ZIP_STAT_NAME | ZIP_STAT_SIZE | ZIP_STAT_COMP_SIZE | ZIP_STAT_COMP_METHOD;
    if (zip_stat_index(archive, i, ZIP_FL_ENC_STRICT, &about) != 0 || (about.valid & kWanted) != kWanted)
      return vision::BadInput("The archive " + path_ + " is damaged: its directory cannot be read.");
    if (!names.insert(about.name).second)
      return vision::BadInput("The archive " + path_ + " holds " + vision::Printable(about.name) + " twice.");
    listed.push_back({about.name, about.size, about.comp_method == ZIP_CM_STORE && about.comp_size == about.size});
  }
  return listed;
}

vision::Status ZipReader::Each(const std::string& name, std::size_t max_bytes,
                               const std::function<void(const char*, std::size_t)>& piece) const {
  zip_t* archive = static_cast<zip_t*>(archive_.get());
  zip_file_t* file = zip_fopen(archive, name.c_str(), 0);
  if (file == nullptr) return vision::BadInput("The archive " + path_ + " has no " + name + ".");
  std::string buffer(1u << 18, '\0');
  std::size_t in_all = 0;
  zip_int64_t count = 0;
  while ((count = zip_fread(file, buffer.data(), buffer.size())) > 0) {
    in_all += static_cast<std::size_t>(count);
    if (in_all > max_bytes) break;
    piece(buffer.data(), static_cast<std::size_t>(count));
  }
  zip_fclose(file);
  if (count < 0) return vision::BadInput("The archive " + path_ + ": " + name + " is damaged.");
  if (in_all > max_bytes) return vision::BadInput("The archive " + path_ + ": " + name + " is larger than it says.");
  return std::nullopt;
}

vision::Result<std::string> ZipReader::Read(const std::string& name, std::size_t max_bytes) const {
  std::string bytes;
  if (auto failed = Each(name, max_bytes, [&](const char* data, std::size_t size) { bytes.append(data, size); }))
    return *failed;
  return bytes;
}

vision::Status ZipReader::Extract(const std::string& name, const fs::path& to, std::size_t max_bytes) const {
  std::ofstream out(to, std::ios::binary);
  auto failed = Each(name, max_bytes,
                     [&](const char* data, std::size_t size) { out.write(data, static_cast<std::streamsize>(size)); });
  out.close();
  if (!failed && !out) return Failure(to, "cannot be unpacked");
  return failed;
}

}  // namespace app::book
