#include "app/book/guards.h"

#include <map>
#include <set>

#include "app/book/migrations.h"
#include "app/book/revision.h"
#include "vision/base/text.h"

namespace app::book {

namespace {
using Texts = std::vector<std::string>;

vision::Result<std::string> SumOf(Database& database) {
  std::vector<std::string> parts{"rootscroll.book/1"};
  for (const char* sql : {"SELECT key, value FROM book_info WHERE key <> 'sum' ORDER BY key",
                          "SELECT version, name, taken_at FROM migration ORDER BY version"}) {
    auto rows = database.Run(sql);
    if (!rows.ok()) return rows.error();
    for (const auto& row : rows.value())
      for (std::size_t i = 0; i < row.size(); ++i) parts.push_back(row.Text(i));
  }
  return HashOfParts(parts);
}

vision::Result<Texts> FactFaults(Database& database) {
  Texts faults;
  auto sum = SumOf(database);
  if (!sum.ok()) return sum.error();
  auto noted = database.Run("SELECT value FROM book_info WHERE key = ?", {std::string("sum")});
  if (!noted.ok()) return noted.error();
  if (noted.value().empty() || noted.value().front().Text(0) != sum.value())
    faults.push_back("What the book says of its evidence folder and its schema is no longer what was noted.");
  auto steps = database.Run("SELECT version, name FROM migration ORDER BY version");
  if (!steps.ok()) return steps.error();
  const auto names = StepNames();
  bool same = steps.value().size() == names.size();
  for (std::size_t i = 0; same && i < names.size(); ++i)
    same = steps.value()[i].Int(0) == static_cast<std::int64_t>(i) + 1 && steps.value()[i].Text(1) == names[i];
  if (!same) faults.push_back("The steps of the book's schema are not those that it has taken.");
  return faults;
}

/// Every table, index and trigger of a SQLite book, by kind and name.
vision::Result<std::map<std::string, std::string>> ObjectsOf(Database& database) {
  auto rows = database.Run("SELECT type, name, sql FROM sqlite_master WHERE name NOT LIKE 'sqlite!_%' ESCAPE '!'");
  if (!rows.ok()) return rows.error();
  std::map<std::string, std::string> objects;
  for (const auto& row : rows.value()) objects[row.Text(0) + " " + row.Text(1)] = row.Text(2);
  return objects;
}

vision::Result<Texts> SqliteFaults(Database& database) {
  auto sample = Database::Open({Engine::kSqlite, ":memory:"}, true, false);
  if (!sample.ok()) return sample.error();
  if (auto failed = Migrate(*sample.value())) return *failed;
  auto wanted = ObjectsOf(*sample.value()), there = ObjectsOf(database);
  if (!wanted.ok()) return wanted.error();
  if (!there.ok()) return there.error();
  Texts faults;
  for (const auto& [name, sql] : wanted.value()) {
    const auto at = there.value().find(name);
    if (at == there.value().end())
      faults.push_back("The " + name + " is missing: the book is not guarded as it was made.");
    else if (at->second != sql)
      faults.push_back("The " + name + " was changed: the book is not guarded as it was made.");
  }
  for (const auto& [name, sql] : there.value())
    if (!wanted.value().contains(name))
      faults.push_back("The " + vision::Printable(name) + " is no part of a joint book.");
  return faults;
}

/// What `sql` lists (one text a row) against `wanted`.
vision::Status Compare(Database& database, const std::string& sql, const std::set<std::string>& wanted, Texts& faults) {
  auto rows = database.Run(sql);
  if (!rows.ok()) return rows.error();
  std::set<std::string> there;
  for (const auto& row : rows.value()) there.insert(row.Text(0));
  for (const auto& text : wanted)
    if (!there.contains(text)) faults.push_back("The " + text + " is missing: the book is not guarded as it was made.");
  for (const auto& text : there)
    if (!wanted.contains(text))
      faults.push_back("The " + vision::Printable(text) + " is no part of a joint book, or was changed.");
  return std::nullopt;
}

vision::Result<Texts> PostgresFaults(Database& database) {
  Texts faults;
  const std::string of_book = " AND c.relnamespace = 'rootscroll'::regnamespace";
  std::set<std::string> triggers;
  for (const char* table : {"revision", "signoff", "journal", "key_revocation", "time_stamp"})
    triggers.insert(std::string("trigger ") + table + "_kept on " + table + ", refuse_change, enabled O, type 27");
  // type 27: for each row, before, delete and update (pg_trigger.h: 1 + 2 + 8 + 16)
  if (auto failed = Compare(
          database,
          "SELECT 'trigger ' || t.tgname::text || ' on ' || c.relname::text || ', ' || p.proname::text || ', enabled ' "
          "|| t.tgenabled::text || ', type ' || t.tgtype::text FROM pg_trigger t JOIN pg_class c ON c.oid = "
          "t.tgrelid JOIN pg_proc p ON p.oid = t.tgfoid WHERE NOT t.tgisinternal" +
              of_book,
          triggers, faults))
    return *failed;
  if (auto failed =
          Compare(database,
                  "SELECT 'function ' || proname::text || ':' || regexp_replace(prosrc, '\\s+', ' ', 'g') FROM "
                  "pg_proc WHERE pronamespace = 'rootscroll'::regnamespace",
                  {"function refuse_change: BEGIN RAISE EXCEPTION '% rows are never changed or deleted', "
                   "TG_TABLE_NAME; END "},
                  faults))
    return *failed;
  if (auto failed =
          Compare(database,
                  "SELECT 'rule ' || r.rulename::text FROM pg_rewrite r JOIN pg_class c ON c.oid = r.ev_class WHERE "
                  "true" +
                      of_book,
                  {}, faults))
    return *failed;
  auto policies = database.Run("SELECT count(*) FROM pg_policies WHERE schemaname = 'rootscroll'");
  auto secured = database.Run("SELECT count(*) FROM pg_class c WHERE c.relrowsecurity" + of_book);
  if (!policies.ok()) return policies.error();
  if (!secured.ok()) return secured.error();
  if (policies.value().front().Int(0) == 0 && secured.value().front().Int(0) == 0) return faults;  // no roles given
  if (secured.value().front().Int(0) != 2)
    faults.push_back(
        "Row security is not on for revisions and sign-offs alone: rights are not as `book roles` sets them.");
  if (auto failed =
          Compare(database,
                  "SELECT 'policy ' || policyname::text || ' on ' || tablename::text || ' for ' || cmd || ' to ' || "
                  "array_to_string(roles, ' ') FROM pg_policies WHERE schemaname = 'rootscroll'",
                  {"policy all_read on revision for SELECT to rootscroll_reader",
                   "policy all_read on signoff for SELECT to rootscroll_reader",
                   "policy own_name on revision for INSERT to rootscroll_inspector",
                   "policy own_examined on signoff for INSERT to rootscroll_inspector",
                   "policy own_approved on signoff for INSERT to rootscroll_approver"},
                  faults))
    return *failed;
  return faults;
}
}  // namespace

vision::Status NoteSum(Database& database) {
  auto sum = SumOf(database);
  if (!sum.ok()) return sum.error();
  return database.Do("INSERT INTO book_info VALUES (?, ?) ON CONFLICT (key) DO UPDATE SET value = excluded.value",
                     {std::string("sum"), sum.value()});
}

vision::Result<Texts> GuardFaults(Database& database) {
  auto faults = FactFaults(database);
  if (!faults.ok()) return faults;
  auto guards = database.postgres() ? PostgresFaults(database) : SqliteFaults(database);
  if (!guards.ok()) return guards;
  faults.value().insert(faults.value().end(), guards.value().begin(), guards.value().end());
  return faults;
}

}  // namespace app::book
