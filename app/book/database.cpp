#include "app/book/database.h"

#include <pwd.h>
#include <stdlib.h>
#include <unistd.h>

#include <QCoreApplication>
#include <QSqlDatabase>
#include <QSqlError>
#include <QSqlQuery>
#include <QSqlRecord>
#include <QUrl>
#include <QUrlQuery>
#include <QVariant>
#include <atomic>
#include <cmath>
#include <filesystem>
#include <limits>
#include <unordered_map>

namespace app::book {

namespace {
namespace fs = std::filesystem;

constexpr int kBusyMs = 60000;  // how long a SQLite writer waits for another one

QString Q(const std::string& text) { return QString::fromStdString(text); }

/// Qt Sql finds its drivers through an application object; a command has none.
void NeedApplication() {
  if (QCoreApplication::instance() != nullptr) return;
  static int count = 1;
  static char name[] = "rootscroll";
  static char* arguments[] = {name, nullptr};
  static QCoreApplication application(count, arguments);
}

QVariant ToVariant(const Value& value) {
  if (const auto* number = std::get_if<std::int64_t>(&value)) return QVariant::fromValue<qlonglong>(*number);
  if (const auto* real = std::get_if<double>(&value)) return std::isfinite(*real) ? QVariant(*real) : QVariant();
  if (const auto* text = std::get_if<std::string>(&value)) return Q(*text);
  return {};
}

Value FromVariant(const QVariant& variant) {
  if (variant.isNull()) return std::monostate{};
  switch (variant.metaType().id()) {
    case QMetaType::Int:
    case QMetaType::UInt:
    case QMetaType::LongLong:
    case QMetaType::ULongLong:
    case QMetaType::Bool:
      return static_cast<std::int64_t>(variant.toLongLong());
    case QMetaType::Double:
    case QMetaType::Float:
      return variant.toDouble();
    default:
      return variant.toString().toStdString();
  }
}

std::string AccountName() {
  const passwd* entry = ::getpwuid(::geteuid());
  return entry != nullptr ? entry->pw_name : std::to_string(::geteuid());
}

void SetServer(QSqlDatabase& database, const std::string& text) {
  const QUrl url(Q(text));
  if (!url.host().isEmpty()) database.setHostName(url.host());
  if (url.port() > 0) database.setPort(url.port());
  database.setDatabaseName(url.path().mid(1));
  if (!url.userName().isEmpty()) database.setUserName(url.userName(QUrl::FullyDecoded));
  if (!url.password().isEmpty()) database.setPassword(url.password(QUrl::FullyDecoded));
  QStringList options{"connect_timeout=10"};
  for (const auto& [key, value] : QUrlQuery(url).queryItems(QUrl::FullyDecoded)) options << key + "=" + value;
  database.setConnectOptions(options.join(';'));
}
}  // namespace

struct Database::Connection {
  QString name;
  QSqlDatabase handle;
  std::unordered_map<std::string, std::unique_ptr<QSqlQuery>> prepared;
  fs::path copy;          ///< Folder of a copy that is read in place of the book; removed at the end.
  std::string last_code;  ///< Of the statement that failed last.

  ~Connection() {
    prepared.clear();
    handle.close();
    handle = {};
    QSqlDatabase::removeDatabase(name);
    std::error_code ignored;
    if (!copy.empty()) fs::remove_all(copy, ignored);
  }
};

namespace {
// Primary result codes of SQLite (sqlite3.h); an extended code has one in its lowest byte.
constexpr int kBusy = 5, kLocked = 6, kReadOnly = 8, kIoError = 10, kFull = 13, kCannotOpen = 14, kConstraint = 19;

int PrimaryCode(const std::string& code) { return std::atoi(code.c_str()) & 0xFF; }

bool NotWritable(const std::string& code) { return PrimaryCode(code) == kReadOnly || PrimaryCode(code) == kCannotOpen; }

std::string SqliteSays(const std::string& code) {
  switch (PrimaryCode(code)) {
    case kBusy:
    case kLocked:
      return "another program holds it; try again when that has ended";
    case kReadOnly:
    case kCannotOpen:
      return "it cannot be written; the file, its folder or the medium is read-only";
    case kIoError:
      return "the disk does not read or write";
    case kFull:
      return "the disk is full";
    case kConstraint:
      return "it does not take this entry: it is there already, or names something that is not";
    default:
      return "the file is damaged or no SQLite database (code " + code + ")";
  }
}

/// Classes of PostgreSQL's Appendix A.
std::string PostgresSays(const std::string& code) {
  if (code.starts_with("08") || code.starts_with("57P") || code.empty())
    return "the server does not answer, or ended the connection";
  if (code.starts_with("23")) return "it does not take this entry: it is there already, or names something that is not";
  if (code.starts_with("40")) return "another program changed the same entry at the same moment; try again";
  if (code.starts_with("53")) return "the server has no room or no connection left";
  if (code.starts_with("28") || code.starts_with("3D")) return "the server does not let this login into this database";
  return "the server refuses the statement (code " + code + ")";
}
}  // namespace

Address Address::Parse(const std::string& text) {
  const bool server = text.starts_with("postgresql://") || text.starts_with("postgres://");
  return {server ? Engine::kPostgres : Engine::kSqlite, text};
}

std::string Address::Shown() const {
  return engine == Engine::kSqlite ? text : QUrl(Q(text)).toString(QUrl::RemovePassword).toStdString();
}

std::string Row::Text(std::size_t column) const {
  const Value& cell = cells_.at(column);
  if (const auto* text = std::get_if<std::string>(&cell)) return *text;
  if (const auto* number = std::get_if<std::int64_t>(&cell)) return std::to_string(*number);
  return {};
}

std::int64_t Row::Int(std::size_t column) const {
  const Value& cell = cells_.at(column);
  if (const auto* number = std::get_if<std::int64_t>(&cell)) return *number;
  if (const auto* real = std::get_if<double>(&cell)) return std::llround(*real);
  if (const auto* text = std::get_if<std::string>(&cell)) return std::atoll(text->c_str());
  return 0;
}

double Row::Real(std::size_t column) const {
  const Value& cell = cells_.at(column);
  if (const auto* real = std::get_if<double>(&cell)) return *real;
  if (const auto* number = std::get_if<std::int64_t>(&cell)) return static_cast<double>(*number);
  return std::numeric_limits<double>::quiet_NaN();
}

Database::Database(Address address, std::unique_ptr<Connection> connection)
    : address_(std::move(address)), connection_(std::move(connection)) {}

Database::~Database() = default;

vision::Result<std::unique_ptr<Database>> Database::Open(const Address& address, bool may_create, bool read_only) {
  NeedApplication();
  const bool server = address.engine == Engine::kPostgres;
  std::error_code ignored;
  if (!server && !may_create && !fs::exists(address.text, ignored))
    return vision::BadInput("No joint book at " + address.text + "; make one with `rootscroll book new`.");
  if (server) return OpenAs(address, "", "");
  if (!read_only) return OpenAs(address, address.text, "");
  auto opened = OpenAs(address, address.text, ";QSQLITE_OPEN_READONLY");
  if (opened.ok() || opened.error().code != vision::ErrorCode::kIo) return opened;
  return OpenUnwritable(address);
}

vision::Result<std::unique_ptr<Database>> Database::OpenUnwritable(const Address& address) {
  std::error_code failed;
  const fs::path wal = address.text + "-wal";
  const bool waiting = fs::exists(wal, failed) && fs::file_size(wal, failed) > 0;
  if (!waiting) {
    const QByteArray path = QUrl::toPercentEncoding(Q(fs::absolute(address.text, failed).string()), "/");
    return OpenAs(address, "file:" + path.toStdString() + "?immutable=1", ";QSQLITE_OPEN_READONLY;QSQLITE_OPEN_URI");
  }
  std::string folder = (fs::temp_directory_path() / "rootscroll_book_XXXXXX").string();
  if (::mkdtemp(folder.data()) == nullptr)
    return vision::Error{vision::ErrorCode::kIo, "Cannot make a temporary folder for a copy of " + address.text + "."};
  const fs::path copy = fs::path(folder) / "copy.book";
  fs::copy_file(address.text, copy, failed);
  if (!failed) fs::copy_file(wal, copy.string() + "-wal", failed);
  if (failed) {
    fs::remove_all(folder, failed);
    return vision::Error{vision::ErrorCode::kIo, "Cannot read the joint book " + address.text + "."};
  }
  auto opened = OpenAs(address, copy.string(), ";QSQLITE_OPEN_READONLY");
  if (opened.ok())
    opened.value()->connection_->copy = folder;
  else
    fs::remove_all(folder, failed);
  return opened;
}

vision::Result<std::unique_ptr<Database>> Database::OpenAs(const Address& address, const std::string& name,
                                                           const std::string& options) {
  static std::atomic<int> counter{0};
  const bool server = address.engine == Engine::kPostgres;
  auto connection = std::make_unique<Connection>();
  connection->name = QString("book_%1").arg(counter.fetch_add(1));
  connection->handle = QSqlDatabase::addDatabase(server ? "QPSQL" : "QSQLITE", connection->name);
  if (!connection->handle.isValid()) {
    return vision::BadInput(std::string("Qt's driver for ") + (server ? "PostgreSQL" : "SQLite") +
                            " is missing; install the Debian package libqt6sql6-" + (server ? "psql." : "sqlite."));
  }
  if (server) {
    SetServer(connection->handle, address.text);
  } else {
    connection->handle.setDatabaseName(Q(name));
    connection->handle.setConnectOptions(QString("QSQLITE_BUSY_TIMEOUT=%1").arg(kBusyMs) + Q(options));
  }
  if (!connection->handle.open()) {
    const auto code = connection->handle.lastError().nativeErrorCode().toStdString();
    const auto why = server ? PostgresSays(code) : SqliteSays(code);
    return vision::Error{!server && NotWritable(code) ? vision::ErrorCode::kIo : vision::ErrorCode::kBadInput,
                         "Cannot open the joint book " + address.Shown() + ": " + why + "."};
  }
  std::unique_ptr<Database> database(new Database(address, std::move(connection)));
  if (auto failed = database->Prepare()) return *failed;
  return database;
}

vision::Status Database::Prepare() {
  if (postgres()) {
    auto who = Run("SELECT session_user");
    if (!who.ok()) return who.error();
    login_ = who.value().front().Text(0);
    if (auto failed = Do("SET search_path TO rootscroll")) return failed;
    return Do("SET client_min_messages TO warning");
  }
  login_ = AccountName();
  const bool read_only = connection_->handle.connectOptions().contains("READONLY");
  if (auto failed = CheckIntegrity(false)) return failed;
  if (auto failed = Do("PRAGMA foreign_keys = ON")) return failed;
  if (read_only || address_.text == ":memory:") return std::nullopt;
  if (auto failed = Do("PRAGMA journal_mode = WAL")) return failed;
  return Do("PRAGMA synchronous = FULL");
}

vision::Status Database::CheckIntegrity(bool thorough) {
  if (postgres()) return std::nullopt;
  auto said = Run(thorough ? "PRAGMA integrity_check(1)" : "PRAGMA quick_check(1)");
  if (!said.ok() && NotWritable(connection_->last_code))
    return vision::Error{vision::ErrorCode::kIo, "The joint book " + address_.text +
                                                     " cannot be written; the file, its folder or the medium is "
                                                     "read-only. What only reads a book can be done there."};
  const bool fine = said.ok() && (said.value().empty() || said.value().front().Text(0) == "ok");
  if (fine) return std::nullopt;
  return vision::BadInput("The joint book " + address_.text + " is damaged or no joint book" +
                          (said.ok() ? " (its pages do not fit each other)" : "") +
                          "; put back a copy from before the damage, the evidence beside it is not touched.");
}

vision::Error Database::Failure(const std::string& code) const {
  const std::string book = "The joint book " + address_.Shown() + ": ";
  if (code == "42501")  // insufficient_privilege, PostgreSQL's Appendix A
    return vision::BadInput("Refused: the login " + login_ + " has no right to do this in the joint book " +
                            address_.Shown() + ".");
  if (code == "P0001" || code == "1811")  // raised by the book's own triggers
    return vision::BadInput(book + "what is on the record is never changed or deleted.");
  return {vision::ErrorCode::kIo, book + (postgres() ? PostgresSays(code) : SqliteSays(code)) + "."};
}

vision::Result<Rows> Database::Run(const std::string& sql, const std::vector<Value>& values) {
  auto& query = connection_->prepared[sql];
  const bool plain = values.empty();  // statements of the schema cannot be prepared everywhere
  const bool fresh = !query;
  if (fresh) query = std::make_unique<QSqlQuery>(connection_->handle);
  query->setForwardOnly(true);
  const auto fail = [&](bool forget) {
    const QSqlError error = query->lastError();
    connection_->last_code = error.nativeErrorCode().toStdString();
    query->finish();
    if (forget) connection_->prepared.erase(sql);
    return Failure(connection_->last_code);
  };
  if (!plain && fresh && !query->prepare(Q(sql))) return fail(true);
  for (std::size_t i = 0; i < values.size(); ++i) query->bindValue(static_cast<int>(i), ToVariant(values[i]));
  if (plain ? !query->exec(Q(sql)) : !query->exec()) return fail(plain);
  Rows rows;
  while (query->next()) {
    std::vector<Value> cells;
    for (int i = 0; i < query->record().count(); ++i) cells.push_back(FromVariant(query->value(i)));
    rows.emplace_back(std::move(cells));
  }
  if (query->lastError().isValid()) return fail(plain);
  query->finish();
  if (plain) connection_->prepared.erase(sql);
  return rows;
}

vision::Status Database::Do(const std::string& sql, const std::vector<Value>& values) {
  auto done = Run(sql, values);
  if (!done.ok()) return done.error();
  return std::nullopt;
}

vision::Result<std::unique_ptr<Transaction>> Transaction::Begin(Database& database, TransactionKind kind) {
  const bool write = kind == TransactionKind::kWrite;
  const char* sql = database.postgres() ? (write ? "BEGIN" : "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY")
                                        : (write ? "BEGIN IMMEDIATE" : "BEGIN");
  if (auto failed = database.Do(sql)) return *failed;
  return std::unique_ptr<Transaction>(new Transaction(database));
}

Transaction::~Transaction() {
  if (open_) (void)database_.Do("ROLLBACK");
}

vision::Status Transaction::Commit() {
  open_ = false;
  auto failed = database_.Do("COMMIT");
  if (failed) (void)database_.Do("ROLLBACK");
  return failed;
}

}  // namespace app::book
