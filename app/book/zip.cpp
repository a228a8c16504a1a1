#include "app/book/zip.h"

#include <unistd.h>
#include <zip.h>

#include <fstream>

#include "vision/base/file.h"

namespace app::book {

namespace {
namespace fs = std::filesystem;
constexpr zip_uint16_t kFixedDate = (46 << 9) | (1 << 5) | 1;  // 2026-01-01 in the format's own coding

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
  // Pictures and videos are compressed already.
  const zip_int32_t method = entry.file.empty() ? ZIP_CM_DEFLATE : ZIP_CM_STORE;
  zip_set_file_compression(archive, static_cast<zip_uint64_t>(index), method, 0);
  zip_file_set_dostime(archive, static_cast<zip_uint64_t>(index), 0, kFixedDate, 0);
  constexpr zip_uint32_t kPlainFile = 0100644u << 16;  // whatever the rights where it lies
  zip_file_set_external_attributes(archive, static_cast<zip_uint64_t>(index), 0, ZIP_OPSYS_UNIX, kPlainFile);
  return std::nullopt;
}
}  // namespace

vision::Status WriteZip(const fs::path& path, const std::vector<ZipEntry>& entries) {
  const fs::path temporary = path.string() + ".part" + std::to_string(::getpid());
  int error = 0;
  zip_t* archive = zip_open(temporary.c_str(), ZIP_CREATE | ZIP_TRUNCATE, &error);
  if (archive == nullptr) return Failure(path, "cannot be written; its folder must exist and be writable");
  for (const auto& entry : entries)
    if (auto failed = AddEntry(archive, path, entry)) return zip_discard(archive), failed;
  if (zip_close(archive) != 0) {
    const std::string why = zip_strerror(archive);
    zip_discard(archive);
    return Failure(path, why);
  }
  return vision::PutInPlace(temporary, path);
}

vision::Result<ZipReader> ZipReader::Open(const fs::path& path) {
  int error = 0;
  zip_t* archive = zip_open(path.c_str(), ZIP_RDONLY | ZIP_CHECKCONS, &error);
  if (archive == nullptr) return vision::BadInput(path.string() + " is not a zip archive, or it is damaged.");
  return ZipReader(std::shared_ptr<void>(archive, [](void* open) { zip_discard(static_cast<zip_t*>(open)); }),
                   path.string());
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
