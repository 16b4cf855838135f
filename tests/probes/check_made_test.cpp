// A check as made: fixed points, uncertainty, and where a log shows a probe at rest.
#include "probes/check_made.h"
#include "probes/rest.h"
#include "steam/atmosphere.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

using namespace coldbag;
using coldbag::test::within;

namespace {

const CheckRules& rules() {
  static const CheckRules built_in = read_check_rules(TableFiles::built_in());
  return built_in;
}

struct Trace {
  std::vector<double> time_s, degC;
  void stay(double value, int readings, double step_s = 10) {
    for (int i = 0; i < readings; ++i) {
      time_s.push_back(time_s.empty() ? 0 : time_s.back() + step_s);
      degC.push_back(value + (i % 2 == 0 ? 0.05 : -0.05));
    }
  }
  void run(double from, double to, int readings) {
    for (int i = 0; i < readings; ++i) {
      time_s.push_back(time_s.empty() ? 0 : time_s.back() + 10);
      degC.push_back(from + (to - from) * i / readings);
    }
  }
};

std::string refusal(const std::string& csv) {
  try {
    (void)read_check_rules("rules.csv", csv);
  } catch (const UserError& error) {
    return error.what();
  }
  return "";
}

} // namespace

TEST_CASE("water boils where the table of altitudes says") {
  // Boiling point by altitude, computed in another program from the standard atmosphere and IAPWS-IF97.
  struct Row {
    double altitude_m, degC;
  };
  for (const Row& row :
       {Row{0, 99.97}, Row{500, 98.31}, Row{1000, 96.65}, Row{2000, 93.32}, Row{3000, 89.97}}) {
    CAPTURE(row.altitude_m);
    CHECK(within(boil_degC(standard_pressure_Pa(row.altitude_m)), row.degC, 0.0101));
  }
  CHECK(boil_degC(standard_pressure_Pa(500)) == 98.31);
}

TEST_CASE("a swing of three kilopascal moves the boiling point by eight tenths") {
  CheckRules bare = rules();
  bare.boil_half_K = 0;
  CHECK(within(boil_reference_u_K(101325, 3000, bare) * std::sqrt(3.0), 0.83, 0.01)); // 0.2765 K a kPa
}

TEST_CASE("u of a point has reference, resolution and spread") {
  const PointRead read{{99.1, 98.31}, 0.3, 0.1, 0.04};
  CHECK(within(point_u_K(read), std::sqrt(0.09 + 0.01 / 12 + 0.0016), 1e-12));
}

TEST_CASE("a check takes the less sure of its points, rounded up") {
  const PointRead ice{{0.4, 0}, 0.05, 0, 0};
  const PointRead boil{{99.1, 98.31}, 0.201, 0, 0};
  const ProbeCheck check = made_check(ice, boil);
  CHECK(check.u_K == 0.21);
  CHECK(within(check.correction.gain, 0.996049, 0.5e-6));
  CHECK(within(check.correction.offset_K, -0.398419, 0.5e-6));
  CHECK(within(corrected_degC(check.correction, 95.0), 94.226, 0.5e-3));
  CHECK(made_check(ice, std::nullopt).correction == Correction{1, -0.4});
}

TEST_CASE("a probe at rest in ice, then at the boil, is found among all else") {
  Trace trace;
  trace.stay(22, 40);
  trace.run(22, 0.4, 30);
  trace.stay(0.4, 30);
  trace.run(0.4, 99, 40);
  trace.stay(99.1, 25);
  trace.run(99, 30, 60);
  const auto ice = find_rest(trace.time_s, trace.degC, 0, rules());
  REQUIRE(ice);
  CHECK(within(ice->mean_degC, 0.4, 0.02));
  CHECK(within(ice->spread_K, 0.05, 0.02));
  CHECK(ice->readings >= 30);
  const auto boil = find_rest(trace.time_s, trace.degC, 98.31, rules());
  REQUIRE(boil);
  CHECK(within(boil->mean_degC, 99.1, 0.02));
  CHECK(boil->from_s > ice->to_s);
}

TEST_CASE("a rest too short, too restless, too far off or across a silence is none") {
  Trace brief;
  brief.stay(0.4, 12); // 110 s
  CHECK_FALSE(find_rest(brief.time_s, brief.degC, 0, rules()));
  brief.stay(0.4, 1);
  CHECK(find_rest(brief.time_s, brief.degC, 0, rules()));
  Trace falling;
  falling.run(4, -4, 100); // 0.96 K in two minutes
  CHECK_FALSE(find_rest(falling.time_s, falling.degC, 0, rules()));
  Trace far_off;
  far_off.stay(5.2, 60);
  CHECK_FALSE(find_rest(far_off.time_s, far_off.degC, 0, rules()));
  Trace silent;
  silent.stay(0.4, 6);
  silent.time_s.push_back(silent.time_s.back() + 400);
  silent.degC.push_back(0.4);
  silent.stay(0.4, 6);
  CHECK_FALSE(find_rest(silent.time_s, silent.degC, 0, rules()));
}

TEST_CASE("the rules of checks are refused where a row is missing, strange, negative or in another unit") {
  const std::string all(TableFiles::built_in().bytes("check-rules.csv"));
  const auto changed = [&](const std::string& from, const std::string& to) {
    std::string text = all;
    const std::size_t at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
  };
  CHECK(refusal(all).empty());
  CHECK(refusal(changed("ice_half,", "icy_half,")).find("ice_half: this row is missing") !=
        std::string::npos);
  CHECK(refusal(changed("ice_half,", "icy_half,")).find("icy_half\" is no figure") != std::string::npos);
  CHECK(refusal(changed("ice_half,0.1,K", "ice_half,0.1,F")).find("write the value in K") !=
        std::string::npos);
  CHECK(refusal(changed("ice_half,0.1", "ice_half,-0.1")).find("out of range") != std::string::npos);
}
