#include "farm/fit.h"

#include <doctest/doctest.h>

#include <string>

using namespace coldbag;

namespace {

// Invented.
const Site& site() {
  static const Site farm = read_site("site.toml", R"toml([site]
altitude = "1150 m"
[vessels.north]
[bags.brick]
[probes.one]
column = "T1"
place = "bag"
bag = "brick"
class = "tc-k1"
[[probes.one.check]]
correction = "-0.4 K"
)toml");
  return farm;
}

RunFile run_of(const std::string& keys, const std::string& rest = "") {
  return read_run_file("run.toml", "[run]\n" + keys + "\n[[log]]\nfile = \"log.csv\"\n" + rest);
}

std::string misfit(const RunFile& run) {
  try {
    check_fit(site(), run, run.load.value_or(Load{}));
  } catch (const UserError& error) {
    return error.what();
  }
  return "";
}

} // namespace

TEST_CASE("a run that fits its site passes in silence") {
  CHECK(misfit(run_of("vessel = \"north\"", "[[load.bags]]\nbag = \"brick\"\ncount = 3\n")).empty());
}

TEST_CASE("names that the site does not have are refused all at once, the nearest named") {
  const RunFile run = run_of("vessel = \"noth\"",
                             "[[load.bags]]\nbag = \"brik\"\ncount = 3\n[probes.two]\nbag = \"column\"\n");
  const std::string message = misfit(run);
  CHECK(message.find("run.toml:2:10: run.vessel: there is no vessel in the site file called \"noth\"; did "
                     "you mean north?") == 0);
  CHECK(message.find("called \"brik\"; did you mean brick?") != std::string::npos);
  CHECK(message.find("called \"column\"; known: brick") != std::string::npos);
}

TEST_CASE("what the run says of a probe goes before the site, key by key") {
  const RunFile run =
      run_of("", "[probes.one]\ncolumn = \"T7\"\nposition = \"upper layer\"\nclass = \"?\"\n"
                 "[[probes.one.check]]\ncorrection = \"0.1 K\"\n[probes.new]\nplace = \"vessel\"\n");
  const std::vector<Probe> probes = probes_of_run(site(), run);
  REQUIRE(probes.size() == 2);
  CHECK(probes[0].column.value == "T7");
  CHECK(probes[0].bag.value == "brick");
  CHECK(probes[0].position.value == "upper layer");
  CHECK(probes[0].probe_class.asked);
  CHECK_FALSE(probes[0].probe_class.known());
  CHECK(probes[0].checks.size() == 2);
  CHECK(probes[1].name == "new");
}

TEST_CASE("a probe that the run puts into the steam space is in no bag") {
  const std::vector<Probe> probes = probes_of_run(site(), run_of("", "[probes.one]\nplace = \"vessel\"\n"));
  CHECK(probes[0].role.value == ProbeRole::vessel);
  CHECK_FALSE(probes[0].bag.known());
}

// ISO 2533:1975, table of the standard atmosphere: 1,000 m has 89.876 kPa (from memory); 1,150 m lies a
// little lower.
TEST_CASE("a barometer's reading that does not fit the altitude is refused with both values") {
  const Place place{"run.toml", 2, 20, "run.pressure_at_site"};
  CHECK_FALSE(pressure_misfit(88200, place, 1150));
  CHECK_FALSE(pressure_misfit(85000, place, 1150));
  const std::optional<Complaint> misfit = pressure_misfit(101300, place, 1150);
  REQUIRE(misfit);
  const std::string message = to_text(*misfit);
  CHECK(message.find("run.toml:2:20: run.pressure_at_site: 101.3 kPa does not fit the altitude") == 0);
  CHECK(message.find("88.3 kPa") != std::string::npos);
  CHECK(message.find("pressure_at_sea_level") != std::string::npos);
}
