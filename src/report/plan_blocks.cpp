#include "report/plan_blocks.h"

#include "report/beside_blocks.h"
#include "report/figures.h"
#include "report/layout.h"

#include <fmt/format.h>

#include <cmath>
#include <map>
#include <string>
#include <utility>

namespace coldbag {

namespace {

constexpr std::size_t step_width = 34;
constexpr std::size_t time_width = 15;
constexpr double s_per_minute = 60;
constexpr std::int64_t us_per_s = 1000000;
constexpr std::int64_t minutes_per_day = 24 * 60;

std::string time_text(const std::optional<double>& s) {
  if (!s) return "";
  return *s < 0 ? "-" + print_duration(-*s) : print_duration(*s);
}

/// "08:50", "08:50 +1 d".
std::string clock_text(const PlanReport& report, const std::optional<double>& s, const Words& words) {
  if (!report.steam_on_us || !s) return "";
  const double on_minutes = static_cast<double>(*report.steam_on_us / us_per_s) / s_per_minute;
  auto minutes = static_cast<std::int64_t>(std::ceil(on_minutes + *s / s_per_minute - 1e-6));
  std::int64_t days = 0;
  while (minutes < 0) {
    minutes += minutes_per_day;
    --days;
  }
  days += minutes / minutes_per_day;
  minutes %= minutes_per_day;
  std::string out = fmt::format("{:02}:{:02}", minutes / 60, minutes % 60);
  if (days != 0) out += " " + words.text("size_days_later", {{"days", fmt::format("{:+}", days)}});
  return out;
}

class Writer {
 public:
  Writer(const PlanReport& report, const Words& words)
      : report_(report), plan_(report.plan), resolved_(report.resolved), words_(words), units_(report.units) {
  }

  Blocks blocks(bool full) {
    Blocks out = first_blocks();
    // What never gets enough has no times and no steam that would mean anything.
    if (plan_.is_enough) {
      append(out, timeline());
      append(out, heat_blocks());
      append(out, watch_blocks());
    }
    append(out, list("heading_assumed", report_.assumptions));
    append(out, list("heading_cautions", report_.cautions));
    if (full && plan_.is_enough) append(out, full_blocks());
    return out;
  }

 private:
  [[nodiscard]] std::string word(const std::string& key,
                                 const std::map<std::string, std::string>& values = {}) const {
    return words_.text(key, values);
  }
  [[nodiscard]] std::string degC(double value) const { return print_temperature(value, units_); }

  Blocks first_blocks() {
    Blocks out;
    if (!report_.name.empty()) out.push_back(Heading{clean(report_.name), 1});
    out.push_back(
        Paragraph{word("size_what", {{"bags", bags()},
                                     {"treatment", named(words_, "treatment", resolved_.treatment.name)},
                                     {"hold_degC", print_setpoint(resolved_.input.vessel.top_degC, units_)},
                                     {"volume_m3", print_volume(resolved_.vessel_volume_m3, units_)},
                                     {"power_W", print_power(resolved_.power_W, units_)}})});
    if (!plan_.is_enough) {
      out.push_back(Paragraph{word("size_never_enough")});
      out.push_back(Item{word("size_ask_the_maker")});
      return out;
    }
    out.push_back(Paragraph{word("size_sentence", {{"good_s", print_duration(plan_.enough_s.good)},
                                                   {"likely_s", print_duration(plan_.enough_s.likely)},
                                                   {"slow_s", print_duration(plan_.enough_s.slow)},
                                                   {"steam_off_s", print_duration(plan_.steam_off_s)}})});
    return out;
  }

  std::string bags() {
    std::string out;
    for (const PlannedBags& kind : resolved_.input.bags)
      out += fmt::format(
          "{}{}", out.empty() ? "" : ", ",
          word("size_bags", {{"count", std::to_string(kind.count)},
                             {"mass_kg", print_mass(kind.bag.body.mass_kg, units_)},
                             {"form", word(fmt::format("form_{}", form_text(kind.bag.body.form)))},
                             {"material", named(words_, "substrate", kind.bag.material)}}));
    return out;
  }

  Blocks timeline() {
    Table table;
    table.columns = {{word("size_from_steam_on"), step_width},
                     {word("lag_good"), time_width},
                     {word("lag_likely"), time_width},
                     {word("lag_slow")}};
    for (const PlanStep& step : report_.steps)
      table.rows.push_back({{step_text(report_, step, words_), time_text(step.good_s),
                             time_text(step.likely_s), time_text(step.slow_s)},
                            ""});
    Blocks out{Space{}, std::move(table)};
    if (report_.steam_on_us) append(out, {Space{}, clock_table()});
    out.push_back(ChartPlace{});
    return out;
  }

  Table clock_table() {
    Table table;
    table.columns = {{word("size_by_the_clock"), step_width},
                     {word("lag_likely"), time_width},
                     {word("size_at_the_latest")}};
    table.rows.push_back({{word("size_steam_on"), clock_text(report_, 0, words_), ""}, ""});
    for (const PlanStep& step : report_.steps)
      table.rows.push_back({{step_text(report_, step, words_), clock_text(report_, step.likely_s, words_),
                             clock_text(report_, step.slow_s, words_)},
                            ""});
    return table;
  }

  Blocks heat_blocks() {
    Blocks out{Heading{word("heading_size_heat")}};
    const auto add = [&](const std::string& key, const std::map<std::string, std::string>& values) {
      out.push_back(Item{word(key, values)});
    };
    add(plan_.slow_reaches_top ? "size_heat_needed" : "size_heat_short",
        {{"peak_W", print_power(report_.power_needed_W, units_)},
         {"hold_W", print_power(report_.power_at_hold_W, units_)},
         {"power_W", print_power(resolved_.power_W, units_)}});
    add("size_steam", {{"likely_kg", print_mass(plan_.steam_kg.likely, units_)},
                       {"slow_kg", print_mass(plan_.steam_kg.slow, units_)},
                       {"vented_kg", print_mass(plan_.vented_kg, units_)},
                       {"condensate_kg", print_mass(plan_.condensate_kg, units_)}});
    add("size_water", {{"water_kg", print_mass(report_.water_kg, units_)},
                       {"reserve_kg", print_mass(report_.water_with_reserve_kg, units_)}});
    add("size_energy", {{"bags_J", print_energy(plan_.to_off.bags_J)},
                        {"metal_J", print_energy(plan_.to_off.metal_J)},
                        {"walls_J", print_energy(plan_.to_off.walls_J)},
                        {"vented_J", print_energy(plan_.to_off.vented_J)},
                        {"per_bag_J", print_energy(report_.heat_per_bag_J)}});
    if (report_.fuel) out.push_back(Item{fuel_text(*report_.fuel)});
    if (report_.current_A)
      add("size_current", {{"current", print_fixed(*report_.current_A, 1) + " A"},
                           {"volts", fmt::format("{:g} V", resolved_.volts.value_or(0))},
                           {"phases", std::to_string(resolved_.phases)}});
    add("size_ask_the_maker", {});
    return out;
  }

  [[nodiscard]] std::string fuel_text(const FuelUse& use) const {
    const auto amount = [&](double units) {
      return fmt::format("{} {}", print_fixed(units, units < 10 ? 2 : 1), use.unit);
    };
    std::string out =
        word("size_fuel", {{"fuel", named(words_, "fuel", use.name)},
                           {"likely", amount(use.units)},
                           {"slow", amount(use.units_slow)},
                           {"per_bag", fmt::format("{} {}", print_fixed(use.units_per_bag, 3), use.unit)}});
    if (use.cost)
      out += " " + word("size_cost", {{"cost", print_fixed(*use.cost, 2)},
                                      {"per_bag", print_fixed(*use.cost_per_bag, 3)}});
    return out;
  }

  Blocks watch_blocks() {
    Blocks out{Heading{word("heading_size_watch")}};
    const auto add = [&](const std::string& key, const std::map<std::string, std::string>& values) {
      out.push_back(Item{word(key, values)});
    };
    add("size_watch_probe", {{"setpoint_degC", print_setpoint(resolved_.input.need.setpoint_degC, units_)},
                             {"slow_s", print_duration(plan_.hot_s.slow)}});
    add("size_watch_come_up", {{"hold_degC", degC(resolved_.input.vessel.top_degC)},
                               {"slow_s", print_duration(plan_.come_up_s.slow)}});
    if (resolved_.hold_gauge_Pa > 0)
      add("size_watch_gauge", {{"hold_degC", degC(resolved_.input.vessel.top_degC)},
                               {"gauge_pressure_Pa", print_pressure(resolved_.hold_gauge_Pa, units_)}});
    if (plan_.probed_saves_s >= s_per_minute)
      add("size_probed_saves", {{"saved_s", print_duration(plan_.probed_saves_s)}});
    add("size_credit",
        {{"F_minutes", F_text(plan_.credit_minutes)}, {"hot_s", print_duration(plan_.hot_after_s)}});
    if (plan_.second_enough_s)
      add("size_second", {{"second_s", print_duration(*plan_.second_enough_s)},
                          {"delay_s", print_duration(plan_.first_delayed_s.value_or(0))}});
    return out;
  }

  Blocks list(const std::string& heading, const std::vector<Said>& all) {
    Blocks items;
    for (const Said& said : all)
      items.push_back(Item{said_text(words_, units_, said)});
    return under({word(heading)}, std::move(items));
  }

  Blocks full_blocks() {
    Blocks out{Heading{word("heading_size_balance")}, balance("size_balance_top", plan_.to_top),
               balance("size_balance_off", plan_.to_off)};
    const auto add = [&](const std::string& key, const std::map<std::string, std::string>& values) {
      out.push_back(Item{word(key, values)});
    };
    add("full_size_vessel", {{"wall_area_m2", print_area(resolved_.wall_area_m2, units_)},
                             {"wall_W_per_m2K", print_transmittance(resolved_.wall_W_per_m2K, units_)},
                             {"metal_kg", print_mass(resolved_.metal_kg, units_)},
                             {"bags_m3", print_volume(resolved_.bags_volume_m3, units_)},
                             {"vent", print_mass_rate(plan_.most_vented_kg_per_s, units_)}});
    add("full_size_kept", {{"kept_kg", print_mass(plan_.kept_kg, units_)},
                           {"least_kg", print_mass(plan_.steam_kg.good, units_)}});
    add("full_size_margin", {{"alike_s", print_duration(plan_.alike_enough_s)},
                             {"margin", print_fixed(plan_.margin, 3)},
                             {"sd", print_fixed(plan_.ln_sd, 4)},
                             {"depth", print_fixed(plan_.slowest_depth_sd, 3)}});
    add("full_size_probe", {{"u_K", print_temperature_difference(resolved_.u_K, units_, 2)},
                            {"F_minutes", F_text(plan_.F_minutes)}});
    add("full_size_day",
        {{"day_s", print_duration(report_.door_to_door_s)}, {"bags", print_fixed(report_.bags_per_day, 1)}});
    out.push_back(Heading{word("heading_computed")});
    add("computed_size", {});
    add("computed_by", {{"version", report_.program_version}});
    for (const Edition& edition : report_.editions)
      out.push_back(Item{edition_text(words_, edition)});
    return out;
  }

  [[nodiscard]] Item balance(const std::string& key, const HeatShares& shares) const {
    return {word(key, {{"supplied_J", print_energy(shares.supplied_J)},
                       {"bags_J", print_energy(shares.bags_J)},
                       {"metal_J", print_energy(shares.metal_J)},
                       {"water_J", print_energy(shares.standing_water_J)},
                       {"walls_J", print_energy(shares.walls_J)},
                       {"space_J", print_energy(shares.space_J)},
                       {"vented_J", print_energy(shares.vented_J)},
                       {"condensate_J", print_energy(shares.condensate_J)}})};
  }

  const PlanReport& report_;
  const Plan& plan_;
  const ResolvedPlan& resolved_;
  const Words& words_;
  UnitSystem units_;
};

} // namespace

Blocks plan_blocks(const PlanReport& report, const Words& words, bool full) {
  return Writer(report, words).blocks(full);
}

Blocks plan_sheet_blocks(const PlanReport& report, const BesidePlan& beside, const Words& words) {
  Blocks out{Heading{report.name.empty() ? words.text("plan_title")
                                         : words.text("plan_title_of", {{"name", clean(report.name)}}),
                     1}};
  Blocks plan = plan_blocks(report, words, true);
  if (!report.name.empty()) plan.erase(plan.begin()); // the title has the name
  append(out, std::move(plan));
  append(out, beside_blocks(beside, report, words));
  out.push_back(WritingLine{{words.text("plan_steam_on_at"), words.text("plan_signed")}});
  return out;
}

std::string step_text(const PlanReport& report, const PlanStep& step, const Words& words) {
  const auto degC = [&](double value) { return print_temperature(value, report.units); };
  const ResolvedPlan& resolved = report.resolved;
  return words.text(step.key, {{"boiling_degC", degC(resolved.boiling_degC)},
                               {"hold_degC", degC(resolved.input.vessel.top_degC)},
                               {"setpoint_degC", degC(resolved.input.need.setpoint_degC)},
                               {"open_degC", degC(resolved.input.open_degC)},
                               {"cool_degC", degC(resolved.input.cool_degC)}});
}

std::string plan_csv(const PlanReport& report) {
  std::string out =
      "minutes,vessel_degC,vessel_slow_degC,core_degC,core_slow_degC,steam_kg_per_h,vented_kg_per_h\n";
  for (const PlanMoment& m : report.plan.curve)
    out += fmt::format("{:.0f},{:.2f},{:.2f},{:.2f},{:.2f},{:.3f},{:.3f}\n", m.time_s / s_per_minute,
                       m.vessel_degC, m.vessel_slow_degC, m.core_likely_degC, m.core_slow_degC,
                       m.steam_kg_per_h, m.vented_kg_per_h);
  return out;
}

} // namespace coldbag
