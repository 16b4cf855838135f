#include "report/readings_json.h"

#include "report/layout.h"
#include "run/moment_text.h"

#include <nlohmann/json.hpp>

#include <cmath>

namespace coldbag {

namespace {

using Json = nlohmann::ordered_json;

double hundredths(double value) {
  return std::round(value * 100) / 100;
}

Json probe_json(const RunReport& report, const ProbeCurve& curve, const ProbeResult& probe, double from_s,
                std::size_t count) {
  Json values(count, nullptr);
  Json F(count, nullptr);
  for (std::size_t i = 0; i < curve.at_s.size(); ++i) {
    const auto at = static_cast<std::size_t>(std::lround((curve.at_s[i] - from_s) / report.curves.width_s));
    values[at] = hundredths(shown_degrees(curve.highest_degC[i], report.units));
    F[at] = hundredths(curve.F_minutes[i]);
  }
  Json json = {{"name", clean(probe.name)}, {"values", std::move(values)}};
  if (probe.role == ProbeRole::bag && report.verdict) json["F"] = std::move(F);
  return json;
}

Json plot_json(const ChartPlot& plot, const ChartSize& size) {
  return {{"left", plot.left},     {"right", plot.right},    {"top", plot.top},
          {"bottom", plot.bottom}, {"width", size.width_pt}, {"height", size.height_pt}};
}

} // namespace

std::string readings_json(const RunReport& report, const Words& words, const ChartSize& size,
                          const ChartSize& narrow_size) {
  if (!has_chart(report)) return "";
  const ChartPlot plot = chart_plot(report, words, size);
  const double width_s = report.curves.width_s;
  const auto count = static_cast<std::size_t>(std::lround((plot.to_s - plot.from_s) / width_s)) + 1;
  Json times = Json::array();
  for (std::size_t i = 0; i < count; ++i)
    times.push_back(moment_for_people(report.clock, plot.from_s + width_s * static_cast<double>(i)));
  Json probes = Json::array();
  for (const ProbeResult& probe : report.probes)
    for (const ProbeCurve& curve : report.curves.probes)
      if (curve.probe == probe.name && !curve.at_s.empty())
        probes.push_back(probe_json(report, curve, probe, plot.from_s, count));
  const Json json = {{"plot", plot_json(plot, size)},
                     {"narrow_plot", plot_json(chart_plot(report, words, narrow_size), narrow_size)},
                     {"from_s", plot.from_s},
                     {"to_s", plot.to_s},
                     {"width_s", width_s},
                     {"unit", report.units == UnitSystem::us ? "F" : "C"},
                     {"times", std::move(times)},
                     {"probes", std::move(probes)}};
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

} // namespace coldbag
