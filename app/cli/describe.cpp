#include "app/cli/describe.h"

#include <nlohmann/json.hpp>

namespace app::cli {
namespace {

using Ordered = nlohmann::ordered_json;

Ordered OptionJson(const CLI::Option& option) {
  return {{"names", option.get_name(false, true)},
          {"positional", option.get_positional() ? option.get_name(true) : std::string()},
          {"takes", option.get_type_size() > 0 ? option.get_type_name() : std::string()},
          {"default", option.get_default_str()},
          {"required", option.get_required()},
          {"words", option.get_description()}};
}

Ordered CommandJson(const CLI::App& command) {
  Ordered json{{"name", command.get_name()},
               {"words", command.get_description()},
               {"foot", command.get_footer()},
               {"options", Ordered::array()},
               {"commands", Ordered::array()}};
  for (const auto* option : command.get_options()) json["options"].push_back(OptionJson(*option));
  for (const auto* below : command.get_subcommands({})) json["commands"].push_back(CommandJson(*below));
  return json;
}

}  // namespace

std::string Describe(const CLI::App& program) { return CommandJson(program).dump(1); }

}  // namespace app::cli
