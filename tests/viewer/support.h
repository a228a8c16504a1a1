#pragma once

#include <QString>
#include <filesystem>

#include "app/viewer/desk.h"
#include "app/viewer/opened.h"
#include "app/viewer/page_view.h"

namespace viewer_test {

/// A folder of its own that goes with it.
class TemporaryFolder {
 public:
  TemporaryFolder();
  ~TemporaryFolder();
  const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

/// A joint with a made-up reading: 160 mm inside diameter, strip of `columns` x `rows` cells of 0.1 mm with a seeded
/// pattern; edge a visible from 200 to 230 degrees; width 5 mm.
vision::reading::Reading MadeUpReading(int columns, int rows);

/// Writes joint.json and measured/ with a made-up reading. @return The joint file.
std::filesystem::path WriteMadeUpJoint(const std::filesystem::path& folder, int columns = 2400, int rows = 300);

/// The demo's joint, frames and all, measured. @return The joint file.
std::filesystem::path WriteMeasuredDemo(const std::filesystem::path& folder);

/// A measured joint whose strip has one magenta band 2 mm high, its middle at `z_mm`. @return The joint file.
std::filesystem::path WriteBandedJoint(const std::filesystem::path& folder, int columns, int rows, double z_mm);

/// Middle of the band as painted at a column of the page, in its pixels; NaN where there is none.
double BandY(app::viewer::PageView& page, int x);

/// Sets a toe by hand as a person does on the strip. @return What was refused, nullopt when it stands.
vision::Status SetToe(app::viewer::Desk& desk, std::vector<app::notes::Place> points,
                      const std::string& reason = "the shadow was followed");

}  // namespace viewer_test
