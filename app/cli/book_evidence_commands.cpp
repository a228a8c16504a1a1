#include "app/book/purge_csv.h"
#include "app/cli/book_steps.h"
#include "vision/base/file.h"

namespace app::cli {
namespace {

using app::book::Cycle;
using app::book::Record;

/// A change of one cycle of a joint.
struct CycleArguments {
  BookArguments book;
  std::string joint, cycle = "R0";
};

void AddCycleArguments(CLI::App& command, CycleArguments& arguments) {
  AddBookAddress(command, arguments.book);
  command.add_option("joint", arguments.joint, "Joint id")->required();
  command.add_option("--cycle", arguments.cycle, "R0, R1, ...")->capture_default_str();
  AddAuthor(command, arguments.book);
}

void ChangeCycle(const CycleArguments& arguments, const std::function<vision::Status(app::book::Book&, Cycle&)>& change,
                 Session& session) {
  ChangeRecord(
      arguments.book, arguments.joint,
      [&](app::book::Book& book, Record& record) -> vision::Status {
        Cycle* cycle = record.FindCycle(arguments.cycle);
        if (cycle == nullptr)
          return vision::BadInput("Joint " + arguments.joint + " has no cycle " + arguments.cycle + ".");
        return change(book, *cycle);
      },
      session);
}

struct PictureArguments {
  CycleArguments cycle;
  std::string file, clock, zone;
};

void AddPicture(CLI::App& book, Session& session, const char* name, const char* what,
                std::vector<app::book::FileRef> Cycle::*where) {
  auto* command = book.add_subcommand(name, what);
  auto arguments = std::make_shared<PictureArguments>();
  AddCycleArguments(*command, arguments->cycle);
  command->add_option("file", arguments->file, "The picture")->required();
  command->add_option("--recorder-clock", arguments->clock, "What the camera's clock said; kept as given");
  command->add_option("--time-zone", arguments->zone, "What its time zone was set to; kept as given");
  command->callback([arguments, where, &session] {
    ChangeCycle(
        arguments->cycle,
        [&](app::book::Book& opened, Cycle& cycle) -> vision::Status {
          auto ref = opened.evidence().Copy(arguments->file);
          if (!ref.ok()) return ref.error();
          ref.value().clock = arguments->clock;
          ref.value().zone = arguments->zone;
          (cycle.*where).push_back(ref.value());
          return std::nullopt;
        },
        session);
  });
}

struct PurgeArguments {
  CycleArguments cycle;
  std::string csv;
  app::book::PurgeRow row;
};

vision::Status AddPurgeRows(const PurgeArguments& arguments, app::book::Book& book, Cycle& cycle) {
  if (arguments.csv.empty()) {
    if (arguments.row.time.empty() || !arguments.row.oxygen_ppm)
      return vision::BadInput("A purge reading needs --time and --oxygen-ppm, or a CSV with --csv.");
    cycle.purge.rows.push_back(arguments.row);
    return std::nullopt;
  }
  auto text = vision::ReadFileWhole(arguments.csv);
  if (!text.ok()) return text.error();
  auto rows = app::book::PurgeFromCsv(text.value(), arguments.csv);
  if (!rows.ok()) return rows.error();
  auto source = book.evidence().Copy(arguments.csv);
  if (!source.ok()) return source.error();
  cycle.purge.rows.insert(cycle.purge.rows.end(), rows.value().begin(), rows.value().end());
  cycle.purge.source = source.value();
  return std::nullopt;
}

void AddPurge(CLI::App& book, Session& session) {
  auto* command = book.add_subcommand("purge", "Add to the purge log: one reading as typed, or a CSV");
  auto arguments = std::make_shared<PurgeArguments>();
  AddCycleArguments(*command, arguments->cycle);
  command->add_option("--csv", arguments->csv, "File with the columns time,oxygen_ppm,gas,dew_point_c");
  command->add_option("--time", arguments->row.time, "When, as read");
  command->add_option("--oxygen-ppm", arguments->row.oxygen_ppm, "Oxygen, parts per million by volume");
  command->add_option("--gas", arguments->row.gas, "Purge gas");
  command->add_option("--dew-point-c", arguments->row.dew_point_c, "Dew point, degrees Celsius");
  command->callback([arguments, &session] {
    ChangeCycle(
        arguments->cycle,
        [&](app::book::Book& opened, Cycle& cycle) { return AddPurgeRows(*arguments, opened, cycle); }, session);
  });
}

struct CloseOutArguments {
  CycleArguments cycle;
  app::book::CloseOut closeout;
};

void AddCloseOut(CLI::App& book, Session& session) {
  auto* command = book.add_subcommand(
      "foreign-material", "Foreign material: what was found inside after the purge or after a blend was closed out");
  auto arguments = std::make_shared<CloseOutArguments>();
  AddCycleArguments(*command, arguments->cycle);
  command->add_option("--after", arguments->closeout.after, "purge, blend 1, blend 2, ...")->required();
  command->add_option("--by", arguments->closeout.by, "Who looked")->required();
  command->add_option("--when", arguments->closeout.when, "When, as noted")->required();
  command->add_option("--found", arguments->closeout.found, "What was found, or that nothing was left inside")
      ->required();
  command->callback([arguments, &session] {
    ChangeCycle(
        arguments->cycle,
        [&](app::book::Book&, Cycle& cycle) -> vision::Status {
          cycle.closeouts.push_back(arguments->closeout);
          return std::nullopt;
        },
        session);
  });
}

struct FindingArguments {
  CycleArguments cycle;
  std::size_t number = 0;
  std::string because;
};

void AddCloseFinding(CLI::App& book, Session& session) {
  auto* command = book.add_subcommand("close-finding", "Close an open finding of a joint, with the reason");
  auto arguments = std::make_shared<FindingArguments>();
  AddCycleArguments(*command, arguments->cycle);
  command->add_option("--finding", arguments->number, "Its number in the cycle, from 1")->required();
  command->add_option("--because", arguments->because, "Why it is closed")->required();
  command->callback([arguments, &session] {
    ChangeCycle(
        arguments->cycle,
        [&](app::book::Book&, Cycle& cycle) -> vision::Status {
          const std::size_t count = cycle.findings.size();
          if (arguments->number < 1 || arguments->number > count)
            return vision::BadInput("There is no finding " + std::to_string(arguments->number) + "; " + cycle.id +
                                    " has " + std::to_string(count) + ".");
          auto& finding = cycle.findings[arguments->number - 1];
          finding.state = "closed";
          finding.closed_because = arguments->because;
          return std::nullopt;
        },
        session);
  });
}
}  // namespace

void AddBookEvidence(CLI::App& book, Session& session) {
  AddPicture(book, session, "film", "Add a picture of the radiographic film", &Cycle::film);
  AddPicture(book, session, "sample", "Add a picture of a workmanship sample", &Cycle::samples);
  AddPurge(book, session);
  AddCloseOut(book, session);
  AddCloseFinding(book, session);
}

}  // namespace app::cli
