#include <cstdio>
#include <memory>

#include "app/cli/commands.h"
#include "app/cli/steps.h"
#include "app/repair/repair_plan.h"
#include "app/report/card.h"
#include "vision/base/file.h"

namespace app::cli {
namespace {

struct BlendArguments {
  std::string repair, joint, out = ".", paper = "A4", language;
};

int ExitOf(repair::Answer answer) {
  switch (answer) {
    case repair::Answer::kGo:
      return kDone;
    case repair::Answer::kNoGo:
      return kBeyond;
    case repair::Answer::kTakeReading:
      break;
  }
  return kOpen;
}

void RunBlend(const BlendArguments& arguments, Session& session) {
  const auto joint = app::joint::LoadJoint(arguments.joint);
  if (!joint.ok()) return session.Fail(joint.error());
  const auto repair = app::repair::LoadRepair(arguments.repair);
  if (!repair.ok()) return session.Fail(repair.error());
  const auto plan = app::repair::MakePlan(joint.value(), repair.value());
  if (!plan.ok()) return session.Fail(plan.error());
  const auto paper = arguments.paper == "A4" ? app::report::Paper::kA4 : app::report::Paper::kLetter;
  app::report::HousePaper house;
  house.language = arguments.language;
  const auto card = app::report::WriteCard(plan.value(), arguments.out, paper, house);
  if (!card.ok()) return session.Fail(card.error());
  const std::string json = app::repair::ToJson(plan.value());
  const auto file = std::filesystem::path(arguments.out) / "repair_plan.json";
  if (const auto fault = vision::WriteFileWhole(file, json)) return session.Fail(*fault);
  if (session.json) std::fputs(json.c_str(), stdout);
  session.Say(app::repair::ToText(plan.value()) + CautionText());
  session.Say("Card: " + card.value().pdf.string() + "\n      " + card.value().html.string());
  SayEnglish(card.value(), session);
  session.exit_code = ExitOf(plan.value().answer);
}

}  // namespace

void AddBlend(CLI::App& program, Session& session) {
  auto arguments = std::make_shared<BlendArguments>();
  CLI::App* command = program.add_subcommand(
      "blend", "Plan a blend: where the rejected spot is, what wall remains, the card for the grinder");
  command->add_option("repair", arguments->repair, "The repair file (rootscroll.repair/1)")->required();
  command->add_option("--joint", arguments->joint, "The joint file")->required();
  command->add_option("--out", arguments->out, "Folder for repair_plan.json, card.html and card.pdf")
      ->capture_default_str();
  command->add_option("--page-size", arguments->paper, "A4 or Letter")
      ->check(CLI::IsMember({"A4", "Letter"}))
      ->capture_default_str();
  AddLanguage(*command, arguments->language);
  command->callback([arguments, &session] { RunBlend(*arguments, session); });
}

}  // namespace app::cli
