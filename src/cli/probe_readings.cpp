#include "cli/probe_readings.h"

#include "quantity/print.h"
#include "quantity/typed.h"

#include <fmt/format.h>

#include <cmath>
#include <utility>

namespace coldbag {

namespace {

/// A point so far off is a slip, or a probe that nothing corrects.
void must_be_near(const std::string& option, const CheckPoint& point, const CheckRules& rules) {
  if (std::abs(point.reads_degC - point.is_degC) <= rules.farthest_off_K) return;
  refuse_option(option,
                fmt::format("{} is more than {:g} K from {}, where the probe should have read",
                            print_temperature(point.reads_degC, UnitSystem::metric, 2), rules.farthest_off_K,
                            print_temperature(point.is_degC, UnitSystem::metric, 2)),
                "look at ice, boil and pressure again; a probe so far off is broken");
}

TypedTemperature typed_option(const std::string& option, const std::string& text, bool bare_in_degF) {
  const auto typed = typed_temperature(text, bare_in_degF);
  if (!typed)
    refuse_option(option, "\"" + text + "\" is no temperature", R"(write for example "99.1 C" or "210.4 F")");
  return *typed;
}

PointRead reference_point(const Bench& bench, const std::string& text, double u_K) {
  std::size_t mark = text.find(';');
  if (mark == std::string::npos) mark = text.find(", ");
  if (mark == std::string::npos) mark = text.find(',');
  if (mark == std::string::npos)
    refuse_option("point", "\"" + text + "\" is not two temperatures",
                  "write the true one, then what the probe read: \"60.0 C, 60.4 C\"");
  const TypedTemperature is = typed_option("point", text.substr(0, mark), bench.bare_in_degF);
  const TypedTemperature reads = typed_option("point", text.substr(mark + 1), bench.bare_in_degF);
  PointRead read{{reads.degC, is.degC}, u_K, bench.resolution_K.value_or(reads.step_K), 0};
  must_be_near("point", read.point, bench.rules);
  return read;
}

} // namespace

void must_be_temperature(const std::string& option, const std::string& text, const Bench& bench) {
  (void)typed_option(option, text, bench.bare_in_degF);
}

Points typed_points(const Given& given, const Bench& bench, const std::string& ice, const std::string& boil) {
  Points points;
  if (given.has(ice)) {
    const TypedTemperature typed = typed_option(ice, given.text(ice), bench.bare_in_degF);
    points.low = at_ice(bench, typed.degC, bench.resolution_K.value_or(typed.step_K), 0);
    must_be_near(ice, points.low->point, bench.rules);
  }
  if (given.has(boil)) {
    const TypedTemperature typed = typed_option(boil, given.text(boil), bench.bare_in_degF);
    points.high = at_boil(bench, typed.degC, bench.resolution_K.value_or(typed.step_K), 0);
    must_be_near(boil, points.high->point, bench.rules);
  }
  return points;
}

Points reference_points(const Given& given, const Bench& bench) {
  const auto texts = given.texts("point");
  if (texts.size() > 2)
    refuse_option("point", "was given more than twice", "give the coldest and the hottest point");
  if (!given.has("reference-u"))
    refuse_option("point", "how well the known thermometer is known was not said",
                  "add --reference-u \"0.1 K\", from its certificate (U there is mostly twice u)");
  const double u_K =
      quantity_option("reference-u", given.text("reference-u"), Dimension::temperature_difference);
  if (u_K < 0)
    refuse_option("reference-u", "an uncertainty is not below zero", "write for example \"0.1 K\"");
  std::vector<PointRead> reads;
  reads.reserve(texts.size());
  for (const std::string& text : texts)
    reads.push_back(reference_point(bench, text, u_K));
  if (reads.size() == 1) return {std::nullopt, reads.front()};
  if (reads[0].point.is_degC > reads[1].point.is_degC) std::swap(reads[0], reads[1]);
  if (reads[1].point.is_degC - reads[0].point.is_degC < 20)
    refuse_option("point", "the two points are less than 20 K apart",
                  "give one of them, or points further apart");
  return {reads[0], reads[1]};
}

} // namespace coldbag
