#include "report/beside_blocks.h"

#include "report/layout.h"

#include <algorithm>
#include <map>
#include <optional>
#include <string>

namespace coldbag {

namespace {

Blocks boiler_blocks(const BoilerAnswer& answer, const PlanReport& report, const Words& words) {
  const std::map<std::string, std::string> values{
      {"come_up_s", print_duration(answer.come_up_s)},
      {"power_W", print_power(report.resolved.power_W, report.units)},
      {"bags", std::to_string(answer.most_bags.value_or(0))},
      {"wanted", std::to_string(report.bag_count)},
      {"needed_W", print_power(answer.power_needed_W.value_or(0), report.units)}};
  const char* const manages = answer.most_bags.value_or(0) == 0 ? "size_boiler_none"
                              : answer.room_is_the_limit        ? "size_boiler_room"
                                                                : "size_boiler_most";
  return {Heading{words.text("heading_size_boiler")}, Item{words.text(manages, values)},
          Item{words.text(answer.power_needed_W ? "size_boiler_needs" : "size_boiler_never", values)}};
}

Blocks comparison_blocks(const PlanComparison& run, UnitSystem units, const Words& words) {
  const auto seen = [&](const std::optional<double>& s) {
    return s ? print_duration(std::max(*s, 0.0)) : words.text("size_compare_not_seen");
  };
  const auto line = [&](const char* key, const std::optional<double>& s, const Range& range) {
    return Item{words.text(key, {{"seen", seen(s)},
                                 {"good_s", print_duration(range.good)},
                                 {"likely_s", print_duration(range.likely)},
                                 {"slow_s", print_duration(range.slow)}})};
  };
  Blocks out{Heading{words.text("heading_size_compare", {{"run", clean(run.seen.name)}})},
             line("size_compare_come_up", run.seen.come_up_s, run.come_up_s),
             line("size_compare_hot", run.seen.hot_s, run.hot_s)};
  for (const Said& why : run.why)
    out.push_back(Item{said_text(words, units, why)});
  return out;
}

} // namespace

Blocks beside_blocks(const BesidePlan& beside, const PlanReport& report, const Words& words) {
  Blocks out;
  if (beside.fitting) {
    const std::map<std::string, std::string> values{
        {"bags", std::to_string(beside.fitting->total())},
        {"layers", std::to_string(beside.fitting->layers)},
        {"fullest", std::to_string(beside.fitting->on_fullest_layer)}};
    append(out,
           {Heading{words.text("heading_size_fitting")},
            Item{words.text(beside.fitting->is_staggered ? "size_fits_staggered" : "size_fits", values)}});
  }
  if (beside.boiler) append(out, boiler_blocks(*beside.boiler, report, words));
  if (beside.run) append(out, comparison_blocks(*beside.run, report.units, words));
  return out;
}

} // namespace coldbag
