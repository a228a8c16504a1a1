#include "vision/base/reason.h"

#include <array>
#include <cctype>

namespace vision {
namespace {

/// In the order of ReasonCode.
constexpr std::array<std::string_view, kReasonCodes> kSentences{
    "",
    "%1",
    "this part of the wall was not seen or was masked",
    "covered: something stands before the wall here, or glare lies on it",
    "the toe is not in sight",
    "the far toe is hidden behind the root reinforcement, or does not stand out from the wall",
    "the toe is not sure here",
    "the far toe shows on too few lines to be told from other edges",
    "the toe lies outside the picture",
    "the toe is not visible here",
    "single view: height not measurable from this recording",
    "not earned by the camera's travel: its uncertainty did not hold under shop conditions; give a recording with a "
    "plane of light on",
    "picture and surface do not tell both toes together here",
    "wrinkled scale beside the bead hides where the bead ends",
    "the picture is too coarse to tell the step between the walls by the camera's travel (over %1 mm a pixel at the "
    "bead)",
    "the expanded uncertainty (k = 2) here is not below the %1 mm that was asked for",
    "too little bare wall was measured beside the weld here",
    "the toes lie too close together",
    "no height was measured over part of the weld here",
    "the surface that was read is torn here: the stripe was lost on the bead",
    "the stripe was lost over most of the bead, so what was read of it is not trusted",
    "a toe of the bead is not known here",
    "the insert's edge is still there, so there is no root reinforcement to speak of",
    "a toe is not known well enough here for a height by travel",
    "no section explains what the frames show here",
    "the frames do not tell the height well enough here",
    "no height was measured at this place",
    "fewer than three frames stand near enough to the weld",
    "the camera stopped too far before the weld for heights by travel",
    "the camera did not travel far enough near the weld",
    "no half-degree line has both its toes",
    "hardly anything of the weld is seen",
    "too little bare wall is shared by the frames of the run-in",
    "the frames were not lit as lamps around the lens would light them",
    "the frames do not lie on each other well enough for heights by travel",
    "the picture does not tell at this place (dark, blown out or too coarse)",
    "this edge of the insert lies behind the bead in this view; look from the other side",
    "the recording could not show a line of %1 mm here (too coarse or too blurred), so this is not examined; go nearer "
    "or focus",
    "no white target in the same light, so no colour is judged",
    "no white target in the same light belongs to the recording that shows this place",
    "the wall beside the toe is blown out here",
    "the wall beside the toe is too dark here to tell a colour",
    "the wall beside the toe is out of sight here",
    "no frame of this recording can be measured",
    "no weld found in this recording",
    "a single view cannot tell how deep an indication is",
    "not earned by the camera's travel: on scenes with truth every way tried left more than 0.4 mm; give a recording "
    "with a plane of light on",
    "what is seen there stands clear of the wall: the far toe lies hidden behind it",
};

bool IsPlace(std::string_view sentence, std::size_t i) {
  return sentence[i] == '%' && i + 1 < sentence.size() && sentence[i + 1] >= '1' && sentence[i + 1] <= '9';
}

/// Is the text the sentence, with what stands at its one place (if any) in `args`?
bool Matches(std::string_view sentence, std::string_view text, std::vector<std::string>& args) {
  const std::size_t at = sentence.find("%1");
  if (at == std::string_view::npos) return sentence == text;
  const std::string_view head = sentence.substr(0, at), tail = sentence.substr(at + 2);
  if (text.size() <= head.size() + tail.size() || !text.starts_with(head) || !text.ends_with(tail)) return false;
  args = {std::string(text.substr(head.size(), text.size() - head.size() - tail.size()))};
  return true;
}

}  // namespace

std::string_view SentenceOf(ReasonCode code) { return kSentences[static_cast<std::size_t>(code)]; }

std::string FilledIn(std::string_view sentence, const std::vector<std::string>& args) {
  std::string out;
  for (std::size_t i = 0; i < sentence.size(); ++i) {
    if (!IsPlace(sentence, i)) {
      out += sentence[i];
      continue;
    }
    const auto place = static_cast<std::size_t>(sentence[++i] - '1');
    if (place < args.size()) out += args[place];
  }
  return out;
}

std::string EnglishOf(const Reason& reason) { return FilledIn(SentenceOf(reason.code), reason.args); }

Reason ReasonFrom(const std::string& english) {
  if (english.empty()) return {};
  for (int i = static_cast<int>(ReasonCode::kAsSaid) + 1; i < kReasonCodes; ++i) {
    Reason reason{static_cast<ReasonCode>(i)};
    if (Matches(SentenceOf(reason.code), english, reason.args)) return reason;
  }
  return {ReasonCode::kAsSaid, {english}};
}

}  // namespace vision
