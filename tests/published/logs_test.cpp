// The published logs through the program itself: file in, figure out.
#include "support/approx.h"

#include <nlohmann/json.hpp>

#include <doctest/doctest.h>

#include <cstdio>
#include <string>
#include <sys/wait.h>

using coldbag::test::within;

namespace {

const std::string data = COLDBAG_SOURCE_DIR "/tests/published/data/";

struct Answer {
  int status = -1;
  nlohmann::json report;
};

Answer ask(const std::string& arguments) {
  const std::string line =
      "'" COLDBAG_PROGRAM "' check " + arguments + " --treatment sterilize --altitude '0 m' --json";
  CAPTURE(line);
  std::FILE* pipe = popen(line.c_str(), "r");
  REQUIRE(pipe != nullptr);
  std::string text;
  char part[4096];
  for (std::size_t n = 0; (n = std::fread(part, 1, sizeof part, pipe)) > 0;)
    text.append(part, n);
  const int status = pclose(pipe);
  REQUIRE(WIFEXITED(status));
  Answer answer{WEXITSTATUS(status), nlohmann::json::parse(text, nullptr, false)};
  REQUIRE(answer.report.is_object());
  return answer;
}

// F of the whole log, minutes; the report stands by its probe.
double F_minutes_all(const nlohmann::json& report, const std::string& probe) {
  for (const nlohmann::json& one : report.at("probes"))
    if (one.at("name") == probe) return one.at("F_minutes_all").get<double>();
  FAIL("no probe of this name in the report");
  return -1;
}

std::string file(const char* name) {
  return "'" + data + name + "'";
}

} // namespace

TEST_CASE("a worksheet's log in Fahrenheit, read and judged by the program") {
  // Spanish-language class worksheet on food preservation ("Conservacion de alimentos"), Table 1, in a
  // document-sharing library (document 423874786), no date: 21.68993687 by rectangles. Straight runs between
  // the readings give 20.981363; nearly all of the difference comes from the two steps of cooling.
  const Answer degF = ask(file("worksheet-steady-degF.csv") + " --in-bag Core --reference '250 F, 18 F'");
  const double F_minutes = F_minutes_all(degF.report, "Core");
  CHECK(within(F_minutes, 20.981363, 0.5e-6));
  CHECK(within(21.68993687 / F_minutes - 1, 0.0338, 0.5e-3));
}

TEST_CASE("the same log in Celsius gives the same F") {
  const Answer degC = ask(file("worksheet-steady-degC.csv") + " --in-bag Core --reference '250 F, 18 F'");
  CHECK(within(F_minutes_all(degC.report, "Core"), 20.981363, 0.5e-6));
}

TEST_CASE("an uneven log with two probes") {
  // University exercise "Metodo General y Ball" (Spanish), tomato sauce in a retort, in document-sharing
  // libraries, no date; the printed total could not be read. Computed in another program: straight runs
  // 7.2901, trapezoids 7.4640; 17.849 by trapezoids if the retort's probe is taken by mistake.
  const Answer answer = ask(file("tomato-sauce-uneven-degC.csv") +
                            " --in-bag Product --vessel Retort --reference '121.1 C, 10 K'");
  CHECK(within(F_minutes_all(answer.report, "Product"), 7.2901, 0.5e-4));
  const double retort_minutes = F_minutes_all(answer.report, "Retort");
  CHECK(retort_minutes > 2.3 * 7.2901);
  CHECK(retort_minutes < 17.849); // never above the trapezoids
  CHECK(answer.report.at("coldest").at("probe") == "Product");
}

TEST_CASE("every name of the same reference gives the same F") {
  const std::string log = file("tomato-sauce-uneven-degC.csv") + " --in-bag Product --vessel Retort";
  const double named = F_minutes_all(ask(log + " --reference f0").report, "Product");
  CHECK(named == F_minutes_all(ask(log + " --reference '121.1 C, 10 K'").report, "Product"));
  // 250 F is 0.26 % away, 121.0 C 2.33 %.
  const double degF = F_minutes_all(ask(log + " --reference '250 F, 18 F'").report, "Product");
  CHECK(within(named / degF - 1, 0.0026, 0.5e-4));
  const double rounded = F_minutes_all(ask(log + " --reference f0-121").report, "Product");
  CHECK(within(rounded / named - 1, 0.0233, 0.5e-4));
}
