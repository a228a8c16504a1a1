#include "app/book/queue.h"

namespace app::book {

namespace {
/// Seconds since 1970 by the database's own clock: one clock for all workers.
std::string NowSql(Database& database) {
  return database.postgres() ? "extract(epoch FROM clock_timestamp())" : "((julianday('now') - 2440587.5) * 86400.0)";
}

const char* const kThis = " WHERE joint = ? AND cycle = ? AND id = ?";
const char* const kMine = " WHERE joint = ? AND cycle = ? AND id = ? AND worker = ? AND state = 'claimed'";

std::vector<Value> Mine(std::vector<Value> first, const Claim& claim) {
  for (const auto* text : {&claim.joint, &claim.cycle, &claim.recording, &claim.worker}) first.push_back(*text);
  return first;
}

/// Runs an UPDATE … RETURNING and counts the rows.
vision::Result<int> Counted(Database& database, const std::string& sql, const std::vector<Value>& values) {
  auto rows = database.Run(sql + " RETURNING id", values);
  if (!rows.ok()) return rows.error();
  return static_cast<int>(rows.value().size());
}

/// Sets aside what has killed its workers too often.
vision::Status SetAsideKillers(Database& database, const QueueOptions& options) {
  return database.Do(
      "UPDATE recording SET state = 'failed', worker = '', lease_until = 0, trouble = 'its workers died while "
      "measuring it' WHERE "
      "state = 'claimed' AND attempts >= ? AND lease_until < " +
          NowSql(database),
      {std::int64_t{options.most_attempts}});
}
}  // namespace

vision::Result<std::optional<Claim>> ClaimNext(Book& book, const std::string& worker, const QueueOptions& options) {
  Database& database = book.database();
  auto transaction = Transaction::Begin(database, TransactionKind::kWrite);
  if (!transaction.ok()) return transaction.error();
  if (auto failed = SetAsideKillers(database, options)) return *failed;
  std::vector<Value> asked{std::int64_t{options.most_attempts}};
  if (!options.joint.empty()) asked.emplace_back(options.joint);
  auto next =
      database.Run(std::string("SELECT joint, cycle, id FROM recording WHERE (state = 'pending' OR (state = "
                               "'claimed' AND attempts < ? AND lease_until < ") +
                       NowSql(database) + "))" + (options.joint.empty() ? "" : " AND joint = ?") +
                       " ORDER BY joint, cycle, id LIMIT 1" + (database.postgres() ? " FOR UPDATE SKIP LOCKED" : ""),
                   asked);
  if (!next.ok()) return next.error();
  std::optional<Claim> claim;
  if (!next.value().empty()) {
    const Row& row = next.value().front();
    claim = Claim{row.Text(0), row.Text(1), row.Text(2), worker};
    if (auto failed = database.Do("UPDATE recording SET state = 'claimed', worker = ?, attempts = attempts + 1, "
                                  "lease_until = ? + " +
                                      NowSql(database) + kThis,
                                  {worker, options.lease_s, claim->joint, claim->cycle, claim->recording}))
      return *failed;
  }
  if (auto failed = transaction.value()->Commit()) return *failed;
  return claim;
}

vision::Result<bool> Renew(Book& book, const Claim& claim, const QueueOptions& options) {
  auto count = Counted(book.database(), "UPDATE recording SET lease_until = ? + " + NowSql(book.database()) + kMine,
                       Mine({options.lease_s}, claim));
  if (!count.ok()) return count.error();
  return count.value() == 1;
}

vision::Result<bool> Finish(Database& database, const Claim& claim, const std::string& reading_sha256) {
  auto count = Counted(database,
                       std::string("UPDATE recording SET state = 'measured', worker = '', lease_until = 0, "
                                   "attempts = 0, trouble = '', reading = ?") +
                           kMine,
                       Mine({reading_sha256}, claim));
  if (!count.ok()) return count.error();
  return count.value() == 1;
}

vision::Status SetAside(Book& book, const Claim& claim, const std::string& trouble) {
  return book.database().Do(
      std::string("UPDATE recording SET state = 'failed', worker = '', lease_until = 0, trouble = ?") + kMine,
      Mine({trouble}, claim));
}

vision::Result<int> GiveBack(Book& book, const std::string& worker) {
  return Counted(
      book.database(),
      "UPDATE recording SET state = 'pending', worker = '', lease_until = 0 WHERE state = 'claimed' AND worker = ?",
      {worker});
}

vision::Result<int> TryFailedAgain(Book& book) {
  return Counted(book.database(),
                 "UPDATE recording SET state = 'pending', worker = '', lease_until = 0, attempts = 0, trouble = '' "
                 "WHERE state = ?",
                 {std::string("failed")});
}

vision::Result<std::map<std::string, int>> QueueCounts(Book& book, const std::string& joint) {
  auto rows = joint.empty() ? book.database().Run("SELECT state, count(*) FROM recording GROUP BY state")
                            : book.database().Run(
                                  "SELECT state, count(*) FROM recording WHERE joint = ? GROUP BY state", {joint});
  if (!rows.ok()) return rows.error();
  std::map<std::string, int> counts{{"pending", 0}, {"claimed", 0}, {"measured", 0}, {"failed", 0}};
  for (const auto& row : rows.value()) counts[row.Text(0)] = static_cast<int>(row.Int(1));
  return counts;
}

}  // namespace app::book
