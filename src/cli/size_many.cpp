#include "cli/size_many.h"

#include "cli/lag_options.h"
#include "cli/size_options.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>

namespace coldbag {

namespace {

constexpr std::size_t most_points = 2000;
constexpr std::size_t most_supplies = 5;

std::vector<std::string> split(const std::string& text, char at) {
  std::vector<std::string> out;
  std::size_t from = 0;
  while (true) {
    const std::size_t to = text.find(at, from);
    out.push_back(trimmed_text(text.substr(from, to == std::string::npos ? to : to - from)));
    if (to == std::string::npos) return out;
    from = to + 1;
  }
}

using Setter = std::function<void(PlanRequest&, const std::string&)>;

void set_count(PlanRequest& request, const std::string& text) {
  constexpr double most = 100000;
  const auto number = parse_number(text);
  if (!number || *number < 1 || *number > most || std::floor(*number) != *number)
    refuse_option("vary", fmt::format("\"{}\" is no number of bags", text),
                  "write for example bags=20,40,60");
  state(request.bags.front().count, "vary", static_cast<int>(*number));
}

void set_hold(PlanRequest& request, const std::string& text) {
  request.site.hold_degC = {};
  request.site.hold_gauge_Pa = {};
  const ParsedPressure pressure = parse_pressure(text);
  if (pressure.parsed.value && pressure.kind == PressureKind::gauge)
    return state(request.site.hold_gauge_Pa, "vary", *pressure.parsed.value);
  state(request.site.hold_degC, "vary", quantity_option("vary", text, Dimension::temperature));
}

void clear_supply(SaidSupply& supply) {
  supply.power_W = {};
  supply.rate_kg_per_s = {};
  supply.burner_W = {};
  supply.fuel_rate = {};
}

const std::map<std::string, Setter>& setters() {
  static const std::map<std::string, Setter> all{{"bags", set_count},
                                                 {"mass",
                                                  [](PlanRequest& request, const std::string& text) {
                                                    state(request.bags.front().bag.mass_kg, "vary",
                                                          quantity_option("vary", text, Dimension::mass));
                                                  }},
                                                 {"moisture",
                                                  [](PlanRequest& request, const std::string& text) {
                                                    state(request.bags.front().bag.moisture_wb, "vary",
                                                          quantity_option("vary", text, Dimension::fraction));
                                                  }},
                                                 {"steam",
                                                  [](PlanRequest& request, const std::string& text) {
                                                    clear_supply(request.supply);
                                                    take_steam_supply("vary", text, request.supply);
                                                  }},
                                                 {"hold-at", set_hold}};
  return all;
}

/// "2,2.5,3 kg": a unit that stands only at the last counts for all.
std::vector<std::string> values_of(const std::string& text) {
  std::vector<std::string> values = split(text, ',');
  const std::string& last = values.back();
  const std::size_t unit_at = last.find_first_not_of("0123456789.+- ");
  if (unit_at == std::string::npos) return values;
  for (std::string& value : values)
    if (value.find_first_not_of("0123456789.+- ") == std::string::npos) value += " " + last.substr(unit_at);
  return values;
}

ManyPlans varied(const Given& given, const PlanRequest& request) {
  if (request.bags.empty())
    refuse_option("vary", "nobody said which bags", "write for example --mass \"5 lb\" --bags 30");
  ManyPlans out;
  out.points.push_back({{}, request});
  for (const std::string& text : given.texts("vary")) {
    const std::size_t equals = text.find('=');
    const std::string key = trimmed_text(text.substr(0, equals));
    const auto setter = setters().find(key);
    if (equals == std::string::npos || setter == setters().end())
      refuse_option(
          "vary", fmt::format("\"{}\" is nothing that varies", text),
          "write for example --vary \"bags=20,40,60\"; known: bags, mass, moisture, steam, hold-at");
    out.heads.push_back(key);
    std::vector<SweepPoint> next;
    const std::string list = text.substr(equals + 1);
    const std::vector<std::string> values = key == "bags" ? split(list, ',') : values_of(list);
    for (const SweepPoint& point : out.points)
      for (const std::string& value : values) {
        SweepPoint made = point;
        setter->second(made.request, value);
        made.labels.push_back(value);
        next.push_back(std::move(made));
        if (next.size() > most_points)
          refuse_option("vary", "these are over 2,000 plans", "fewer values, or one at a time");
      }
    out.points = std::move(next);
  }
  return out;
}

/// "yard=40 kW; propane; 80 %; 0.9": power or rate, then fuel, efficiency and price in any order.
SaidSupply supply_of(const std::string& text, const SaidSupply& base) {
  const std::size_t equals = text.find('=');
  if (equals == std::string::npos || trimmed_text(text.substr(0, equals)).empty())
    refuse_option("supply", fmt::format("\"{}\" has no name", text),
                  "write for example --supply \"yard=40 kW; propane; 80 %; 0.9\"");
  SaidSupply out = base;
  clear_supply(out);
  out.name = trimmed_text(text.substr(0, equals));
  out.fuel = {};
  out.efficiency = {};
  out.price = {};
  const std::vector<std::string> parts = split(text.substr(equals + 1), ';');
  take_steam_supply("supply", parts.front(), out);
  for (std::size_t i = 1; i < parts.size(); ++i) {
    const std::string& part = parts[i];
    if (const auto number = parse_number(part)) {
      state(out.price, "supply", *number);
    } else if (!part.empty() && part.back() == '%') {
      state(out.efficiency, "supply", quantity_option("supply", part, Dimension::fraction));
    } else {
      state(out.fuel, "supply", part);
    }
  }
  return out;
}

ManyPlans supplied(const Given& given, const PlanRequest& request) {
  const std::vector<std::string> texts = given.texts("supply");
  if (texts.size() > most_supplies)
    refuse_option("supply", fmt::format("{} supplies do not stand side by side", texts.size()),
                  "five at most");
  if (given.has("steam") || given.has("burner") || given.has("fuel-rate") || given.has("vary"))
    refuse_option("supply", "another option says the steam too, or varies the plan", "leave one of them out");
  ManyPlans out;
  out.heads.emplace_back("supply");
  for (const std::string& text : texts) {
    SweepPoint point{{}, request};
    point.request.supply = supply_of(text, request.supply);
    point.labels.push_back(point.request.supply.name);
    out.points.push_back(std::move(point));
  }
  return out;
}

std::optional<double> duration_of(const Given& given, const std::string& option) {
  if (!given.has(option)) return std::nullopt;
  const double s = quantity_option(option, given.text(option), Dimension::duration);
  if (!(s > 0)) refuse_option(option, "no time at all", "above 0");
  return s;
}

} // namespace

std::optional<ManyPlans> many_plans(const Given& given, const PlanRequest& request) {
  if (given.has("supply")) return supplied(given, request);
  if (given.has("vary")) return varied(given, request);
  return std::nullopt;
}

SweepLimits sweep_limits(const Given& given) {
  SweepLimits out;
  out.steam_s = duration_of(given, "within");
  out.come_up_s = duration_of(given, "come-up-in");
  if (given.has("water-within")) {
    constexpr double kg_per_m3 = 998;
    const Parsed volume = parse_quantity(given.text("water-within"), Dimension::volume);
    out.water_kg = volume.value
                       ? *volume.value * kg_per_m3
                       : quantity_option("water-within", given.text("water-within"), Dimension::mass);
  }
  return out;
}

std::optional<double> come_up_in_s(const Given& given) {
  return duration_of(given, "come-up-in");
}

} // namespace coldbag
