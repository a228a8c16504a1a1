#include "app/known/known.h"

#include <algorithm>

#include "app/notes/kinds.h"
#include "vision/bore/angle.h"

namespace app::known {
namespace {

using vision::reading::Fusion;
using vision::reading::Reading;

Decision Of(Decision::What what, const notes::Signed& by, const std::string& why) {
  return {what, by.author, by.time, why};
}

std::optional<Decision> RuledOn(const std::string& about, const notes::Notes& notes) {
  const notes::Ruling* ruling = notes.RulingOn(about);
  if (!ruling) return std::nullopt;
  return Of(ruling->overruled ? Decision::What::kOverruled : Decision::What::kConfirmed, ruling->by, ruling->reason);
}

/// Who saw it, of the accepted notes that `Edited` put behind what was measured, in its order.
std::vector<const notes::Note*> PutIn(const notes::Notes& notes, bool edges) {
  std::vector<const notes::Note*> put;
  for (const notes::Note& note : notes.notes)
    if (notes::Counts(note) && notes::IsEdge(note) == edges) put.push_back(&note);
  return put;
}

void FillRuns(const notes::Notes& notes, Known& known) {
  const auto by_hand = PutIn(notes, true);
  for (std::size_t i = 0; i < known.decided.unfused.size(); ++i) {
    Run run{known.decided.unfused[i]};
    run.measured = i < known.measured.unfused.size();
    if (run.measured) {
      run.about = notes::FingerprintOf(run.run);
      run.decided = RuledOn(run.about, notes);
    } else if (const auto* note = by_hand[i - known.measured.unfused.size()]) {
      run.decided = Of(Decision::What::kSeen, note->by, note->reason);
    }
    known.runs.push_back(std::move(run));
  }
}

void FillFound(const notes::Notes& notes, Known& known) {
  const auto by_hand = PutIn(notes, false);
  for (std::size_t i = 0; i < known.decided.indications.size(); ++i) {
    Found found{known.decided.indications[i]};
    found.measured = i < known.measured.indications.size();
    if (found.measured) {
      found.about = notes::FingerprintOf(found.indication);
      found.decided = RuledOn(found.about, notes);
    } else if (const auto* note = by_hand[i - known.measured.indications.size()]) {
      found.decided = Of(Decision::What::kSeen, note->by, note->reason);
    }
    known.found.push_back(std::move(found));
  }
}

void FillDrawn(const notes::Notes& notes, Known& known) {
  for (const notes::HandToe& toe : notes.toes)
    known.toes.push_back(
        {toe, Of(Decision::What::kSetByHand, toe.by, toe.reason), notes::HandUOf(toe, known.measured)});
  for (const notes::Note& note : notes.notes) {
    const notes::Kind* kind = notes::FindKind(note.kind);
    Seen seen{note, Of(Decision::What::kSeen, note.by, note.reason), kind ? std::string(kind->name) : "",
              kind ? std::string(kind->iso6520) : "", notes::ExtentOf(note, known.measured)};
    seen.marked_place = kind && kind->marked_place;
    seen.judged = notes::Counts(note);
    known.seen.push_back(std::move(seen));
  }
}

void FillLost(const notes::Notes& notes, Known& known) {
  for (const notes::Ruling& ruling : notes.rulings) {
    const auto is = [&](const auto& one) { return one.about == ruling.about; };
    if (std::none_of(known.runs.begin(), known.runs.end(), is) &&
        std::none_of(known.found.begin(), known.found.end(), is))
      known.lost.push_back(ruling);
  }
}

Edge EdgeOf(Fusion state) {
  return state == Fusion::kFused ? Edge::kFused : state == Fusion::kUnfused ? Edge::kUnfused : Edge::kNotVisible;
}

/// As measured, then what a person saw, then what a person overruled where no other run says the same.
std::vector<Edge> EdgesOf(const Known& known, bool left) {
  const auto& theta = known.measured.profile.theta_deg;
  const auto& states = left ? known.measured.profile.fusion_left : known.measured.profile.fusion_right;
  std::vector<Edge> edges;
  for (const Fusion state : states) edges.push_back(EdgeOf(state));
  const auto paint = [&](const Run& run, Edge from, Edge to) {
    const auto arc = vision::bore::ArcBetween(run.run.start_deg, run.run.end_deg);
    for (std::size_t i = 0; i < edges.size(); ++i)
      if ((from == to || edges[i] == from) && arc.HoldsLine(theta[i])) edges[i] = to;
  };
  const auto of_side = [&](const Run& run) { return (run.run.side == "left") == left; };
  for (const Run& run : known.runs)
    if (of_side(run) && run.overruled()) paint(run, Edge::kUnfused, Edge::kOverruled);
  for (const Run& run : known.runs) {
    if (!of_side(run) || run.overruled()) continue;
    if (run.measured) {
      paint(run, Edge::kOverruled, Edge::kUnfused);
    } else {
      for (const Edge from : {Edge::kFused, Edge::kNotVisible, Edge::kOverruled})
        paint(run, from, Edge::kUnfusedByHand);
    }
  }
  return edges;
}

std::vector<bool> ByHand(const Known& known, const std::string& side) {
  const auto& theta = known.measured.profile.theta_deg;
  std::vector<bool> flags(theta.size(), false);
  for (const Toe& toe : known.toes) {
    if (toe.set.side != side) continue;
    const double from = toe.set.points.front().theta_deg, to = toe.set.points.back().theta_deg;
    for (std::size_t i = 0; i < theta.size(); ++i)
      if (vision::bore::Wrap360(theta[i] - from) <= to - from + 1e-9) flags[i] = true;
  }
  return flags;
}

}  // namespace

std::string NameOf(Edge edge) {
  switch (edge) {
    case Edge::kNotVisible:
      return "not_visible";
    case Edge::kFused:
      return "fused";
    case Edge::kUnfused:
      return "unfused";
    case Edge::kOverruled:
      return "overruled";
    case Edge::kUnfusedByHand:
      return "unfused_by_hand";
  }
  return "not_visible";
}

std::size_t Known::OverruledCount() const {
  const auto is = [](const auto& one) { return one.overruled(); };
  return static_cast<std::size_t>(std::count_if(runs.begin(), runs.end(), is) +
                                  std::count_if(found.begin(), found.end(), is));
}

Known Know(const Reading& measured, const notes::Notes& notes, const Recorded& recorded) {
  Known known;
  known.measured = measured;
  known.decided = notes::Edited(measured, notes);
  known.recorded = recorded;
  FillRuns(notes, known);
  FillFound(notes, known);
  FillDrawn(notes, known);
  FillLost(notes, known);
  known.edges_a = EdgesOf(known, true);
  known.edges_b = EdgesOf(known, false);
  known.by_hand_a = ByHand(known, "left");
  known.by_hand_b = ByHand(known, "right");
  return known;
}

joint::Verdict Judge(const Known& known, const joint::Joint& joint, const joint::CriteriaSet& set, double k) {
  std::vector<joint::Overruled> overruled;
  const auto add = [&](joint::Overruled::Of of, std::size_t index, const Decision& decision) {
    overruled.push_back({of, index, decision.by, decision.when, decision.why});
  };
  for (std::size_t i = 0; i < known.runs.size(); ++i)
    if (known.runs[i].overruled()) add(joint::Overruled::Of::kRun, i, *known.runs[i].decided);
  for (std::size_t i = 0; i < known.found.size(); ++i)
    if (known.found[i].overruled()) add(joint::Overruled::Of::kIndication, i, *known.found[i].decided);
  return joint::Judge(known.decided, joint, set, k, overruled);
}

std::string Said(const Decision& decision) {
  static const std::string words[] = {"confirmed by ", "overruled by ", "set by hand by ", "seen by "};
  return words[static_cast<int>(decision.what)] + (decision.by.empty() ? "a person" : decision.by) + ", " +
         decision.when + ": " + (decision.why.empty() ? "no reason given" : decision.why);
}

std::string Said(const Recorded& recorded) {
  switch (recorded.where) {
    case Recorded::Where::kNowhere:
      return "not saved";
    case Recorded::Where::kFile:
      return "in the notes file";
    case Recorded::Where::kBook:
      return "in the joint book, " + recorded.cycle + ", revision " + std::to_string(recorded.revision);
  }
  return "not saved";
}

}  // namespace app::known
