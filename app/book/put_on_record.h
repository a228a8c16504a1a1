#pragma once

#include <filesystem>
#include <string>

#include "app/book/batch.h"
#include "app/book/intake.h"

namespace app::book {

/// A joint as it lies before a person, on its way into the book.
struct OnRecordRequest {
  IntakeRequest intake;         ///< Recordings that the cycle holds already with the same facts are left as they are.
  std::filesystem::path notes;  ///< The window's notes; empty or absent: none.
  std::string author, reason;
  std::string worker;  ///< Unlike any other worker's name (WorkerName).
};

/// Takes recordings and notes into the book and measures there what waits of this joint, from the evidence as the book
/// holds it.
/// @return The newest revision. kBadInput for a recording that lies in the book with other facts, one that cannot be
///   measured, or where somebody else changed the joint meanwhile; kCancelled, with what was taken in kept.
vision::Result<Revision> PutOnRecord(Book& book, const OnRecordRequest& request, const MeasureFunction& measure,
                                     const vision::JobContext& job = {});

}  // namespace app::book
