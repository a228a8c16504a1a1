#pragma once

#include <filesystem>
#include <functional>
#include <string>

#include "app/report/content.h"
#include "app/report/report.h"

namespace app::report {

/// Sets one content twice, as PDF and as HTML, and writes both files after both have been made whole.
/// In the house's words. @param compose Called once, with the width of the text, mm; a QGuiApplication exists then.
vision::Result<ReportFiles> WriteContent(const std::function<Content(double text_width_mm)>& compose, Paper paper,
                                         const std::filesystem::path& out_dir, const std::string& html_name,
                                         const std::string& pdf_name, const HousePaper& house = {});

}  // namespace app::report
