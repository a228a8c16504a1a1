#include "app/viewer/live_words.h"

#include <QStringList>

namespace app::viewer {

using vision::live::Hint;

QString LiveWords::Of(Hint hint) {
  switch (hint) {
    case Hint::kNoPicture:
      return tr("No picture");
    case Hint::kWelding:
      return tr("Welding: the strip waits");
    case Hint::kLookingForWeld:
      return tr("Looking for the weld");
    case Hint::kTooClose:
      return tr("Too close to the wall");
    case Hint::kHoldStill:
      return tr("Hold still");
    case Hint::kMoveOn:
      return tr("Move on");
    case Hint::kCovered:
      return tr("Covered all round");
    case Hint::kGood:
      return tr("Good");
  }
  return {};
}

QString LiveWords::Why(const std::string& why) {
  return why.empty() ? QString() : tr("The camera is not followed: %1").arg(QString::fromStdString(why));
}

QString LiveWords::Figures(const vision::live::WatchFigures& f, const vision::live::Times& screen, bool over) {
  QStringList lines;
  lines << tr("%1 s; %2 frames used, %3 gone by, %4 without a pose")
               .arg(f.seconds, 0, 'f', 1)
               .arg(f.processed)
               .arg(f.dropped)
               .arg(f.no_pose);
  if (screen.count() > 0)
    lines << tr("from the frame to the screen %1 ms, 95 % within %2 ms")
                 .arg(screen.AtShare(0.5), 0, 'f', 0)
                 .arg(screen.AtShare(0.95), 0, 'f', 0);
  for (const auto& outage : f.outages)
    lines << (outage.lasted_s
                  ? tr("silent at %1 s for %2 s").arg(outage.at_s, 0, 'f', 1).arg(*outage.lasted_s, 0, 'f', 1)
                  : tr("silent since %1 s; trying again").arg(outage.at_s, 0, 'f', 1));
  if (!f.record_files.empty() || f.recorded > 0)
    lines << (f.record_lost > 0 ? tr("recorded %1 frames; %2 are LOST: disk or processor did not keep up")
                                      .arg(f.recorded)
                                      .arg(f.record_lost)
                                : tr("recorded %1 frames, none lost").arg(f.recorded));
  if (over && !f.record_files.empty()) lines << QString::fromStdString(f.record_files.front());
  return lines.join("\n");
}

QString LiveWords::Guide() {
  return tr(
      "For guiding the camera only: nothing here is a measurement. Measure the recording. It supports and never "
      "replaces the qualified examiner, the contract's code edition and local rules.");
}

}  // namespace app::viewer
