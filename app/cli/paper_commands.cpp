// What the command prints for people apart from records: the handbook, the calibration board.
#include <memory>

#include "app/cameras/board_pdf.h"
#include "app/cli/commands.h"
#include "app/handbook/handbook.h"
#include "app/report/report.h"

namespace app::cli {

void AddHandbook(CLI::App& program, Session& session) {
  struct Arguments {
    std::string out, language = "en";
  };
  auto* command = program.add_subcommand("handbook", "Write the handbook as one PDF or one HTML file");
  auto arguments = std::make_shared<Arguments>();
  command->add_option("--out", arguments->out, "The file to write; its name ends in .pdf or .html")->required();
  command->add_option("--language", arguments->language, "Language of the handbook")
      ->check(CLI::IsMember({"en", "es"}))
      ->capture_default_str();
  command->callback([arguments, &session] {
    if (auto failed = app::report::StartOffscreen()) return session.Fail(*failed);
    if (auto failed = app::handbook::WriteHandbook(arguments->out, QString::fromStdString(arguments->language)))
      return session.Fail(*failed);
    session.Say("Written: " + arguments->out);
  });
}

void AddBoard(CLI::App& program, Session& session) {
  struct Arguments {
    std::string out;
    app::cameras::BoardSheet board;
  };
  auto* command = program.add_subcommand("board", "Write a calibration board as PDF, true to size, to be printed");
  auto arguments = std::make_shared<Arguments>();
  command->add_option("--out", arguments->out, "The file to write; its name ends in .pdf")->required();
  command->add_option("--columns", arguments->board.columns, "Inner corners per row")->capture_default_str();
  command->add_option("--rows", arguments->board.rows, "Rows of inner corners")->capture_default_str();
  command->add_option("--square-mm", arguments->board.square_mm, "Side of a square, mm")->capture_default_str();
  command->add_option("--page-size", arguments->board.page, "A4, A3, A2, A1, A0 or Letter")->capture_default_str();
  command->callback([arguments, &session] {
    if (auto failed = app::report::StartOffscreen()) return session.Fail(*failed);
    if (auto failed = app::cameras::WriteBoard(arguments->out, arguments->board)) return session.Fail(*failed);
    session.Say("Written: " + arguments->out + "\nPrint at 100 %, then measure the bar at its foot: 100.0 mm.");
  });
}

}  // namespace app::cli
