// Highest, lowest and mean of an interval are no probes of their own.
#include "logs/samples.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <vector>

namespace coldbag {
namespace {

/// Names of the columns read, in a log of this header.
std::vector<std::string> read_of(const std::string& header, const LogOptions& options = {}) {
  const auto columns = static_cast<std::size_t>(std::count(header.begin(), header.end(), ','));
  std::string text = header + "\n";
  for (const char* time : {"2026-03-08 14:00", "2026-03-08 14:01"}) {
    text += time;
    for (std::size_t i = 0; i < columns; ++i)
      text += ",96." + std::to_string(i);
    text += "\n";
  }
  const ProbeLog log = test::open_text(text, options);
  std::vector<std::string> names;
  for (const int column : log.value_columns())
    names.push_back(log.understanding().columns[static_cast<std::size_t>(column)].name);
  return names;
}

using Names = std::vector<std::string>;

} // namespace

TEST_CASE("of highest, lowest and mean the mean is the probe") {
  CHECK(read_of("Time,T1 max (C),T1 min (C),T1 avg (C)") == Names{"T1 avg"});
  CHECK(read_of("Time,Min T1 (C),Mean T1 (C),T2 (C)") == Names{"Mean T1", "T2"});
  CHECK(read_of("Fecha,T1 m\u00E1x. (C),T1 promedio (C)") == Names{"T1 promedio"});
}

TEST_CASE("the reading itself stands before its mean") {
  CHECK(read_of("Time,T1 (C),T1 max (C),T1 min (C),T1 avg (C)") == Names{"T1"});
  CHECK(read_of("Time,Temp (C),Max (C),Min (C)") == Names{"Temp"});
}

TEST_CASE("where only highest and lowest are there the lowest is read, and that is said") {
  const ProbeLog log =
      test::open_text("Time,T1 max (C),T1 min (C)\n2026-03-08 14:00,97,96\n2026-03-08 14:01,97,96\n");
  const auto& columns = log.understanding().columns;
  CHECK(columns[1].kind.value == ColumnKind::ignored);
  CHECK(columns[1].kind.evidence == "holds highest readings; \"T1 min\" is read for this probe");
  CHECK(columns[2].kind.value == ColumnKind::temperature);
  CHECK(columns[2].kind.evidence.find("holds lowest readings, taken for the probe's reading") !=
        std::string::npos);
  CHECK(test::all_rows(log).rows.value == std::vector<std::vector<double>>{{96, 96}});
}

TEST_CASE("highest readings alone are not read unless they are named") {
  CHECK(read_of("Time,T1 (C),T2 max (C)") == Names{"T1"});
  CHECK_THROWS_WITH_AS(read_of("Time,T1 max (C)"),
                       doctest::Contains("no column holds the lowest, the mean or the reading"), UserError);
  LogOptions named;
  named.probe_columns = {"T1 max"};
  CHECK(read_of("Time,T1 max (C)", named) == Names{"T1 max"});
}

TEST_CASE("words within a name do not make a summary of it") {
  CHECK(read_of("Time,Maxway bag (C),Minced straw (C)") == Names{"Maxway bag", "Minced straw"});
}

TEST_CASE("a word that may be part of a probe's name leaves no probe out") {
  CHECK(read_of("Time,Bolsa (C),Bolsa media (C)") == Names{"Bolsa", "Bolsa media"});
  CHECK(read_of("Time,Max (C),Core (C)") == Names{"Max", "Core"});
  CHECK(read_of("Time,MAX 1 (C),MAX 2 (C)") == Names{"MAX 1", "MAX 2"});
  CHECK(read_of("Time,MAX31855 (C),MAX31855 2 (C)") == Names{"MAX31855", "MAX31855 2"});
  CHECK(read_of("Time,Bolsa (C),Bolsa media (C),Bolsa max (C)") == Names{"Bolsa"});
}

TEST_CASE("a summary that is left out needs no unit") {
  CHECK(read_of("Time,T1 (C),T1 max,T1 avg") == Names{"T1"});
  CHECK_THROWS_WITH_AS(read_of("Time,T1 (C),T2 avg"), doctest::Contains("T2 avg: has no temperature unit"),
                       UserError);
}

} // namespace coldbag
