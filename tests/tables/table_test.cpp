#include "tables/table.h"

#include "errors/our_fault.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>

using namespace coldbag;

namespace {

constexpr std::array<std::string_view, 2> colours{"red", "blue"};
constexpr std::array rules{
    ColumnRule{.name = "key", .required = true},
    ColumnRule{.name = "name", .required = true},
    ColumnRule{.name = "mass_kg", .kind = CellKind::number, .lowest = 0, .highest = 100},
    ColumnRule{.name = "colour", .kind = CellKind::choice, .required = true, .choices = colours},
};
const std::string header = "key,name,mass_kg,colour\n";

Table read(const std::string& csv) {
  return Table::read("bad.csv", csv, rules);
}

std::vector<Complaint> complaints_of(const std::string& csv) {
  try {
    static_cast<void>(read(csv));
  } catch (const UserError& error) {
    return error.complaints();
  }
  return {};
}

/// A broken table and what its first complaint must say.
struct Broken {
  const char* what;
  std::string csv;
  int line;
  int column;
  const char* problem;
  const char* remedy;
};

} // namespace

TEST_CASE("rows are found by key and keep the order of the file") {
  const Table table = read(header + "b,second first,2.5,red\na,first last,,blue\n");
  REQUIRE(table.rows().size() == 2);
  CHECK(table.rows()[0].key() == "b");
  const TableRow* a = table.find("a");
  REQUIRE(a != nullptr);
  CHECK(a->text("name") == "first last");
  CHECK(a->place() == Place{"bad.csv", 3, 1, "a"});
  CHECK(table.find("c") == nullptr);
}

TEST_CASE("an empty cell is not known and never zero") {
  const Table table = read(header + "a,one,,red\nb,two,0,red\n");
  CHECK_FALSE(table.find("a")->number("mass_kg").has_value());
  CHECK(table.find("b")->number("mass_kg") == 0.0);
  CHECK(table.find("b")->required_number("mass_kg") == 0.0);
  CHECK_THROWS_AS(static_cast<void>(table.find("a")->required_number("mass_kg")), OurFault);
}

TEST_CASE("a column that no rule names is our fault") {
  const Table table = read(header + "a,one,,red\n");
  CHECK_THROWS_AS(static_cast<void>(table.find("a")->text("weight")), OurFault);
}

TEST_CASE("columns may stand in any order behind the key") {
  const Table table = read("key,colour,mass_kg,name\na,red,3,one\n");
  CHECK(table.find("a")->text("name") == "one");
  CHECK(table.find("a")->number("mass_kg") == 3.0);
}

TEST_CASE("quoted cells hold commas and doubled quotes") {
  const Table table = read(header + "a,\"5\"\" pipe, bare\",1,red\nb,\"\"\"\",1,\"blue\"\n");
  CHECK(table.find("a")->text("name") == "5\" pipe, bare");
  CHECK(table.find("b")->text("name") == "\"");
  CHECK(table.find("b")->text("colour") == "blue");
}

TEST_CASE("byte order mark, carriage returns, empty lines and a missing last line end are borne") {
  const Table table = read("\xEF\xBB\xBFkey,name,mass_kg,colour\r\na,one,1,red\r\n\r\nb,two,2,blue");
  REQUIRE(table.rows().size() == 2);
  CHECK(table.find("b")->text("colour") == "blue");
  CHECK(table.find("b")->place().line == 4);
}

TEST_CASE("a broken table names line, column and what is allowed") {
  const std::array cases{
      Broken{"nothing", "", 1, 1, "the table is empty", "key, name, mass_kg or colour"},
      Broken{"unknown column", "key,name,weight,mass_kg,colour\n", 1, 10, "no such column",
             "columns are key, name, mass_kg or colour"},
      Broken{"missing column", "key,name,colour\n", 1, 1, "the column is missing", "mass_kg"},
      Broken{"doubled column", "key,name,mass_kg,colour,name\n", 1, 25, "stands twice", "delete"},
      Broken{"key not first", "name,key,mass_kg,colour\n", 1, 1, "not the first column", "put it first"},
      Broken{"too few cells", header + "a,one,1\n", 2, 7, "3 cells, the header 4", "write 4 cells"},
      Broken{"too many cells", header + "a,one,1,red,x\n", 2, 13, "5 cells, the header 4", "in quotes"},
      Broken{"no number", header + "a,one,heavy,red\n", 2, 7, "\"heavy\" is not a number", "from 0 to 100"},
      Broken{"decimal comma", header + "a,one,\"2,5\",red\n", 2, 7, "\"2,5\" is not a number", "a point"},
      Broken{"unit", header + "a,one,5 kg,red\n", 2, 7, "\"5 kg\" is not a number", "without a unit"},
      Broken{"not finite", header + "a,one,nan,red\n", 2, 7, "\"nan\" is not a number", "from 0 to 100"},
      Broken{"too high", header + "a,one,101,red\n", 2, 7, "101 is out of range", "from 0 to 100"},
      Broken{"too low", header + "a,one,-1,red\n", 2, 7, "-1 is out of range", "from 0 to 100"},
      Broken{"no choice", header + "a,one,1,Red\n", 2, 9, "\"Red\" is not allowed", "red or blue"},
      Broken{"choice empty", header + "a,one,1,\n", 2, 9, "is empty", "red or blue"},
      Broken{"text empty", header + "a,,1,red\n", 2, 3, "is empty", "text"},
      Broken{"doubled key", header + "a,one,1,red\na,two,1,red\n", 3, 1, "already in line 2", "of its own"},
      Broken{"no key", header + ",one,1,red\n", 2, 1, "is no key", "small letters"},
      Broken{"large letters in a key", header + "A,one,1,red\n", 2, 1, "\"A\" is no key", "small letters"},
      Broken{"space about a cell", header + "a, one,1,red\n", 2, 3, "begins or ends", "delete the space"},
      Broken{"quote not closed", header + "a,\"one,1,red\n", 2, 3, "not closed", "close it"},
      Broken{"quote inside", header + "a,5\" pipe,1,red\n", 2, 3, "inside a cell", "twice"},
      Broken{"text behind a quote", header + "a,\"one\"x,1,red\n", 2, 3, "inside a cell", "twice"},
      Broken{"zero byte", header + std::string("a,o\0ne,1,red\n", 13), 1, 1, "zero byte", "UTF-8"},
  };
  for (const Broken& broken : cases) {
    CAPTURE(broken.what);
    const std::vector<Complaint> complaints = complaints_of(broken.csv);
    REQUIRE(complaints.size() == 1);
    CAPTURE(to_text(complaints.front()));
    CHECK(complaints.front().place.source_name == "bad.csv");
    CHECK(complaints.front().place.line == broken.line);
    CHECK(complaints.front().place.column == broken.column);
    CHECK(complaints.front().problem.find(broken.problem) != std::string::npos);
    CHECK(complaints.front().remedy.find(broken.remedy) != std::string::npos);
    CHECK(complaints.front().trouble == Trouble::bad_data);
  }
}

TEST_CASE("every fault of a table is told at once") {
  const std::vector<Complaint> complaints =
      complaints_of(header + "a,one,x,red\nb,,200,green\na,two,1,red\nc,three\n");
  REQUIRE(complaints.size() == 6);
  CHECK(std::ranges::is_sorted(complaints, {}, [](const Complaint& each) { return each.place.line; }));
  CHECK(to_text(complaints[0]) ==
        "bad.csv:2:7: mass_kg: \"x\" is not a number; allowed is a number from 0 to "
        "100, with a point as decimal mark and without a unit");
}
