#include "report/trend_blocks.h"

#include "report/layout.h"

#include <cmath>
#include <utility>
#include <vector>

namespace coldbag {

namespace {

constexpr std::size_t figure_width = 22;
constexpr std::size_t runs_width = 7;
constexpr std::size_t centre_width = 11;
constexpr std::size_t usual_width = 21;
constexpr std::size_t step_width = 10;
constexpr double whole_from_minutes = 10;
constexpr std::int64_t us_per_s = 1000000;

/// What a drift says and what usually causes it, by figure.
struct DriftWords {
  const char* up;
  const char* up_cause;
  const char* down;
  const char* down_cause;
};

DriftWords drift_words(TrendOf of) {
  switch (of) {
  case TrendOf::core_lag:
    return {"trend_core_lag_up", "trend_cause_core_lag_up", "trend_core_lag_down",
            "trend_cause_core_lag_down"};
  case TrendOf::come_up:
    return {"trend_come_up_up", "trend_cause_come_up_up", "trend_come_up_down", "trend_cause_come_up_down"};
  case TrendOf::margin:
    return {"trend_margin_up", "trend_cause_margin_up", "trend_margin_down", "trend_cause_margin_down"};
  case TrendOf::hold_margin:
    return {"trend_hold_margin_up", "trend_cause_margin_up", "trend_hold_margin_down",
            "trend_cause_margin_down"};
  case TrendOf::plateau:
    break;
  }
  return {"trend_plateau_up", "trend_cause_plateau_up", "trend_plateau_down", "trend_cause_plateau_down"};
}

std::string minutes_text(double minutes) {
  return print_fixed(minutes, std::abs(minutes) < whole_from_minutes ? 1 : 0) + " min";
}

std::string times_text(double decades) {
  const double times = std::pow(10, decades);
  return "x" + print_fixed(times, times < 0.1 ? 3 : (times < 1 ? 2 : (times < 10 ? 1 : 0)));
}

class GroupWriter {
 public:
  GroupWriter(const TrendGroup& group, const TrendFigures& figures, const Words& words)
      : group_(group), figures_(figures), words_(words), units_(group.runs.front().units) {}

  Blocks blocks() const {
    Blocks out{Heading{trend_group_text(group_, words_), 2}};
    out.push_back(Item{words_.text("trend_runs", {{"count", std::to_string(group_.runs.size())},
                                                  {"from", day_text(group_.runs.front().began)},
                                                  {"to", day_text(group_.runs.back().began)}})});
    if (group_.trends.empty()) {
      out.push_back(Item{words_.text("trend_no_figures")});
      return out;
    }
    out.push_back(table());
    append(out, sentences());
    return out;
  }

 private:
  [[nodiscard]] Block table() const {
    Table table;
    table.columns = {
        {words_.text("trend_column_figure"), figure_width}, {words_.text("trend_column_runs"), runs_width},
        {words_.text("trend_column_centre"), centre_width}, {words_.text("trend_column_usual"), usual_width},
        {words_.text("trend_column_step"), step_width},     {words_.text("trend_column_last")}};
    for (const Trend& trend : group_.trends) {
      std::vector<std::string> cells{trend_figure_name(trend.of, words_),
                                     std::to_string(trend.values.size())};
      if (trend.limits) {
        cells.push_back(value(trend, trend.limits->centre));
        cells.push_back(usual(trend));
        cells.push_back(trend_step_text(trend.of, trend.limits->moving_range_upper, units_));
      } else {
        cells.insert(cells.end(), 3, "-");
      }
      cells.push_back(value(trend, trend.values.back()));
      table.rows.push_back({std::move(cells), ""});
    }
    return table;
  }

  [[nodiscard]] Blocks sentences() const {
    Blocks out;
    std::vector<std::string> quiet;
    std::vector<std::string> withheld;
    std::size_t provisional_from = 0;
    for (const Trend& trend : group_.trends) {
      if (!trend.limits) {
        withheld.push_back(trend_figure_name(trend.of, words_));
        continue;
      }
      if (trend.is_provisional) provisional_from = std::max(provisional_from, trend.values.size());
      if (trend.drifts.empty() && trend.outside.empty() && trend.jumps.empty())
        quiet.push_back(trend_figure_name(trend.of, words_));
      append(out, told(trend));
    }
    if (!quiet.empty()) out.push_back(Item{words_.text("trend_quiet", {{"figures", joined(quiet)}})});
    if (!withheld.empty())
      out.push_back(Item{words_.text(
          "trend_few", {{"figures", joined(withheld)}, {"least", std::to_string(figures_.least_runs)}})});
    if (provisional_from > 0)
      out.push_back(
          Item{words_.text("trend_provisional", {{"count", std::to_string(provisional_from)},
                                                 {"needed", std::to_string(figures_.baseline_runs)}})});
    return out;
  }

  [[nodiscard]] Blocks told(const Trend& trend) const {
    Blocks out;
    for (const Drift& drift : trend.drifts)
      out.push_back(Item{drift_text(trend, drift)});
    if (!trend.outside.empty())
      out.push_back(Item{words_.text("trend_outside", {{"figure", trend_figure_name(trend.of, words_)},
                                                       {"runs", named(trend, trend.outside)},
                                                       {"usual", usual(trend)}})});
    if (!trend.jumps.empty())
      out.push_back(Item{words_.text(
          "trend_jump", {{"figure", trend_figure_name(trend.of, words_)},
                         {"runs", named(trend, trend.jumps)},
                         {"step", trend_step_text(trend.of, trend.limits->moving_range_upper, units_)}})});
    return out;
  }

  [[nodiscard]] std::string drift_text(const Trend& trend, const Drift& drift) const {
    const DriftWords keys = drift_words(trend.of);
    const std::map<std::string, std::string> values{
        {"since", day(trend, drift.since)},
        {"until", day(trend, drift.until)},
        {"what", words_.text(drift.is_up ? keys.up : keys.down)},
        {"now", value(trend, trend.means[drift.until])},
        {"centre", value(trend, trend.limits->centre)},
        {"cause", words_.text(drift.is_up ? keys.up_cause : keys.down_cause)}};
    return words_.text(drift.lasts ? "trend_drift_lasts" : "trend_drift_over", values);
  }

  [[nodiscard]] std::string named(const Trend& trend, const std::vector<std::size_t>& places) const {
    std::vector<std::string> runs;
    for (const std::size_t i : places)
      runs.push_back(words_.text("trend_run_of_day", {{"run", clean(run(trend, i).name)},
                                                      {"day", day(trend, i)},
                                                      {"value", value(trend, trend.values[i])}}));
    return joined(runs);
  }

  [[nodiscard]] std::string usual(const Trend& trend) const {
    return words_.text("trend_from_to", {{"low", value(trend, trend.limits->lower)},
                                         {"high", value(trend, trend.limits->upper)}});
  }
  [[nodiscard]] std::string value(const Trend& trend, double value) const {
    return trend_value_text(trend.of, value, units_);
  }
  [[nodiscard]] const ChartedRun& run(const Trend& trend, std::size_t i) const {
    return group_.runs[trend.runs[i]];
  }
  [[nodiscard]] std::string day(const Trend& trend, std::size_t i) const {
    return day_text(run(trend, i).began);
  }
  static std::string joined(const std::vector<std::string>& parts) {
    std::string out;
    for (const std::string& part : parts)
      out += (out.empty() ? "" : ", ") + part;
    return out;
  }

  const TrendGroup& group_;
  const TrendFigures& figures_;
  const Words& words_;
  UnitSystem units_;
};

Blocks alike_blocks(const std::vector<AlikeRuns>& alike, const Words& words) {
  Blocks out;
  for (const AlikeRuns& pair : alike) {
    const char* key = "trend_alike_readings";
    if (pair.kind == AlikeRuns::Kind::entered_twice) key = "trend_alike_twice";
    if (pair.kind == AlikeRuns::Kind::same_log) key = "trend_alike_log";
    out.push_back(Item{words.text(key, {{"number", std::to_string(pair.number)},
                                        {"run", clean(pair.name)},
                                        {"other_number", std::to_string(pair.other_number)},
                                        {"other", clean(pair.other_name)}})});
  }
  return under(Heading{words.text("trend_alike"), 2}, std::move(out));
}

} // namespace

std::string day_text(const ClockedInstant& at) {
  return print_iso_wall(WallTime{at.at.time_since_epoch().count() + at.utc_offset_s * us_per_s})
      .substr(0, 10);
}

std::string trend_figure_name(TrendOf of, const Words& words) {
  switch (of) {
  case TrendOf::core_lag:
    return words.text("trend_core_lag");
  case TrendOf::come_up:
    return words.text("trend_come_up");
  case TrendOf::margin:
    return words.text("trend_margin");
  case TrendOf::hold_margin:
    return words.text("trend_hold_margin");
  case TrendOf::plateau:
    break;
  }
  return words.text("trend_plateau");
}

std::string trend_value_text(TrendOf of, double value, UnitSystem units) {
  if (of == TrendOf::margin) return times_text(value);
  if (of == TrendOf::plateau) return print_temperature(value, units);
  return minutes_text(value);
}

std::string trend_step_text(TrendOf of, double step, UnitSystem units) {
  if (of == TrendOf::plateau) return print_temperature_difference(step, units);
  return trend_value_text(of, step, units);
}

std::string trend_group_text(const TrendGroup& group, const Words& words) {
  std::string text = (group.vessel.empty() ? words.text("trend_no_vessel") : clean(group.vessel)) + ", " +
                     (group.bag.empty() ? words.text("trend_no_bag") : clean(group.bag)) + ", " +
                     (group.treatment.empty() ? words.text("trend_no_treatment")
                                              : clean(named(words, "treatment", group.treatment_name)));
  if (group.is_imported) text += ", " + words.text("trend_imported");
  return text;
}

Blocks trend_blocks(const Trends& trends, const TrendFigures& figures, const Words& words) {
  if (trends.groups.empty()) return {Paragraph{words.text("trend_none")}};
  Blocks out{Heading{words.text("trend_title"), 1}};
  for (const TrendGroup& group : trends.groups)
    append(out, GroupWriter(group, figures, words).blocks());
  append(out, alike_blocks(trends.alike, words));
  out.push_back(Space{});
  out.push_back(Paragraph{words.text("trend_chance"), 0});
  return out;
}

} // namespace coldbag
