#pragma once

#include <QApplication>
#include <QElapsedTimer>
#include <QTest>
#include <QTimer>
#include <filesystem>
#include <functional>
#include <vector>

class QComboBox;
class QLineEdit;
class QMainWindow;

namespace viewer_test {

/// A person's hand: mouse and keys at the window, counted. Where a thing to click is not there it says so and goes on.
class Hand {
 public:
  explicit Hand(std::filesystem::path shots) : shots_(std::move(shots)) {}

  void Begin();
  int clicks() const { return clicks_; }
  int drops() const { return drops_; }
  int letters() const { return letters_; }
  double seconds() const { return static_cast<double>(clock_.elapsed()) / 1000; }

  void Click(QWidget* widget);
  void ClickAt(QWidget& widget, QPoint at);
  void Type(QLineEdit* line, const QString& text);
  /// By mouse, from the list that opens; the first entry that begins with `words`.
  void Choose(QComboBox* box, const QString& words);
  void Menu(QMainWindow& window, const char* action);
  void Tool(QMainWindow& window, const char* action);
  void Tab(QWidget& sheet, const QString& words);
  void Drop(QWidget& target, const std::vector<std::filesystem::path>& files);
  bool Until(const std::function<bool()>& holds, double seconds);
  void Save(QWidget& widget, const QString& name);

  /// The visible sheet of this kind below the window; null when none comes.
  template <class Sheet>
  Sheet* Await(QWidget& window) {
    Sheet* found = nullptr;
    Until([&] { return (found = window.findChild<Sheet*>()) != nullptr && found->isVisible(); }, 10);
    return found;
  }
  /// Once a sheet of this kind asks for an answer.
  template <class Sheet>
  void WhenModal(std::function<void(Sheet&)> answer) {
    auto* timer = new QTimer(qApp);
    QObject::connect(timer, &QTimer::timeout, timer, [timer, answer] {
      auto* sheet = qobject_cast<Sheet*>(QApplication::activeModalWidget());
      if (!sheet || !sheet->isVisible()) return;
      timer->stop();
      timer->deleteLater();
      answer(*sheet);
    });
    timer->start(100);
  }

 private:
  std::filesystem::path shots_;
  int clicks_ = 0, drops_ = 0, letters_ = 0;
  QElapsedTimer clock_;
};

}  // namespace viewer_test
