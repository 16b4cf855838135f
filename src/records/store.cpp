#include "records/store.h"

#include "errors/our_fault.h"
#include "errors/user_error.h"

#include <soci/postgresql/soci-postgresql.h>
#include <soci/soci.h>
#include <soci/sqlite3/soci-sqlite3.h>

#include <unistd.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <limits>
#include <string_view>
#include <utility>

namespace coldbag {

namespace {

constexpr int application_id = 0x636f6c64; // "cold", where SQLite keeps whose file it is; 1668246628
constexpr const char* form = "1";          // of the tables
constexpr int busy_s = 60;                 // another writer is waited for so long

bool is_postgresql(const std::string& where) {
  return where.starts_with("postgresql://") || where.starts_with("postgres://");
}

/// Without what stands between `begin` and the next of `ends`, where it is there.
std::string without(std::string text, std::string_view begin, std::string_view ends) {
  const std::size_t at = text.find(begin);
  if (at == std::string::npos) return text;
  const std::size_t from = at + begin.size();
  return text.erase(from, std::min(text.find_first_of(ends, from), text.size()) - from);
}

/// Without the password that may stand in it.
std::string shown_place(const std::string& where) {
  if (!is_postgresql(where)) return where;
  const std::size_t name = where.find("//") + 2;
  const std::size_t name_end = std::min(where.find_first_of("/?", name), where.size());
  const std::size_t at = where.rfind('@', name_end);
  std::string out = where;
  if (at != std::string::npos && at > name)
    if (const std::size_t colon = where.find(':', name); colon < at) out.erase(colon, at - colon);
  return without(out, "password=", "&");
}

UserError refused(Trouble trouble, const std::string& where, std::string problem, std::string remedy) {
  Complaint complaint;
  complaint.trouble = trouble;
  complaint.place.source_name = shown_place(where);
  complaint.problem = std::move(problem);
  complaint.remedy = std::move(remedy);
  return UserError(std::move(complaint));
}

bool says(const std::string& what, std::string_view words) {
  return what.find(words) != std::string::npos;
}

/// What went wrong, whichever engine says it.
enum class Ailment { full, not_written, not_opened, read_only, held, no_ledger, no_right, lost, other };

/// SQLite has the same words everywhere.
Ailment sqlite_ailment(const std::string& what) {
  if (says(what, "disk is full")) return Ailment::full;
  if (says(what, "disk I/O error")) return Ailment::not_written;
  if (says(what, "unable to open")) return Ailment::not_opened;
  if (says(what, "readonly")) return Ailment::read_only;
  if (says(what, "locked") || says(what, "busy")) return Ailment::held;
  if (says(what, "not a database") || says(what, "malformed")) return Ailment::no_ledger;
  return Ailment::other;
}

/// PostgreSQL's words are in the server's language, its codes are not ("PostgreSQL Error Codes" in its
/// manual).
Ailment postgresql_ailment(const std::string& code) {
  if (code == "53100") return Ailment::full;
  if (code == "58030") return Ailment::not_written;
  if (code == "25006") return Ailment::read_only;
  if (code == "55P03") return Ailment::held;
  if (code == "42501") return Ailment::no_right;
  // Blanks where no server answered.
  if (code.starts_with("08") || code.starts_with("57P") || code.starts_with(" ")) return Ailment::lost;
  return Ailment::other;
}

/// The database's words on one line.
std::string words_of(const soci::soci_error& fault) {
  std::string words = fault.get_error_message();
  std::ranges::replace(words, '\n', ' ');
  words.erase(words.find_last_not_of(' ') + 1);
  return words;
}

/// The database's own words, and what they mean for who reads them.
UserError of_database(const std::string& where, const soci::soci_error& fault) {
  const auto* postgresql = dynamic_cast<const soci::postgresql_soci_error*>(&fault);
  switch (postgresql != nullptr ? postgresql_ailment(postgresql->sqlstate())
                                : sqlite_ailment(fault.get_error_message())) {
  case Ailment::full:
    return refused(Trouble::io, where, "the disk is full, and nothing was added", "make room and try again");
  case Ailment::not_written:
    return refused(Trouble::io, where, "the disk did not take it, and nothing was added",
                   "look whether it is full, or the file may not grow, and try again");
  case Ailment::not_opened:
    return refused(Trouble::cannot_write, where, "the file cannot be opened, and nothing was added",
                   "give the right to read and write it, and the same for its folder");
  case Ailment::read_only:
    return refused(Trouble::cannot_write, where, "the ledger can only be read, and nothing was added",
                   "give the right to write to the file and its folder");
  case Ailment::held:
    return refused(Trouble::io, where, "another program holds the ledger, and nothing was added",
                   "try again");
  case Ailment::no_ledger:
    return refused(Trouble::bad_data, where, "the file is no ledger, or is damaged",
                   "take a copy of it that is whole");
  case Ailment::no_right:
    return refused(Trouble::cannot_write, where,
                   "this user has not the right: the database says: \"" + words_of(fault) + "\"",
                   "ask whoever made the ledger for it");
  case Ailment::lost:
    return refused(Trouble::io, where, "the database was lost: \"" + words_of(fault) + "\"",
                   "see what coldbag record list shows last before you add it again");
  case Ailment::other:
    break;
  }
  return refused(Trouble::io, where, "the database says: \"" + words_of(fault) + "\"",
                 "mend that and try again");
}

template <class Work>
auto guarded(const std::string& where, const Work& work) {
  try {
    return work();
  } catch (const soci::soci_error& fault) {
    throw of_database(where, fault);
  }
}

// What differs between the engines stands in this table alone.
struct Engine {
  const char* tables_end; ///< of a CREATE TABLE
  const char* count_type;
  const char* has_tables;            ///< counts them
  std::vector<const char*> settings; ///< of a connection
  /// A writer's transaction: no other writer's begins before it ends, and it sees what that one wrote.
  std::vector<const char*> write;
  const char* read; ///< a reader's: all of it is of one moment
  std::vector<const char*> indexes;
  std::vector<const char*> only_grows;
};

const Engine& sqlite_engine() {
  static const Engine engine{
      " STRICT",
      "INTEGER",
      "SELECT COUNT(*) FROM sqlite_master WHERE name = 'entries'",
      {"PRAGMA journal_mode=WAL", "PRAGMA synchronous=FULL"},
      {"BEGIN IMMEDIATE"},
      "BEGIN",
      // What is listed, without the leaves, which are a hundred times as long and stand in the same pages.
      {"CREATE INDEX entries_listed ON entries (number, kind, run, vessel, treatment, verdict, event_us, "
       "entered_us)"},
      {"CREATE TRIGGER entries_stay BEFORE UPDATE ON entries BEGIN SELECT RAISE(ABORT, 'a ledger only "
       "grows'); END",
       "CREATE TRIGGER entries_remain BEFORE DELETE ON entries BEGIN SELECT RAISE(ABORT, 'a ledger only "
       "grows'); END",
       "CREATE TRIGGER entries_follow BEFORE INSERT ON entries WHEN NEW.number <> (SELECT "
       "COALESCE(MAX(number), -1) + 1 "
       "FROM entries) BEGIN SELECT RAISE(ABORT, 'a ledger only grows at its end'); END",
       "CREATE TRIGGER files_stay BEFORE UPDATE ON files BEGIN SELECT RAISE(ABORT, 'a ledger only grows'); "
       "END",
       "CREATE TRIGGER files_remain BEFORE DELETE ON files BEGIN SELECT RAISE(ABORT, 'a ledger only grows'); "
       "END",
       "CREATE TRIGGER files_once BEFORE INSERT ON files WHEN EXISTS (SELECT 1 FROM files WHERE sha256 = "
       "NEW.sha256) "
       "BEGIN SELECT RAISE(ABORT, 'a ledger only grows'); END"}};
  return engine;
}

const Engine& postgresql_engine() {
  static const Engine engine{
      "",
      "BIGINT",
      "SELECT COUNT(*) FROM pg_class WHERE oid = to_regclass('entries')",
      // Whatever the server's own settings are. As long is waited for another writer as in SQLite.
      {"SET client_encoding = 'UTF8'", "SET client_min_messages = warning", "SET synchronous_commit = on",
       "SET lock_timeout = '60s'"},
      // The lock wants no right but to connect, and holds an empty table too. A stricter isolation would show
      // the rows as they were before the wait.
      {"BEGIN ISOLATION LEVEL READ COMMITTED",
       "SELECT pg_advisory_xact_lock(1668246628, CAST(CAST(CAST('entries' AS regclass) AS oid) AS integer))"},
      "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY",
      {}, // it keeps long texts elsewhere by itself
      {"CREATE FUNCTION ledger_only_grows() RETURNS trigger LANGUAGE plpgsql AS "
       "'BEGIN RAISE EXCEPTION ''a ledger only grows''; END'",
       "CREATE FUNCTION ledger_grows_at_its_end() RETURNS trigger LANGUAGE plpgsql AS "
       "'BEGIN IF NEW.number <> (SELECT COALESCE(MAX(number), -1) + 1 FROM entries) THEN "
       "RAISE EXCEPTION ''a ledger only grows at its end''; END IF; RETURN NEW; END'",
       "CREATE TRIGGER entries_stay BEFORE UPDATE OR DELETE ON entries FOR EACH ROW EXECUTE FUNCTION "
       "ledger_only_grows()",
       "CREATE TRIGGER entries_remain BEFORE TRUNCATE ON entries EXECUTE FUNCTION ledger_only_grows()",
       "CREATE TRIGGER entries_follow BEFORE INSERT ON entries FOR EACH ROW EXECUTE FUNCTION "
       "ledger_grows_at_its_end()",
       "CREATE TRIGGER files_stay BEFORE UPDATE OR DELETE ON files FOR EACH ROW EXECUTE FUNCTION "
       "ledger_only_grows()",
       "CREATE TRIGGER files_remain BEFORE TRUNCATE ON files EXECUTE FUNCTION ledger_only_grows()"}};
  return engine;
}

std::vector<std::string> table_statements(const Engine& engine) {
  const std::string count = engine.count_type;
  const std::string end = std::string(")") + engine.tables_end;
  return {"CREATE TABLE ledger (name TEXT PRIMARY KEY, value TEXT NOT NULL" + end,
          "CREATE TABLE files (sha256 TEXT PRIMARY KEY, size_bytes " + count +
              " NOT NULL, packed TEXT NOT NULL, packed_sha256 TEXT NOT NULL" + end,
          "CREATE TABLE entries (number " + count +
              " PRIMARY KEY, leaf TEXT NOT NULL, id TEXT NOT NULL UNIQUE, root TEXT NOT NULL, frontier TEXT "
              "NOT NULL, "
              "signature TEXT NOT NULL, signed_by TEXT NOT NULL, kind TEXT NOT NULL, run TEXT NOT NULL, "
              "vessel TEXT NOT NULL, treatment TEXT NOT NULL, verdict TEXT NOT NULL, event_us " +
              count + " NOT NULL, entered_us " + count + " NOT NULL" + end};
}

constexpr int rows_at_once = 100; // PostgreSQL's library holds all it is sent

constexpr const char* row_columns = "number, leaf, id, root, frontier, signature, signed_by";
constexpr const char* subject_columns = "kind, run, vessel, treatment, verdict, event_us, entered_us";

/// Where a statement puts what it reads of a row.
struct RowCells {
  long long number = 0;
  LedgerRow row;

  [[nodiscard]] const LedgerRow& taken() {
    row.number = static_cast<std::uint64_t>(number);
    return row;
  }
};

struct SubjectCells {
  RowSubject subject;
  long long event_us = 0, entered_us = 0;

  [[nodiscard]] const RowSubject& taken() {
    subject.event_us = event_us;
    subject.entered_us = entered_us;
    return subject;
  }
};

/// A transaction that is undone where it does not end well.
class Transaction {
 public:
  Transaction(soci::session& sql, const std::vector<const char*>& begin) : sql_(sql) {
    try {
      for (const char* statement : begin)
        sql_ << statement;
    } catch (const soci::soci_error&) {
      undo();
      throw;
    }
  }
  ~Transaction() {
    if (!is_done_) undo();
  }
  Transaction(const Transaction&) = delete;
  Transaction& operator=(const Transaction&) = delete;
  Transaction(Transaction&&) = delete;
  Transaction& operator=(Transaction&&) = delete;
  void commit() {
    sql_ << "COMMIT";
    is_done_ = true;
  }

 private:
  void undo() noexcept {
    try {
      sql_ << "ROLLBACK";
    } catch (const soci::soci_error&) { // the connection is gone, and the transaction with it
    }
  }

  soci::session& sql_;
  bool is_done_ = false;
};

/// Whether nothing can be written beside it, and nobody writes: on a disk for reading, or somebody else's.
bool is_only_read(const std::string& path) {
  if (!std::filesystem::exists(path) || std::filesystem::exists(path + "-wal")) return false;
  const std::filesystem::path folder = std::filesystem::absolute(path).parent_path();
  return access(path.c_str(), W_OK) != 0 || access(folder.c_str(), W_OK) != 0;
}

/// The name by which SQLite reads a file as it lies there; else it wants to write a second one, and may leave
/// it behind ("Uniform Resource Identifiers" in its manual).
std::string at_rest(const std::string& path) {
  std::string name = "file:";
  for (const char c : path)
    name += c == '%' ? "%25" : c == '?' ? "%3f" : c == '#' ? "%23" : std::string(1, c);
  return name + "?immutable=1";
}

} // namespace

struct Store::Inside {
  std::string where;
  bool is_sqlite = true;
  mutable soci::session sql;

  explicit Inside(const std::string& place) : where(place), is_sqlite(!is_postgresql(place)) {
    if (is_sqlite)
      // More settings here would leave an open file behind where it is no database.
      sql.open(soci::sqlite3, "dbname=\"" + (is_only_read(where) ? at_rest(where) : where) +
                                  "\" timeout=" + std::to_string(busy_s));
    else
      connect();
  }

  void connect() {
    try {
      sql.open(soci::postgresql, where);
    } catch (const soci::soci_error& fault) {
      throw refused(Trouble::no_input, where, "the database cannot be reached: \"" + words_of(fault) + "\"",
                    "see whether it runs, and whether its name, user and password are right");
    }
  }

  [[nodiscard]] const Engine& engine() const { return is_sqlite ? sqlite_engine() : postgresql_engine(); }

  void set_up() const {
    if (is_sqlite && is_only_read(where)) return;
    for (const char* setting : engine().settings)
      sql << setting;
  }

  [[nodiscard]] bool has_tables() const {
    int count = 0;
    sql << engine().has_tables, soci::into(count);
    return count > 0;
  }

  void make_tables() const {
    Transaction all(sql, {is_sqlite ? "BEGIN IMMEDIATE" : "BEGIN"});
    for (const std::string& statement : table_statements(engine()))
      sql << statement;
    for (const auto& statements : {engine().indexes, engine().only_grows})
      for (const char* statement : statements)
        sql << statement;
    std::string name = "form";
    std::string value = form;
    sql << "INSERT INTO ledger (name, value) VALUES (:name, :value)", soci::use(name), soci::use(value);
    if (is_sqlite) sql << "PRAGMA application_id = " << application_id;
    all.commit();
  }

  void check_form() const {
    std::string found;
    std::string name = "form";
    sql << "SELECT value FROM ledger WHERE name = :name", soci::into(found), soci::use(name);
    if (found != form)
      throw refused(Trouble::bad_data, where,
                    "the ledger is of form \"" + found + "\", and this program knows form 1",
                    "use the program that made it, or a newer one");
  }

  [[nodiscard]] std::optional<LedgerRow> last() const {
    RowCells cells;
    sql << "SELECT " << row_columns << " FROM entries ORDER BY number DESC LIMIT 1", soci::into(cells.number),
        soci::into(cells.row.leaf), soci::into(cells.row.id), soci::into(cells.row.root),
        soci::into(cells.row.frontier), soci::into(cells.row.signature), soci::into(cells.row.key);
    if (!sql.got_data()) return std::nullopt;
    return cells.taken();
  }

  void add_file(const StoredFile& file) const {
    std::string hash = hex_text(file.sha256);
    int there = 0;
    sql << "SELECT COUNT(*) FROM files WHERE sha256 = :hash", soci::into(there), soci::use(hash);
    if (there > 0) return;
    auto size = static_cast<long long>(file.size_bytes);
    std::string packed_hash = hex_text(file.packed_sha256);
    sql << "INSERT INTO files (sha256, size_bytes, packed, packed_sha256) VALUES (:hash, :size, :packed, "
           ":packed_hash)",
        soci::use(hash), soci::use(size), soci::use(file.packed), soci::use(packed_hash);
  }

  void add_row(const NewRow& made) const {
    const RowSubject& of = made.subject;
    auto number = static_cast<long long>(made.row.number);
    long long event_us = of.event_us;
    long long entered_us = of.entered_us;
    sql << "INSERT INTO entries (" << row_columns << ", " << subject_columns
        << ") VALUES (:number, :leaf, :id, :root, :frontier, :signature, :signed_by, :kind, :run, :vessel, "
           ":treatment, "
           ":verdict, :event_us, :entered_us)",
        soci::use(number), soci::use(made.row.leaf), soci::use(made.row.id), soci::use(made.row.root),
        soci::use(made.row.frontier), soci::use(made.row.signature), soci::use(made.row.key),
        soci::use(of.kind), soci::use(of.run), soci::use(of.vessel), soci::use(of.treatment),
        soci::use(of.verdict), soci::use(event_us), soci::use(entered_us);
  }
};

Store::Store(std::unique_ptr<Inside> inside) : inside_(std::move(inside)) {}
Store::~Store() = default;
Store::Store(Store&&) noexcept = default;
Store& Store::operator=(Store&&) noexcept = default;

namespace {

/// Removes what was begun of a new file where it is not brought to an end.
class NewFile {
 public:
  explicit NewFile(std::string path) : path_(std::move(path)) {}
  ~NewFile() {
    std::error_code ignored;
    if (!is_kept_)
      for (const char* end : {"", "-wal", "-shm", "-journal"})
        std::filesystem::remove(path_ + end, ignored);
  }
  NewFile(const NewFile&) = delete;
  NewFile& operator=(const NewFile&) = delete;
  NewFile(NewFile&&) = delete;
  NewFile& operator=(NewFile&&) = delete;
  void keep() { is_kept_ = true; }

 private:
  std::string path_;
  bool is_kept_ = false;
};

} // namespace

Store Store::make(const std::string& where) {
  if (!is_postgresql(where) && std::filesystem::exists(where))
    throw refused(Trouble::cannot_write, where, "it is there already", "name a file that is not there yet");
  NewFile file(where);
  if (is_postgresql(where)) file.keep();
  return guarded(where, [&] {
    auto inside = std::make_unique<Inside>(where);
    inside->set_up();
    if (inside->has_tables())
      throw refused(Trouble::cannot_write, where, "there is a ledger already",
                    "name another database, or use this one");
    inside->make_tables();
    file.keep();
    return Store(std::move(inside));
  });
}

Store Store::open(const std::string& where) {
  // SQLite would make the file.
  if (!is_postgresql(where) && !std::filesystem::exists(where))
    throw refused(Trouble::no_input, where, "there is no such ledger", "make one with coldbag record start");
  return guarded(where, [&] {
    auto inside = std::make_unique<Inside>(where);
    if (!inside->has_tables())
      throw refused(Trouble::bad_data, where, "it is no ledger", "make one with coldbag record start");
    inside->set_up();
    inside->check_form();
    return Store(std::move(inside));
  });
}

void Store::append(const std::function<std::vector<NewRow>(const std::optional<LedgerRow>& last)>& make) {
  guarded(inside_->where, [&] {
    Transaction all(inside_->sql, inside_->engine().write);
    const std::optional<LedgerRow> last = inside_->last();
    std::uint64_t next = last ? last->number + 1 : 0;
    const std::vector<NewRow> all_made = make(last);
    for (const NewRow& made : all_made) {
      our_check(made.row.number == next, "a row is added at the end of its ledger");
      ++next;
      for (const StoredFile& file : made.files)
        inside_->add_file(file);
      inside_->add_row(made);
    }
    all.commit();
  });
}

std::uint64_t Store::size() const {
  return guarded(inside_->where, [&] {
    long long count = 0;
    inside_->sql << "SELECT COALESCE(MAX(number), -1) + 1 FROM entries", soci::into(count);
    return static_cast<std::uint64_t>(count);
  });
}

std::optional<LedgerRow> Store::row(std::uint64_t number) const {
  return guarded(inside_->where, [&]() -> std::optional<LedgerRow> {
    RowCells cells;
    auto wanted = static_cast<long long>(number);
    inside_->sql << "SELECT " << row_columns << " FROM entries WHERE number = :number",
        soci::into(cells.number), soci::into(cells.row.leaf), soci::into(cells.row.id),
        soci::into(cells.row.root), soci::into(cells.row.frontier), soci::into(cells.row.signature),
        soci::into(cells.row.key), soci::use(wanted);
    if (!inside_->sql.got_data()) return std::nullopt;
    return cells.taken();
  });
}

std::optional<std::uint64_t> Store::number_of(const std::string& id) const {
  return guarded(inside_->where, [&]() -> std::optional<std::uint64_t> {
    long long number = 0;
    inside_->sql << "SELECT number FROM entries WHERE id = :id", soci::into(number), soci::use(id);
    if (!inside_->sql.got_data()) return std::nullopt;
    return static_cast<std::uint64_t>(number);
  });
}

void Store::each_row(std::uint64_t from,
                     const std::function<void(const LedgerRow&, const RowSubject&)>& visit) const {
  guarded(inside_->where, [&] {
    RowCells cells;
    SubjectCells of;
    auto first = static_cast<long long>(from);
    long long most = rows_at_once;
    soci::statement rows =
        (inside_->sql.prepare << "SELECT " << row_columns << ", " << subject_columns
                              << " FROM entries WHERE number >= :first ORDER BY number LIMIT :most",
         soci::into(cells.number), soci::into(cells.row.leaf), soci::into(cells.row.id),
         soci::into(cells.row.root), soci::into(cells.row.frontier), soci::into(cells.row.signature),
         soci::into(cells.row.key), soci::into(of.subject.kind), soci::into(of.subject.run),
         soci::into(of.subject.vessel), soci::into(of.subject.treatment), soci::into(of.subject.verdict),
         soci::into(of.event_us), soci::into(of.entered_us), soci::use(first), soci::use(most));
    for (long long seen = most; seen == most;) {
      rows.execute();
      for (seen = 0; rows.fetch(); ++seen) {
        first = cells.number + 1;
        visit(cells.taken(), of.taken());
      }
    }
  });
}

void Store::at_one_moment(const std::function<void()>& work) const {
  guarded(inside_->where, [&] {
    Transaction all(inside_->sql, {inside_->engine().read});
    work();
    all.commit();
  });
}

std::vector<ListedRow> Store::list(const RowFilter& filter) const {
  return guarded(inside_->where, [&] {
    RowCells cells;
    SubjectCells of;
    long long from_us = filter.from_us.value_or(std::numeric_limits<std::int64_t>::min());
    long long before_us = filter.before_us.value_or(std::numeric_limits<std::int64_t>::max());
    soci::statement rows =
        (inside_->sql.prepare << "SELECT number, " << subject_columns
                              << " FROM entries WHERE event_us >= :from_us AND event_us < :before_us"
                                 " AND (:kind = '' OR kind = :kind2) AND (:run = '' OR run = :run2)"
                                 " AND (:vessel = '' OR vessel = :vessel2)"
                                 " AND (:treatment = '' OR treatment = :treatment2)"
                                 " AND (:verdict = '' OR verdict = :verdict2) ORDER BY number",
         soci::into(cells.number), soci::into(of.subject.kind), soci::into(of.subject.run),
         soci::into(of.subject.vessel), soci::into(of.subject.treatment), soci::into(of.subject.verdict),
         soci::into(of.event_us), soci::into(of.entered_us), soci::use(from_us), soci::use(before_us),
         soci::use(filter.kind), soci::use(filter.kind), soci::use(filter.run), soci::use(filter.run),
         soci::use(filter.vessel), soci::use(filter.vessel), soci::use(filter.treatment),
         soci::use(filter.treatment), soci::use(filter.verdict), soci::use(filter.verdict));
    rows.execute();
    std::vector<ListedRow> out;
    while (rows.fetch())
      out.push_back({static_cast<std::uint64_t>(cells.number), of.taken()});
    return out;
  });
}

std::optional<StoredFile> Store::file(const Sha256& sha256) const {
  return guarded(inside_->where, [&]() -> std::optional<StoredFile> {
    StoredFile out{sha256, 0, "", {}};
    std::string hash = hex_text(sha256);
    long long size = 0;
    std::string packed_hash;
    inside_->sql << "SELECT size_bytes, packed, packed_sha256 FROM files WHERE sha256 = :hash",
        soci::into(size), soci::into(out.packed), soci::into(packed_hash), soci::use(hash);
    if (!inside_->sql.got_data()) return std::nullopt;
    const std::optional<Sha256> read = read_hex_text(packed_hash);
    if (read) out.packed_sha256 = *read; // else it is all zeros, and nothing has that hash
    out.size_bytes = static_cast<std::uint64_t>(size);
    return out;
  });
}

std::vector<Sha256> Store::file_hashes() const {
  return guarded(inside_->where, [&] {
    std::vector<Sha256> out;
    std::string hash;
    soci::statement rows =
        (inside_->sql.prepare << "SELECT sha256 FROM files ORDER BY sha256", soci::into(hash));
    rows.execute();
    while (rows.fetch()) {
      const std::optional<Sha256> read = read_hex_text(hash);
      if (!read)
        throw refused(Trouble::bad_data, inside_->where,
                      "a file is kept under \"" + hash + "\", which is no hash",
                      "take a copy of the ledger that is whole");
      out.push_back(*read);
    }
    return out;
  });
}

bool Store::can_share() const {
  return !inside_->is_sqlite;
}

void Store::begin_share(const std::string& name, const std::vector<std::uint64_t>& numbers) {
  our_check(can_share(), "work is shared through PostgreSQL alone");
  guarded(inside_->where, [&] {
    soci::session& sql = inside_->sql;
    Transaction all(sql, {"BEGIN", "SELECT pg_advisory_xact_lock(7230945)"}); // two that begin at once
    sql << "CREATE TABLE IF NOT EXISTS shared_work (name TEXT, number BIGINT, said TEXT, PRIMARY KEY (name, "
           "number))";
    int begun = 0;
    sql << "SELECT COUNT(*) FROM shared_work WHERE name = :name", soci::into(begun), soci::use(name);
    long long number = 0;
    soci::statement add = (sql.prepare << "INSERT INTO shared_work (name, number) VALUES (:name, :number)",
                           soci::use(name), soci::use(number));
    if (begun == 0)
      for (const std::uint64_t one : numbers) {
        number = static_cast<long long>(one);
        add.execute(true);
      }
    all.commit();
  });
}

bool Store::take_share(const std::string& name,
                       const std::function<std::string(std::uint64_t number)>& work) {
  return guarded(inside_->where, [&] {
    soci::session& sql = inside_->sql;
    Transaction all(sql, {"BEGIN"});
    long long number = 0;
    sql << "SELECT number FROM shared_work WHERE name = :name AND said IS NULL ORDER BY number "
           "FOR UPDATE SKIP LOCKED LIMIT 1",
        soci::into(number), soci::use(name);
    if (!sql.got_data()) return false;
    const std::string said = work(static_cast<std::uint64_t>(number));
    sql << "UPDATE shared_work SET said = :said WHERE name = :name AND number = :number", soci::use(said),
        soci::use(name), soci::use(number);
    all.commit();
    return true;
  });
}

std::vector<SharedWork> Store::share(const std::string& name) const {
  return guarded(inside_->where, [&] {
    long long number = 0;
    std::string said;
    soci::indicator is_there = soci::i_null;
    soci::statement rows =
        (inside_->sql.prepare << "SELECT number, said FROM shared_work WHERE name = :name ORDER BY number",
         soci::into(number), soci::into(said, is_there), soci::use(name));
    rows.execute();
    std::vector<SharedWork> out;
    while (rows.fetch())
      out.push_back(
          {static_cast<std::uint64_t>(number), is_there == soci::i_ok ? std::optional(said) : std::nullopt});
    return out;
  });
}

} // namespace coldbag
