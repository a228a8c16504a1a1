#pragma once

#include <filesystem>
#include <string>

#include "app/report/report.h"

/// An invented joint with a plausible reading and drawn pictures. Nothing in it comes from a real joint.
namespace report_test {

/// A new empty folder below the build folder.
std::filesystem::path FreshFolder(const std::string& name);

/// NPS 6 joint "FB-112 / root": two runs with the original edge visible (48 to 56 degrees at piece a, 352 to 4 at piece
/// b), arcs not visible, width absent where the far toe is hidden, no heights, eight findings. Writes strip, mask and
/// crops.
app::report::ReportInput MakeInput(const std::filesystem::path& folder);

/// The joint of MakeInput with every kind of statement: an edge measured and one overruled, arcs not visible, an
/// indication overruled, a toe set by hand, an open and an accepted note, angles relative to the picture, heights from
/// a light section, and insert, datum and lens that nobody entered. Judged by a shipped set as the program does.
app::report::ReportInput EveryStatement(const std::filesystem::path& folder);

/// The finding shown first in MakeInput, for tests that change it.
app::joint::Finding MakeFinding(const std::string& title, app::joint::Outcome outcome, const std::string& reason);

std::string ReadAll(const std::filesystem::path& file);

/// Output of a shell command; nullopt when the program is not installed.
std::optional<std::string> RunTool(const std::string& tool, const std::string& arguments);

/// Words of the PDF, white space as single spaces; nullopt when pdftotext is not installed.
std::optional<std::string> PdfText(const std::filesystem::path& pdf);

/// Words of the HTML: tags and data URIs left out, entities decoded, white space as single spaces.
std::string HtmlText(const std::string& html);

}  // namespace report_test
