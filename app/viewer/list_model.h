#pragma once

#include <QAbstractListModel>

#include "app/viewer/desk.h"

namespace app::viewer {

/// What to look at, one plain sentence a row, marked places first.
class ListModel : public QAbstractListModel {
  Q_OBJECT
 public:
  explicit ListModel(Desk& desk, QObject* parent = nullptr);
  int rowCount(const QModelIndex& parent = {}) const override;
  QVariant data(const QModelIndex& index, int role) const override;
  const Listed& At(int row) const { return shown_[static_cast<std::size_t>(row)]; }

 private:
  void Reload();
  QString Sentence(const Listed& thing) const;

  Desk& desk_;
  std::vector<Listed> shown_;
};

}  // namespace app::viewer
