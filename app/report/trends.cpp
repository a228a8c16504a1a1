#include "app/report/trends.h"

#include <QBuffer>
#include <QImage>
#include <QPainter>
#include <algorithm>
#include <cmath>

#include "app/report/cautions.h"
#include "app/report/compose.h"
#include "app/report/drawing.h"
#include "app/report/page_flow.h"
#include "app/report/wording.h"
#include "app/report/write_content.h"
#include "vision/base/file.h"
#include "vision/bore/angle.h"

namespace app::report {
namespace {

constexpr std::size_t kRowsAFigure = 24;
constexpr double kRowHeight = 76, kHead = 96, kNameWidth = 330, kCountWidth = 640;  // units, 0.1 mm

int Decided(const TrendShare& share) { return share.within + share.beyond; }

Text CountText(const TrendShare& share) {
  const int open = share.judged - Decided(share);
  if (Decided(share) == 0) return {Print::kNoneDecided, {Typed(open)}};
  return {Print::kShareOf, {Typed(share.within), Typed(Decided(share)), Typed(share.beyond), Typed(open)}};
}

/// From 0 to 100 % across.
struct Axis {
  double left = 0, width = 0;
  double X(double share) const { return left + share * width; }
};

void DrawAxis(QPainter& painter, const Axis& axis, double bottom) {
  painter.setFont(FontOf(2.6));
  for (int percent = 0; percent <= 100; percent += 25) {
    const double x = axis.X(percent / 100.0);
    painter.setPen(QPen(percent % 100 == 0 ? ink::kText : ink::kBand, 2));
    painter.drawLine(QPointF(x, kHead - 20), QPointF(x, bottom));
    painter.setPen(ink::kText);
    DrawCentred(painter, {x, kHead - 44}, QString("%1 %").arg(percent));
  }
}

/// The interval as a line with feet, the share as a filled diamond on it.
void DrawShare(QPainter& painter, const Axis& axis, const TrendShare& share, double y) {
  if (Decided(share) == 0) return;  // no share of nothing
  painter.setPen(QPen(ink::kText, 4));
  painter.drawLine(QPointF(axis.X(share.low), y), QPointF(axis.X(share.high), y));
  for (const double end : {share.low, share.high})
    painter.drawLine(QPointF(axis.X(end), y - 12), QPointF(axis.X(end), y + 12));
  const double x = axis.X(static_cast<double>(share.within) / Decided(share));
  painter.setPen(Qt::NoPen);
  painter.setBrush(ink::kText);
  painter.drawPolygon(QPolygonF{{x - 15, y}, {x, y - 15}, {x + 15, y}, {x, y + 15}});
}

void DrawRow(QPainter& painter, const Wording& wording, const Axis& axis, const TrendShare& share, double y,
             double width) {
  painter.setPen(ink::kText);
  painter.setFont(FontOf(3.0, true));
  const QString name = wording(share.name.empty() ? Text(Print::kNotGiven) : Typed(share.name));
  painter.drawText(QRectF(0, y - 30, kNameWidth - 24, 60), Qt::AlignRight | Qt::AlignVCenter,
                   QFontMetricsF(painter.font()).elidedText(name, Qt::ElideMiddle, kNameWidth - 24));
  painter.setFont(FontOf(2.5));
  painter.drawText(QRectF(width - kCountWidth, y - 30, kCountWidth, 60), Qt::AlignRight | Qt::AlignVCenter,
                   wording(CountText(share)));
  DrawShare(painter, axis, share, y);
}

constexpr double kInner = 120, kOuter = 400, kHourLabel = 470, kCentre = 510;

QPointF OnCircle(double radius, double clock_deg) {
  const double a = clock_deg * vision::bore::kRadPerDeg;
  return {radius * std::sin(a), -radius * std::cos(a)};
}

/// A sector an hour, as long as runs touch it; every ring is one or more whole runs.
void DrawHours(QPainter& painter, const Wording& wording, const std::vector<TrendHour>& hours, int most) {
  const int step = std::max(1, static_cast<int>(std::ceil(most / 4.0)));
  const int rings = std::max(1, (most + step - 1) / step);
  const auto radius = [&](double runs) { return kInner + (kOuter - kInner) * runs / (rings * step); };
  painter.setBrush(Qt::NoBrush);
  for (int ring = 0; ring <= rings; ++ring) {
    painter.setPen(QPen(ring == 0 ? ink::kText : ink::kBand, ring == 0 ? 4 : 2));
    painter.drawEllipse(QPointF(0, 0), radius(ring * step), radius(ring * step));
  }
  for (const auto& hour : hours) {
    const double middle = 30.0 * (hour.hour % 12);
    if (hour.runs > 0) FillHatched(painter, RingSector(kInner, radius(hour.runs), middle - 12, 24));
    painter.setPen(ink::kText);
    painter.setFont(FontOf(3.6, true));
    DrawCentred(painter, OnCircle(kHourLabel, middle), QString::number(hour.hour));
    painter.setFont(FontOf(3.0, true));
    if (hour.runs > 0)
      DrawCentred(painter, OnCircle(hour.runs == rings * step ? kOuter + 26 : radius(hour.runs) + 28, middle),
                  QString::number(hour.runs));
  }
  painter.setFont(FontOf(2.6));
  DrawCentred(painter, {0, -16}, wording(Print::kLooking));
  DrawCentred(painter, {0, 18}, wording(Print::kAlongPlusZ));
}

vision::Status WritePng(const Figure& figure, const Wording& wording, const std::filesystem::path& file) {
  const double scale = 1.2;  // 12 dots a millimetre
  QImage image(static_cast<int>(figure.width_mm * 10 * scale), static_cast<int>(figure.height_mm * 10 * scale),
               QImage::Format_RGB32);
  image.fill(Qt::white);
  QPainter painter(&image);
  painter.setRenderHint(QPainter::Antialiasing);
  painter.scale(scale, scale);
  figure.paint(painter, wording);
  painter.end();
  QByteArray bytes;
  QBuffer buffer(&bytes);
  buffer.open(QIODevice::WriteOnly);
  if (!image.save(&buffer, "PNG"))
    return vision::Error{vision::ErrorCode::kIo, "Cannot make the picture " + file.string() + "."};
  return vision::WriteFileWhole(file, bytes.toStdString());
}

void AddShares(const std::vector<TrendShare>& shares, Print title, Print of_what, double width_mm,
               std::vector<Block>& blocks) {
  blocks.push_back(Heading{title});
  if (shares.empty()) blocks.push_back(Paragraph{Print::kNothingJudged});
  for (auto& figure : ShareFigures(shares, title, of_what, width_mm)) blocks.push_back(std::move(figure));
  if (!shares.empty()) blocks.push_back(Paragraph{Print::kShareText, Paragraph::Weight::kSmall});
}

}  // namespace

std::vector<Figure> ShareFigures(const std::vector<TrendShare>& shares, const Text& title, const Text& of_what,
                                 double width_mm) {
  std::vector<Figure> figures;
  for (std::size_t first = 0; first < shares.size(); first += kRowsAFigure) {
    const std::vector<TrendShare> rows(
        shares.begin() + static_cast<std::ptrdiff_t>(first),
        shares.begin() + static_cast<std::ptrdiff_t>(std::min(first + kRowsAFigure, shares.size())));
    Figure figure;
    figure.width_mm = width_mm;
    figure.height_mm = (kHead + static_cast<double>(rows.size()) * kRowHeight + 10) / 10;
    figure.title = title;
    figure.paint = [rows, of_what, width = width_mm * 10](QPainter& painter, const Wording& wording) {
      const Axis axis{kNameWidth, width - kNameWidth - kCountWidth - 40};
      painter.setPen(ink::kText);
      painter.setFont(FontOf(2.6));
      painter.drawText(QRectF(0, kHead - 74, kNameWidth - 64, 60), Qt::AlignRight | Qt::AlignVCenter, wording(of_what));
      DrawAxis(painter, axis, kHead + static_cast<double>(rows.size()) * kRowHeight - 10);
      double y = kHead + kRowHeight / 2 - 10;
      for (const auto& row : rows) DrawRow(painter, wording, axis, row, y, width), y += kRowHeight;
    };
    figures.push_back(std::move(figure));
  }
  return figures;
}

Figure HoursFigure(const std::vector<TrendHour>& hours, double width_mm) {
  int most = 0;
  std::vector<Text> list{Print::kRunsAndDegrees};
  for (const auto& hour : hours) {
    most = std::max(most, hour.runs);
    list.push_back({Print::kHourOf, {Typed(hour.hour), Typed(hour.runs), Number(hour.degrees, 0)}});
  }
  Figure figure;
  figure.width_mm = width_mm;
  figure.height_mm = 2 * kCentre / 10;
  figure.title = Print::kByClock;
  figure.text = Print::kHoursText;
  figure.paint = [hours, most, words = Joined(Says::kBelow, list), width = width_mm * 10](QPainter& painter,
                                                                                          const Wording& wording) {
    painter.save();
    painter.translate(kCentre, kCentre);
    DrawHours(painter, wording, hours, most);
    painter.restore();
    const TextBox box(wording(words), 3.0, false, width - 2 * kCentre - 60);
    box.Draw(painter, {2 * kCentre + 60, kCentre - box.height() / 2}, ink::kText);
  };
  return figure;
}

std::vector<Block> TrendBlocks(const Trends& trends, double width_mm) {
  std::vector<Block> blocks;
  AddShares(trends.welders, Print::kByWelder, Print::kWelder, width_mm, blocks);
  blocks.push_back(Heading{Print::kByClock});
  blocks.push_back(HoursFigure(trends.hours, width_mm));
  AddShares(trends.inserts, Print::kByInsert, Print::kClass, width_mm, blocks);
  return blocks;
}

vision::Result<ReportFiles> WriteTrends(const Trends& trends, const std::filesystem::path& out_dir, Paper paper,
                                        const HousePaper& house) {
  std::vector<std::pair<std::string, Figure>> pictures;
  auto files = WriteContent(
      [&](double width_mm) {
        Content content;
        content.title = Print::kTrendsTitle;
        content.joint = Typed(trends.book);
        content.running_text = Print::kSupports;
        content.company = Typed(house.company);
        content.header = Typed(house.header);
        content.blocks = TrendBlocks(trends, width_mm);
        for (const auto& [name, shares, of_what] : {std::tuple{"trend_welders.png", &trends.welders, Print::kWelder},
                                                    {"trend_inserts.png", &trends.inserts, Print::kClass}})
          if (!shares->empty()) pictures.emplace_back(name, ShareFigures(*shares, {}, of_what, width_mm).front());
        pictures.emplace_back("trend_clock.png", HoursFigure(trends.hours, width_mm));
        return content;
      },
      paper, out_dir, "trends.html", "trends.pdf", house);
  if (!files.ok()) return files;
  const Wording wording = Wording::Of(house);
  for (const auto& [name, figure] : pictures)
    if (auto failed = WritePng(figure, wording, out_dir / name)) return *failed;
  return files;
}

}  // namespace app::report
