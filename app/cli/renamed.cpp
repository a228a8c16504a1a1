#include "app/cli/renamed.h"

namespace app::cli {
namespace {

struct Renamed {
  const char *before, *now;
};

constexpr Renamed kCommands[] = {{"resolve", "smallest-line"}, {"repeat", "repeatability"}};
constexpr Renamed kBookCommands[] = {
    {"close", "close-finding"}, {"closeout", "foreign-material"}, {"note", "annotate"}, {"notes", "window-notes"}};
constexpr Renamed kOptions[] = {{"--paper", "--page-size"}, {"--house", "--company-paper"}};

template <std::size_t N>
const char* Now(const Renamed (&names)[N], const std::string& word) {
  for (const Renamed& name : names)
    if (word == name.before) return name.now;
  return nullptr;
}

}  // namespace

vision::Status RefuseOldName(const std::vector<std::string>& words) {
  const auto refuse = [](const std::string& before, const std::string& now) {
    return vision::BadInput("`" + before + "` is called `" + now + "` now; write that instead.");
  };
  std::vector<std::string> commands;
  for (const std::string& word : words) {
    const std::string name = word.substr(0, word.find('='));
    if (const char* now = Now(kOptions, name)) return refuse(name, now);
    if (!word.empty() && word.front() != '-') commands.push_back(word);
  }
  if (commands.empty()) return std::nullopt;
  if (const char* now = Now(kCommands, commands[0])) return refuse(commands[0], now);
  if (commands[0] != "book" || commands.size() < 2) return std::nullopt;
  if (const char* now = Now(kBookCommands, commands[1]))
    return refuse("book " + commands[1], std::string("book ") + now);
  return std::nullopt;
}

}  // namespace app::cli
