#include "app/viewer/reading_words.h"

#include <QHash>
#include <algorithm>
#include <cmath>

#include "app/joint/verdict.h"
#include "app/notes/kinds.h"
#include "app/report/text.h"
#include "app/report/wording.h"
#include "app/viewer/data_texts.h"
#include "app/viewer/section.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/scan/scan.h"

namespace app::viewer {
namespace {

using vision::reading::Reading;

QString Q(std::string_view text) { return QString::fromUtf8(text.data(), static_cast<qsizetype>(text.size())); }

/// A text that comes from data, in the person's language where the translation has it.
QString Data(std::string_view text) { return QCoreApplication::translate(kDataContext, std::string(text).c_str()); }

std::size_t LineAt(const Reading& reading, double theta_deg) {
  const std::size_t lines = reading.profile.theta_deg.size();
  return static_cast<std::size_t>(std::lround(vision::bore::Wrap360(theta_deg) / 360 * static_cast<double>(lines))) %
         std::max<std::size_t>(1, lines);
}

const report::Wording& Spanish() {
  static const report::Wording spanish = report::Wording::In("es");
  return spanish;
}

}  // namespace

QString Words::Length(double mm, double u_mm, const Units& units) {
  if (!std::isfinite(mm)) return tr("not measurable from this recording");
  const report::LengthFormat plain{false, units.denominator};
  QString text = Q(words::EnglishOf(std::isfinite(u_mm) ? plain.Measured(mm, u_mm) : plain.Plain(mm)));
  if (units.inches) text += QString(" (≈ %1)").arg(report::FractionText(mm, units.denominator));
  return text;
}

QString Words::Limit(double mm, const Units& units) {
  QString text = Q(words::EnglishOf(report::LengthFormat{false, units.denominator}.Plain(mm)));
  if (units.inches) text += QString(" (≈ %1)").arg(report::FractionText(mm, units.denominator));
  return text;
}

QString Words::Place(double theta_deg, bool relative) {
  if (relative) return tr("%1 relative").arg(Q(words::EnglishOf(report::DegText(theta_deg))));
  return Q(words::EnglishOf(report::PlaceText(theta_deg, false)));
}

QString Words::Span(double start_deg, double end_deg, bool relative) {
  if (end_deg - start_deg >= 360) return tr("all round");
  return tr("%1 to %2").arg(Place(start_deg, relative), Place(end_deg, relative));
}

QString Words::Piece(const Reading& reading, const std::string& side) {
  return Q(side == "left" ? reading.piece_a : reading.piece_b);
}

QString Words::Name(RibbonOf of) {
  switch (of) {
    case RibbonOf::kWidth:
      return tr("Width");
    case RibbonOf::kCrown:
      return tr("Root reinforcement");
    case RibbonOf::kConcavity:
      return tr("Concavity");
    case RibbonOf::kMisalignment:
      return tr("Misalignment");
  }
  return {};
}

QString Words::Kind(const std::string& id) {
  const auto* kind = notes::FindKind(id);
  if (!kind) return Q(id);
  const QString name = Data(kind->name);
  return kind->iso6520.empty() ? name : QString("%1 — ISO 6520-1 %2").arg(name, Q(kind->iso6520));
}

QString Words::Status(notes::Status status) {
  return status == notes::Status::kOpen       ? tr("open")
         : status == notes::Status::kAccepted ? tr("accepted")
                                              : tr("rejected");
}

QString Words::Shape(notes::Shape shape) {
  switch (shape) {
    case notes::Shape::kPoint:
      return tr("point");
    case notes::Shape::kLine:
      return tr("line");
    case notes::Shape::kBox:
      return tr("box");
    case notes::Shape::kOutline:
      return tr("outline");
    case notes::Shape::kText:
      return tr("text");
  }
  return {};
}

QString Words::Indication(const std::string& kind) { return Data(Q(kind).replace('_', ' ').toStdString()); }

QString Words::Edge(known::Edge edge) {
  switch (edge) {
    case known::Edge::kFused:
      return tr("original edge no longer seen (fused)");
    case known::Edge::kUnfused:
      return tr("ORIGINAL EDGE VISIBLE (unfused)");
    case known::Edge::kOverruled:
      return tr("measured: ORIGINAL EDGE VISIBLE (unfused); a person overruled it");
    case known::Edge::kUnfusedByHand:
      return tr("ORIGINAL EDGE SEEN BY A PERSON (unfused, not measured)");
    case known::Edge::kNotVisible:
      break;
  }
  return tr("not visible: not examined");
}

QString Words::Decided(const known::Decision& decision) {
  const QString by = decision.by.empty() ? tr("a person") : Q(decision.by), when = Q(decision.when).left(10),
                why = decision.why.empty() ? tr("no reason given") : Q(decision.why);
  switch (decision.what) {
    case known::Decision::What::kConfirmed:
      return tr("accepted by %1, %2").arg(by, when);
    case known::Decision::What::kOverruled:
      return tr("overruled by %1, %2, because: %3").arg(by, when, why);
    case known::Decision::What::kSetByHand:
      return tr("set by hand by %1, %2, because: %3").arg(by, when, why);
    case known::Decision::What::kSeen:
      break;
  }
  return tr("seen by %1, %2").arg(by, when);
}

QString Words::HandToe(const known::Toe& toe, const Units& units) {
  const QString u = Limit(2 * toe.u.u_mm, units);
  return Decided(toe.decided) + "; " +
         (toe.u.assumed
              ? tr("± %1 (k = 2) is assumed until it is placed five times (now %2)").arg(u).arg(toe.u.placings)
              : tr("± %1 (k = 2) from %2 placings").arg(u).arg(toe.u.placings));
}

QString Words::Said(const vision::Sentence& sentence) {
  return Language() == "en" ? Q(vision::EnglishOf(sentence)) : Spanish()(sentence);
}

QString Words::Said(const std::vector<vision::Sentence>& sentences) {
  QStringList said;
  for (const auto& sentence : sentences) said << Said(sentence);
  return said.join(" ");
}

QString Words::NotMeasurable(const vision::Reason& reason) {
  if (reason.code == vision::Says::kSingleView) return Said(reason);  // says it itself
  const QString sentence = tr("not measurable from this recording");
  return reason.empty() ? sentence : sentence + ": " + Said(reason);
}

QString Words::Outcome(const std::string& outcome) { return Sentence(outcome); }

QString Words::Language() {
  //: ISO 639-1 code of the language translated into.
  return tr("en");
}

const std::vector<std::pair<QString, QString>>& Words::Languages() {
  static const std::vector<std::pair<QString, QString>> all{{"en", "English"}, {"es", "Español"}};
  return all;
}

QString Words::Sentence(const std::string& english) {
  const QString known = Data(english), language = Language();
  if (language == "en" || known != Q(english)) return known;
  static QHash<QString, QString> said;  // its code is looked for, which takes its time
  auto found = said.constFind(known);
  if (found == said.constEnd()) found = said.insert(known, Spanish()(vision::SentenceFrom(known.toStdString())));
  return *found;
}

namespace {

/// What a person said of the place: an overruled run or indication under it, a toe set by hand there.
QStringList DecidedAt(const known::Known& known, double theta_deg, const Units& units) {
  QStringList lines;
  const double theta = vision::bore::Wrap360(theta_deg);
  const auto holds = [&](double start, double end) { return vision::bore::ArcBetween(start, end).Contains(theta); };
  for (const auto& run : known.runs)
    if (run.decided && holds(run.run.start_deg, run.run.end_deg)) lines << Words::Decided(*run.decided);
  for (const auto& toe : known.toes)
    if (holds(toe.set.points.front().theta_deg, toe.set.points.back().theta_deg))
      lines
          << Words::tr("Toe, %1 side: %2").arg(Words::Piece(known.measured, toe.set.side), Words::HandToe(toe, units));
  return lines;
}

QString SectionWords(const Reading& reading, double theta_deg, const Units& units) {
  const auto* arc = SectionAt(reading, theta_deg);
  if (!arc) return {};
  return Words::tr("Section by the camera's travel: %1, against %2 (no number; no verdict rests on it)")
      .arg(arc->kind == "convex"    ? Words::tr("convex")
           : arc->kind == "concave" ? Words::tr("concave")
                                    : Words::tr("flush"),
           Words::Limit(arc->against_mm, units));
}

}  // namespace

QString Words::AtPlace(const known::Known& known, const std::vector<Ribbon>& ribbons, double theta_deg, double z_mm,
                       const Units& units) {
  const Reading& reading = known.decided;
  if (!reading.strip.eye_only.empty())
    return tr(
        "For the eye only: the camera's place in the bore is not trusted, nothing was measured. Give the mount in "
        "the joint file, or set six points on a toe.");
  if (!reading.weld_found) return tr("No weld was found in this recording; nothing was measured.");
  const std::size_t i = LineAt(reading, theta_deg);
  QString text = QString("<p><b>%1</b>, z %2</p><p>").arg(Place(theta_deg, known.relative()), Limit(z_mm, units));
  text += tr("%1 side: %2").arg(Piece(reading, "left").toHtmlEscaped(), Edge(known.edges_a[i])) + "<br>";
  text += tr("%1 side: %2").arg(Piece(reading, "right").toHtmlEscaped(), Edge(known.edges_b[i])) + "</p>";
  if (const QString seen = AsSeenAt(known.measured, theta_deg); !seen.isEmpty())
    text += "<p>" + seen.toHtmlEscaped() + "</p>";
  for (const QString& line : DecidedAt(known, theta_deg, units)) text += "<p><i>" + line.toHtmlEscaped() + "</i></p>";
  text += "<p>";
  for (const Ribbon& ribbon : ribbons) {
    const double u = ribbon.expanded_mm[i] / 2;
    const vision::Reason here = ReasonAt(reading, KeyOf(ribbon.of), theta_deg);
    const QString value = std::isfinite(ribbon.value_mm[i])
                              ? Length(ribbon.value_mm[i], u, units)
                              : NotMeasurable(here.empty() ? ribbon.why : here).toHtmlEscaped();
    QString line = QString("%1: %2").arg(Name(ribbon.of), value);
    if (std::isfinite(ribbon.limit_mm[i]))
      line += tr(" — limit %1 (%2)").arg(Limit(ribbon.limit_mm[i], units), Q(ribbon.limit_from).toHtmlEscaped());
    text += line + "<br>";
  }
  text += SectionWords(known.measured, theta_deg, units).toHtmlEscaped() + "</p>";
  for (const auto& flag : known.measured.flags) {
    const vision::bore::Arc arc{flag.start_deg, vision::bore::Wrap360(flag.end_deg - flag.start_deg)};
    if (arc.Contains(vision::bore::Wrap360(theta_deg))) text += "<p><i>" + Said(flag.text).toHtmlEscaped() + "</i></p>";
  }
  return text;
}

QString Words::AsSeenAt(const Reading& reading, double theta_deg) {
  const std::size_t i = LineAt(reading, theta_deg);
  const auto percent = [&](const std::vector<double>& chance) {
    if (i >= chance.size() || !std::isfinite(chance[i])) return tr("not in sight");
    if (chance[i] > 0.95) return tr("over 95 %");  // of what is said so, 98 % are (held-out samples, DEVELOPERS.md)
    if (chance[i] < 0.01) return tr("under 1 %");
    return tr("%1 %").arg(100 * chance[i], 0, 'f', 0);
  };
  const auto &a = reading.profile.unfused_left_chance, &b = reading.profile.unfused_right_chance;
  const auto kept = [](const std::vector<double>& chance) {
    return std::any_of(chance.begin(), chance.end(), [](double x) { return std::isfinite(x); });
  };
  if (!kept(a) && !kept(b)) return {};
  return tr("the program saw: original edge still there, a %1, b %2 (%3)")
      .arg(percent(a), percent(b), Q(reading.read_by).section(" (", 0, 0));
}

QString Words::AtStation(const repair::Belt& belt, double theta_deg) {
  const auto station = StationAt(belt, theta_deg);
  return tr("belt %1 + %2 mm").arg(station.number).arg(station.beyond_mm, 0, 'f', 1);
}

QString Words::WeldedAt(const WeldedFilm& welded, double theta_deg) {
  const QString film = Q(welded.video.filename().string());
  const double time_s = welded.AtTheta(theta_deg);
  if (!std::isfinite(time_s)) return tr("Not welded in %1.").arg(film);
  return tr("Welded at %1 in %2 (place ±%3°, k = 2).")
      .arg(Q(vision::scan::ClockText(time_s)), film)
      .arg(2 * welded.times.theta_u_deg, 0, 'f', 1);
}

QString Words::Stop(const WeldedFilm& welded, int stop) {
  const auto& one = welded.times.stops[static_cast<std::size_t>(stop)];
  return (one.arc_on ? tr("Welding stood still for %1 s, arc on, at %2 (%3 in %4)")
                     : tr("Welding was interrupted for %1 s at %2 (%3 in %4)"))
      .arg(one.to_s - one.from_s, 0, 'f', 1)
      .arg(Place(vision::bore::Wrap360(one.theta_deg), false), Q(vision::scan::ClockText(one.from_s)),
           Q(welded.video.filename().string()));
}

QString Words::ForWelder(const known::Known& known, const Units& units) {
  const Reading& reading = known.measured;
  if (!reading.weld_found) return tr("<h2>No weld was found in the recording.</h2>");
  QString open, overruled, toes;
  for (const auto& run : known.runs) {
    const QString line = tr("%1 side, from %2: %3 long")
                             .arg(Piece(reading, run.run.side).toHtmlEscaped(),
                                  Span(run.run.start_deg, run.run.end_deg, known.relative()),
                                  Length(run.run.arc_mm, run.run.arc_u_mm, units));
    if (run.overruled())
      overruled += "<li>" + line + "<br>" + Decided(*run.decided).toHtmlEscaped() + "</li>";
    else
      open += "<li><b>" + line + "</b></li>";
  }
  for (const auto& toe : known.toes)
    toes += "<li>" +
            tr("Toe set by hand, %1 side, %2")
                .arg(Piece(reading, toe.set.side).toHtmlEscaped(),
                     Span(toe.set.points.front().theta_deg, toe.set.points.back().theta_deg, known.relative())) +
            "<br>" + HandToe(toe, units).toHtmlEscaped() + "</li>";
  QString text =
      open.isEmpty()
          ? tr("<h2>No original edge of the insert was found where the wall could be seen.</h2>")
          : QString("<div style='background-color:#D55E00; color:#000000'><h2>&nbsp;%1</h2><ul>%2</ul></div>")
                .arg(tr("NOT FUSED: the insert's edge is still visible here"), open);
  if (!overruled.isEmpty())
    text += "<p><b>" + tr("Measured as still visible, overruled by a person:") + "</b></p><ul>" + overruled + "</ul>";
  text += tr("<p>Not seen: %1° on the %2 side, %3° on the %4 side. Not seen does not mean fused.</p>")
              .arg(360 - reading.coverage_deg.left, 0, 'f', 0)
              .arg(Piece(reading, "left").toHtmlEscaped())
              .arg(360 - reading.coverage_deg.right, 0, 'f', 0)
              .arg(Piece(reading, "right").toHtmlEscaped());
  if (!toes.isEmpty()) text += "<ul>" + toes + "</ul>";
  return "<div style='font-size:21px'>" + text + "<p style='font-size:13px'>" + Supports() + "</p></div>";
}

QString Words::ReadOut(const Reading& reading, double theta_deg, double z_mm, const Units& units) {
  const bool relative = reading.angles == "relative";
  const double arc = vision::bore::ArcMm(vision::bore::Wrap360(theta_deg), reading.bore_radius_mm);
  QString text = tr("%1   arc inside %2   z %3").arg(Place(theta_deg, relative), Limit(arc, units), Limit(z_mm, units));
  if (reading.weld_found) {
    const std::size_t i = LineAt(reading, theta_deg);
    const double width = reading.profile.width_mm[i];
    text += "   " + (std::isfinite(width) ? tr("width %1 (k = 2)") : tr("width %1"))
                        .arg(Length(width, reading.profile.width_u_mm[i], units));
  }
  return text;
}

QString Words::View(const Reading& reading) {
  return (reading.angles == "relative"
              ? tr("The wall as seen from inside, looking along +z (from %1 to %2); %1 at the top of every line; "
                   "degrees are relative to the picture's up, not to the joint's datum: no clock is known")
              : tr("The wall as seen from inside, clock looking along +z (from %1 to %2); %1 at the top of every line"))
      .arg(Q(reading.piece_a), Q(reading.piece_b));
}

QString Words::Supports() {
  return tr("This supports and never replaces the qualified examiner, the contract's code edition and local rules.");
}

QStringList Words::Cautions() {
  QStringList lines;
  for (const auto& line : joint::StandingCautions()) lines << Sentence(line);
  return lines;
}

}  // namespace app::viewer
