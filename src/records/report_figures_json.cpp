#include "records/report_figures_json.h"

#include <nlohmann/json.hpp>

namespace coldbag {

namespace {

using Json = nlohmann::json;

const Json& member(const Json& object, const char* key) {
  static const Json nothing;
  if (!object.is_object()) return nothing;
  const auto found = object.find(key);
  return found != object.end() ? *found : nothing;
}

std::optional<double> number(const Json& object, const char* key) {
  const Json& value = member(object, key);
  return value.is_number() ? std::optional(value.get<double>()) : std::nullopt;
}

std::string text(const Json& object, const char* key) {
  const Json& value = member(object, key);
  return value.is_string() ? value.get<std::string>() : "";
}

/// Of a list of objects the one whose `key` has this text; null where none has.
const Json& named(const Json& list, const char* key, const std::string& name) {
  static const Json nothing;
  for (const Json& each : list)
    if (text(each, key) == name) return each;
  return nothing;
}

} // namespace

ReportFigures report_figures(std::string_view leaf) {
  const Json entry = Json::parse(leaf, nullptr, false);
  const Json& report = member(member(entry, "content"), "report");
  ReportFigures out;
  const Json& coldest = member(report, "coldest");
  out.probe = text(coldest, "probe");
  out.bag = text(coldest, "bag");
  out.F_minutes = number(coldest, "F_minutes");
  out.F_minutes_lower = number(coldest, "F_minutes_lower");
  out.hold_minutes = number(coldest, "hold_minutes");
  out.hold_minutes_lower = number(coldest, "hold_minutes_lower");
  if (!out.probe.empty()) {
    out.top_degC = number(named(member(report, "probes"), "name", out.probe), "top_degC");
    for (const Json& kind : member(report, "heating"))
      if (const auto lag = number(named(member(kind, "probes"), "probe", out.probe), "lag_minutes"))
        out.lag_minutes = lag;
  }
  const Json& reach = member(report, "reach");
  out.bags = number(reach, "bag_count");
  out.probed_bags = number(reach, "probed_bags");
  return out;
}

} // namespace coldbag
