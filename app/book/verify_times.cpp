#include <QDateTime>
#include <cmath>

#include "app/book/verify_walk.h"

namespace app::book {

void Walk::CheckTime(const TimeStamp& stamp) {
  items_.insert(stamp.hash);
  const auto of = std::find_if(signoffs_.begin(), signoffs_.end(),
                               [&](const SignOff& signoff) { return signoff.hash == stamp.signoff; });
  if (of == signoffs_.end()) return Add("time", "A time stamp is of no sign-off that the book holds.");
  const std::string which = "Joint " + of->statement.joint + ", revision " + std::to_string(of->statement.revision) +
                            ": the time stamp of the sign-off";
  if (stamp.ComputeHash() != stamp.hash) return Add("time", which + " is no longer what was stored.");
  const auto moment = TimeOf(stamp, options_.time_authority);
  if (!moment.ok()) return Add("time", which + " does not hold: " + moment.error().message + ".");
  ++report_.time_stamps;
  const auto statement = StatementFromJson(of->text);
  if (!statement.ok()) return;  // named already
  const auto at = [](const std::string& text) {
    return QDateTime::fromString(QString::fromStdString(text), Qt::ISODate);
  };
  const auto off_s = at(statement.value().signed_at).secsTo(at(moment.value()));
  if (std::abs(static_cast<double>(off_s)) > options_.most_clock_off_s)
    Remark("time", which + " says " + moment.value() + ", the sign-off itself " + statement.value().signed_at +
                       ": one of the clocks was wrong, or it was stamped later.");
}

vision::Status Walk::Times() {
  auto stamps = TimeStamps(book_);
  if (!stamps.ok()) return stamps.error();
  for (const auto& stamp : stamps.value()) CheckTime(stamp);
  if (!stamps.value().empty() && options_.time_authority.empty())
    Remark("time",
           "Time stamps were held against the certificates that they carry alone: who signed them is not shown. Name "
           "the authority's certificates (--time-authority).");
  return std::nullopt;
}

}  // namespace app::book
