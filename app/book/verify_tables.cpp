#include "app/book/digest.h"
#include "app/book/projection.h"
#include "app/book/text_gate.h"
#include "app/book/verify_walk.h"
#include "app/book/witness.h"
#include "vision/base/text.h"

namespace app::book {

namespace {
std::string Named(const std::string& joint, std::int64_t number) {
  return "Joint " + joint + ", revision " + std::to_string(number);
}
}  // namespace

vision::Status Walk::CheckEvidenceTable(const std::string& joint, const Told& told) {
  auto rows = Ask("SELECT sha256, name FROM evidence WHERE joint = ?", {joint});
  if (!rows.ok()) return rows.error();
  std::set<std::string> there;
  bool right = true;
  for (const auto& row : rows.value()) {
    const auto at = told.files.find(row.Text(0));
    right = right && at != told.files.end() && at->second.contains(row.Text(1));
    there.insert(row.Text(0));
  }
  right = right && std::includes(there.begin(), there.end(), told.newest_files.begin(), told.newest_files.end());
  if (!right) Add("table", "Joint " + joint + ": the table of its files does not say what its revisions say.");
  return std::nullopt;
}

vision::Status Walk::CheckTables(const std::string& joint, std::int64_t head) {
  auto revision = book_.Load(joint);
  if (!revision.ok()) return Add("revision", "Joint " + joint + " has no revision left."), std::nullopt;
  if (head > revision.value().number) Add("revision", Named(joint, head) + " is missing.");
  auto record = FromJson(revision.value().body, "");
  if (!record.ok()) return std::nullopt;  // named already
  auto said = ProjectedText(book_.database(), joint);
  if (!said.ok()) return said.error();
  if (said.value() != ExpectedText(revision.value(), record.value()))
    Add("table", "Joint " + joint + ": the search tables do not say what its newest revision says.");
  Told& told = told_[joint];
  told.measured = MeasuredIn(record.value());
  for (const auto* file : record.value().Files()) told.newest_files.insert(file->sha256);
  for (const auto& cycle : record.value().cycles)
    for (const auto& recording : cycle.recordings) told.newest_recordings.insert({cycle.id, recording.id});
  CheckNewest(revision.value(), record.value());
  return CheckEvidenceTable(joint, told);
}

vision::Status Walk::Tables() {
  auto joints = Ask("SELECT id, head FROM joint ORDER BY id");
  if (!joints.ok()) return joints.error();
  std::set<std::string> left;
  for (const auto& [joint, told] : told_) left.insert(joint);
  for (const auto& row : joints.value()) {
    ++report_.joints;
    left.erase(row.Text(0));
    if (auto failed = CheckTables(row.Text(0), row.Int(1))) return failed;
    if (job_.Cancelled()) return vision::Cancelled();
  }
  for (const auto& joint : left) Add("table", "Joint " + joint + " has revisions, but the table of joints lacks it.");
  for (const char* table : {"cycle", "finding", "evidence", "recording"}) {
    auto stray = Ask(std::string("SELECT count(*) FROM ") + table + " WHERE joint NOT IN (SELECT id FROM joint)");
    if (!stray.ok()) return stray.error();
    if (stray.value().front().Int(0) > 0)
      Add("table", std::string("The table ") + table + " speaks of a joint that is not in the book.");
  }
  return std::nullopt;
}

vision::Status Walk::Queue() {
  auto rows = Ask("SELECT joint, cycle, id, state, worker, lease_until, attempts, trouble, reading FROM recording");
  if (!rows.ok()) return rows.error();
  std::map<std::string, std::set<Place>> there;
  for (const auto& row : rows.value()) {
    const std::string which = "Joint " + row.Text(0) + ", " + row.Text(1) + ", recording " + row.Text(2) + ": ";
    const Told& told = told_[row.Text(0)];
    const Place place{row.Text(1), row.Text(2)};
    there[row.Text(0)].insert(place);
    if (!told.recordings.contains(place)) {
      Add("queue", which + "the queue holds it, no revision names it.");
      continue;
    }
    const auto measured = told.measured.find(place);
    const std::string state = row.Text(3), reading = measured == told.measured.end() ? "" : measured->second;
    if ((state == "measured") != !reading.empty() || row.Text(8) != reading)
      Add("queue", which + "the queue does not say what the record says of its reading.");
    if (state != "measured" && state != "pending" && state != "claimed" && state != "failed")
      Add("queue", which + "the queue holds it in no state that there is.");
    const bool idle = row.Text(4).empty() && row.Real(5) == 0;
    if (state == "measured" ? !idle || row.Int(6) != 0 || !row.Text(7).empty() : row.Int(6) < 0)
      Add("queue", which + "the queue holds something of a worker that it cannot hold.");
  }
  for (const auto& [joint, told] : told_)
    for (const auto& place : told.newest_recordings)
      if (!there[joint].contains(place))
        Add("queue", "Joint " + joint + ", " + place.first + ", recording " + place.second + " is not in the queue.");
  return std::nullopt;
}

vision::Status Walk::Keys() {
  auto rows = Ask("SELECT fingerprint, name, public_key, added_by, added_at FROM inspector_key");
  if (!rows.ok()) return rows.error();
  for (const auto& row : rows.value()) {
    const KnownKey key{row.Text(1), row.Text(2), row.Text(3), row.Text(4)};
    keys_[row.Text(0)] = key;
    items_.insert(key.ComputeHash());
    if (Fingerprint(key.public_hex) != row.Text(0))
      Add("key", "The key of " + key.name + " is not the one of its fingerprint.");
    if (auto wrong = CheckKey(key)) Remark("key", "The key " + row.Text(0) + ": " + wrong->message);
  }
  auto revocations = Revocations(book_);
  if (!revocations.ok()) return revocations.error();
  revocations_ = revocations.value();
  for (const auto& revocation : revocations_) {
    items_.insert(revocation.hash);
    if (revocation.ComputeHash() != revocation.hash)
      Add("key", "A revocation of the key " + revocation.fingerprint + " is no longer what was written.");
  }
  return std::nullopt;
}

/// Rules that came later than some sign-offs: they are named, and stay.
void Walk::CheckSignOff(const SignOff& signoff) {
  const auto key = keys_.find(signoff.fingerprint);
  const auto& at = signoff.statement;
  auto fault = SignOffFault(signoff, hashes_[{at.joint, at.revision}],
                            key == keys_.end() ? std::nullopt : std::optional(key->second));
  const auto statement = StatementFromJson(signoff.text);
  const std::string by = statement.ok() ? " by " + statement.value().name : std::string();
  const std::string which = Named(at.joint, at.revision) + ": the sign-off" + by;
  if (fault.empty()) fault = RevocationFault(revocations_, signoff.fingerprint, statement.value().signed_at);
  if (!fault.empty()) return Add("signature", which + " is broken: " + fault + ".");
  if (auto wrong = statement.value().CheckNow(statement.value().signed_at.substr(0, 10)))
    Remark("signature", which + ": " + wrong->message);
  for (const auto& other : signoffs_)
    if (signoff.kind == "approved" && other.kind == "examined" && other.statement.joint == at.joint &&
        other.statement.revision == at.revision && other.fingerprint == signoff.fingerprint)
      Remark("signature", which + " approves what the same key examined.");
}

vision::Status Walk::SignedOff() {
  auto rows = Ask("SELECT statement, signature, fingerprint, login, hash, joint, number, kind FROM signoff");
  if (!rows.ok()) return rows.error();
  for (const auto& row : rows.value()) {
    SignOff signoff{{}, row.Text(0), row.Text(1), row.Text(2), row.Text(3), row.Text(4), row.Text(7)};
    signoff.statement.joint = row.Text(5);
    signoff.statement.revision = row.Int(6);
    ++report_.signoffs;
    items_.insert(signoff.hash);
    signoffs_.push_back(std::move(signoff));
  }
  for (const auto& signoff : signoffs_) CheckSignOff(signoff);
  return std::nullopt;
}

void Walk::CheckSeals(const std::map<std::int64_t, std::string>& seals) {
  const bool found =
      std::any_of(seals.begin(), seals.end(), [&](const auto& line) { return line.second == options_.seal; });
  if (!options_.seal.empty() && !found)
    Add("journal", "The seal " + options_.seal + " is not in the journal: the book was changed since it was noted.");
  for (const auto& noted : options_.witness) {
    const auto at = seals.find(noted.seq);
    if (at == seals.end() || at->second != noted.seal)
      Add("journal", "The journal, line " + std::to_string(noted.seq) + " has not the seal that was noted of it, " +
                         noted.seal + ": the book was changed since.");
  }
}

vision::Status Walk::Journal() {
  auto rows = Ask("SELECT seq, kind, item, seal FROM journal ORDER BY seq");
  if (!rows.ok()) return rows.error();
  std::string seal;
  std::int64_t seq = 0, revoked_at = 0;
  std::map<std::int64_t, std::string> seals;
  for (const auto& row : rows.value()) {
    ++seq;
    const std::string line = "The journal, line " + std::to_string(row.Int(0));
    if (row.Int(0) != seq) Add("journal", line + ": a line before it is missing.");
    seq = row.Int(0);
    if (ComputeSeal(seal, seq, row.Text(1), row.Text(2)) != row.Text(3))
      Add("journal", line + " is no longer what was written.");
    if (items_.erase(row.Text(2)) == 0)
      Add("journal", line + " names a " + vision::Printable(row.Text(1)) + " that is not in the book as it was added.");
    seal = row.Text(3);
    seals[seq] = seal;
    if (row.Text(1) == "revocation") revoked_at = seq;
    if (row.Text(1) == "signoff" && revoked_at > 0)
      for (const auto& signoff : signoffs_)
        if (signoff.hash == row.Text(2) && !RevocationFault(revocations_, signoff.fingerprint, "9999").empty())
          Remark("signature", Named(signoff.statement.joint, signoff.statement.revision) +
                                  ": a sign-off came into the book after its key was revoked.");
  }
  for (const auto& item : items_) Add("journal", "The journal does not know the entry " + item + ".");
  auto head = Ask("SELECT seq, seal FROM book_head");
  if (!head.ok()) return head.error();
  if (head.value().size() != 1 || head.value().front().Int(0) != seq || head.value().front().Text(1) != seal)
    Add("journal", "The journal does not end where the book says it ends: lines are missing or were added.");
  CheckSeals(seals);
  report_.seal = seal;
  return std::nullopt;
}

}  // namespace app::book
