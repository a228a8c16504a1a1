#include "app/viewer/timeline_words.h"

#include "app/viewer/reading_words.h"

namespace app::viewer {

using vision::scan::ClockText;
using vision::scan::Scanned;
using vision::scan::Shows;

namespace {

QString Q(const std::string& text) { return QString::fromStdString(text); }
QString Clock(double time_s) { return Q(ClockText(time_s)); }

}  // namespace

QString TimelineWords::Name(Shows shows) {
  switch (shows) {
    case Shows::kTravelling:
      return tr("travelling");
    case Shows::kAtWeld:
      return tr("at a weld");
    case Shows::kWelding:
      return tr("welding");
    case Shows::kDark:
      return tr("lights off");
    case Shows::kBlurred:
      return tr("blurred");
    case Shows::kNotABore:
      return tr("not a view along a bore");
    case Shows::kDamaged:
      break;
  }
  return tr("damaged");
}

QString TimelineWords::Short(Shows shows) {
  switch (shows) {
    case Shows::kTravelling:
      return tr("tr");
    case Shows::kAtWeld:
      return tr("w");
    case Shows::kWelding:
      return tr("arc");
    case Shows::kDark:
      return tr("off");
    case Shows::kBlurred:
      return tr("bl");
    case Shows::kNotABore:
      return tr("no");
    case Shows::kDamaged:
      break;
  }
  return tr("dam");
}

QString TimelineWords::Span(double from_s, double to_s) { return tr("%1 to %2").arg(Clock(from_s), Clock(to_s)); }

QString TimelineWords::Why(const vision::scan::WhyNotProposed& why) {
  using vision::scan::NotProposed;
  switch (why.code) {
    case NotProposed::kUsable:
      return {};
    case NotProposed::kDamaged:
      return Name(Shows::kDamaged);
    case NotProposed::kDark:
      return Name(Shows::kDark);
    case NotProposed::kArcOn:
      return tr("the arc is on");
    case NotProposed::kBlurred:
      return Name(Shows::kBlurred);
    case NotProposed::kNoWeld:
      return tr("no weld in sight");
    case NotProposed::kGlareOnWeld:
      return tr("glare over more than %1 % of the weld").arg(why.limit, 0, 'f', 0);
    case NotProposed::kGlareOnWall:
      return tr("glare over more than %1 % of the wall").arg(why.limit, 0, 'f', 0);
    case NotProposed::kTooFar:
      return tr("too far: more than %1 bore radii from the weld").arg(why.limit, 0, 'f', 1);
    case NotProposed::kTooNear:
      return tr("too near: less than %1 bore radii from the weld").arg(why.limit, 0, 'f', 1);
    case NotProposed::kTooShort:
      return tr("shorter than %1 s").arg(why.limit, 0, 'f', 1);
    case NotProposed::kOtherBetter:
      break;
  }
  return tr("usable, but less sharp or farther than the one proposed");
}

QString TimelineWords::AtTime(const Scanned& scanned, double time_s) {
  QString text = Clock(time_s);
  for (const auto& stretch : scanned.sorted.stretches)
    if (time_s >= stretch.from_s && time_s < stretch.to_s) {
      text += ": " + Name(stretch.shows) + " (" + Span(stretch.from_s, stretch.to_s) + ")";
      if (!stretch.note.empty()) text += ". " + Words::Sentence(stretch.note);
      break;
    }
  for (const auto& mark : scanned.burned_in)
    if (time_s >= mark.from_s && time_s <= mark.to_s) {
      text += ". " + tr("Writing or a mark is burned into the picture");
      break;
    }
  int number = 0;
  for (const auto& weld : scanned.sorted.welds) {
    ++number;
    if (time_s < weld.from_s || time_s > weld.to_s) continue;
    if (weld.proposed && time_s >= weld.best_from_s && time_s <= weld.best_to_s)
      return text + ". " + tr("Proposed for measuring weld %1.").arg(number);
    for (const auto& refused : weld.refused)
      if (time_s >= refused.from_s && time_s <= refused.to_s)
        return text + ". " + tr("Not proposed for weld %1: %2.").arg(number).arg(Why(refused.why));
  }
  return text;
}

QString TimelineWords::Whole(const Timeline& timeline) {
  const auto& scanned = timeline.scanned;
  int proposed = 0;
  for (const auto& weld : scanned.sorted.welds) proposed += weld.proposed;
  QString text = tr("%1, %2 long. Looks at a weld: %3; with a stretch fit for measuring: %4.")
                     .arg(Q(timeline.source.filename().string()), Clock(scanned.duration_s))
                     .arg(scanned.sorted.welds.size())
                     .arg(proposed);
  if (!scanned.burned_in.empty())
    text += " " + tr("Writing or marks burned into the picture: dotted line under the band, boxed in the frame shown.");
  if (!scanned.camera_known)
    text += " " + tr("No joint file names this recording: the lens was guessed, distances are not known.");
  return text;
}

}  // namespace app::viewer
