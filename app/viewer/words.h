#pragma once

#include <QCoreApplication>
#include <QString>

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
  static QString Fusion(vision::reading::Fusion fusion);
  /// Known reasons in the person's language; an unknown one as it stands.
  static QString Reason(const std::string& reason);
  /// "not measurable from this recording: REASON", said once where the reason says it itself.
  static QString NotMeasurable(const std::string& reason);
  static QString Outcome(const std::string& outcome);
  /// What there is to know at a place, in plain sentences (rich text).
  static QString AtPlace(const vision::reading::Reading& reading, const std::vector<Ribbon>& ribbons, double theta_deg,
                         double z_mm, const Units& units);
  /// "belt 3 + 12.0 mm": where a hand outside finds the place.
  static QString AtStation(const repair::Belt& belt, double theta_deg);
  /// When the place was welded and in which video.
  static QString WeldedAt(const WeldedFilm& welded, double theta_deg);
  /// A stop of welding: where, how long, when and in which video.
  static QString Stop(const WeldedFilm& welded, int stop);
  /// What the welder needs, large and plain: where an edge is still visible, what was not seen.
  static QString ForWelder(const vision::reading::Reading& reading, const Units& units);
  /// One line for the cross-hair.
  static QString ReadOut(const vision::reading::Reading& reading, double theta_deg, double z_mm, const Units& units);
  /// "looking along +z, from A to B; the wall as seen from inside".
  static QString View(const vision::reading::Reading& reading);
  /// The sentence that stands wherever a verdict stands, and all standing cautions.
  static QString Supports();
  static QStringList Cautions();
};

}  // namespace app::viewer
