#include "app/viewer/commands.h"

#include <algorithm>
#include <cmath>

#include "vision/bore/angle.h"

namespace app::viewer {
namespace {

struct Texts {
  Q_DECLARE_TR_FUNCTIONS(app::viewer::Commands)
};

void Push(Desk& desk, const QString& text, notes::Notes after) {
  desk.undo().push(new ChangeNotes(desk, text, std::move(after)));
}

double ToeAt(const std::vector<double>& toe, double theta_deg) {
  const auto i =
      static_cast<std::size_t>(std::lround(vision::bore::Wrap360(theta_deg) / 360 * static_cast<double>(toe.size()))) %
      toe.size();
  return toe[i];
}

}  // namespace

vision::Status AddNote(Desk& desk, notes::Note note) {
  notes::Notes after = desk.notes();
  note.id = after.NextId();
  note.by = desk.Signature();
  if (auto wrong = notes::Check(note)) return wrong;
  after.notes.push_back(note);
  Push(desk, Texts::tr("note"), after);
  return std::nullopt;
}

vision::Status ReplaceNote(Desk& desk, const notes::Note& note) {
  if (auto wrong = notes::Check(note)) return wrong;
  notes::Notes after = desk.notes();
  for (auto& one : after.notes)
    if (one.id == note.id) one = note, one.by = desk.Signature();
  Push(desk, Texts::tr("change of a note"), after);
  return std::nullopt;
}

void RemoveNote(Desk& desk, int id) {
  notes::Notes after = desk.notes();
  std::erase_if(after.notes, [&](const notes::Note& note) { return note.id == id; });
  Push(desk, Texts::tr("removal of a note"), after);
}

vision::Status Rule(Desk& desk, const std::string& about, bool overruled, const std::string& reason) {
  if (overruled && reason.empty())
    return vision::BadInput(Texts::tr("To overrule a measurement a reason is needed.").toStdString());
  notes::Notes after = desk.notes();
  std::erase_if(after.rulings, [&](const notes::Ruling& ruling) { return ruling.about == about; });
  after.rulings.push_back({about, overruled, reason, desk.Signature()});
  Push(desk, overruled ? Texts::tr("overruling") : Texts::tr("acceptance"), after);
  return std::nullopt;
}

vision::Result<notes::HandToe> ToeDrawn(const Desk& desk, std::vector<notes::Place> points) {
  if (points.size() < 2)
    return vision::BadInput(Texts::tr("A toe set by hand needs two or more points.").toStdString());
  // Clockwise: a stretch drawn from right to left is the same stretch.
  double along = 0;
  for (std::size_t i = 1; i < points.size(); ++i)
    along += vision::bore::Wrap180(points[i].theta_deg - points[i - 1].theta_deg);
  if (along < 0) std::reverse(points.begin(), points.end());
  for (std::size_t i = 1; i < points.size(); ++i) {
    const double step = vision::bore::Wrap180(points[i].theta_deg - points[i - 1].theta_deg);
    if (!(step > 0))
      return vision::BadInput(Texts::tr("The points of a toe must follow each other around the bore.").toStdString());
    points[i].theta_deg = points[i - 1].theta_deg + step;
  }
  const auto& profile = desk.edited().profile;
  const double left = ToeAt(profile.left_toe_z_mm, points.front().theta_deg),
               right = ToeAt(profile.right_toe_z_mm, points.front().theta_deg), z = points.front().z_mm;
  const bool nearer_left =
      std::isfinite(left) && std::isfinite(right) ? std::abs(z - left) < std::abs(z - right) : z < 0;
  return notes::HandToe{nearer_left ? "left" : "right", std::move(points), desk.Signature()};
}

std::optional<std::size_t> PlacedBefore(const notes::Notes& notes, const notes::HandToe& toe) {
  constexpr double kMost = 0.6;  // share of the longer stretch that both cover: chosen
  const double length = toe.points.back().theta_deg - toe.points.front().theta_deg;
  for (std::size_t i = notes.toes.size(); i-- > 0;) {
    const auto& other = notes.toes[i];
    if (other.side != toe.side) continue;
    const double from = other.points.front().theta_deg, other_length = other.points.back().theta_deg - from;
    const double start = vision::bore::Wrap180(toe.points.front().theta_deg - from);
    const double both = std::min(start + length, other_length) - std::max(start, 0.0);
    if (both > kMost * std::max(length, other_length)) return i;
  }
  return std::nullopt;
}

vision::Status MoveToe(Desk& desk, notes::HandToe toe) {
  if (toe.reason.empty())
    return vision::BadInput(
        Texts::tr("A toe set by hand needs a reason: why is the measured one not right?").toStdString());
  if (auto wrong = notes::Check(toe)) return wrong;
  notes::Notes after = desk.notes();
  after.toes.push_back(std::move(toe));
  Push(desk, Texts::tr("toe set by hand"), after);
  return std::nullopt;
}

vision::Status PlaceAgain(Desk& desk, std::size_t index, notes::HandToe toe) {
  notes::Notes after = desk.notes();
  if (index >= after.toes.size()) return vision::BadInput(Texts::tr("That toe is gone.").toStdString());
  auto& first = after.toes[index];
  const double turn = first.points.front().theta_deg +
                      vision::bore::Wrap180(toe.points.front().theta_deg - first.points.front().theta_deg) -
                      toe.points.front().theta_deg;
  for (auto& place : toe.points) place.theta_deg += turn;
  first.again.push_back(std::move(toe.points));
  Push(desk, Texts::tr("toe placed once more"), after);
  return std::nullopt;
}

void RemoveHandToe(Desk& desk, int index) {
  notes::Notes after = desk.notes();
  if (index < 0 || index >= static_cast<int>(after.toes.size())) return;
  after.toes.erase(after.toes.begin() + index);
  Push(desk, Texts::tr("removal of a toe set by hand"), after);
}

}  // namespace app::viewer
