// What showed something in a log, kept in English by the reader of logs, told in another language.
#include "report/words.h"

#include "logs/rows.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <set>
#include <string>

using namespace coldbag;

namespace {

/// The evidence of every choice of a log that is read; nothing of one that is refused.
std::set<std::string> evidence_of(const std::string& path) {
  std::set<std::string> all;
  try {
    const ProbeLog log = ProbeLog::open(Source::file(path), {});
    const Understanding& u = log.understanding();
    all = {u.encoding.evidence, u.delimiter.evidence, u.decimal_mark.evidence,
           u.by_hand.evidence,  u.time.form.evidence, u.time.zone.evidence};
    if (u.time.date_order) all.insert(u.time.date_order->evidence);
    if (u.time.date) all.insert(u.time.date->evidence);
    for (const LogColumn& column : u.columns) {
      all.insert(column.kind.evidence);
      all.insert(column.unit.evidence);
    }
  } catch (const UserError&) {
  }
  return all;
}

} // namespace

TEST_CASE("whatever showed something in a log is told in Spanish") {
  const Words spanish = Words::read(TableFiles::built_in(), "es");
  const Words english = Words::read(TableFiles::built_in(), "en");
  std::set<std::string> all;
  for (const char* folder : {"/tests/logs/odd", "/tests/logs/odd_times", "/examples"})
    for (const auto& entry :
         std::filesystem::recursive_directory_iterator(std::string(COLDBAG_SOURCE_DIR) + folder))
      if (entry.is_regular_file() && entry.path().extension() != ".toml")
        all.merge(evidence_of(entry.path().string()));
  CHECK(all.size() > 150);
  for (const std::string& one : all) {
    CHECK(english.retold(one) == one);
    if (one.empty() || one.starts_with("--")) continue; // an option, as it was typed
    CHECK_MESSAGE(spanish.retold(one) != one, one);
  }
}

TEST_CASE("sentences within sentences are told too, and what the log says stays") {
  const Words spanish = Words::read(TableFiles::built_in(), "es");
  CHECK(spanish.retold("12 of 12 lines have 3 commas") == "12 de 12 líneas tienen 3 comas");
  CHECK(spanish.retold("first time is 0, the header says \"min\"") ==
        "la primera hora es 0, el encabezado dice \"min\"");
  CHECK(spanish.retold(
            "line 3, 13/02/2026, is no date month first; years 69 to 99 are 1969 to 1999, 00 to 68 are "
            "2000 to 2068") == "línea 3, 13/02/2026, no es fecha con primero el mes; los años 69 a 99 son "
                               "1969 a 1999, 00 a 68 son 2000 a "
                               "2068");
  CHECK(spanish.retold("the name says \"first time is; 5\"") == "el nombre dice \"first time is; 5\"");
  CHECK(spanish.retold("nothing of the kind") == "nothing of the kind");
}
