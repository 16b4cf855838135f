// A check added behind a site file: all that was there stays, byte for byte.
#include "farm/check_text.h"
#include "farm/site.h"

#include <doctest/doctest.h>

#include <string>

using namespace coldbag;

namespace {

const std::string plain =
    "# a farm\n[site]\naltitude = \"500 m\"\n\n[probes.\"Core 1\"] # cold\nclass=\"pt-a\"\n";

ProbeCheck some_check() {
  ProbeCheck check;
  check.on = wall_time({2026, 3, 1, 10, 30, 0});
  check.has_clock = true;
  check.how = "ice and boil";
  check.low = CheckPoint{0.4, 0};
  check.high = CheckPoint{99.1, 98.31};
  check.correction = correction_of(check.low, check.high);
  check.u_K = 0.2;
  check.reference_u_K = 0.1;
  check.site_pressure_Pa = 95460;
  check.next_due = wall_time({2027, 3, 1, 0, 0, 0});
  check.by = "A \"the first\"";
  return as_written(check);
}

std::string refusal(const std::string& toml, const std::string& probe) {
  try {
    (void)with_checks("f", toml, probe, {some_check()});
  } catch (const UserError& error) {
    return error.what();
  }
  return "";
}

} // namespace

TEST_CASE("the old bytes stay and the check reads back as it was made") {
  for (const std::string& old :
       {plain, plain.substr(0, plain.size() - 1), std::string(plain + "\n# end\n\n")}) {
    CAPTURE(old);
    const std::string bytes = with_checks("f", old, "Core 1", {some_check()});
    CHECK(bytes.substr(0, old.size()) == old);
    const Site site = read_site("f", bytes);
    REQUIRE(site.probes[0].checks.size() == 1);
    ProbeCheck read = site.probes[0].checks[0];
    read.place = {};
    CHECK(read == some_check());
  }
}

TEST_CASE("a second check goes behind the first, and as found before as left") {
  ProbeCheck found = some_check();
  found.state = CheckState::as_found;
  ProbeCheck left = some_check();
  left.state = CheckState::as_left;
  left.low = CheckPoint{0, 0};
  left = as_written(left);
  const std::string once = with_checks("f", plain, "Core 1", {some_check()});
  const std::string twice = with_checks("f", once, "Core 1", {found, left});
  CHECK(twice.substr(0, once.size()) == once);
  const Site site = read_site("f", twice);
  REQUIRE(site.probes[0].checks.size() == 3);
  CHECK(site.probes[0].checks[1].state == CheckState::as_found);
  CHECK(site.probes[0].checks[2].low == CheckPoint{0, 0});
}

TEST_CASE("a file with CR LF line ends gets them in what is added") {
  std::string windows;
  for (const char c : plain)
    windows += c == '\n' ? std::string("\r\n") : std::string(1, c);
  const std::string bytes = with_checks("f", windows, "Core 1", {some_check()});
  CHECK(bytes.substr(0, windows.size()) == windows);
  for (std::size_t at = bytes.find('\n'); at != std::string::npos; at = bytes.find('\n', at + 1))
    CHECK(bytes[at - 1] == '\r');
}

TEST_CASE("a probe that is not there, and checks written as a list, are refused with what to do") {
  CHECK(refusal(plain, "Core 2").find("known: Core 1") != std::string::npos);
  const std::string list = "[site]\n[probes.one]\ncheck = [{ correction = \"0.1 K\" }]\n";
  CHECK(refusal(list, "one").find("[[probes.one.check]]") != std::string::npos);
  CHECK(refusal("probes = { one = { place = \"lid\" } }\n[site]\n", "one").find("of its own") !=
        std::string::npos);
}

TEST_CASE("points that contradict a correction, each other or sense are refused") {
  const auto site_with = [](const std::string& keys) {
    return "[site]\n[probes.one]\n[[probes.one.check]]\n" + keys;
  };
  const auto problem = [&](const std::string& keys) {
    try {
      (void)read_site("f", site_with(keys));
    } catch (const UserError& error) {
      return std::string(error.what());
    }
    return std::string();
  };
  const std::string high = "high = { reads = \"99.1 C\", is = \"98.31 C\" }\n";
  CHECK(problem(high).empty());
  CHECK(problem(high + "correction = \"0 K\"\n").find("say the correction already") != std::string::npos);
  CHECK(problem(high + "low = { reads = \"95 C\", is = \"94 C\" }\n").find("less than 20 K apart") !=
        std::string::npos);
  CHECK(problem("high = { reads = \"99.1 C\", is = \"60 C\" }\n").find("more than 20 K off") !=
        std::string::npos);
  CHECK(problem("high = { reads = \"99.1 C\" }\n").find("is is missing") != std::string::npos);
  CHECK(problem("high = { reads = \"99.1\", is = \"98.31 C\" }\n").find("99.1") != std::string::npos);
  CHECK(problem(high + "state = \"found\"\n").find("as found") != std::string::npos);
  // Not known yet: listed, and the check is not used.
  const Site asked = read_site("f", site_with("high = { reads = \"?\", is = \"98.31 C\" }\n"));
  CHECK(asked.probes[0].checks.empty());
  CHECK(unanswered(asked).size() == 1);
}
