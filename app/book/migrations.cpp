#include "app/book/migrations.h"

#include "app/book/guards.h"
#include "app/book/record.h"

namespace app::book {

namespace {
struct Step {
  const char* name;
  std::vector<const char*> both, sqlite, postgres;
};

/// Never change a step that has been released: add one.
Step TablesStep() {
  return {
      "joints, revisions, sign-offs, one chain over all",
      {R"(CREATE TABLE book_info (key TEXT PRIMARY KEY, value TEXT NOT NULL))",
       R"(CREATE TABLE book_head (one BIGINT PRIMARY KEY CHECK (one = 1), seq BIGINT NOT NULL, seal TEXT NOT NULL))",
       R"(INSERT INTO book_head VALUES (1, 0, ''))",
       R"(CREATE TABLE joint (id TEXT PRIMARY KEY, head BIGINT NOT NULL, head_hash TEXT NOT NULL, line TEXT NOT NULL,
             material TEXT NOT NULL, insert_class TEXT NOT NULL, cycle TEXT NOT NULL, welder TEXT NOT NULL,
             welded_on TEXT NOT NULL, disposition TEXT NOT NULL, open_findings BIGINT NOT NULL,
             changed_at TEXT NOT NULL))",
       R"(CREATE TABLE revision (joint TEXT NOT NULL REFERENCES joint (id), number BIGINT NOT NULL CHECK (number > 0),
             author TEXT NOT NULL, login TEXT NOT NULL, made_at TEXT NOT NULL, reason TEXT NOT NULL,
             parent TEXT NOT NULL, hash TEXT NOT NULL UNIQUE, body TEXT NOT NULL, PRIMARY KEY (joint, number)))",
       R"(CREATE TABLE inspector_key (fingerprint TEXT PRIMARY KEY, name TEXT NOT NULL, public_key TEXT NOT NULL,
             added_by TEXT NOT NULL, added_at TEXT NOT NULL))",
       R"(CREATE TABLE signoff (hash TEXT PRIMARY KEY, joint TEXT NOT NULL, number BIGINT NOT NULL, kind TEXT NOT NULL
             CHECK (kind IN ('examined', 'approved')), statement TEXT NOT NULL, signature TEXT NOT NULL,
             fingerprint TEXT NOT NULL REFERENCES inspector_key (fingerprint), login TEXT NOT NULL,
             FOREIGN KEY (joint, number) REFERENCES revision (joint, number)))",
       R"(CREATE TABLE journal (seq BIGINT PRIMARY KEY, kind TEXT NOT NULL, item TEXT NOT NULL, seal TEXT NOT NULL))",
       R"(CREATE TABLE cycle (joint TEXT NOT NULL REFERENCES joint (id), position BIGINT NOT NULL, id TEXT NOT NULL,
             welder TEXT NOT NULL, welded_on TEXT NOT NULL, insert_class TEXT NOT NULL, disposition TEXT NOT NULL,
             exit_code BIGINT, PRIMARY KEY (joint, position)))",
       R"(CREATE TABLE finding (joint TEXT NOT NULL REFERENCES joint (id), place BIGINT NOT NULL, cycle TEXT NOT NULL,
             kind TEXT NOT NULL, iso6520 TEXT NOT NULL, side TEXT NOT NULL, start_deg DOUBLE PRECISION NOT NULL,
             end_deg DOUBLE PRECISION NOT NULL, state TEXT NOT NULL, PRIMARY KEY (joint, place)))",
       R"(CREATE TABLE evidence (sha256 TEXT NOT NULL, joint TEXT NOT NULL REFERENCES joint (id), name TEXT NOT NULL,
             PRIMARY KEY (sha256, joint)))"},
      {R"(CREATE TRIGGER revision_kept BEFORE UPDATE ON revision BEGIN SELECT RAISE(ABORT, 'revisions are never changed'); END)",
       R"(CREATE TRIGGER revision_stays BEFORE DELETE ON revision BEGIN SELECT RAISE(ABORT, 'revisions are never deleted'); END)",
       R"(CREATE TRIGGER signoff_kept BEFORE UPDATE ON signoff BEGIN SELECT RAISE(ABORT, 'sign-offs are never changed'); END)",
       R"(CREATE TRIGGER signoff_stays BEFORE DELETE ON signoff BEGIN SELECT RAISE(ABORT, 'sign-offs are never deleted'); END)",
       R"(CREATE TRIGGER journal_kept BEFORE UPDATE ON journal BEGIN SELECT RAISE(ABORT, 'the journal is never changed'); END)",
       R"(CREATE TRIGGER journal_stays BEFORE DELETE ON journal BEGIN SELECT RAISE(ABORT, 'the journal is never deleted'); END)"},
      {R"(CREATE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS
             $$ BEGIN RAISE EXCEPTION '% rows are never changed or deleted', TG_TABLE_NAME; END $$)",
       R"(CREATE TRIGGER revision_kept BEFORE UPDATE OR DELETE ON revision FOR EACH ROW EXECUTE FUNCTION refuse_change())",
       R"(CREATE TRIGGER signoff_kept BEFORE UPDATE OR DELETE ON signoff FOR EACH ROW EXECUTE FUNCTION refuse_change())",
       R"(CREATE TRIGGER journal_kept BEFORE UPDATE OR DELETE ON journal FOR EACH ROW EXECUTE FUNCTION refuse_change())"}};
}

Step QueueStep() {
  return {"the queue of recordings to be measured; finding by line, welder and date",
          {R"(CREATE TABLE recording (joint TEXT NOT NULL REFERENCES joint (id), cycle TEXT NOT NULL, id TEXT NOT NULL,
             state TEXT NOT NULL CHECK (state IN ('pending', 'claimed', 'measured', 'failed')), worker TEXT NOT NULL,
             lease_until DOUBLE PRECISION NOT NULL, attempts BIGINT NOT NULL, trouble TEXT NOT NULL,
             reading TEXT NOT NULL, PRIMARY KEY (joint, cycle, id)))",
           R"(CREATE INDEX recording_state ON recording (state))", R"(CREATE INDEX joint_line ON joint (line))",
           R"(CREATE INDEX cycle_welder ON cycle (welder, welded_on))",
           R"(CREATE INDEX finding_state ON finding (state, kind))"},
          {},
          {}};
}

Step RevocationsStep() {
  return {
      "keys that are revoked; a sum over what the book says of itself",
      {R"(CREATE TABLE key_revocation (hash TEXT PRIMARY KEY, fingerprint TEXT NOT NULL REFERENCES
             inspector_key (fingerprint), since TEXT NOT NULL, reason TEXT NOT NULL, author TEXT NOT NULL,
             login TEXT NOT NULL, made_at TEXT NOT NULL))"},
      {R"(CREATE TRIGGER key_revocation_kept BEFORE UPDATE ON key_revocation BEGIN SELECT RAISE(ABORT, 'revocations are never changed'); END)",
       R"(CREATE TRIGGER key_revocation_stays BEFORE DELETE ON key_revocation BEGIN SELECT RAISE(ABORT, 'revocations are never deleted'); END)"},
      {R"(CREATE TRIGGER key_revocation_kept BEFORE UPDATE OR DELETE ON key_revocation FOR EACH ROW EXECUTE FUNCTION refuse_change())",
       R"(DO $$ BEGIN
             IF EXISTS (SELECT FROM pg_policies WHERE schemaname = 'rootscroll' AND policyname = 'own_examined') THEN
               GRANT SELECT ON key_revocation TO rootscroll_reader;
               GRANT INSERT ON key_revocation TO rootscroll_approver;
               DROP POLICY own_examined ON signoff;
               CREATE POLICY own_examined ON signoff FOR INSERT TO rootscroll_inspector WITH CHECK (login = session_user
                 AND kind = 'examined' AND (statement::jsonb ->> 'kind') = 'examined');
             END IF; END $$)"}};
}

Step TimeStampsStep() {
  return {
      "trusted time beside a sign-off",
      {R"(CREATE TABLE time_stamp (hash TEXT PRIMARY KEY, signoff TEXT NOT NULL REFERENCES signoff (hash),
             request TEXT NOT NULL, response TEXT NOT NULL, login TEXT NOT NULL))"},
      {R"(CREATE TRIGGER time_stamp_kept BEFORE UPDATE ON time_stamp BEGIN SELECT RAISE(ABORT, 'time stamps are never changed'); END)",
       R"(CREATE TRIGGER time_stamp_stays BEFORE DELETE ON time_stamp BEGIN SELECT RAISE(ABORT, 'time stamps are never deleted'); END)"},
      {R"(CREATE TRIGGER time_stamp_kept BEFORE UPDATE OR DELETE ON time_stamp FOR EACH ROW EXECUTE FUNCTION refuse_change())",
       R"(DO $$ BEGIN
             IF EXISTS (SELECT FROM pg_policies WHERE schemaname = 'rootscroll' AND policyname = 'own_examined') THEN
               GRANT SELECT ON time_stamp TO rootscroll_reader;
               GRANT INSERT ON time_stamp TO rootscroll_inspector;
             END IF; END $$)"}};
}

const std::vector<Step>& Steps() {
  static const std::vector<Step> steps{TablesStep(), QueueStep(), RevocationsStep(), TimeStampsStep()};
  return steps;
}

vision::Status Take(Database& database, int number) {
  const Step& step = Steps()[static_cast<std::size_t>(number - 1)];
  auto statements = step.both;
  const auto& own = database.postgres() ? step.postgres : step.sqlite;
  statements.insert(statements.end(), own.begin(), own.end());
  for (const char* sql : statements)
    if (auto failed = database.Do(sql)) return failed;
  return database.Do("INSERT INTO migration VALUES (?, ?, ?)",
                     {std::int64_t{number}, std::string(step.name), NowUtc()});
}

vision::Status Begin(Database& database) {
  if (database.postgres()) {  // 7265: any number of our own; one program at a time takes steps
    if (auto failed = database.Do("SELECT pg_advisory_xact_lock(7265)")) return failed;
    if (auto failed = database.Do("CREATE SCHEMA IF NOT EXISTS rootscroll")) return failed;
  }
  return database.Do(
      "CREATE TABLE IF NOT EXISTS migration (version BIGINT PRIMARY KEY, name TEXT NOT NULL, taken_at TEXT NOT NULL)");
}
}  // namespace

std::vector<std::string> StepNames() {
  std::vector<std::string> names;
  for (const auto& step : Steps()) names.emplace_back(step.name);
  return names;
}

int NewestSchema() { return static_cast<int>(Steps().size()); }

vision::Result<int> SchemaOf(Database& database) {
  auto there = database.Run(
      database.postgres() ? "SELECT count(*) FROM information_schema.tables WHERE table_schema = 'rootscroll' AND "
                            "table_name = 'migration'"
                          : "SELECT count(*) FROM sqlite_master WHERE type = 'table' AND name = 'migration'");
  if (!there.ok()) return there.error();
  if (there.value().front().Int(0) == 0) return 0;
  auto last = database.Run("SELECT coalesce(max(version), 0) FROM migration");
  if (!last.ok()) return last.error();
  return static_cast<int>(last.value().front().Int(0));
}

vision::Status Migrate(Database& database, int version) {
  auto transaction = Transaction::Begin(database, TransactionKind::kWrite);
  if (!transaction.ok()) return transaction.error();
  if (auto failed = Begin(database)) return failed;
  auto taken = SchemaOf(database);
  if (!taken.ok()) return taken.error();
  if (taken.value() > NewestSchema())
    return vision::BadInput("The joint book " + database.address().Shown() + " has schema " +
                            std::to_string(taken.value()) + ", this program knows " + std::to_string(NewestSchema()) +
                            "; use a newer Rootscroll.");
  for (int number = taken.value() + 1; number <= version; ++number)
    if (auto failed = Take(database, number)) return failed;
  if (version == NewestSchema())
    if (auto failed = NoteSum(database)) return failed;
  return transaction.value()->Commit();
}

}  // namespace app::book
