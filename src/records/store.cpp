#include "records/store.h"

#include "errors/our_fault.h"
#include "errors/user_error.h"

#include <soci/postgresql/soci-postgresql.h>
#include <soci/soci.h>
#include <soci/sqlite3/soci-sqlite3.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <limits>
#include <string_view>
#include <utility>

namespace coldbag {

namespace {

constexpr int application_id = 0x636f6c64; // "cold", where SQLite keeps whose file it is
constexpr const char* form = "1";          // of the tables
constexpr int busy_s = 60;                 // another writer is waited for so long

bool is_postgresql(const std::string& where) {
  return where.starts_with("postgresql://") || where.starts_with("postgres://");
}

/// Without the password that may stand in it.
std::string shown_place(const std::string& where) {
  const std::size_t at = where.find('@');
  const std::size_t colon = where.find(':', where.find("//") + 2);
  if (!is_postgresql(where) || at == std::string::npos || colon == std::string::npos || colon > at)
    return where;
  return where.substr(0, colon) + where.substr(at);
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

/// The database's own words, and what they mean for who reads them.
UserError of_database(const std::string& where, const soci::soci_error& fault) {
  const std::string what = fault.what();
  if (says(what, "disk is full") || says(what, "No space left") || says(what, "disk full"))
    return refused(Trouble::io, where, "the disk is full, and nothing was added", "make room and try again");
  if (says(what, "readonly") || says(what, "read-only"))
    return refused(Trouble::cannot_write, where, "the ledger can only be read, and nothing was added",
                   "give the right to write to the file and its folder");
  if (says(what, "locked") || says(what, "busy"))
    return refused(Trouble::io, where, "another program holds the ledger, and nothing was added",
                   "try again");
  if (says(what, "not a database") || says(what, "malformed"))
    return refused(Trouble::bad_data, where, "the file is no ledger, or is damaged",
                   "take a copy of it that is whole");
  return refused(Trouble::io, where, "the database says: \"" + what + "\"", "mend that and try again");
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
  std::vector<const char*> only_grows;
};

const Engine& sqlite_engine() {
  static const Engine engine{
      " STRICT",
      "INTEGER",
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
              count + " NOT NULL, entered_us " + count + " NOT NULL" + end,
          "CREATE INDEX entries_by_event ON entries (event_us)",
          "CREATE INDEX entries_by_run ON entries (run)"};
}

constexpr const char* row_columns = "number, leaf, id, root, frontier, signature, signed_by";
constexpr const char* subject_columns = "kind, run, vessel, treatment, verdict, event_us, entered_us";

/// Where a statement puts what it reads of a row.
struct RowCells {
  long long number = 0;
  LedgerRow row;

  [[nodiscard]] LedgerRow taken() {
    row.number = static_cast<std::uint64_t>(number);
    return row;
  }
};

struct SubjectCells {
  RowSubject subject;
  long long event_us = 0, entered_us = 0;

  [[nodiscard]] RowSubject taken() {
    subject.event_us = event_us;
    subject.entered_us = entered_us;
    return subject;
  }
};

/// A transaction that is undone where it does not end well.
class Transaction {
 public:
  Transaction(soci::session& sql, const char* begin) : sql_(sql) { sql_ << begin; }
  ~Transaction() {
    if (is_done_) return;
    try {
      sql_ << "ROLLBACK";
    } catch (const soci::soci_error&) { // the connection is gone, and the transaction with it
    }
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
  soci::session& sql_;
  bool is_done_ = false;
};

} // namespace

struct Store::Inside {
  std::string where;
  bool is_sqlite = true;
  mutable soci::session sql;

  explicit Inside(const std::string& place) : where(place), is_sqlite(!is_postgresql(place)) {
    if (is_sqlite)
      // More settings here would leave an open file behind where it is no database.
      sql.open(soci::sqlite3, "dbname=\"" + where + "\" timeout=" + std::to_string(busy_s));
    else
      sql.open(soci::postgresql, where);
  }

  [[nodiscard]] const Engine& engine() const { return is_sqlite ? sqlite_engine() : postgresql_engine(); }

  void set_up() const {
    if (is_sqlite) {
      std::string mode;
      sql << "PRAGMA journal_mode=WAL", soci::into(mode);
      sql << "PRAGMA synchronous=FULL";
      sql << "PRAGMA foreign_keys=ON";
    } else {
      sql << "SET synchronous_commit = on";
      sql << "SET client_min_messages = warning";
    }
  }

  [[nodiscard]] bool has_tables() const {
    int count = 0;
    if (is_sqlite)
      sql << "SELECT COUNT(*) FROM sqlite_master WHERE name = 'entries'", soci::into(count);
    else
      sql << "SELECT COUNT(*) FROM pg_tables WHERE tablename = 'entries' AND schemaname = current_schema()",
          soci::into(count);
    return count > 0;
  }

  void make_tables() const {
    Transaction all(sql, is_sqlite ? "BEGIN IMMEDIATE" : "BEGIN");
    for (const std::string& statement : table_statements(engine()))
      sql << statement;
    for (const char* statement : engine().only_grows)
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
    const std::string lock = is_sqlite ? "" : " FOR UPDATE";
    sql << "SELECT " << row_columns << " FROM entries ORDER BY number DESC LIMIT 1" << lock,
        soci::into(cells.number), soci::into(cells.row.leaf), soci::into(cells.row.id),
        soci::into(cells.row.root), soci::into(cells.row.frontier), soci::into(cells.row.signature),
        soci::into(cells.row.key);
    if (!sql.got_data()) return std::nullopt;
    return cells.taken();
  }

  void add_file(const StoredFile& file) const {
    std::string hash = hex_text(file.sha256);
    int there = 0;
    sql << "SELECT COUNT(*) FROM files WHERE sha256 = :hash", soci::into(there), soci::use(hash);
    if (there > 0) return;
    long long size = static_cast<long long>(file.size_bytes);
    std::string packed_hash = hex_text(file.packed_sha256);
    sql << "INSERT INTO files (sha256, size_bytes, packed, packed_sha256) VALUES (:hash, :size, :packed, "
           ":packed_hash)",
        soci::use(hash), soci::use(size), soci::use(file.packed), soci::use(packed_hash);
  }

  void add_row(const NewRow& made) const {
    const RowSubject& of = made.subject;
    long long number = static_cast<long long>(made.row.number);
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

Store Store::make(const std::string& where) {
  if (!is_postgresql(where) && std::filesystem::exists(where))
    throw refused(Trouble::cannot_write, where, "it is there already", "name a file that is not there yet");
  return guarded(where, [&] {
    auto inside = std::make_unique<Inside>(where);
    inside->set_up();
    if (inside->has_tables())
      throw refused(Trouble::cannot_write, where, "there is a ledger already",
                    "name another database, or use this one");
    inside->make_tables();
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
    Transaction all(inside_->sql, inside_->is_sqlite ? "BEGIN IMMEDIATE" : "BEGIN");
    std::optional<LedgerRow> last = inside_->last();
    // Who waited for the lock of a row finds that another one is the last by then.
    if (!inside_->is_sqlite)
      for (std::optional<LedgerRow> again = inside_->last(); again != last; again = inside_->last())
        last = std::move(again);
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
    long long wanted = static_cast<long long>(number);
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
    long long first = static_cast<long long>(from);
    soci::statement rows =
        (inside_->sql.prepare << "SELECT " << row_columns << ", " << subject_columns
                              << " FROM entries WHERE number >= :first ORDER BY number",
         soci::into(cells.number), soci::into(cells.row.leaf), soci::into(cells.row.id),
         soci::into(cells.row.root), soci::into(cells.row.frontier), soci::into(cells.row.signature),
         soci::into(cells.row.key), soci::into(of.subject.kind), soci::into(of.subject.run),
         soci::into(of.subject.vessel), soci::into(of.subject.treatment), soci::into(of.subject.verdict),
         soci::into(of.event_us), soci::into(of.entered_us), soci::use(first));
    rows.execute();
    while (rows.fetch())
      visit(cells.taken(), of.taken());
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

} // namespace coldbag
