// Preloaded into a program under test: kills it (SIGKILL) at its Nth call that changes a file, N from CRASH_AT, counted
// over write, pwrite, writev, sendfile, copy_file_range, fsync, fdatasync, ftruncate, rename, unlink, rmdir, mkdir,
// chmod and open with O_CREAT. With CRASH_HALF=1 a write has put half of its bytes there first. CRASH_COUNT names a
// file that is told the number of calls at the end of a run that was not killed.
#include <dlfcn.h>
#include <fcntl.h>
#include <signal.h>
#include <sys/sendfile.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/uio.h>
#include <unistd.h>

#include <atomic>
#include <cstdarg>
#include <cstdio>
#include <cstdlib>

namespace {
std::atomic<long> calls{0};

long At() {
  static const char* text = std::getenv("CRASH_AT");
  static const long at = text != nullptr ? std::atol(text) : 0;
  return at;
}

bool Half() {
  static const bool half = std::getenv("CRASH_HALF") != nullptr;
  return half;
}

/// Counts one call; does not come back from the one asked for. @param half What is still done first.
template <class Work>
void Count(const Work& half) {
  if (++calls != At()) return;
  if (Half()) half();
  ::kill(::getpid(), SIGKILL);
  for (;;) ::pause();
}
void Count() {
  Count([] {});
}

template <class F>
F Next(const char* name) {
  return reinterpret_cast<F>(::dlsym(RTLD_NEXT, name));
}

struct TellAtTheEnd {
  ~TellAtTheEnd() {
    if (const char* file = std::getenv("CRASH_COUNT"))
      if (std::FILE* out = std::fopen(file, "w")) std::fprintf(out, "%ld\n", calls.load()), std::fclose(out);
  }
} at_the_end;
}  // namespace

extern "C" {
ssize_t write(int fd, const void* data, size_t size) {
  Count([&] { ::syscall(SYS_write, fd, data, size / 2); });
  return ::syscall(SYS_write, fd, data, size);
}
ssize_t pwrite64(int fd, const void* data, size_t size, off64_t at) {
  Count([&] { ::syscall(SYS_pwrite64, fd, data, size / 2, at); });
  return ::syscall(SYS_pwrite64, fd, data, size, at);
}
ssize_t pwrite(int fd, const void* data, size_t size, off_t at) { return pwrite64(fd, data, size, at); }
ssize_t writev(int fd, const iovec* parts, int count) {
  Count([&] { ::syscall(SYS_writev, fd, parts, count / 2); });
  return ::syscall(SYS_writev, fd, parts, count);
}
ssize_t sendfile64(int out, int in, off64_t* at, size_t size) {
  Count([&] { ::syscall(SYS_sendfile, out, in, at, size / 2); });
  return ::syscall(SYS_sendfile, out, in, at, size);
}
ssize_t sendfile(int out, int in, off_t* at, size_t size) { return sendfile64(out, in, at, size); }
ssize_t copy_file_range(int in, off64_t* from, int out, off64_t* to, size_t size, unsigned flags) {
  Count();
  return ::syscall(SYS_copy_file_range, in, from, out, to, size, flags);
}
int fsync(int fd) {
  Count();
  return static_cast<int>(::syscall(SYS_fsync, fd));
}
int fdatasync(int fd) {
  Count();
  return static_cast<int>(::syscall(SYS_fdatasync, fd));
}
int ftruncate64(int fd, off64_t size) noexcept {
  Count();
  return static_cast<int>(::syscall(SYS_ftruncate, fd, size));
}
int ftruncate(int fd, off_t size) noexcept { return ftruncate64(fd, size); }
int rename(const char* from, const char* to) noexcept {
  Count();
  return static_cast<int>(::syscall(SYS_rename, from, to));
}
int unlink(const char* path) noexcept {
  Count();
  return static_cast<int>(::syscall(SYS_unlink, path));
}
int rmdir(const char* path) noexcept {
  Count();
  return static_cast<int>(::syscall(SYS_rmdir, path));
}
int remove(const char* path) noexcept {
  Count();
  return Next<int (*)(const char*)>("remove")(path);
}
int mkdir(const char* path, mode_t mode) noexcept {
  Count();
  return static_cast<int>(::syscall(SYS_mkdir, path, mode));
}
int fchmodat(int folder, const char* path, mode_t mode, int flags) noexcept {
  Count();
  return Next<int (*)(int, const char*, mode_t, int)>("fchmodat")(folder, path, mode, flags);
}
int open64(const char* path, int flags, ...) {
  va_list more;
  va_start(more, flags);
  const mode_t mode = (flags & O_CREAT) != 0 ? va_arg(more, mode_t) : 0;
  va_end(more);
  if ((flags & O_CREAT) != 0) Count();
  return static_cast<int>(::syscall(SYS_openat, AT_FDCWD, path, flags, mode));
}
int open(const char* path, int flags, ...) {
  va_list more;
  va_start(more, flags);
  const mode_t mode = (flags & O_CREAT) != 0 ? va_arg(more, mode_t) : 0;
  va_end(more);
  return open64(path, flags, mode);
}
}
