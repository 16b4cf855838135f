#include "farm/check_text.h"

#include "farm/nearest.h"
#include "farm/site.h"
#include "farm/toml_text.h"
#include "quantity/parse.h"
#include "quantity/print.h"

#include <fmt/format.h>

#include <algorithm>

namespace coldbag {

namespace {

constexpr std::int64_t day_us = 86'400'000'000;

std::string day_text(WallTime wall, bool has_clock) {
  const std::string text = print_iso_wall(wall);
  return has_clock ? text : text.substr(0, text.find('T'));
}

/// At most three decimals, none that are zero.
std::string short_number(double value, int decimals = 3) {
  std::string text = print_fixed(value, decimals);
  while (text.find('.') != std::string::npos && (text.back() == '0' || text.back() == '.')) {
    const bool was_point = text.back() == '.';
    text.pop_back();
    if (was_point) break;
  }
  return text;
}

std::string point_text(std::string_view key, const CheckPoint& point) {
  return fmt::format("{} = {{ reads = \"{} C\", is = \"{} C\" }}\n", key, short_number(point.reads_degC),
                     short_number(point.is_degC));
}

/// Places differ between the old file and the new one nowhere but in what was added.
bool is_old_and_more(const Site& old, Site read, const std::string& probe,
                     const std::vector<ProbeCheck>& checks) {
  const auto found =
      std::find_if(read.probes.begin(), read.probes.end(), [&](const Probe& p) { return p.name == probe; });
  if (found == read.probes.end() || found->checks.size() < checks.size()) return false;
  const auto first_new = found->checks.end() - static_cast<std::ptrdiff_t>(checks.size());
  for (std::size_t i = 0; i < checks.size(); ++i) {
    ProbeCheck written = *(first_new + static_cast<std::ptrdiff_t>(i));
    written.place = checks[i].place;
    if (written != checks[i]) return false;
  }
  found->checks.erase(first_new, found->checks.end());
  return read == old;
}

} // namespace

std::string check_text(std::string_view probe, const ProbeCheck& check) {
  std::string text = fmt::format("\n[[probes.{}.check]]\n", toml_key(probe));
  if (check.on) text += fmt::format("on = {}\n", day_text(*check.on, check.has_clock));
  if (!check.how.empty()) text += fmt::format("how = {}\n", toml_text(check.how));
  if (check.state != CheckState::unchanged)
    text += fmt::format("state = \"{}\"\n", check.state == CheckState::as_found ? "as found" : "as left");
  if (check.low) text += point_text("low", *check.low);
  if (check.high) text += point_text("high", *check.high);
  if (!check.low && !check.high)
    text += fmt::format("correction = \"{} K\"\n", short_number(check.correction.offset_K));
  if (check.u_K) text += fmt::format("u = \"{} K\"\n", short_number(*check.u_K));
  if (check.reference_u_K)
    text += fmt::format("reference_u = \"{} K\"\n", short_number(*check.reference_u_K));
  if (check.site_pressure_Pa)
    text += fmt::format("pressure_at_site = \"{} kPa\"\n", short_number(*check.site_pressure_Pa / 1000, 2));
  if (!check.by.empty()) text += fmt::format("by = {}\n", toml_text(check.by));
  if (check.next_due)
    text += fmt::format("next_due = {}\n", day_text(*check.next_due, check.next_due->us % day_us != 0));
  return text;
}

ProbeCheck as_written(ProbeCheck check) {
  const auto kept = [](double value) { return parse_number(print_fixed(value, 3)).value_or(value); };
  const auto keep = [&](std::optional<double>& value) {
    if (value) value = kept(*value);
  };
  for (std::optional<CheckPoint>* point : {&check.low, &check.high})
    if (*point) *point = CheckPoint{kept((*point)->reads_degC), kept((*point)->is_degC)};
  if (check.low || check.high)
    check.correction = correction_of(check.low, check.high);
  else
    check.correction = {1, kept(check.correction.offset_K)};
  keep(check.u_K);
  keep(check.reference_u_K);
  if (check.site_pressure_Pa)
    check.site_pressure_Pa =
        parse_quantity(print_fixed(*check.site_pressure_Pa / 1000, 2) + " kPa", Dimension::pressure).value;
  return check;
}

std::string with_checks(std::string_view source_name, std::string_view toml, const std::string& probe,
                        const std::vector<ProbeCheck>& checks) {
  const Site old = read_site(source_name, toml);
  const Place place{std::string(source_name), 0, 0, "probes." + probe};
  if (find_probe(old, probe) == nullptr) {
    std::vector<std::string> names;
    for (const Probe& each : old.probes)
      names.push_back(each.name);
    throw UserError({Trouble::bad_data, place, "there is no probe \"" + probe + "\" in the site file",
                     names.empty() ? "describe it there first, under [probes." + toml_key(probe) + "]"
                                   : "known: " + list_names(names, false)});
  }
  std::string added;
  for (const ProbeCheck& check : checks)
    added += check_text(probe, check);
  std::string bytes(toml);
  if (!bytes.empty() && bytes.back() != '\n') added.insert(0, "\n");
  if (bytes.find("\r\n") != std::string::npos)
    for (std::size_t at = added.find('\n'); at != std::string::npos; at = added.find('\n', at + 2))
      added.insert(at, "\r");
  bytes += added;
  bool is_same = false;
  try {
    is_same = is_old_and_more(old, read_site(source_name, bytes), probe, checks);
  } catch (const UserError&) {
    is_same = false;
  }
  if (!is_same)
    throw UserError({Trouble::bad_data, place, "no check can be added behind this file",
                     "write each check of the probe under a heading [[probes." + toml_key(probe) +
                         ".check]] of its own"});
  return bytes;
}

} // namespace coldbag
