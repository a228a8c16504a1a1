#include "app/viewer/things_model.h"

#include <QIcon>
#include <QPainter>
#include <QPixmap>
#include <cmath>

#include "app/viewer/marking.h"

namespace app::viewer {
namespace {

using marks::Means;

Means MeansOf(const Thing& thing) {
  switch (thing.sort) {
    case Thing::Sort::kUnfused:
      return thing.overruled() ? Means::kOverruled : Means::kUnfused;
    case Thing::Sort::kNotExamined:
      return Means::kNotVisible;
    case Thing::Sort::kMarkedPlace:
      return Means::kMarkedPlace;
    case Thing::Sort::kStop:
      return Means::kStop;
    case Thing::Sort::kHandToe:
      return Means::kToeByHand;
    case Thing::Sort::kFlag:
      return Means::kFlag;
    case Thing::Sort::kNote:
      return Means::kNote;
    case Thing::Sort::kIndication:
      break;
  }
  return thing.overruled() ? Means::kOverruled : Means::kIndication;
}

QIcon IconOf(const Thing& thing) {
  QPixmap pixmap(22, 18);
  pixmap.fill(Qt::transparent);
  QPainter painter(&pixmap);
  DrawSwatch(painter, QRectF(0, 2, 22, 14), MeansOf(thing));
  return QIcon(pixmap);
}

}  // namespace

ThingsModel::ThingsModel(Desk& desk, QObject* parent) : QAbstractListModel(parent), desk_(desk) {
  connect(&desk_, &Desk::changed, this, &ThingsModel::Reload);
  Reload();
}

void ThingsModel::Reload() {
  beginResetModel();
  shown_ = desk_.has() ? desk_.things() : std::vector<Thing>();
  endResetModel();
}

int ThingsModel::rowCount(const QModelIndex& parent) const {
  return parent.isValid() ? 0 : static_cast<int>(shown_.size());
}

QVariant ThingsModel::data(const QModelIndex& index, int role) const {
  if (!index.isValid()) return {};
  const Thing& thing = At(index.row());
  if (role == Qt::DisplayRole || role == Qt::AccessibleTextRole || role == Qt::ToolTipRole) return Sentence(thing);
  if (role == Qt::DecorationRole) return IconOf(thing);
  return {};
}

QString ThingsModel::Sentence(const Thing& thing) const {
  const auto& reading = desk_.opened().reading;
  const bool relative = reading.angles == "relative";
  const QString span = Words::Span(thing.start_deg, thing.end_deg, relative);
  const QString piece = Words::Piece(reading, thing.side);
  QString text;
  switch (thing.sort) {
    case Thing::Sort::kUnfused: {
      const auto& run = desk_.known().runs[static_cast<std::size_t>(thing.index)].run;
      text = tr("Original edge visible, %1 side, %2, %3")
                 .arg(piece, span, Words::Length(run.arc_mm, run.arc_u_mm, desk_.units()));
      break;
    }
    case Thing::Sort::kIndication: {
      const auto& one = desk_.known().found[static_cast<std::size_t>(thing.index)].indication;
      text = tr("%1 at %2, length %3")
                 .arg(Words::Indication(one.kind), Words::Place(one.theta_deg, relative),
                      Words::Length(one.length_mm, one.length_u_mm, desk_.units()));
      break;
    }
    case Thing::Sort::kStop:
      return Words::Stop(*desk_.opened().welded, thing.index);
    case Thing::Sort::kMarkedPlace:
    case Thing::Sort::kNote: {
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
    case Thing::Sort::kHandToe:
      return tr("Toe set by hand, %1 side, %2").arg(piece, span) + " — " +
             Words::HandToe(desk_.known().toes[static_cast<std::size_t>(thing.index)], desk_.units());
    case Thing::Sort::kFlag:
      return Words::Said(reading.flags[static_cast<std::size_t>(thing.index)].text);
    case Thing::Sort::kNotExamined:
      return tr("Not examined, %1 side, %2").arg(piece, span);
  }
  if (thing.overruled())
    text = tr("OVERRULED: %1").arg(text) + " — " + Words::Decided(*thing.decided);
  else if (thing.decided)
    text += tr(" — accepted");
  return text;
}

}  // namespace app::viewer
