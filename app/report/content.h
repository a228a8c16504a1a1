#pragma once

#include <QColor>
#include <QImage>
#include <QStringList>
#include <functional>
#include <variant>
#include <vector>

#include "app/words/text.h"

class QPainter;

/// What the record says, apart from how it is set and in which language: HTML and PDF are two settings of the same
/// content, each in the words it is given (wording.h).
namespace app::report {

class Wording;
using words::Text;

struct Heading {
  Text text;
  bool compact = false;  ///< Less room about it: on the page that is signed.
};

/// What follows begins on a new page.
struct PageBreak {};

struct Paragraph {
  enum class Weight {
    kNormal,
    kSmall,
    kFine,        ///< The cautions of page one.
    kStrong,      ///< Stands over a table.
    kStrongLine,  ///< Stands alone.
  };
  Text text;
  Weight weight = Weight::kNormal;
};

/// Text set in a frame, for what must not be overlooked.
struct Notice {
  Text title, text;
};

struct Cell {
  Text text = {};
  QImage picture = {};  ///< Under the text; null = none.
  bool strong = false;
};

struct Table {
  struct Column {
    Text title;
    double share = 1;  ///< Of the width of the table.
  };
  std::vector<Column> columns;
  std::vector<std::vector<Cell>> rows;
  bool titled = true;  ///< false: facts, the first column names the second.
  bool fine = false;   ///< Smaller letters on paper.
};

/// A drawing. `paint` draws with the origin at the top left, 1 unit = 0.1 mm on paper, in the words it is given.
struct Figure {
  double width_mm = 0, height_mm = 0;
  Text title, text;  ///< `title` names it for readers who do not see it, `text` stands below it (may be empty).
  std::function<void(QPainter&, const Wording&)> paint;
};

/// Lines to be filled in by hand.
struct Signatures {
  std::vector<Text> roles;
};

using Block = std::variant<Heading, Paragraph, Notice, Table, Figure, Signatures, PageBreak>;

struct Content {
  Text title;
  Text joint;            ///< Beside the title on every page: "Joint X, R0, revision 4".
  Text running_text;     ///< At the foot of every page.
  Text company, header;  ///< At the top of every page.
  QImage logo;

  QStringList names;  ///< In sentences of the reading: names and typed texts, never in other words.
  std::vector<Block> blocks;
};

/// The measures all pages share, mm.
struct PageMeasures {
  double width_mm = 210, height_mm = 297;
  double side_mm = 16, top_mm = 22, bottom_mm = 20;
  double text_width_mm() const { return width_mm - 2 * side_mm; }
};

namespace ink {
inline const QColor kText(26, 26, 26), kRule(120, 120, 120), kHead(16, 56, 68), kPale(238, 240, 240),
    kBand(205, 210, 212);
}

}  // namespace app::report
