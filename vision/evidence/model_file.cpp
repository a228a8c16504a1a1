#include "vision/evidence/model_file.h"

// The assembler lays both files into the object, so that no path is needed when the program runs.
__asm__(
    ".section .rodata\n"
    ".balign 16\n"
    "rootscroll_network_begin:\n.incbin \"" ROOTSCROLL_NETWORK
    "\"\nrootscroll_network_end:\n"
    "rootscroll_facts_begin:\n.incbin \"" ROOTSCROLL_FACTS
    "\"\nrootscroll_facts_end:\n"
    ".text\n");
extern "C" {
extern const char rootscroll_network_begin[], rootscroll_network_end[], rootscroll_facts_begin[],
    rootscroll_facts_end[];
}

namespace vision::evidence {

std::span<const char> NetworkBytes() { return {rootscroll_network_begin, rootscroll_network_end}; }
std::string_view FactsText() {
  return {rootscroll_facts_begin, static_cast<std::size_t>(rootscroll_facts_end - rootscroll_facts_begin)};
}
std::string_view NetworkSha256() { return ROOTSCROLL_NETWORK_SHA256; }

}  // namespace vision::evidence
