#include "heatup/heating_figures.h"

#include "tables/figures.h"

#include <array>

namespace coldbag {

namespace {

constexpr std::string_view table_name = "bag-heating.csv";

constexpr std::array<FigureRule, 36> rules{{
    {"air-kept-in-pores", "1", 0.001, 0.5},
    {"air-left", "1", 0.001, 0.9},
    {"bag-spread", "1", 0.001, 1},
    {"bag-spread-weight", "1", 1, 1000},
    {"described-error", "1", 0, 0.5},
    {"far-multiplier", "1", 0.5, 10},
    {"film", "W/m2K", 1, 1e5},
    {"film-touching", "W/m2K", 0.1, 1e5},
    {"filling-least", "1", 0, 1},
    {"filling-open-to", "1", 0, 0.95},
    {"filling-shut-from", "1", 0.05, 1},
    {"freezing", "degC", -10, 0},
    {"freezing-span", "K", 0.1, 10},
    {"fusion", "J/kg", 1e5, 1e6},
    {"ice-heat-capacity", "J/kgK", 500, 5000},
    {"largest-rms", "K", 0.1, 20},
    {"learned-under", "1", 0.01, 1},
    {"model-error", "K", 0.01, 10},
    {"model-error-correlation", "s", 1, 1e5},
    {"open-share", "1", 0, 1},
    {"partakes", "1", 0.01, 1},
    {"pattern-days", "d", 1, 10000},
    {"pattern-runs", "1", 1, 100},
    {"prior-conductivity", "1", 0.01, 2},
    {"prior-film", "1", 0.01, 2},
    {"prior-vapour", "1", 0.01, 2},
    {"probe-spread", "1", 0.01, 2},
    {"sealed-share", "1", 0, 1},
    {"start", "degC", -40, 60},
    {"still-cold", "K", 0, 50},
    {"tortuosity", "1", 0.01, 1},
    {"usual-height", "m", 0.01, 2},
    {"usual-length", "m", 0.01, 2},
    {"usual-slenderness", "1", 0.1, 20},
    {"usual-width", "m", 0.01, 2},
    {"water-heat-capacity", "J/kgK", 1000, 10000},
}};

} // namespace

HeatingFigures read_heating_figures(std::string_view source_name, std::string_view csv) {
  const Figures table = Figures::read(source_name, csv, rules);
  HeatingFigures out;
  out.pores = {table.at("tortuosity"),      table.at("open-share"),        table.at("sealed-share"),
               table.at("filling-open-to"), table.at("filling-shut-from"), table.at("filling-least")};
  out.water = {table.at("freezing"), table.at("freezing-span"), table.at("fusion"),
               table.at("ice-heat-capacity"), table.at("water-heat-capacity")};
  out.air_kept_in_pores = table.at("air-kept-in-pores");
  out.air_left = table.at("air-left");
  out.start_degC = table.at("start");
  out.film_W_per_m2K = table.at("film");
  out.film_touching_W_per_m2K = table.at("film-touching");
  out.prior_conductivity = table.at("prior-conductivity");
  out.prior_vapour = table.at("prior-vapour");
  out.prior_film = table.at("prior-film");
  out.model_error_K = table.at("model-error");
  out.model_error_correlation_s = table.at("model-error-correlation");
  out.described_error = table.at("described-error");
  out.probe_spread = table.at("probe-spread");
  out.largest_rms_K = table.at("largest-rms");
  out.learned_under = table.at("learned-under");
  out.partakes = table.at("partakes");
  out.far_multiplier = table.at("far-multiplier");
  out.bag_spread = table.at("bag-spread");
  out.bag_spread_weight = table.at("bag-spread-weight");
  out.pattern_runs = table.at("pattern-runs");
  out.pattern_days = table.at("pattern-days");
  out.usual_sides_m = {table.at("usual-length"), table.at("usual-width"), table.at("usual-height")};
  out.still_cold_K = table.at("still-cold");
  out.usual_slenderness = table.at("usual-slenderness");
  return out;
}

HeatingFigures read_heating_figures(const TableFiles& tables) {
  return read_heating_figures(tables.source_name(table_name), tables.bytes(table_name));
}

} // namespace coldbag
