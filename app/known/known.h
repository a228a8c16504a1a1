#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/joint/joint.h"
#include "app/joint/verdict.h"
#include "app/notes/notes.h"
#include "vision/reading/reading.h"

/// What is known of a joint: what was measured, what a person decided (who, when, why) and where that is on the record.
/// Three things, always all shown: strip, end view, list, welder's view, Judge, PDF, HTML, CSV and book draw from here
/// and from nothing else. A decision never takes a measurement away.
namespace app::known {

/// What a person said.
struct Decision {
  enum class What {
    kConfirmed,  ///< Looked at what was measured and agreed.
    kOverruled,  ///< Says that what was measured is not so. It stays visible as measured.
    kSetByHand,  ///< Put a toe where it is.
    kSeen,       ///< Saw and accepted what was not measured.
  };
  What what = What::kConfirmed;
  std::string by, when, why;  ///< Name, ISO 8601, reason as typed ("" = none was given).
};

/// Where what people decided is kept.
struct Recorded {
  enum class Where {
    kNowhere,  ///< In memory or in the file of unsaved changes.
    kFile,     ///< In the notes file beside the joint file.
    kBook,     ///< In a joint book.
  };
  Where where = Where::kNowhere;
  std::string cycle;  ///< In a book: R0, R1, ...
  long revision = 0;  ///< In a book.
};

/// An arc over which the original edge is visible.
struct Run {
  vision::reading::UnfusedRun run;
  bool measured = true;  ///< false: a person saw it and it was not measured.
  std::optional<Decision> decided = {};
  std::string about = {};  ///< Fingerprint for a ruling; empty when not measured.

  bool overruled() const { return decided && decided->what == Decision::What::kOverruled; }
};

/// Something on the surface.
struct Found {
  vision::reading::Indication indication;
  bool measured = true;
  std::optional<Decision> decided = {};
  std::string about = {};
  bool overruled() const { return decided && decided->what == Decision::What::kOverruled; }
};

/// A toe set by hand over a stretch. The toe as measured is in `Known::measured`.
struct Toe {
  notes::HandToe set;
  Decision decided;
  notes::HandU u;
};

/// What a person drew, whatever its state. One that is accepted and of a judged kind is also among runs or found.
struct Seen {
  notes::Note note;
  Decision decided;       ///< kSeen; `why` is the reason of its state.
  std::string kind_name;  ///< English; "" for an unknown kind.
  std::string iso6520;
  notes::Extent extent;
  bool marked_place = false;
  bool judged = false;  ///< It counts in the verdict.
};

/// One station line of one edge of the insert, with what a person said of it.
enum class Edge { kNotVisible, kFused, kUnfused, kOverruled, kUnfusedByHand };
std::string NameOf(Edge edge);  ///< not_visible | fused | unfused | overruled | unfused_by_hand

struct Known {
  vision::reading::Reading measured;  ///< As measured; nothing in it comes from a person.
  vision::reading::Reading decided;   ///< With toes by hand and what people saw put in. Nothing is taken out of it.
  std::vector<Run> runs;              ///< One for each of decided.unfused, in its order; measured ones first.
  std::vector<Found> found;           ///< One for each of decided.indications, likewise.
  std::vector<Toe> toes;
  std::vector<Seen> seen;
  std::vector<notes::Ruling> lost;         ///< Rulings on what this reading no longer has: shown, and of no effect.
  std::vector<Edge> edges_a, edges_b;      ///< One a station line.
  std::vector<bool> by_hand_a, by_hand_b;  ///< The toe there was set by hand.
  Recorded recorded;

  bool relative() const { return measured.angles == "relative"; }  ///< No clock may be stated.
  const std::vector<Edge>& edges(const std::string& side) const { return side == "left" ? edges_a : edges_b; }
  std::size_t OverruledCount() const;
};

Known Know(const vision::reading::Reading& measured, const notes::Notes& notes, const Recorded& recorded = {});

/// The verdict on what is known: what was overruled is a finding of its own outcome, never silently gone.
joint::Verdict Judge(const Known& known, const joint::Joint& joint, const joint::CriteriaSet& set, double k = 2.0);

/// "overruled by R. Example, 2026-01-31T10:00:00Z: looked at abeam"; without a reason "…, no reason given".
std::string Said(const Decision& decision);
/// "not saved" | "in the notes file" | "in the joint book, R0, revision 4"
std::string Said(const Recorded& recorded);

}  // namespace app::known
