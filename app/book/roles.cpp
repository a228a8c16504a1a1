#include "app/book/roles.h"

namespace app::book {

namespace {
const char* const kGrants[] = {
    R"(DO $$ DECLARE role text; BEGIN
         FOREACH role IN ARRAY ARRAY['rootscroll_reader', 'rootscroll_inspector', 'rootscroll_approver'] LOOP
           IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = role) THEN EXECUTE format('CREATE ROLE %I NOLOGIN', role); END IF;
         END LOOP; END $$)",
    "GRANT rootscroll_reader TO rootscroll_inspector",
    "GRANT rootscroll_inspector TO rootscroll_approver",
    "GRANT USAGE ON SCHEMA rootscroll TO rootscroll_reader",
    "GRANT SELECT ON ALL TABLES IN SCHEMA rootscroll TO rootscroll_reader",
    "GRANT INSERT ON joint, revision, signoff, journal, cycle, finding, evidence, recording, time_stamp TO "
    "rootscroll_inspector",
    "GRANT UPDATE ON joint, book_head, recording TO rootscroll_inspector",
    "GRANT DELETE ON cycle, finding TO rootscroll_inspector",
    "GRANT INSERT ON inspector_key, key_revocation TO rootscroll_approver",
    "ALTER TABLE revision ENABLE ROW LEVEL SECURITY",
    "ALTER TABLE signoff ENABLE ROW LEVEL SECURITY",
    "DROP POLICY IF EXISTS all_read ON revision",
    "DROP POLICY IF EXISTS all_read ON signoff",
    "DROP POLICY IF EXISTS own_name ON revision",
    "DROP POLICY IF EXISTS own_examined ON signoff",
    "DROP POLICY IF EXISTS own_approved ON signoff",
    "CREATE POLICY all_read ON revision FOR SELECT TO rootscroll_reader USING (true)",
    "CREATE POLICY all_read ON signoff FOR SELECT TO rootscroll_reader USING (true)",
    "CREATE POLICY own_name ON revision FOR INSERT TO rootscroll_inspector WITH CHECK (login = session_user)",
    "CREATE POLICY own_examined ON signoff FOR INSERT TO rootscroll_inspector WITH CHECK (login = session_user AND "
    "kind = 'examined' AND (statement::jsonb ->> 'kind') = 'examined')",
    "CREATE POLICY own_approved ON signoff FOR INSERT TO rootscroll_approver WITH CHECK (login = session_user)"};
}

vision::Status GrantRoles(Book& book) {
  if (!book.database().postgres())
    return vision::BadInput(
        "Roles are the PostgreSQL server's; in a SQLite book the file's permissions decide who writes.");
  auto transaction = Transaction::Begin(book.database(), TransactionKind::kWrite);
  if (!transaction.ok()) return transaction.error();
  for (const char* sql : kGrants)
    if (auto failed = book.database().Do(sql)) return failed;
  return transaction.value()->Commit();
}

}  // namespace app::book
