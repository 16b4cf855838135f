#include "cli/probe_log.h"

#include "cli/log_options.h"
#include "farm/nearest.h"
#include "logs/rows.h"

#include <fmt/format.h>

namespace coldbag {

namespace {

struct Trace {
  std::vector<double> time_s;
  std::vector<double> degC;
};

Trace read_trace(const Given& given, const Bench& bench) {
  LogOptions options;
  read_log_options(with_log_settings({}, bench.site), options);
  if (given.has("unit")) options.temperature_unit = bench.bare_in_degF ? ColumnUnit::degF : ColumnUnit::degC;
  if (bench.site.zone.known()) options.zone = Zone::find(*bench.site.zone.value);
  const ProbeLog log = ProbeLog::open(Source::file(given.text("log")), options);
  const std::string wanted =
      given.has("column") ? given.text("column") : probe_of(bench).column.value.value_or(bench.probe);
  std::vector<std::string> names;
  std::optional<std::size_t> at;
  for (std::size_t v = 0; v < log.value_columns().size(); ++v) {
    const LogColumn& column = log.understanding().columns[static_cast<std::size_t>(log.value_columns()[v])];
    if (column.kind.value != ColumnKind::temperature) continue;
    names.push_back(column.name);
    if (column.name == wanted) at = v;
  }
  if (!at)
    throw UserError({Trouble::bad_data,
                     {log.source().name(), 0, 0, ""},
                     "there is no column \"" + wanted + "\"",
                     "name the probe's with --column; there: " + list_names(names, true)});
  Trace trace;
  log.for_each_block([&](const RowBlock& block) {
    for (std::size_t row = 0; row < block.time_s.size(); ++row)
      if (block.has[*at][row] != 0) {
        trace.time_s.push_back(block.time_s[row]);
        trace.degC.push_back(block.value[*at][row]);
      }
  });
  return trace;
}

} // namespace

RestsFound log_points(const Given& given, const Bench& bench) {
  const Trace trace = read_trace(given, bench);
  const double step_K = bench.resolution_K.value_or(bench.rules.log_resolution_K);
  RestsFound found;
  Points& points = found.points;
  if (const auto rest = find_rest(trace.time_s, trace.degC, 0, bench.rules)) {
    found.in_ice = *rest;
    points.low = at_ice(bench, rest->mean_degC, step_K, rest->spread_K);
  }
  if (const auto rest = find_rest(trace.time_s, trace.degC, boil_here_degC(bench), bench.rules)) {
    found.at_boil = *rest;
    points.high = at_boil(bench, rest->mean_degC, step_K, rest->spread_K);
  }
  if (!points.low && !points.high)
    throw UserError(
        {Trouble::bad_data,
         {given.text("log"), 0, 0, ""},
         fmt::format("the probe was never at rest near 0 C or near {:.2f} C: no {:g} s within {:g} K",
                     boil_here_degC(bench), bench.rules.rest_for_s, bench.rules.rest_span_K),
         "leave it longer in ice and at the boil, or give --ice and --boil as you read them"});
  return found;
}

} // namespace coldbag
