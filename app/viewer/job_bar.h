#pragma once

#include <QWidget>

class QProgressBar;

namespace app::viewer {

class JobRunner;

/// How far a sheet's work is, with a button that stops it; there only while something is being done.
class JobBar : public QWidget {
  Q_OBJECT
 public:
  explicit JobBar(JobRunner& jobs, QWidget* parent = nullptr);

 private:
  QProgressBar* progress_;
};

}  // namespace app::viewer
