#pragma once

#include "app/book/book.h"

/// Who may do what in a PostgreSQL book, enforced by the server: `rootscroll_reader` reads; `rootscroll_inspector` also
/// adds revisions and sign-offs of the kind examined, each under the login's own name; `rootscroll_approver` also
/// approves and registers keys. Nobody of them changes or deletes what was added. A SQLite book has no logins: there
/// the file's own permissions decide.
namespace app::book {

/// Makes the three roles where they are missing and gives them their rights; to be run by the book's owner. A login
/// gets a role with `GRANT rootscroll_inspector TO login`.
vision::Status GrantRoles(Book& book);

}  // namespace app::book
