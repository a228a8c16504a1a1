#include <cstdio>
#include <memory>

#include "app/cli/commands.h"
#include "app/cli/steps.h"
#include "app/compare/change_read.h"
#include "app/compare/compare.h"
#include "app/repair/repair_file.h"
#include "app/report/change_page.h"

namespace app::cli {
namespace {

struct CompareArguments {
  std::string before, after, joint, repair, out, paper = "A4", language;
  std::vector<double> theta_deg, z_mm, length_mm;
};

vision::Result<std::vector<app::compare::GivenPlace>> Places(const CompareArguments& arguments) {
  if (arguments.theta_deg.size() != arguments.z_mm.size() ||
      (!arguments.length_mm.empty() && arguments.length_mm.size() != arguments.z_mm.size()))
    return vision::BadInput("--theta, --z and, if given, --length must be given the same number of times.");
  std::vector<app::compare::GivenPlace> places;
  for (std::size_t i = 0; i < arguments.theta_deg.size(); ++i)
    places.push_back(
        {arguments.theta_deg[i], arguments.z_mm[i], arguments.length_mm.empty() ? 0 : arguments.length_mm[i]});
  return places;
}

/// @param file Empty: no plan.
vision::Result<std::optional<double>> PlannedTaper(const std::string& file, const std::string& joint_id) {
  if (file.empty()) return std::optional<double>();
  const auto repair = app::repair::LoadRepair(file);
  if (!repair.ok()) return repair.error();
  if (repair.value().joint_id != joint_id)
    return vision::BadInput(file + ": joint_id is " + repair.value().joint_id + "; it must be " + joint_id + ".");
  return std::optional<double>(repair.value().pocket.taper);
}

void RunCompare(const CompareArguments& arguments, Session& session) {
  const auto joint = app::joint::LoadJoint(arguments.joint);
  if (!joint.ok()) return session.Fail(joint.error());
  const auto places = Places(arguments);
  if (!places.ok()) return session.Fail(places.error());
  const auto taper = PlannedTaper(arguments.repair, joint.value().id);
  if (!taper.ok()) return session.Fail(taper.error());
  auto compared =
      app::compare::Compare(joint.value(), arguments.before, arguments.after, places.value(), session.Job());
  if (!compared.ok()) {
    session.Fail(compared.error());
    if (compared.error().code == vision::ErrorCode::kNotFound) session.exit_code = kOpen;
    return;
  }
  compared.value().planned_taper = taper.value();
  const std::filesystem::path out = arguments.out.empty() ? arguments.after : arguments.out;
  if (const auto fault = app::compare::Write(compared.value(), out)) return session.Fail(*fault);
  if (session.json) std::fputs(app::compare::ToJson(compared.value()).c_str(), stdout);
  session.Say(app::compare::ToText(compared.value()) + CautionText());
  session.Say("Picture: " + (out / "change.png").string());
  const auto said = app::compare::ReadChange(out / "change.json");
  if (!said.ok()) return session.Fail(said.error());
  const auto paper = arguments.paper == "Letter" ? app::report::Paper::kLetter : app::report::Paper::kA4;
  app::report::HousePaper house;
  house.language = arguments.language;
  const auto page = app::report::WriteChangePage(said.value(), out, paper, house);
  if (!page.ok()) return session.Fail(page.error());
  session.Say("Page: " + page.value().pdf.string() + "\n      " + page.value().html.string());
  SayEnglish(page.value(), session);
  session.exit_code = kDone;
}

}  // namespace

void AddCompare(CLI::App& program, Session& session) {
  auto arguments = std::make_shared<CompareArguments>();
  CLI::App* command = program.add_subcommand(
      "compare", "Compare a joint before and after a repair: what was ground away, what remains");
  command->add_option("before", arguments->before, "Measured folder from before (reading.json)")->required();
  command->add_option("after", arguments->after, "Measured folder from after")->required();
  command->add_option("--joint", arguments->joint, "The joint file")->required();
  command->add_option("--repair", arguments->repair, "The repair file: slopes are set against its blend's taper");
  command->add_option("--theta", arguments->theta_deg, "Where an indication lay: degrees; may be given again");
  command->add_option("--z", arguments->z_mm, "Its mm from the weld's middle, towards b positive");
  command->add_option("--length", arguments->length_mm, "Its length around, mm; none = a point");
  command->add_option("--out", arguments->out, "Folder for change.json, its pictures and change.pdf; else AFTER's");
  AddLanguage(*command, arguments->language);
  command->add_option("--page-size", arguments->paper, "A4 or Letter")
      ->check(CLI::IsMember({"A4", "Letter"}))
      ->capture_default_str();
  command->callback([arguments, &session] { RunCompare(*arguments, session); });
}

}  // namespace app::cli
