#include "vision/evidence/model_file.h"

#include "vision/network/packed_network.h"

ROOTSCROLL_EMBED(rootscroll_network, ROOTSCROLL_NETWORK)
ROOTSCROLL_EMBED(rootscroll_facts, ROOTSCROLL_FACTS)

namespace vision::evidence {

std::span<const char> NetworkBytes() { return {rootscroll_network_begin, rootscroll_network_end}; }
std::string_view FactsText() {
  return {rootscroll_facts_begin, static_cast<std::size_t>(rootscroll_facts_end - rootscroll_facts_begin)};
}
std::string_view NetworkSha256() { return ROOTSCROLL_NETWORK_SHA256; }

}  // namespace vision::evidence
