// What holds for all tables of shared/ together: sources resolve, none is an orphan, rows stand by key.
#include "tables/basis_words.h"
#include "tables/built_in.h"
#include "tables/edition.h"
#include "tables/table.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <set>
#include <sstream>

using namespace coldbag;

namespace {

constexpr std::array<std::string_view, 3> seen_words{"yes", "second-hand", "no"};
constexpr std::array source_rules{
    ColumnRule{.name = "key", .required = true},
    ColumnRule{.name = "authors"},
    ColumnRule{.name = "title", .required = true},
    ColumnRule{.name = "year", .kind = CellKind::number, .lowest = 1800, .highest = 2100},
    ColumnRule{.name = "where"},
    ColumnRule{.name = "identifier"},
    ColumnRule{.name = "edition"},
    ColumnRule{.name = "seen", .kind = CellKind::choice, .required = true, .choices = seen_words},
    ColumnRule{.name = "erratum"},
};

std::string first_line(std::string_view bytes) {
  return std::string(bytes.substr(0, bytes.find('\n')));
}

std::vector<std::string> columns_of(std::string_view bytes) {
  std::vector<std::string> names;
  std::stringstream header(first_line(bytes));
  for (std::string name; std::getline(header, name, ',');)
    names.push_back(name);
  return names;
}

/// Any table, its cells as text.
Table read_freely(const BuiltInTable& table) {
  const std::vector<std::string> names = columns_of(table.bytes);
  std::vector<ColumnRule> rules;
  for (const std::string& name : names) {
    ColumnRule rule{.name = name};
    if (name == "basis")
      rule = {.name = name, .kind = CellKind::choice, .required = true, .choices = basis_words};
    rules.push_back(rule);
  }
  return Table::read(table.name, table.bytes, rules);
}

bool has_column(const BuiltInTable& table, std::string_view column) {
  const std::vector<std::string> names = columns_of(table.bytes);
  return std::ranges::find(names, column) != names.end();
}

std::set<std::string> sources_in_csv(const BuiltInTable& table) {
  std::set<std::string> sources;
  if (!has_column(table, "source")) return sources;
  const Table rows = read_freely(table);
  for (const TableRow& row : rows.rows())
    sources.insert(row.text("source"));
  return sources;
}

/// Every value of `source = "..."`, wherever it stands in a line.
std::set<std::string> sources_in_toml(std::string_view text) {
  std::set<std::string> sources;
  constexpr std::string_view mark = "source = \"";
  for (std::size_t at = text.find(mark); at != std::string_view::npos; at = text.find(mark, at)) {
    at += mark.size();
    sources.emplace(text.substr(at, text.find('"', at) - at));
  }
  return sources;
}

std::set<std::string> sources_used() {
  std::set<std::string> used;
  for (const BuiltInTable& table : built_in_tables())
    used.merge(table.name.ends_with(".csv") ? sources_in_csv(table) : sources_in_toml(table.bytes));
  used.erase("");
  return used;
}

std::set<std::string> sources_known() {
  const TableFiles files = TableFiles::built_in();
  const Table table = Table::read("sources.csv", files.bytes("sources.csv"), source_rules);
  std::set<std::string> known;
  for (const TableRow& row : table.rows())
    known.insert(row.key());
  return known;
}

} // namespace

TEST_CASE("every source that a table names stands in sources.csv, and none stands there unused") {
  CHECK(sources_used().size() > 20);
  CHECK(sources_used() == sources_known());
}

TEST_CASE("a published figure names its source") {
  for (const BuiltInTable& table : built_in_tables()) {
    if (!table.name.ends_with(".csv") || !has_column(table, "basis") || !has_column(table, "source"))
      continue;
    const Table rows = read_freely(table);
    for (const TableRow& row : rows.rows()) {
      CAPTURE(table.name);
      CAPTURE(row.key());
      CHECK((row.text("basis") != "published" || !row.text("source").empty()));
    }
  }
}

TEST_CASE("rows stand in the order of their keys") {
  for (const BuiltInTable& table : built_in_tables()) {
    if (!table.name.ends_with(".csv") || columns_of(table.bytes).front() != "key") continue;
    CAPTURE(table.name);
    const Table rows = read_freely(table);
    CHECK(std::ranges::is_sorted(rows.rows(), {}, &TableRow::key));
  }
}
