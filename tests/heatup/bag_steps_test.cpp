#include "heatup/bag_steps.h"
#include "support/approx.h"
#include "support/made_bag.h"

#include <doctest/doctest.h>

#include <array>
#include <cmath>

using namespace coldbag;
using namespace coldbag::test;

namespace {

Bag of_form(const std::string& form) {
  Bag bag = tried_bag();
  bag.form = stated(form);
  if (form == "brick") return bag;
  bag.length_m = {};
  bag.width_m = {};
  bag.height_m = stated(form == "slab" ? 0.12 : 0.30);
  if (form == "column") bag.diameter_m = stated(0.13);
  return bag;
}

BagBody body_of(const std::string& form) {
  return describe_bag(of_form(form), {}, {}, heating_tables()).body;
}

constexpr SteamPoint hot{0, 121.1, 205.7e3};
constexpr std::array forms{"brick", "column", "slab"};

} // namespace

TEST_SUITE("a bag moved on step by step") {
  TEST_CASE("what came in is what it holds more, in every form, warm or frozen, warming and cooling") {
    for (const char* form : forms)
      for (const double start_degC : {-10.0, 20.0}) {
        BagSteps bag(body_of(form), {}, heating_tables().vapour,
                     {.at_s = 0, .degC = start_degC, .probe_off_m = 0.01, .fineness = {}});
        const double before_J = bag.held_J();
        for (int i = 0; i < 120; ++i) {
          const bool is_on = i < 60;
          bag.try_step(60, is_on ? hot : SteamPoint{0, 20, 101325}, is_on ? hot.abs_pressure_Pa : 101325);
          bag.keep_step();
        }
        const BagMoment m = bag.moment();
        CAPTURE(form);
        CHECK(within(bag.held_J() - before_J, m.heat_J - m.flashed_J, 1e-3, 1e-9));
        CHECK(m.core_degC > start_degC);
        CHECK(bag.hottest_degC() < 100.1);
        CHECK(m.time_s == 7200);
      }
  }

  TEST_CASE("a step tried again gives the same, and one that is not kept leaves no trace") {
    for (const char* form : forms) {
      BagSteps tried(body_of(form), {}, heating_tables().vapour, {.at_s = 0, .degC = 20, .fineness = {}});
      BagSteps plain(body_of(form), {}, heating_tables().vapour, {.at_s = 0, .degC = 20, .fineness = {}});
      for (int i = 0; i < 30; ++i) {
        tried.try_step(200, {0, 60, 101325}, 101325);
        tried.try_step(60, hot, hot.abs_pressure_Pa);
        tried.keep_step();
        plain.try_step(60, hot, hot.abs_pressure_Pa);
        plain.keep_step();
      }
      CAPTURE(form);
      // The surface is sought from where it was last seen, to a thousandth of a kelvin.
      CHECK(within(tried.moment().core_degC, plain.moment().core_degC, 1e-2));
      CHECK(within(tried.moment().heat_J, plain.moment().heat_J, 0, 1e-3));
    }
  }

  TEST_CASE("the hotter the steam over a step, the more it takes") {
    BagSteps bag(body_of("brick"), {}, heating_tables().vapour, {.at_s = 0, .degC = 20, .fineness = {}});
    double last_J = 0;
    for (double degC = 30; degC <= 120; degC += 10) {
      const double heat_J = bag.try_step(60, {0, degC, 250e3}, 250e3).heat_J;
      CHECK(heat_J > last_J);
      last_J = heat_J;
    }
  }

  TEST_CASE("in the air of a room it cools more slowly than in a bath") {
    std::array<double, 2> core_degC{};
    for (std::size_t i = 0; i < 2; ++i) {
      BagSteps bag(body_of("brick"), {}, heating_tables().vapour, {.at_s = 0, .degC = 95, .fineness = {}});
      if (i == 1) bag.set_film(0.2);
      for (int step = 0; step < 60; ++step) {
        bag.try_step(120, {0, 20, 101325}, 101325);
        bag.keep_step();
      }
      core_degC[i] = bag.moment().core_degC;
    }
    CHECK(core_degC[1] > core_degC[0] + 5);
  }
}
