#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <variant>
#include <vector>

#include "vision/base/result.h"

/// One connection to the database under a joint book: SQLite in a file, or a PostgreSQL server. What differs between
/// the two is settled here and in the migrations; everything above speaks one SQL.
namespace app::book {

enum class Engine { kSqlite, kPostgres };

/// Where a book is: a file, or `postgresql://user@host:port/database`.
struct Address {
  Engine engine = Engine::kSqlite;
  std::string text;

  static Address Parse(const std::string& text);
  /// For messages: without a password.
  std::string Shown() const;
};

using Value = std::variant<std::monostate, std::int64_t, double, std::string>;

/// One row of an answer. NULL reads as "", 0 or NaN.
class Row {
 public:
  explicit Row(std::vector<Value> cells) : cells_(std::move(cells)) {}
  std::string Text(std::size_t column) const;
  std::int64_t Int(std::size_t column) const;
  double Real(std::size_t column) const;
  std::size_t size() const { return cells_.size(); }

 private:
  std::vector<Value> cells_;
};

using Rows = std::vector<Row>;

/// kRead sees one unchanging state; kWrite takes SQLite's write lock at once (PostgreSQL locks rows as they are
/// touched).
enum class TransactionKind { kRead, kWrite };

/// Not shared between threads: each thread opens its own.
class Database {
 public:
  /// @param may_create Whether a missing SQLite file is made; a missing PostgreSQL database never is.
  /// @param read_only SQLite: opened without the right to write. A book on a medium or in a folder that cannot be
  /// written
  ///   is read as it lies there; where changes wait in its `-wal` file, from a copy of both in a temporary folder.
  /// @return kBadInput when the file is missing, is no SQLite database or is damaged (integrity check), or the server
  ///   refuses; one sentence.
  static vision::Result<std::unique_ptr<Database>> Open(const Address& address, bool may_create, bool read_only);
  ~Database();
  Database(const Database&) = delete;
  Database& operator=(const Database&) = delete;

  const Address& address() const { return address_; }
  bool postgres() const { return address_.engine == Engine::kPostgres; }
  /// Who the server says is asking; on SQLite the operating system's account.
  const std::string& login() const { return login_; }

  /// Runs one statement with `?` for each of `values`.
  vision::Result<Rows> Run(const std::string& sql, const std::vector<Value>& values = {});
  /// Runs one statement whose answer is not wanted.
  vision::Status Do(const std::string& sql, const std::vector<Value>& values = {});
  /// " FOR UPDATE" where rows are locked one by one, "" where the transaction already holds the lock.
  const char* ForUpdate() const { return postgres() ? " FOR UPDATE" : ""; }
  /// Every page and index checked (SQLite); nullopt where it holds or the server sees to it itself.
  vision::Status CheckIntegrity(bool thorough);

 private:
  struct Connection;
  Database(Address address, std::unique_ptr<Connection> connection);
  vision::Status Prepare();
  static vision::Result<std::unique_ptr<Database>> OpenAs(const Address& address, const std::string& name,
                                                          const std::string& options);
  static vision::Result<std::unique_ptr<Database>> OpenUnwritable(const Address& address);
  vision::Error Failure(const std::string& code) const;

  Address address_;
  std::unique_ptr<Connection> connection_;
  std::string login_;
};

/// Rolls back when it goes out of scope without Commit.
class Transaction {
 public:
  static vision::Result<std::unique_ptr<Transaction>> Begin(Database& database, TransactionKind kind);
  ~Transaction();
  Transaction(const Transaction&) = delete;
  Transaction& operator=(const Transaction&) = delete;
  vision::Status Commit();

 private:
  explicit Transaction(Database& database) : database_(database) {}
  Database& database_;
  bool open_ = true;
};

}  // namespace app::book
