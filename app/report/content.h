#pragma once

#include <QColor>
#include <QImage>
#include <QString>
#include <QStringList>
#include <functional>
#include <variant>
#include <vector>

#include "vision/base/sentence.h"

class QPainter;

/// What the record says, apart from how it is set: HTML and PDF are two settings of the same content.
namespace app::report {

struct Heading {
  QString text;
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
  QString text;
  Weight weight = Weight::kNormal;
  bool verbatim = false;       ///< As somebody typed it: never in other words.
  vision::Sentence says = {};  ///< Where it has a code, its words come from that.
};

/// Text set in a frame, for what must not be overlooked.
struct Notice {
  QString title, text;
};

struct Cell {
  QString text = {};
  QImage picture = {};  ///< Under the text; null = none.
  bool strong = false;
  bool verbatim = false;       ///< As somebody typed it: never in other words.
  vision::Sentence says = {};  ///< Where it has a code, its words come from that.
};

struct Table {
  struct Column {
    QString title;
    double share = 1;  ///< Of the width of the table.
  };
  std::vector<Column> columns;
  std::vector<std::vector<Cell>> rows;
  bool titled = true;  ///< false: facts, the first column names the second.
  bool fine = false;   ///< Smaller letters on paper.
};

/// A drawing. `paint` draws with the origin at the top left, 1 unit = 0.1 mm on paper.
struct Figure {
  double width_mm = 0, height_mm = 0;
  QString title, text;  ///< `title` names it for readers who do not see it, `text` stands below it (may be empty).
  std::function<void(QPainter&)> paint;
};

/// Lines to be filled in by hand.
struct Signatures {
  std::vector<QString> roles;
};

using Block = std::variant<Heading, Paragraph, Notice, Table, Figure, Signatures, PageBreak>;

struct Content {
  QString title, joint_id, running_text;  ///< `running_text` stands at the foot of every page.
  QString edition;                        ///< Which revision of the record; beside the joint on every page.
  QString company, header;                ///< At the top of every page.
  QImage logo;

  QStringList names;        ///< Names, citations and typed texts: never in other words.
  QString language = "en";  ///< ISO 639-1.
  QString page_words = "page %1 of %2";
  QString joint_word = "Joint";  ///< Before the id on every page; empty where the page is of no single joint.

  /// "Joint X, R0, revision 4"
  QString JointText() const {
    return (joint_word.isEmpty() ? QString() : joint_word + " ") + joint_id +
           (edition.isEmpty() ? QString() : ", " + edition);
  }
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
