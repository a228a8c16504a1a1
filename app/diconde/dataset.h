#pragma once

#include <dcmtk/config/osconfig.h>
#include <dcmtk/dcmdata/dctk.h>

#include <opencv2/core.hpp>
#include <string>

#include "app/diconde/diconde.h"

/// Pieces of data sets shared by frames and strip.
namespace app::diconde {

/// Puts values into one data set (or item) and remembers the first that was refused.
class Writer {
 public:
  explicit Writer(DcmItem& item) : item_(item) {}

  void Text(const DcmTagKey& key, const std::string& value);
  void Short(const DcmTagKey& key, unsigned value);
  /// An element of a private block; the block's creator is put in with it.
  /// @param place 0x10, 0x11, …: the block the creator takes in its group.
  void Private(unsigned group, unsigned place, const char* creator, unsigned element, DcmEVR vr,
               const std::string& value);
  /// A new item at the end of a private sequence.
  DcmItem* PrivateItem(unsigned group, unsigned place, const char* creator, unsigned element);
  void Note(OFCondition condition, const std::string& what);
  const std::string& trouble() const { return trouble_; }

 private:
  DcmTag PrivateTag(unsigned group, unsigned place, const char* creator, unsigned element, DcmEVR vr);
  DcmItem& item_;
  std::string trouble_;
};

/// Decimal text of at most 16 characters, the most that DS allows.
std::string Decimal(double value);

/// Component (patient), study, series, equipment and SOP modules, and the private component block.
void PutComponent(Writer& writer, const Input& input);
void PutStudyAndSeries(Writer& writer, const Input& input, const char* modality, const char* series, int series_number);
void PutInstance(Writer& writer, const char* sop_class, const std::string& instance_uid, int number);

/// 8-bit RGB frames of one size; stacked one below the other when there are several.
vision::Status PutPixels(DcmDataset& dataset, Writer& writer, const std::vector<cv::Mat>& bgr);

vision::Status Save(DcmFileFormat& file, const Writer& writer, const std::filesystem::path& path);

std::string FrameUid(const Input& input, std::size_t index);

}  // namespace app::diconde
