// Runs made in memory for the tests of the judge: a short log opened once, then rows of any trace.
#pragma once

#include "run/judge.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <limits>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace coldbag::test {

inline constexpr double made_interval_s = 60;
inline constexpr double not_there = std::numeric_limits<double>::quiet_NaN();

/// Readings at times that rise; not_there is a cell without a value.
struct Trace {
  std::vector<double> time_s;
  std::vector<std::vector<double>> degC; ///< one list a probe
};

/// A trace of `count` probes that all read `degC(time)` every `step_s` up to and with `end_s`.
template <class Curve>
Trace trace_of(int count, double end_s, Curve degC, double step_s = made_interval_s) {
  Trace trace;
  for (double t = 0; t <= end_s; t += step_s)
    trace.time_s.push_back(t);
  std::vector<double> values;
  for (const double t : trace.time_s)
    values.push_back(degC(t));
  trace.degC.assign(static_cast<std::size_t>(count), values);
  return trace;
}

/// All that a PASS needs beside heat: a vented vessel, an altitude, known probes, two bags and the steam.
inline RunOptions stated_options(double u_K = 0) {
  RunOptions options;
  options.in_bag = {"Probe 1", "Probe 2"};
  options.vessel = {"Probe 3"};
  options.altitude_m = 0;
  options.vessel_kind = VesselKind::vented;
  options.u_K = u_K;
  return options;
}

inline std::string made_log_text(int probes) {
  std::string text = "time (s)";
  for (int p = 1; p <= probes; ++p)
    text += ",Probe " + std::to_string(p) + " (C)";
  for (int row = 0; row < 20; ++row) {
    text += "\n" + std::to_string(row * static_cast<int>(made_interval_s));
    for (int p = 0; p < probes; ++p)
      text += ",20.0";
  }
  return text + "\n";
}

/// A run of one log with three probes, a row a minute; the rows themselves come by `judged`.
inline RunInput made_run(const std::string& treatment, RunOptions options = stated_options()) {
  RunRequest request;
  options.treatment = treatment;
  request.options = std::move(options);
  request.logs.push_back(Source::memory("made.csv", made_log_text(3)));
  RunInput input = open_run(std::move(request), TableFiles::built_in());
  input.check_limits.reset(); // traces of these tests are simpler than any that a probe gives
  return input;
}

inline RowBlock block_of(const Trace& trace, std::size_t from = 0,
                         std::size_t count = std::numeric_limits<std::size_t>::max()) {
  const std::size_t to = from + std::min(count, trace.time_s.size() - from);
  RowBlock block;
  block.first_row = static_cast<std::int64_t>(from);
  for (std::size_t row = from; row < to; ++row)
    block.time_s.push_back(trace.time_s[row]);
  for (const auto& column : trace.degC) {
    auto& value = block.value.emplace_back();
    auto& has = block.has.emplace_back();
    for (std::size_t row = from; row < to; ++row) {
      value.push_back(column[row]);
      has.push_back(std::isnan(column[row]) ? 0 : 1);
    }
  }
  return block;
}

inline RunReport judged(RunInput input, const Trace& trace) {
  Judge judge(std::move(input));
  judge.take(0, block_of(trace));
  return judge.finish({{}});
}

inline bool passes(const RunReport& report) {
  return report.verdict == Verdict::pass;
}

inline const ProbeResult& probe_of(const RunReport& report, const std::string& name) {
  return *std::find_if(report.probes.begin(), report.probes.end(),
                       [&](const ProbeResult& p) { return p.name == name; });
}

inline const CriterionResult& criterion_of(const RunReport& report, const std::string& name) {
  return *std::find_if(report.criteria.begin(), report.criteria.end(),
                       [&](const CriterionResult& c) { return c.name == name; });
}

inline RunEvent event_at(EventKind what, double elapsed_s) {
  RunEvent event;
  event.what = what;
  event.time.elapsed_s = elapsed_s;
  return event;
}

/// How many cases a seeded test tries; COLDBAG_LONG=1 asks for the long run.
inline int cases(int ordinary, int in_long_run) {
  const char* asked = std::getenv("COLDBAG_LONG");
  return asked != nullptr && std::string(asked) == "1" ? in_long_run : ordinary;
}

} // namespace coldbag::test
