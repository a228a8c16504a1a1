#include "app/report/wording.h"

#include <QHash>

namespace app::report {

namespace {
using Words = QHash<QString, QString>;

class Reworder {
 public:
  explicit Reworder(const Words& words) : words_(words) {}

  void operator()(Heading& heading) const { Change(heading.text); }
  void operator()(Paragraph& paragraph) const {
    const bool listed = paragraph.text.startsWith("▪ ");
    QString text = listed ? paragraph.text.mid(2) : paragraph.text;
    Change(text);
    paragraph.text = (listed ? "▪ " : "") + text;
  }
  void operator()(Notice& notice) const {
    Change(notice.title);
    QStringList lines = notice.text.split('\n');
    for (QString& line : lines) Change(line);
    notice.text = lines.join('\n');
  }
  void operator()(Table& table) const {
    for (auto& column : table.columns) Change(column.title);
    for (auto& row : table.rows)
      for (auto& cell : row)
        if (cell.strong) Change(cell.text);
  }
  void operator()(Figure& figure) const { Change(figure.title); }
  void operator()(Signatures& signatures) const {
    for (QString& role : signatures.roles) Change(role);
  }
  void Change(QString& text) const { text = words_.value(text, text); }

 private:
  const Words& words_;
};
}  // namespace

void Reword(const HousePaper& paper, Content& content) {
  Words words;
  for (const auto& [from, to] : paper.wording) words[QString::fromStdString(from)] = QString::fromStdString(to);
  const Reworder reworder(words);
  reworder.Change(content.title);
  reworder.Change(content.running_text);
  for (Block& block : content.blocks) std::visit(reworder, block);
}

}  // namespace app::report
