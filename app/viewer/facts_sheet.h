#pragma once

#include <QDialog>
#include <filesystem>
#include <vector>

#include "app/joint/facts.h"

class QFormLayout;
class QLabel;
class QTabWidget;

namespace app::viewer {

/// All facts of a joint in one form, made and edited at any time. What is left empty is not known and says so nowhere.
class FactsSheet : public QDialog {
  Q_OBJECT
 public:
  explicit FactsSheet(const std::filesystem::path& joint_file, QWidget* parent = nullptr);

  /// The field of a fact, by its path; null for one that is not there.
  QWidget* FieldOf(const std::string& path) const;
  /// A person's click on the datum's direction in a picture of the recording, px of the picture.
  /// @param looks Of the pictures that look this way; empty: of all.
  void SetUp(std::size_t recording, double u, double v, const std::string& looks = {});

 private:
  void accept() override;
  void Fill();
  QWidget* MakeField(const joint::Fact& fact);
  void AddPicture(const QString& group, QFormLayout* form);
  void SetValue(const std::string& path, const QString& value);
  QString ValueOf(const joint::Fact& fact) const;
  void ShowCover(const QString& criterion);

  std::filesystem::path file_;
  std::string text_;  ///< Of the joint file, as it was when the form was opened.
  std::vector<joint::Fact> facts_;
  std::vector<QWidget*> fields_;
  QTabWidget* tabs_;
  QLabel *wrong_, *cover_;
};

}  // namespace app::viewer
