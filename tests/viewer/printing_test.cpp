// Onto a printer, and docks that stay where they were put. What came out of the printer is looked at by poppler.
#include <gmock/gmock.h>

#include <QAction>
#include <QDockWidget>
#include <QLineEdit>
#include <QPrinter>
#include <QProcess>
#include <QPushButton>
#include <QSettings>
#include <QSignalSpy>
#include <QTest>

#include "app/viewer/end_view.h"
#include "app/viewer/lens_view.h"
#include "app/viewer/main_window.h"
#include "app/viewer/pages_view.h"
#include "app/viewer/report_sheet.h"
#include "tests/viewer/support.h"

namespace app::viewer {
namespace {

namespace fs = std::filesystem;

/// Stands for the person who prints into a file.
std::function<bool(QPrinter&, QWidget*)> IntoFile(const fs::path& file) {
  return [file](QPrinter& printer, QWidget*) {
    printer.setOutputFormat(QPrinter::PdfFormat);
    printer.setOutputFileName(QString::fromStdString(file.string()));
    return true;
  };
}

/// A page of a PDF file as poppler shows it, 40 dots an inch.
QImage PageOf(const fs::path& pdf, int page) {
  const QString out = QString::fromStdString(pdf.string()) + QString("-%1").arg(page);
  QProcess::execute("pdftoppm", {"-r", "40", "-png", "-singlefile", "-f", QString::number(page), "-l",
                                 QString::number(page), QString::fromStdString(pdf.string()), out});
  return QImage(out + ".png").convertToFormat(QImage::Format_Grayscale8);
}

int PagesIn(const fs::path& pdf) {
  QProcess info;
  info.start("pdfinfo", {QString::fromStdString(pdf.string())});
  info.waitForFinished();
  for (const QString& line : QString::fromUtf8(info.readAllStandardOutput()).split('\n'))
    if (line.startsWith("Pages:")) return line.mid(6).trimmed().toInt();
  return 0;
}

/// Mean difference of grey where one page lies moved over the other; 255 where they are not alike in size.
double MeanDifference(const QImage& a, const QImage& b, int dx, int dy) {
  if (a.isNull() || a.size() != b.size()) return 255;
  constexpr int kBorder = 3;
  double sum = 0, count = 0;
  for (int y = kBorder; y < a.height() - kBorder; ++y)
    for (int x = kBorder; x < a.width() - kBorder; ++x)
      sum += std::abs(a.constScanLine(y)[x] - b.constScanLine(y + dy)[x + dx]), ++count;
  return sum / count;
}

TEST(Printing, TheReportComesOutOfThePrinterAsItIsWritten) {
  viewer_test::TemporaryFolder folder;
  Desk desk;
  QSignalSpy opened(&desk, &Desk::opened_joint);
  desk.Open(viewer_test::WriteMadeUpJoint(folder.path()));
  ASSERT_TRUE(opened.wait(20000));
  ReportSheet sheet(desk);
  QSignalSpy shown(&sheet, &ReportSheet::shown), printed(&sheet, &ReportSheet::printed),
      written(&sheet, &ReportSheet::written);
  ASSERT_TRUE(shown.wait(60000));
  sheet.ask_printer = [](QPrinter&, QWidget*) { return false; };  // thought better of it
  QTest::mouseClick(sheet.findChild<QPushButton*>("report_print"), Qt::LeftButton);
  sheet.ask_printer = IntoFile(folder.path() / "printed.pdf");
  QTest::mouseClick(sheet.findChild<QPushButton*>("report_print"), Qt::LeftButton);
  ASSERT_TRUE(printed.wait(120000));
  EXPECT_EQ(printed.count(), 1);
  sheet.findChild<QLineEdit*>("report_folder")->setText(QString::fromStdString((folder.path() / "out").string()));
  QTest::mouseClick(sheet.findChild<QPushButton*>("report_write"), Qt::LeftButton);
  ASSERT_TRUE(written.wait(120000));
  ASSERT_EQ(PagesIn(folder.path() / "printed.pdf"), PagesIn(folder.path() / "out" / "report.pdf"));
  EXPECT_EQ(PagesIn(folder.path() / "printed.pdf"), sheet.pages().pages());
  for (int page = 1; page <= 2; ++page) {
    const QImage out = PageOf(folder.path() / "printed.pdf", page),
                 file = PageOf(folder.path() / "out" / "report.pdf", page);
    const double in_place = MeanDifference(out, file, 0, 0);
    EXPECT_LT(in_place, 16) << "page " << page;  // thin lines are drawn as picture elements here, as lines there
    for (const auto& [dx, dy] : {std::pair{-1, 0}, {1, 0}, {0, -1}, {0, 1}})  // 0.6 mm aside fits worse
      EXPECT_LT(in_place, MeanDifference(out, file, dx, dy)) << "page " << page << " " << dx << " " << dy;
  }
}

TEST(Printing, AViewGoesOntoOneSheet) {
  viewer_test::TemporaryFolder folder;
  MainWindow window;
  window.show();
  QSignalSpy opened(&window.desk(), &Desk::opened_joint);
  window.OpenPath(QString::fromStdString(viewer_test::WriteMadeUpJoint(folder.path()).string()));
  ASSERT_TRUE(opened.wait(20000));
  window.ask_printer = IntoFile(folder.path() / "view.pdf");
  window.findChild<QAction*>("print_picture")->trigger();
  ASSERT_EQ(PagesIn(folder.path() / "view.pdf"), 1);
  const QImage page = PageOf(folder.path() / "view.pdf", 1);
  EXPECT_GT(page.width(), page.height());
  int dark = 0;
  for (int y = 0; y < page.height(); ++y)
    for (int x = 0; x < page.width(); ++x) dark += page.constScanLine(y)[x] < 200;
  EXPECT_GT(dark, page.width() * page.height() / 20) << "the strip is not on it";
}

TEST(Docks, LensAndEndViewStayWhereAPersonPutsThem) {
  viewer_test::TemporaryFolder folder;
  QSettings settings(QString::fromStdString((folder.path() / "layout.ini").string()), QSettings::IniFormat);
  {
    MainWindow window;
    window.show();
    for (const char* name : {"dock_end", "dock_lens"}) window.findChild<QAction*>(name)->setChecked(true);
    auto* dock = window.findChild<QDockWidget*>("end_dock");
    window.addDockWidget(Qt::LeftDockWidgetArea, dock);
    EXPECT_TRUE(dock->isVisible());
    EXPECT_TRUE(dock->isAncestorOf(window.findChild<EndView*>()));
    window.SaveLayout(settings);
  }
  MainWindow again;
  again.RestoreLayout(settings);
  again.show();
  auto* dock = again.findChild<QDockWidget*>("end_dock");
  EXPECT_EQ(again.dockWidgetArea(dock), Qt::LeftDockWidgetArea);
  EXPECT_EQ(again.dockWidgetArea(again.findChild<QDockWidget*>("lens_dock")), Qt::RightDockWidgetArea);
  EXPECT_TRUE(dock->isAncestorOf(again.findChild<EndView*>()));
  EXPECT_TRUE(again.findChild<QDockWidget*>("lens_dock")->isAncestorOf(again.findChild<LensView*>()));
  for (const char* name : {"dock_end", "dock_lens"}) again.findChild<QAction*>(name)->setChecked(false);
  EXPECT_FALSE(dock->isVisible());
  EXPECT_FALSE(dock->isAncestorOf(again.findChild<EndView*>()));
  EXPECT_EQ(again.findChild<LensView*>()->parentWidget(), &again.page());
}

}  // namespace
}  // namespace app::viewer
