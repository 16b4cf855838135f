// Where a test's ledger stands: a file, or, where COLDBAG_POSTGRESQL names a server
// (tests/program/on_postgresql.sh), a schema of it. The same tests hold for both.
#pragma once

#include "support/temp_folder.h"

#include <soci/postgresql/soci-postgresql.h>
#include <soci/soci.h>
#include <soci/sqlite3/soci-sqlite3.h>

#include <cstdlib>
#include <string>

namespace coldbag::test {

/// Empty where tests are of SQLite.
[[nodiscard]] inline std::string postgresql_server() {
  const char* server = std::getenv("COLDBAG_POSTGRESQL");
  return server == nullptr ? "" : server;
}

[[nodiscard]] inline bool is_on_postgresql() {
  return !postgresql_server().empty();
}

/// An own connection, as another program would make it.
[[nodiscard]] inline soci::session other_program(const std::string& where) {
  if (is_on_postgresql()) return {soci::postgresql, where};
  return {soci::sqlite3, "dbname=\"" + where + "\" timeout=60"};
}

/// A place of its own without a ledger yet.
class LedgerPlace {
 public:
  LedgerPlace() {
    if (!is_on_postgresql()) {
      where_ = folder_.path_of("a ledger.db");
      return;
    }
    std::string base = postgresql_server();
    base.insert(base.find('?'), "postgres");
    std::string schema = folder_.path_of("");
    schema.pop_back();
    schema = schema.substr(schema.rfind('-') + 1);
    soci::session sql(soci::postgresql, base);
    sql << "CREATE SCHEMA \"" + schema + "\"";
    where_ = base + "&options=-csearch_path%3D%22" + schema + "%22";
  }
  [[nodiscard]] const std::string& where() const { return where_; }

 private:
  TempFolder folder_;
  std::string where_;
};

/// Somebody who owns the database and takes the triggers away.
class Intruder {
 public:
  explicit Intruder(const std::string& where) : sql_(other_program(where)) {
    if (is_on_postgresql()) {
      for (const char* table : {"entries", "files"})
        sql_ << "ALTER TABLE " << table << " DISABLE TRIGGER ALL";
    } else {
      sql_ << "PRAGMA synchronous=OFF"; // thousands of alterations, none to be kept
      for (const char* trigger :
           {"entries_stay", "entries_remain", "entries_follow", "files_stay", "files_remain", "files_once"})
        sql_ << "DROP TRIGGER " << trigger;
    }
    for (const char* table : {"entries", "files"})
      sql_ << "CREATE TABLE kept_" << table << " AS SELECT * FROM " << table;
  }
  void does(const std::string& statement) { sql_ << statement; }
  [[nodiscard]] std::string reads(const std::string& query) {
    std::string out;
    sql_ << query, soci::into(out);
    return out;
  }
  void writes(const std::string& statement, const std::string& value) { sql_ << statement, soci::use(value); }
  /// All rows as they were when the intruder came.
  void restores() {
    for (const char* table : {"entries", "files"}) {
      sql_ << "DELETE FROM " << table;
      sql_ << "INSERT INTO " << table << " SELECT * FROM kept_" << table;
    }
  }

 private:
  soci::session sql_;
};

} // namespace coldbag::test
