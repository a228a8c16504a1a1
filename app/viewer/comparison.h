#pragma once

#include <QObject>
#include <QString>
#include <opencv2/core.hpp>
#include <optional>

#include "app/compare/consumption.h"
#include "app/viewer/desk.h"
#include "vision/match/height_change.h"
#include "vision/match/ring.h"

namespace app::viewer {

/// A second recording of the open joint, laid on the first. "Before" is the open one.
class Comparison : public QObject {
  Q_OBJECT
 public:
  /// What is shown of the second recording, made ready for showing.
  struct Shown {
    Pyramid after, difference;
    Pyramid heights;  ///< Empty unless both recordings tell heights.
    std::optional<vision::match::HeightChange> change;
  };

  explicit Comparison(Desk& desk, QObject* parent = nullptr);

  /// Opens a measured folder or joint file and registers it in the background: ready() or failed().
  void With(const std::filesystem::path& path);
  /// Measures the recordings of an unmeasured joint first, then lays them on.
  void MeasureAndLay(const Request& request);
  void End();
  /// Moves the second strip by hand on top of what was found; ready() follows.
  void Nudge(double theta_deg, double z_mm);

  bool has() const { return !after_.empty(); }
  const Opened& other() const { return *other_; }  ///< The second recording; only while has().
  const known::Known& other_known() const { return other_known_; }
  const std::vector<Ribbon>& other_ribbons() const { return other_ribbons_; }
  /// Which of the two the lens and the words speak of.
  bool at_after() const { return has() && at_after_; }
  void SpeakOfAfter(bool after);
  /// Where a place of the open recording lies in the second one.
  notes::Place InAfter(double theta_deg, double z_mm) const;
  /// "before: LX-114, root" and "after: LX-114, root after grinding".
  QString Label(bool after) const;
  const vision::match::RingMatch& match() const { return match_; }
  const cv::Mat3b& after() const { return after_; }
  const Pyramid& after_pyramid() const { return shown_.after; }
  const Pyramid& difference_pyramid() const { return shown_.difference; }
  const Pyramid& heights_pyramid() const { return shown_.heights; }
  /// What people wrote on the second recording where it has a joint file of its own, at the first one's places.
  const notes::Notes& other_notes() const { return laid_notes_; }
  /// "height changed by -0.42 +- 0.10 mm here", or why there is no number; empty without a comparison.
  QString AtPlace(double theta_deg, double z_mm) const;
  /// One sentence: roll, residual in mm, share of the ring that agrees, moved by hand; a doubtful one says so first.
  QString Sentence() const;

 signals:
  void ready();
  void ended();
  void failed(const QString& sentence);
  void notMeasured(const app::viewer::Request& request);  ///< The second recording.
  void spokenOf();                                        ///< at_after() changed.

 private:
  Desk& desk_;
  void LayNotes();
  vision::match::RingMatch Moved() const;  ///< The match with what was moved by hand.

  std::optional<Opened> other_;
  known::Known other_known_;
  std::vector<Ribbon> other_ribbons_;
  bool at_after_ = false;
  notes::Notes other_notes_, laid_notes_;
  std::optional<compare::Consumption> consumption_;
  vision::match::RingMatch match_;
  double hand_theta_deg_ = 0, hand_z_mm_ = 0;
  cv::Mat3b after_;
  Shown shown_;
};

}  // namespace app::viewer
