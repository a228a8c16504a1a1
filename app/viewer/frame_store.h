#pragma once

#include <QHash>
#include <QImage>
#include <QObject>
#include <QSet>

#include "app/viewer/sight.h"

namespace app::viewer {

/// Source frames, decoded in the background when first asked for.
class FrameStore : public QObject {
  Q_OBJECT
 public:
  explicit FrameStore(QObject* parent = nullptr) : QObject(parent) {}
  ~FrameStore() override;

  void SetJoint(const Opened* opened);  ///< Forgets all frames. The joint must outlive the store or be set anew.
  /// @return A null image while it is being read or when it cannot be; `error` then says why.
  QImage Frame(int frame, QString* error = nullptr);

 signals:
  void arrived(int frame);

 private:
  const Opened* opened_ = nullptr;
  int generation_ = 0;
  QHash<int, QImage> frames_;
  QHash<int, QString> errors_;
  QSet<int> asked_;
};

}  // namespace app::viewer
