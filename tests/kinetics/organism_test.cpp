#include "kinetics/organism.h"

#include "errors/user_error.h"
#include "kinetics/reference_table.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <array>
#include <cmath>

using namespace coldbag;
using coldbag::test::within;

namespace {

const std::string header =
    "key,name,kind,D_minutes,lowest_D_minutes,highest_D_minutes,at_degC,z_K,lowest_z_K,"
    "highest_z_K,lowest_degC,highest_degC,lowest_moisture_wb,medium,source,locator,"
    "basis,note\n";

const Organism& organism(const std::vector<Organism>& organisms, std::string_view key) {
  const Organism* found = find_organism(organisms, key);
  REQUIRE(found != nullptr);
  return *found;
}

double D_at(const Organism& organism, double t_degC) {
  return organism.D_minutes * std::pow(10, (organism.at_degC - t_degC) / organism.z_K);
}

struct Broken {
  const char* what;
  std::string row;
  int column;
  const char* problem;
  const char* remedy;
};

} // namespace

TEST_CASE("the organisms built in are read, ranges where the source gives them") {
  const std::vector<Organism> organisms = read_organisms(TableFiles::built_in());
  const Organism& classic = organism(organisms, "botulinum-classic");
  CHECK(classic.D_minutes == 0.21);
  CHECK(classic.at_degC == 121.1);
  CHECK(classic.z_K == 10);
  CHECK_FALSE(classic.highest_D_minutes.has_value());
  const Organism& flat_sour = organism(organisms, "flat-sour");
  CHECK(flat_sour.lowest_D_minutes == 4.0);
  CHECK(flat_sour.highest_D_minutes == 5.0);
  CHECK(flat_sour.highest_z_K == 12.2);
  CHECK(organism(organisms, "bacillus-subtilis-wild").basis == "assumed");
  CHECK(find_organism(organisms, "unicorn") == nullptr);
}

// Odlaug and Pflug, Appl. Environ. Microbiol. 34:23-29 (1977), abstract: 17.6 min at 104.4 C, 4.4 at 110.0.
TEST_CASE("D and z of C. botulinum A16037 give back the other temperatures of the paper") {
  const std::vector<Organism> organisms = read_organisms(TableFiles::built_in());
  const Organism& row = organism(organisms, "botulinum-a16037");
  CHECK(within(D_at(row, 110.0), 4.4, 0, 0.1));
  CHECK(within(D_at(row, 104.4), 17.6, 0, 0.1));
}

// USDA FSIS Appendix A (1999), 7-log column: 121 min at 130 F, 37 at 135 F, 144 s at 147 F.
TEST_CASE("the Salmonella row gives back the 7-log column it was fitted to") {
  const std::vector<Organism> organisms = read_organisms(TableFiles::built_in());
  const Organism& row = organism(organisms, "salmonella-meat");
  CHECK(within(7 * D_at(row, 54.444), 121, 0, 0.03));
  CHECK(within(7 * D_at(row, 57.222), 37, 0, 0.05));
  CHECK(within(7 * D_at(row, 63.889) * 60, 144, 0, 0.03));
}

// Doyle and Marth (1975), abstract: 3 to 29 min at 55 C.
TEST_CASE("the Aspergillus row gives back the range at 55 C from either end") {
  const std::vector<Organism> organisms = read_organisms(TableFiles::built_in());
  const Organism& row = organism(organisms, "aspergillus-conidia");
  CHECK(within(*row.lowest_D_minutes * std::pow(10, 5 / *row.highest_z_K), 3, 0, 0.03));
  CHECK(within(*row.highest_D_minutes * std::pow(10, 5 / *row.lowest_z_K), 29, 0, 0.03));
}

TEST_CASE("a broken row of organisms names its cell and what is allowed") {
  const std::array cases{
      Broken{"D of nothing", "a,A,conidium,0,,,60,5,,,,,,,,,assumed,", 14, "0 is out of range",
             "a number of 1e-06 or more"},
      Broken{"no D", "a,A,conidium,,,,60,5,,,,,,,,,assumed,", 14, "is empty", "write a number of"},
      Broken{"z of nothing", "a,A,conidium,1,,,60,0,,,,,,,,,assumed,", 21, "0 is out of range",
             "from 1 to 100"},
      Broken{"no kind", "a,A,yeti,1,,,60,5,,,,,,,,,assumed,", 5, "\"yeti\" is not allowed",
             "bacterial spore"},
      Broken{"no basis", "a,A,conidium,1,,,60,5,,,,,,,,,guessed,", 31, "\"guessed\" is not allowed",
             "assumed"},
      Broken{"lowest D above D", "a,A,conidium,1,2,3,60,5,,,,,,,,,assumed,", 16, "2 lies above D_minutes, 1",
             "a range that holds the value"},
      Broken{"highest z below z", "a,A,conidium,1,,,60,5,3,4,,,,,,,assumed,", 25, "4 lies below z_K, 5",
             "a range that holds the value"},
      Broken{"measured elsewhere", "a,A,conidium,1,,,60,5,,,65,70,,,,,assumed,", 25,
             "65 lies above at_degC, 60", "a range that holds the value"},
      Broken{"moisture in per cent", "a,A,conidium,1,,,60,5,,,,,50,,,,assumed,", 27, "50 is out of range",
             "from 0 to 1"},
  };
  for (const Broken& broken : cases) {
    CAPTURE(broken.what);
    try {
      static_cast<void>(read_organisms("mine.csv", header + broken.row + "\n"));
      FAIL("nothing was thrown");
    } catch (const UserError& error) {
      REQUIRE(error.complaints().size() == 1);
      const Complaint& complaint = error.complaints().front();
      CAPTURE(to_text(complaint));
      CHECK(complaint.place.line == 2);
      CHECK(complaint.place.column == broken.column);
      CHECK(complaint.problem.find(broken.problem) != std::string::npos);
      CHECK(complaint.remedy.find(broken.remedy) != std::string::npos);
    }
  }
}

TEST_CASE("F0 and its variants, A0 from 65 C and the others are read") {
  const std::vector<NamedReference> references = read_references(TableFiles::built_in());
  const auto reference = [&](std::string_view key) {
    const NamedReference* found = find_reference(references, key);
    REQUIRE(found != nullptr);
    return found->reference;
  };
  CHECK(reference("f0") == Reference{"F0", 121.1, 10, std::nullopt, std::nullopt});
  CHECK(reference("f0-121").at_degC == 121.0);
  CHECK(within(reference("f0-250f").at_degC, (250.0 - 32) / 1.8, 2e-4));
  CHECK(reference("a0") == Reference{"A0", 80, 10, 65.0, std::nullopt});
  CHECK(reference("f100").at_degC == 100);
  CHECK(reference("f70") == Reference{"F70", 70, 7.5, std::nullopt, std::nullopt});
  CHECK(find_reference(references, "f9") == nullptr);
}

// Del Vecchio and others (1951), second-hand: 1.393 for each degree above 60 C.
TEST_CASE("pasteurization units grow by 1.393 a degree") {
  const std::vector<NamedReference> references = read_references(TableFiles::built_in());
  const NamedReference* units = find_reference(references, "pu");
  REQUIRE(units != nullptr);
  CHECK(units->reference.at_degC == 60);
  CHECK(within(std::pow(10, 1 / units->reference.z_K), 1.393, 1e-5));
}

TEST_CASE("a reference without z is refused at its cell") {
  try {
    static_cast<void>(read_references(
        "mine.csv",
        "key,name,at_degC,z_K,counts_from_degC,source,locator,basis,note\nf9,F9,100,,,,,site,\n"));
    FAIL("nothing was thrown");
  } catch (const UserError& error) {
    CHECK(std::string(error.what()) == "mine.csv:2:11: z_K: is empty; write a number from 1 to 100");
  }
}
