#include "app/viewer/job_bar.h"

#include <QHBoxLayout>
#include <QProgressBar>
#include <QPushButton>

#include "app/viewer/job_runner.h"

namespace app::viewer {

JobBar::JobBar(JobRunner& jobs, QWidget* parent) : QWidget(parent), progress_(new QProgressBar) {
  setObjectName("job_bar");
  auto* row = new QHBoxLayout(this);
  row->setContentsMargins(0, 0, 0, 0);
  row->addWidget(progress_, 1);
  auto* stop = new QPushButton(tr("Stop"));
  stop->setAutoDefault(false);
  row->addWidget(stop);
  hide();
  connect(stop, &QPushButton::clicked, &jobs, &JobRunner::Cancel);
  connect(&jobs, &JobRunner::started, this, [this] { progress_->setValue(0), show(); });
  connect(&jobs, &JobRunner::progressed, this,
          [this](double fraction, const QString&) { progress_->setValue(static_cast<int>(100 * fraction)); });
  connect(&jobs, &JobRunner::ended, this, &QWidget::hide);
}

}  // namespace app::viewer
