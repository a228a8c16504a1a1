#pragma once

namespace vision {

/// Asks the C library to keep what is freed (up to 256 MiB) for the next picture instead of giving it back to the
/// system: a strip's pictures come and go by tens of MiB, and fresh pages cost as much as the work on them. For the
/// start of a program; without glibc nothing changes.
void KeepFreedMemory();

}  // namespace vision
