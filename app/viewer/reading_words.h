#pragma once

#include <QCoreApplication>
#include <QString>

#include "app/known/known.h"
#include "app/notes/notes.h"
#include "app/viewer/ribbons.h"
#include "app/viewer/stations.h"
#include "app/viewer/welded.h"

namespace app::viewer {

/// How a person wants lengths and places written.
struct Units {
  bool inches = false;  ///< Fractions of an inch beside millimetres.
  int denominator = 64;
};

/// Which ruler runs along the lines of the page.
enum class Ruler { kClock, kDegrees, kInsideMm, kOutsideMm, kStations };

/// Words for what the reading holds; every text a person reads in the window is made here or in tr().
class Words {
  Q_DECLARE_TR_FUNCTIONS(app::viewer::Words)
 public:
  /// "6.21 ± 0.30 mm", k = 2; with inches "6.21 ± 0.30 mm (≈ 1/4 in)". NaN: "not measurable from this recording".
  static QString Length(double mm, double u_mm, const Units& units);
  static QString Limit(double mm, const Units& units);
  /// "4:30 (135.0°)", or "135.0° relative".
  static QString Place(double theta_deg, bool relative);
  static QString Span(double start_deg, double end_deg, bool relative);
  /// Name of a piece by side: "left" = piece a.
  static QString Piece(const vision::reading::Reading& reading, const std::string& side);
  static QString Name(RibbonOf of);
  static QString Kind(const std::string& id);  ///< With its ISO 6520-1 number where it has one.
  static QString Status(notes::Status status);
  static QString Shape(notes::Shape shape);
  static QString Indication(const std::string& kind);
  static QString Edge(known::Edge edge);
  /// "overruled by R. Example, 2026-01-31, because: looked at abeam".
  static QString Decided(const known::Decision& decision);
  /// Who set it, why, and how well a hand finds it: assumed until it was placed often enough.
  static QString HandToe(const known::Toe& toe, const Units& units);
  /// What has a code, in the person's language.
  static QString Said(const vision::Sentence& sentence);
  static QString Said(const std::vector<vision::Sentence>& sentences);
  /// "not measurable from this recording: REASON", said once where the reason says it itself.
  static QString NotMeasurable(const vision::Reason& reason);
  static QString Outcome(const std::string& outcome);
  /// ISO 639-1 code of the window's language: what a record written from here is in.
  static QString Language();
  /// Of window and record: code and own name.
  static const std::vector<std::pair<QString, QString>>& Languages();
  /// A sentence of the verdict in the window's language, in the record's own words.
  static QString Sentence(const std::string& english);
  /// What there is to know at a place, in plain sentences (rich text).
  static QString AtPlace(const known::Known& known, const std::vector<Ribbon>& ribbons, double theta_deg, double z_mm,
                         const Units& units);
  /// How likely the insert's edges are still there at a place, and by which model; "" where that was not kept.
  static QString AsSeenAt(const vision::reading::Reading& reading, double theta_deg);
  /// "belt 3 + 12.0 mm": where a hand outside finds the place.
  static QString AtStation(const repair::Belt& belt, double theta_deg);
  /// When the place was welded and in which video.
  static QString WeldedAt(const WeldedFilm& welded, double theta_deg);
  /// A stop of welding: where, how long, when and in which video.
  static QString Stop(const WeldedFilm& welded, int stop);
  /// What the welder needs, large and plain: where an edge is still visible, what was not seen.
  static QString ForWelder(const known::Known& known, const Units& units);
  /// One line for the cross-hair.
  static QString ReadOut(const vision::reading::Reading& reading, double theta_deg, double z_mm, const Units& units);
  /// "looking along +z, from A to B; the wall as seen from inside".
  static QString View(const vision::reading::Reading& reading);
  /// The sentence that stands wherever a verdict stands, and all standing cautions.
  static QString Supports();
  static QStringList Cautions();
};

}  // namespace app::viewer
