#pragma once

#include <QDialog>
#include <vector>

#include "app/handbook/handbook.h"

class QLineEdit;
class QListWidget;
class QTextBrowser;
class QTextDocument;

namespace app::viewer {

/// The handbook: chapters or what a search found beside the text.
class HandbookSheet : public QDialog {
  Q_OBJECT
 public:
  explicit HandbookSheet(QWidget* parent = nullptr);

  /// Shows a chapter by its name ("safety", "camera", ...); one that is not there leaves all as it is.
  void ShowChapter(const QString& name);
  /// What the search field would do.
  void Search(const QString& words);

 private:
  void Fill(const QString& words);
  void ShowRow(int row);

  QString language_;
  std::vector<handbook::Chapter> chapters_;
  std::vector<handbook::Hit> hits_;    ///< Empty: the list holds the chapters.
  QTextDocument* document_ = nullptr;  ///< The browser's child.
  int shown_ = -1;
  QLineEdit* search_;
  QListWidget* list_;
  QTextBrowser* text_;
};

}  // namespace app::viewer
