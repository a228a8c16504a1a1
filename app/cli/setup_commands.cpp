#include <cstdio>
#include <memory>
#include <opencv2/imgcodecs.hpp>

#include "app/cli/commands.h"
#include "app/joint/criteria.h"
#include "app/joint/starting_file.h"
#include "vision/base/file.h"
#include "vision/camera/calibrate.h"
#include "vision/recording/decode.h"

namespace app::cli {
namespace {

namespace fs = std::filesystem;

struct CalibrateArguments {
  std::vector<std::string> pictures;
  std::string board = "chessboard", out;
  vision::camera::CalibrationOptions options;
  vision::camera::CameraBlockFacts facts;
  double max_angle_deg = 0;
};

void RunCalibrate(CalibrateArguments& arguments, Session& session) {
  arguments.options.board.kind = *vision::camera::BoardKindFromName(arguments.board);
  if (arguments.max_angle_deg > 0) arguments.options.max_angle_deg = arguments.max_angle_deg;
  std::vector<vision::camera::NamedPicture> pictures;
  for (const auto& file : arguments.pictures) {
    auto bytes = vision::ReadFileWhole(file);
    if (!bytes.ok()) return session.Fail(bytes.error());
    auto picture = vision::recording::DecodePicture(bytes.value(), file);
    if (!picture.ok()) session.Say("  " + picture.error().message);
    pictures.push_back({fs::path(file).filename().string(), picture.ok() ? picture.value() : cv::Mat()});
  }
  auto report = vision::camera::Calibrate(pictures, arguments.options, session.Job());
  if (!report.ok()) return session.Fail(report.error());
  auto block = vision::camera::CameraBlockJson(report.value(), arguments.facts);
  if (!block.ok()) return session.Fail(block.error());
  for (const auto& view : report.value().views) {
    char text[64];
    std::snprintf(text, sizeof text, "%.2f px, seen to %.0f degrees", view.rms_px, view.max_angle_deg);
    session.Say("  " + view.name + ": " + (view.used ? text : "not used: " + view.reason));
  }
  session.Say(report.value().choice + "\n" + report.value().max_angle_source);
  if (arguments.out.empty()) {
    std::printf("%s\n", block.value().c_str());
  } else if (auto failed = vision::WriteFileWhole(arguments.out, block.value() + "\n")) {
    session.Fail(*failed);
  }
}

}  // namespace

void AddCalibrate(CLI::App& program, Session& session) {
  auto* command =
      program.add_subcommand("calibrate", "Make the camera block of a joint file from pictures of a flat board");
  auto arguments = std::make_shared<CalibrateArguments>();
  command->add_option("pictures", arguments->pictures, "Pictures of the board, 4 or more")->required();
  command->add_option("--board", arguments->board, "chessboard, circles or offset_circles")
      ->check(CLI::IsMember({"chessboard", "circles", "offset_circles"}))
      ->capture_default_str();
  command->add_option("--columns", arguments->options.board.columns, "Points per row (a chessboard's inner corners)")
      ->required();
  command->add_option("--rows", arguments->options.board.rows, "Rows of points")->required();
  command->add_option("--square-mm", arguments->options.board.square_mm, "Side of a square, mm")->required();
  command->add_option("--camera", arguments->facts.id, "Id of the camera in the joint file")->required();
  command->add_option("--date", arguments->facts.date, "When the pictures were taken, YYYY-MM-DD")->required();
  command->add_option("--lens-serial", arguments->facts.lens_serial, "Serial number of the lens");
  command->add_option("--max-angle-deg", arguments->max_angle_deg,
                      "Edge of the usable image circle; else as far as corners were seen");
  command->add_option("--out", arguments->out, "File for the block; else it is printed");
  command->callback([arguments, &session] { RunCalibrate(*arguments, session); });
}

void AddNew(CLI::App& program, Session& session) {
  struct Arguments {
    std::string file;
    app::joint::StartingFileOptions options;
    bool explain = false;
  };
  auto* command = program.add_subcommand("new", "Write a starting joint file and explain each key");
  auto arguments = std::make_shared<Arguments>();
  auto& options = arguments->options;
  std::string names;
  for (const auto& name : app::joint::ShippedCriteria()) names += "; " + name;
  command->add_option("file", arguments->file, "The joint file to write; must not exist")->required();
  command->add_option("--id", options.id, "Joint id")->required();
  command->add_option("--criterion", options.criterion, "Your own criteria file, or one of" + names)->required();
  command->add_option("--nps", options.nps, "Nominal pipe size");
  command->add_option("--schedule", options.schedule, "Schedule, with --nps");
  command->add_option("--outside-diameter-mm", options.outside_diameter_mm, "Outside diameter, with --wall-mm");
  command->add_option("--wall-mm", options.wall_mm, "Wall");
  command->add_option("--inside-diameter-mm", options.inside_diameter_mm, "Inside diameter at the root, with --source");
  command->add_option("--source", options.source, "Where the inside diameter comes from");
  command->add_option("--material", options.material, "Material");
  command->add_option("--line", options.line, "Line");
  command->add_option("--frame", options.frames, "Still of the first recording; may be given again");
  command->callback([arguments, &session] {
    if (fs::exists(arguments->file))
      return session.Fail(vision::BadInput(arguments->file + " exists already; choose another name."));
    auto text = app::joint::StartingFile(arguments->options);
    if (!text.ok()) return session.Fail(text.error());
    if (auto failed = vision::WriteFileWhole(arguments->file, text.value())) return session.Fail(*failed);
    session.Say("Written: " + arguments->file + "\nIts keys:\n" + app::joint::ExplainJointFile());
  });
}

}  // namespace app::cli
