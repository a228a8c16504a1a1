#pragma once

#include <QDialogButtonBox>
#include <optional>

class QDialog;
class QLineEdit;

/// What several sheets share.
namespace app::viewer {

class Desk;

/// Buttons of a sheet in the window's own words, since Qt's translations need not be installed.
QDialogButtonBox* OkCancel();
QDialogButtonBox* CloseOnly();

/// What a sheet shows is of one joint: it closes when that is laid aside or another is opened.
void CloseWithJoint(Desk& desk, QDialog& sheet);

/// What a person typed; point or comma is the decimal sign in every language.
/// @param wrong Gets one sentence when it is no number.
std::optional<double> NumberIn(const QLineEdit& field, const QString& name, QString* wrong);

}  // namespace app::viewer
