#include "app/viewer/list_model.h"

#include <QIcon>
#include <QPainter>
#include <QPixmap>
#include <cmath>

#include "app/viewer/marking.h"

namespace app::viewer {
namespace {

using marks::Means;

Means MeansOf(const Listed& thing) {
  switch (thing.sort) {
    case Listed::Sort::kUnfused:
      return thing.overruled() ? Means::kOverruled : Means::kUnfused;
    case Listed::Sort::kNotExamined:
      return Means::kNotVisible;
    case Listed::Sort::kMarkedPlace:
      return Means::kMarkedPlace;
    case Listed::Sort::kStop:
      return Means::kStop;
    case Listed::Sort::kHandToe:
      return Means::kToeByHand;
    case Listed::Sort::kFlag:
      return Means::kFlag;
    case Listed::Sort::kNote:
      return Means::kNote;
    case Listed::Sort::kIndication:
      break;
  }
  return thing.overruled() ? Means::kOverruled : Means::kIndication;
}

QIcon IconOf(const Listed& thing) {
  QPixmap pixmap(22, 18);
  pixmap.fill(Qt::transparent);
  QPainter painter(&pixmap);
  DrawSwatch(painter, QRectF(0, 2, 22, 14), MeansOf(thing));
  return QIcon(pixmap);
}

}  // namespace

ListModel::ListModel(Desk& desk, QObject* parent) : QAbstractListModel(parent), desk_(desk) {
  connect(&desk_, &Desk::changed, this, &ListModel::Reload);
  Reload();
}

void ListModel::Reload() {
  beginResetModel();
  shown_ = desk_.has() ? desk_.listed() : std::vector<Listed>();
  endResetModel();
}

int ListModel::rowCount(const QModelIndex& parent) const {
  return parent.isValid() ? 0 : static_cast<int>(shown_.size());
}

QVariant ListModel::data(const QModelIndex& index, int role) const {
  if (!index.isValid()) return {};
  const Listed& thing = At(index.row());
  if (role == Qt::DisplayRole || role == Qt::AccessibleTextRole || role == Qt::ToolTipRole) return Sentence(thing);
  if (role == Qt::DecorationRole) return IconOf(thing);
  return {};
}

QString ListModel::Sentence(const Listed& thing) const {
  const auto& reading = desk_.opened().reading;
  const bool relative = reading.angles == "relative";
  const QString span = Words::Span(thing.start_deg, thing.end_deg, relative);
  const QString piece = Words::Piece(reading, thing.side);
  QString text;
  switch (thing.sort) {
    case Listed::Sort::kUnfused: {
      const auto& run = desk_.known().runs[static_cast<std::size_t>(thing.index)].run;
      text = tr("Original edge visible, %1 side, %2, %3")
                 .arg(piece, span, Words::Length(run.arc_mm, run.arc_u_mm, desk_.units()));
      break;
    }
    case Listed::Sort::kIndication: {
      const auto& one = desk_.known().found[static_cast<std::size_t>(thing.index)].indication;
      text = tr("%1 at %2, length %3")
                 .arg(Words::Indication(one.kind), Words::Place(one.theta_deg, relative),
                      Words::Length(one.length_mm, one.length_u_mm, desk_.units()));
      break;
    }
    case Listed::Sort::kStop:
      return Words::Stop(*desk_.opened().welded, thing.index);
    case Listed::Sort::kMarkedPlace:
    case Listed::Sort::kNote: {
      const auto* note = desk_.notes().Find(thing.note_id);
      if (!note) return {};
      text = tr("%1. %2 at %3").arg(note->id).arg(Words::Kind(note->kind), Words::Place(thing.start_deg, relative));
      const auto extent = notes::ExtentOf(*note, desk_.opened().reading);
      if (std::isfinite(extent.length_mm))
        text += ", " + Words::Length(extent.length_mm, extent.length_u_mm, desk_.units());
      text += " — " + Words::Status(note->status);
      if (!note->text.empty()) text += ": " + QString::fromStdString(note->text);
      return text;
    }
    case Listed::Sort::kHandToe:
      return tr("Toe set by hand, %1 side, %2").arg(piece, span) + " — " +
             Words::HandToe(desk_.known().toes[static_cast<std::size_t>(thing.index)], desk_.units());
    case Listed::Sort::kFlag:
      return Words::Said(reading.flags[static_cast<std::size_t>(thing.index)].text);
    case Listed::Sort::kNotExamined:
      return tr("Not examined, %1 side, %2").arg(piece, span);
  }
  if (thing.overruled())
    text = tr("OVERRULED: %1").arg(text) + " — " + Words::Decided(*thing.decided);
  else if (thing.decided)
    text += tr(" — accepted");
  return text;
}

}  // namespace app::viewer
