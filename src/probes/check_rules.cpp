#include "probes/check_rules.h"

#include "tables/figures.h"

#include <array>

namespace coldbag {

namespace {

constexpr std::string_view table_name = "check-rules.csv";

constexpr std::array<FigureRule, 15> rules{{
    {"barometer_half", "kPa", 0, 10},
    {"boil_half", "K", 0, 10},
    {"extrapolated_beyond", "K", 0, 200},
    {"farthest_off", "K", 0, 100},
    {"ice_half", "K", 0, 10},
    {"log_resolution", "K", 0, 10},
    {"next_due_after", "days", 0, 10000},
    {"old_after", "days", 0, 10000},
    {"old_drift", "K per year", 0, 10},
    {"rest_for", "s", 0, 10000},
    {"rest_near", "K", 0, 10},
    {"rest_span", "K", 0, 10},
    {"sheet_highest", "degC", -300, 10000},
    {"sheet_lowest", "degC", -300, 10000},
    {"weather_half", "kPa", 0, 10},
}};

} // namespace

CheckRules read_check_rules(std::string_view source_name, std::string_view csv) {
  const Figures table = Figures::read(source_name, csv, rules);
  constexpr double Pa_per_kPa = 1000;
  CheckRules out;
  out.barometer_half_Pa = table.at("barometer_half") * Pa_per_kPa;
  out.boil_half_K = table.at("boil_half");
  out.extrapolated_beyond_K = table.at("extrapolated_beyond");
  out.farthest_off_K = table.at("farthest_off");
  out.ice_half_K = table.at("ice_half");
  out.log_resolution_K = table.at("log_resolution");
  out.next_due_after_days = table.at("next_due_after");
  out.old_after_days = table.at("old_after");
  out.old_drift_K_per_year = table.at("old_drift");
  out.rest_for_s = table.at("rest_for");
  out.rest_near_K = table.at("rest_near");
  out.rest_span_K = table.at("rest_span");
  out.sheet_highest_degC = table.at("sheet_highest");
  out.sheet_lowest_degC = table.at("sheet_lowest");
  out.weather_half_Pa = table.at("weather_half") * Pa_per_kPa;
  return out;
}

CheckRules read_check_rules(const TableFiles& tables) {
  return read_check_rules(tables.source_name(table_name), tables.bytes(table_name));
}

} // namespace coldbag
