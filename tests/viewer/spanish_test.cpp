#include <gtest/gtest.h>

#include <QFile>
#include <QTranslator>
#include <QXmlStreamReader>

#include "app/viewer/reading_words.h"

namespace app::viewer {
namespace {

/// Everything the translator's tool found in the sources is translated and marked as finished.
TEST(Spanish, IsComplete) {
  QFile file(QString(ROOTSCROLL_SOURCE_DIR) + "/app/viewer/rootscroll_es.ts");
  ASSERT_TRUE(file.open(QIODevice::ReadOnly));
  QXmlStreamReader xml(&file);
  QString source;
  int count = 0;
  while (!xml.atEnd()) {
    if (xml.readNext() != QXmlStreamReader::StartElement) continue;
    if (xml.name() == u"source") source = xml.readElementText();
    if (xml.name() == u"translation") {
      EXPECT_TRUE(xml.attributes().value("type").isEmpty()) << source.toStdString();
      const QString text = xml.readElementText();
      EXPECT_FALSE(text.trimmed().isEmpty()) << source.toStdString();
      for (const char* place : {"%1", "%2", "%3", "%4", "%5", "%6", "%7", "%8"})
        EXPECT_EQ(source.contains(place), text.contains(place)) << source.toStdString();
      ++count;
    }
  }
  EXPECT_GT(count, 250);
}

TEST(Spanish, IsBuiltIntoTheProgram) {
  QTranslator translator;
  ASSERT_TRUE(translator.load(":/i18n/rootscroll_es.qm"));
  EXPECT_EQ(translator.translate("data", "crack"), QString("grieta"));
}

}  // namespace
}  // namespace app::viewer
