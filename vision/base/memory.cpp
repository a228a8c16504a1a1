#include "vision/base/memory.h"

#include <cstdlib>
#ifdef __GLIBC__
#include <malloc.h>
#endif

namespace vision {

void KeepFreedMemory() {
#ifdef __GLIBC__
  mallopt(M_MMAP_THRESHOLD, 32 << 20);  // the most that glibc takes
  mallopt(M_TRIM_THRESHOLD, 256 << 20);
#endif
}

}  // namespace vision
