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
  figure.title = Print::kCode;
  const auto half = [](const std::string& hex, std::size_t from) {
    return Typed(hex.size() > from ? hex.substr(from, 32) : "");
  };
  const Text words = Joined(Says::kBelow, {Print::kHashOf, half(stamp.hash, 0), half(stamp.hash, 32), Print::kSealOf,
                                           half(stamp.seal, 0), half(stamp.seal, 32)});
  figure.paint = [code, words, width = context.text_width_mm](QPainter& painter, const Wording& wording) {
    if (code) PaintCode(painter, *code);
    painter.setFont(FontOf(2.4));
    painter.setPen(ink::kText);
    painter.drawText(QRectF(kCodeMm * 10 + 40, 20, width * 10 - kCodeMm * 10 - 40, kCodeMm * 10 - 20),
                     Qt::AlignLeft | Qt::AlignTop | Qt::TextWordWrap, wording(words));
  };
  return figure;
}

/// "examined by C. Examiner, examiner, level 2"
Text SignedText(Print how, const StampSignature& signature) {
  return {how, {Term(signature.kind), Typed(signature.name), Typed(signature.role), Typed(signature.signed_at)}};
}

void AddSignature(const StampSignature& signature, Content& content) {
  Table table;
  table.titled = false;
  table.columns = {{{}, 30}, {{}, 70}};
  const auto add = [&table](const Text& name, const Text& text) {
    if (!text.empty()) table.rows.push_back({{name, {}, true}, {text}});
  };
  add(Print::kSignedAs, SignedText(Print::kSignedBy, signature));
  add(Print::kSignedAt, Typed(signature.signed_at));
  for (const auto& [name, text] : signature.facts) add(name, text);
  add(Print::kStatement, Typed(signature.statement));
  content.blocks.push_back(std::move(table));
}

void AddTable(const StampTable& stamp, Content& content) {
  Table table;
  for (const Text& column : stamp.columns) table.columns.push_back({column, 1});
  for (const auto& cells : stamp.rows) {
    std::vector<Cell> row;
    for (const Text& cell : cells) row.push_back({cell});
    table.rows.push_back(std::move(row));
  }
  content.blocks.push_back(Heading{stamp.title});
  content.blocks.push_back(std::move(table));
}

void AddPictures(const std::vector<StampPicture>& pictures, Content& content) {
  if (pictures.empty()) return;
  Table table;
  table.columns = {{Print::kPictureColumn, 60}, {Print::kWhatItShows, 40}};
  for (const auto& picture : pictures)
    table.rows.push_back({{{}, QImage(Q(picture.file.string()))}, {picture.caption}});
  content.blocks.push_back(Heading{Print::kPicturesOnRecord});
  content.blocks.push_back(std::move(table));
}
}  // namespace

void AddSignatures(const ComposeContext& context, Content& content) {
  if (!context.input.stamp) {
    content.blocks.push_back(Heading{Print::kSignatures, true});
    content.blocks.push_back(Signatures{{Print::kInspector, Print::kApprover}});
    return;
  }
  const RecordStamp& stamp = *context.input.stamp;
  content.joint = Joined(Print::kThen, {content.joint, {Print::kEdition, {Typed(stamp.cycle), Typed(stamp.revision)}}});
  content.blocks.push_back(Heading{Print::kSignOff, true});
  if (!stamp.fault.empty()) content.blocks.push_back(Notice{Print::kRecordBroken, Term(stamp.fault)});
  if (stamp.signatures.empty()) content.blocks.push_back(Paragraph{Print::kNotSigned, Paragraph::Weight::kStrongLine});
  for (const auto& signature : stamp.signatures) {
    if (!signature.fault.empty())
      content.blocks.push_back(Notice{{Print::kSignatureBroken, {Typed(signature.name)}}, Term(signature.fault)});
    content.blocks.push_back(Paragraph{SignedText(Print::kSignedByAt, signature), Paragraph::Weight::kStrongLine});
  }
  content.blocks.push_back(CodeFigure(context, stamp));
}

void AddRecord(const ComposeContext& context, Content& content) {
  if (!context.input.stamp) return;
  const RecordStamp& stamp = *context.input.stamp;
  content.blocks.push_back(Heading{Print::kRecordInBook});
  content.blocks.push_back(Paragraph{
      {Print::kRevision, {Typed(stamp.revision), Typed(stamp.made_at), Typed(stamp.author), Typed(stamp.reason)}}});
  for (const auto& signature : stamp.signatures) AddSignature(signature, content);
  for (const auto& table : stamp.tables) AddTable(table, content);
  AddPictures(stamp.pictures, content);
}

void AddHouseTexts(const ComposeContext& context, Content& content) {
  for (const auto& [heading, text] : context.input.paper.texts) {
    content.blocks.push_back(Heading{Typed(heading)});
    content.blocks.push_back(Paragraph{Typed(text)});
  }
}

}  // namespace app::report
