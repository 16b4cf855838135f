#include "heatup/lag_json.h"

#include "errors/our_fault.h"

#include <nlohmann/json.hpp>

#include <cmath>

namespace coldbag {

namespace {

using Json = nlohmann::ordered_json;

constexpr double s_per_minute = 60;

Json number(double value) {
  our_check(std::isfinite(value), "every figure of a forecast is finite");
  return value;
}

Json number_or_null(const std::optional<double>& value) {
  return value ? number(*value) : Json(nullptr);
}

Json minutes_or_null(const std::optional<double>& s) {
  return s ? number(*s / s_per_minute) : Json(nullptr);
}

Json json_of(const DescribedBag& bag, const std::string& kind) {
  const BagBody& body = bag.body;
  const auto side = [&](BagForm form, std::size_t i) {
    return body.form == form ? number(2 * body.half_m[i]) : Json(nullptr);
  };
  Json films = Json::array();
  for (int d = 0; d < body.directions(); ++d)
    films.push_back(number(body.film_W_per_m2K[static_cast<std::size_t>(d)]));
  Json height = side(BagForm::brick, 2);
  if (body.form == BagForm::column) height = side(BagForm::column, 1);
  if (body.form == BagForm::slab) height = side(BagForm::slab, 0);
  return {{"kind", kind.empty() ? Json(nullptr) : Json(kind)},
          {"substrate", bag.material},
          {"form", form_text(body.form)},
          {"mass_kg", number(body.mass_kg)},
          {"moisture_fraction", number(bag.packing.moisture_wb)},
          {"length_m", side(BagForm::brick, 0)},
          {"width_m", side(BagForm::brick, 1)},
          {"height_m", height},
          {"diameter_m", side(BagForm::column, 0)},
          {"breathes", body.is_breathing},
          {"density_kg_per_m3", number(body.density_kg_per_m3)},
          {"dry_kg_per_m3", number(bag.packing.dry_kg_per_m3)},
          {"air_fraction", number(bag.packing.air_share)},
          {"conductivity_W_per_mK", number(body.conductivity_W_per_mK)},
          {"vapour_share", number(body.vapour_share)},
          {"film_W_per_m2K", films}};
}

Json json_of(const LagSteam& steam) {
  return {{"start_degC", number(steam.start_degC)},
          {"steam_degC", number(steam.steam_degC)},
          {"come_up_minutes", number(steam.come_up_s / s_per_minute)},
          {"altitude_m", number_or_null(steam.altitude_m)},
          {"site_pressure_Pa", number(steam.site_pressure_Pa)},
          {"boiling_degC", number(steam.boiling_degC)},
          {"abs_pressure_Pa", number(steam.abs_pressure_Pa)}};
}

Json json_of(const LagTarget& target) {
  return {{"core_degC", number(target.core_degC)},
          {"under_steam_K", number_or_null(target.under_steam_K)},
          {"good_minutes", number(target.good_s / s_per_minute)},
          {"likely_minutes", number(target.likely_s / s_per_minute)},
          {"slow_minutes", number(target.slow_s / s_per_minute)},
          {"heat_J", number(target.heat_J)},
          {"with_air_minutes", minutes_or_null(target.with_air_s)}};
}

Json json_of(const std::vector<Said>& all) {
  Json list = Json::array();
  for (const Said& said : all) {
    Json values = Json::object();
    for (const auto& [name, value] : said.values) {
      const double* figure = std::get_if<double>(&value);
      values[name] = figure != nullptr ? number(*figure) : Json(std::get<std::string>(value));
    }
    list.push_back({{"key", said.key}, {"values", std::move(values)}});
  }
  return list;
}

Json json_of(const std::vector<Edition>& editions) {
  Json list = Json::array();
  for (const Edition& edition : editions)
    list.push_back({{"name", edition.name}, {"origin", edition.origin}, {"sha256", edition.sha256}});
  return list;
}

} // namespace

std::string lag_json(const LagForecast& forecast) {
  Json targets = Json::array();
  for (const LagTarget& target : forecast.targets)
    targets.push_back(json_of(target));
  const Json air = forecast.air ? Json{{"share_fraction", number(forecast.air->share)},
                                       {"steam_degC", number(forecast.air->steam_degC)}}
                                : Json(nullptr);
  const Json root{{"rests_on", "description"},
                  {"earlier_runs", forecast.earlier_runs},
                  {"earlier_bags", forecast.earlier_bags},
                  {"bag", json_of(forecast.bag, forecast.kind)},
                  {"steam", json_of(forecast.steam)},
                  {"targets", targets},
                  {"air", air},
                  {"conduction_only",
                   {{"fh_minutes", number(forecast.conduction.fh_s / s_per_minute)},
                    {"j", number(forecast.conduction.j)}}},
                  {"assumptions", json_of(forecast.assumptions)},
                  {"cautions", json_of(forecast.cautions)},
                  {"units", forecast.units == UnitSystem::us ? "us" : "metric"},
                  {"editions", json_of(forecast.editions)},
                  {"program_version", forecast.program_version}};
  return root.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

} // namespace coldbag
