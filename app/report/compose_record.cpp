#include <qrencode.h>

#include <QPainter>
#include <algorithm>
#include <memory>

#include "app/report/compose.h"
#include "app/report/drawing.h"
#include "app/report/wording.h"

namespace app::report {

std::string RecordStamp::CodeText(const std::string& joint) const {
  return "rootscroll joint " + joint + " " + cycle + " revision " + std::to_string(revision) + " sha256 " + hash;
}

namespace {
constexpr double kCodeMm = 26;  // a QR code of this size is read from paper by a telephone

void PaintCode(QPainter& painter, const QRcode& code) {
  constexpr int kQuiet = 4;  // modules of white all round, ISO/IEC 18004
  const double module = kCodeMm * 10 / (code.width + 2 * kQuiet);
  painter.setRenderHint(QPainter::Antialiasing, false);
  painter.fillRect(QRectF(0, 0, kCodeMm * 10, kCodeMm * 10), Qt::white);
  for (int y = 0; y < code.width; ++y)
    for (int x = 0; x < code.width; ++x)
      if (code.data[y * code.width + x] & 1)
        painter.fillRect(QRectF((x + kQuiet) * module, (y + kQuiet) * module, module * 1.01, module * 1.01), Qt::black);
}

Figure CodeFigure(const ComposeContext& context, const RecordStamp& stamp) {
  const std::string text = stamp.CodeText(context.input.joint.id);
  const std::shared_ptr<QRcode> code(QRcode_encodeString8bit(text.c_str(), 0, QR_ECLEVEL_M), QRcode_free);
  Figure figure;
  figure.width_mm = context.text_width_mm;
  figure.height_mm = kCodeMm;
  figure.title = "QR code of the record's hash";
  const QString hash = Q(stamp.hash.substr(0, 32)) + "\n" + Q(stamp.hash.substr(32)),
                seal = Q(stamp.seal.substr(0, 32)) + "\n" + Q(stamp.seal.size() > 32 ? stamp.seal.substr(32) : "");
  figure.paint = [code, hash, seal, width = context.text_width_mm](QPainter& painter) {
    if (code) PaintCode(painter, *code);
    painter.setFont(FontOf(2.4));
    painter.setPen(ink::kText);
    painter.drawText(QRectF(kCodeMm * 10 + 40, 20, width * 10 - kCodeMm * 10 - 40, kCodeMm * 10 - 20),
                     Qt::AlignLeft | Qt::AlignTop | Qt::TextWordWrap,
                     Said("SHA-256 of this revision of the record:") + "\n" + hash + "\n" +
                         Said("The book's seal when this was printed:") + "\n" + seal);
  };
  return figure;
}

void AddSignature(const StampSignature& signature, Content& content) {
  Table table;
  table.titled = false;
  table.columns = {{"", 30}, {"", 70}};
  const auto add = [&table](const std::string& name, const std::string& text) {
    const bool typed = name != "Signed as" && name != "Qualification";
    if (!text.empty()) table.rows.push_back({{Q(name), {}, true}, {Q(text), {}, false, typed}});
  };
  add("Signed as", signature.kind + " by " + signature.name + ", " + signature.role);
  add("Signed at", signature.signed_at);
  for (const auto& [name, text] : signature.facts) add(name, text);
  add("Statement", signature.statement);
  content.blocks.push_back(std::move(table));
}

void AddTable(const StampTable& stamp, Content& content) {
  Table table;
  for (const auto& column : stamp.columns) table.columns.push_back({Q(column), 1});
  const std::vector<std::string> own{"disposition", "kind", "answer", "oxygen, ppm",
                                     "dew point, °C"};  // the program's words
  for (const auto& cells : stamp.rows) {
    std::vector<Cell> row;
    for (std::size_t i = 0; i < cells.size(); ++i)
      row.push_back({Q(cells[i]),
                     {},
                     false,
                     i >= stamp.columns.size() || std::find(own.begin(), own.end(), stamp.columns[i]) == own.end()});
    table.rows.push_back(std::move(row));
  }
  content.blocks.push_back(Heading{Q(stamp.title)});
  content.blocks.push_back(std::move(table));
}

void AddPictures(const std::vector<StampPicture>& pictures, Content& content) {
  if (pictures.empty()) return;
  Table table;
  table.columns = {{"picture", 60}, {"what it shows", 40}};
  for (const auto& picture : pictures)
    table.rows.push_back({{QString(), QImage(Q(picture.file.string())), false}, {Q(picture.caption), {}, false}});
  content.blocks.push_back(Heading{"Pictures on the record"});
  content.blocks.push_back(std::move(table));
}
}  // namespace

void AddSignatures(const ComposeContext& context, Content& content) {
  if (!context.input.stamp) {
    content.blocks.push_back(Heading{"Signatures", true});
    content.blocks.push_back(Signatures{{"Inspector", "Approver"}});
    return;
  }
  const RecordStamp& stamp = *context.input.stamp;
  content.edition = Q(stamp.cycle) + ", revision " + QString::number(stamp.revision);
  content.blocks.push_back(Heading{"Sign-off", true});
  if (!stamp.fault.empty()) content.blocks.push_back(Notice{"RECORD BROKEN", Q(stamp.fault)});
  if (stamp.signatures.empty())
    content.blocks.push_back(Paragraph{"This revision is NOT signed.", Paragraph::Weight::kStrongLine});
  for (const auto& signature : stamp.signatures) {
    if (!signature.fault.empty())
      content.blocks.push_back(Notice{"SIGNATURE BROKEN: " + Q(signature.name), Q(signature.fault)});
    content.blocks.push_back(Paragraph{
        Q(signature.kind) + " by " + Q(signature.name) + ", " + Q(signature.role) + ", " + Q(signature.signed_at),
        Paragraph::Weight::kStrongLine});
  }
  content.blocks.push_back(CodeFigure(context, stamp));
}

void AddRecord(const ComposeContext& context, Content& content) {
  if (!context.input.stamp) return;
  const RecordStamp& stamp = *context.input.stamp;
  content.blocks.push_back(Heading{"Record in the joint book"});
  content.blocks.push_back(Paragraph{"Revision " + QString::number(stamp.revision) + ", " + Q(stamp.made_at) + ", by " +
                                     Q(stamp.author) + ": " + Q(stamp.reason)});
  for (const auto& signature : stamp.signatures) AddSignature(signature, content);
  for (const auto& table : stamp.tables) AddTable(table, content);
  AddPictures(stamp.pictures, content);
}

void AddHouseTexts(const ComposeContext& context, Content& content) {
  for (const auto& [heading, text] : context.input.paper.texts) {
    content.blocks.push_back(Heading{Q(heading)});
    content.blocks.push_back(Paragraph{Q(text), Paragraph::Weight::kNormal, true});
  }
}

}  // namespace app::report
