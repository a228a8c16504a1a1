#pragma once

#include <CLI/CLI.hpp>
#include <memory>
#include <string>

#include "app/book/book.h"
#include "app/cli/session.h"

/// What the commands on a joint book share.
namespace app::cli {

/// The book, and who changes it why.
struct BookArguments {
  std::string address, evidence, author, reason;
};

void AddBookAddress(CLI::App& command, BookArguments& arguments);
void AddAuthor(CLI::App& command, BookArguments& arguments);

/// @return nullptr after the session has said why.
std::unique_ptr<app::book::Book> OpenBook(const BookArguments& arguments, bool read_only, Session& session);

/// Saves and says which revision it became; a conflict is said with both versions, exit code 2.
bool SaveStep(app::book::Book& book, const BookArguments& arguments, const app::book::Record& record,
              std::int64_t based_on, Session& session);

/// Says the book's newest seal, to be noted outside it, and notes it in the file that ROOTSCROLL_WITNESS names.
bool SaySeal(app::book::Book& book, Session& session);

/// Loads the newest record, lets `change` alter it, and saves it.
void ChangeRecord(const BookArguments& arguments, const std::string& joint,
                  const std::function<vision::Status(app::book::Book&, app::book::Record&)>& change, Session& session);

void AddBookKeeping(CLI::App& book, Session& session);   ///< new, roles, add, put, note, …
void AddBookEvidence(CLI::App& book, Session& session);  ///< film, sample, purge, closeout, finding
void AddBookSigning(CLI::App& book, Session& session);   ///< key, trust, revoke, sign
void AddBookLooking(CLI::App& book, Session& session);   ///< list, show, history, verify, seal
void AddBookExchange(CLI::App& book, Session& session);  ///< export, import, csv, diconde
void AddBookRepair(CLI::App& book, Session& session);    ///< repair, compare, notes
void AddBookReport(CLI::App& book, Session& session);    ///< report

}  // namespace app::cli
