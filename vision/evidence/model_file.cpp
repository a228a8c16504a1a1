#include "vision/evidence/model_file.h"

#include "vision/network/packed_network.h"

ROOTSCROLL_EMBED(rootscroll_network_1, ROOTSCROLL_NETWORK_1)
ROOTSCROLL_EMBED(rootscroll_network_2, ROOTSCROLL_NETWORK_2)
ROOTSCROLL_EMBED(rootscroll_facts, ROOTSCROLL_FACTS)

namespace vision::evidence {

std::span<const char> NetworkBytes(std::size_t which) {
  if (which == 0) return {rootscroll_network_1_begin, rootscroll_network_1_end};
  return {rootscroll_network_2_begin, rootscroll_network_2_end};
}
std::string_view FactsText() {
  return {rootscroll_facts_begin, static_cast<std::size_t>(rootscroll_facts_end - rootscroll_facts_begin)};
}
std::string_view FactsSha256() { return ROOTSCROLL_FACTS_SHA256; }

}  // namespace vision::evidence
