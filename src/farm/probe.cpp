#include "farm/probe.h"

#include "errors/our_fault.h"
#include "farm/keyed.h"
#include "farm/probe_tables.h"
#include "steam/atmosphere.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace coldbag {

namespace {

constexpr std::array<std::pair<ProbeRole, std::string_view>, 7> roles{{{ProbeRole::bag, "bag"},
                                                                       {ProbeRole::vessel, "vessel"},
                                                                       {ProbeRole::lid, "lid"},
                                                                       {ProbeRole::drain, "drain"},
                                                                       {ProbeRole::surface, "surface"},
                                                                       {ProbeRole::outside, "outside"},
                                                                       {ProbeRole::unstated, "unstated"}}};

/// A correction beyond this is a broken probe or a slip of the pen; from memory, no source.
constexpr double largest_correction_K = 20;
constexpr Bounds correction_bounds{-largest_correction_K, largest_correction_K, true,
                                   "from -20 K to 20 K (a probe further off is broken)"};

/// Two points closer than this give a line that means nothing; assumed.
constexpr double least_apart_K = 20;
constexpr Bounds point_bounds{-100.0, 700.0, true, "from -100 C to 700 C"};
constexpr Bounds pressure_bounds{lowest_site_Pa, highest_site_Pa, true, site_pressure_words};

/// Small letters, of ASCII and of the accented A in "CAMARA".
std::string lower_case(std::string_view text) {
  std::string out(text);
  for (std::size_t i = 0; i < out.size(); ++i)
    if (out[i] >= 'A' && out[i] <= 'Z')
      out[i] = static_cast<char>(out[i] - 'A' + 'a');
    else if (i > 0 && out[i] == '\x81' && out[i - 1] == '\xC3')
      out[i] = '\xA1';
  return out;
}

/// True where the word begins in the name and no letter stands before it ("core 1", "t_core", not "score").
bool has_word(const std::string& name, std::string_view word) {
  for (std::size_t at = name.find(word); at != std::string::npos; at = name.find(word, at + 1))
    if (at == 0 || !(name[at - 1] >= 'a' && name[at - 1] <= 'z')) return true;
  return false;
}

Stated<ProbeRole> read_place(KeyedTable& table) {
  const std::array<std::string, 6> words{"bag", "vessel", "lid", "drain", "surface", "outside"};
  const Stated<std::string> written = table.choice("place", words);
  Stated<ProbeRole> role{std::nullopt, written.asked, written.place};
  if (written.value) role.value = find_role(*written.value);
  return role;
}

std::optional<IsoTime> read_day(KeyedTable& table, std::string_view key) {
  const Stated<IsoTime> on = table.time(key);
  if (on.asked) table.note_asked(on.place);
  return on.value;
}

double read_known(KeyedTable& table, std::string_view key, Dimension dimension, const Bounds& bounds,
                  std::optional<double>& into) {
  const Stated<double> value = table.quantity(key, dimension, bounds);
  if (value.asked) table.note_asked(value.place);
  into = value.value;
  return value.value.value_or(0);
}

/// { reads = "99.1 C", is = "98.31 C" }; nothing where one of the two is not known.
std::optional<CheckPoint> read_point(KeyedTable& table, std::string_view key) {
  if (!table.has(key)) return {};
  KeyedTable point = table.table(key);
  std::optional<double> reads;
  std::optional<double> is;
  read_known(point, "reads", Dimension::temperature, point_bounds, reads);
  read_known(point, "is", Dimension::temperature, point_bounds, is);
  for (const char* part : {"reads", "is"})
    if (!point.has(part))
      point.complain(part, std::string(part) + " is missing",
                     R"(write for example { reads = "99.1 C", is = "98.31 C" })");
  point.finish();
  if (!reads || !is) return {};
  if (std::abs(*is - *reads) > largest_correction_K) {
    table.complain(key, "the probe is more than 20 K off here: it is broken, or a figure is wrong",
                   R"(write for example { reads = "99.1 C", is = "98.31 C" })");
    return {};
  }
  return CheckPoint{*reads, *is};
}

void read_points(KeyedTable& table, ProbeCheck& check) {
  check.low = read_point(table, "low");
  check.high = read_point(table, "high");
  if (check.low && check.high &&
      (check.high->is_degC - check.low->is_degC < least_apart_K ||
       check.high->reads_degC - check.low->reads_degC < least_apart_K)) {
    table.complain("high", "the two points are less than 20 K apart, or high is not the hotter one",
                   "write the colder point as low, the hotter as high; leave one out where they are close");
    check.high.reset();
  }
  if (check.low || check.high) check.correction = correction_of(check.low, check.high);
}

CheckState read_state(KeyedTable& table) {
  const std::array<std::string, 2> words{"as found", "as left"};
  const Stated<std::string> state = table.choice("state", words);
  if (state.asked) table.note_asked(state.place);
  if (!state.value) return CheckState::unchanged;
  return *state.value == "as found" ? CheckState::as_found : CheckState::as_left;
}

/// True where something says what the probe was off.
bool read_correction(KeyedTable& table, ProbeCheck& check) {
  read_points(table, check);
  const bool has_points = table.has("low") || table.has("high");
  std::optional<double> correction;
  read_known(table, "correction", Dimension::temperature_difference, correction_bounds, correction);
  if (has_points && table.has("correction"))
    table.complain("correction", "the points low and high say the correction already",
                   "leave correction out, or the points");
  if (has_points) return check.low || check.high;
  if (!table.has("correction"))
    table.complain("correction", "correction is missing",
                   "write what is to be added to a reading, for example correction = \"-0.4 K\"");
  check.correction.offset_K = correction.value_or(0);
  return correction.has_value();
}

/// One check; nothing where its correction is not known, for then it says nothing of the probe.
std::optional<ProbeCheck> read_check(KeyedTable& table) {
  const std::array<std::string, 4> ways{"ice", "boil", "ice and boil", "reference"};
  ProbeCheck check;
  check.place = table.place();
  if (const auto on = read_day(table, "on")) {
    check.on = on->wall;
    check.has_clock = on->has_clock;
  }
  const bool says = read_correction(table, check);
  check.state = read_state(table);
  read_known(table, "u", Dimension::temperature_difference, zero_or_more, check.u_K);
  read_known(table, "reference_u", Dimension::temperature_difference, zero_or_more, check.reference_u_K);
  const Stated<double> pressure =
      table.pressure("pressure_at_site", PressureSort::barometer, pressure_bounds);
  if (pressure.asked) table.note_asked(pressure.place);
  check.site_pressure_Pa = pressure.value;
  if (const auto due = read_day(table, "next_due")) check.next_due = due->wall;
  check.by = table.plain_text("by");
  const Stated<std::string> how = table.choice("how", ways);
  if (how.asked) table.note_asked(how.place);
  check.how = how.value.value_or("");
  table.finish();
  if (!says) return {};
  return check;
}

Probe read_probe(const std::string& name, KeyedTable& table) {
  const std::array<std::string, 3> spots{"cold", "hot", "random"};
  Probe probe;
  probe.name = name;
  probe.place = table.place();
  probe.column = table.text("column");
  probe.role = read_place(table);
  probe.bag = table.text("bag");
  probe.position = table.text("position");
  probe.spot = table.choice("spot", spots);
  probe.probe_class = table.text("class");
  probe.resolution_K = table.quantity("resolution", Dimension::temperature_difference, above_zero);
  if (probe.bag.value && probe.role.value && probe.role.value != ProbeRole::bag)
    table.complain(
        "bag", "the probe names a bag, but its place is \"" + std::string(role_text(*probe.role.value)) + '"',
        "write place = \"bag\", or leave bag out");
  for (KeyedTable& each : table.tables("check"))
    if (auto check = read_check(each)) probe.checks.push_back(std::move(*check));
  table.finish();
  return probe;
}

} // namespace

bool is_steam_space(ProbeRole role) {
  return role != ProbeRole::bag && role != ProbeRole::surface && role != ProbeRole::outside;
}

double corrected_degC(const Correction& correction, double reading_degC) {
  return correction.gain * reading_degC + correction.offset_K;
}

double correction_at_K(const Correction& correction, double is_degC) {
  if (correction.gain == 1) return correction.offset_K;
  return is_degC - (is_degC - correction.offset_K) / correction.gain;
}

Correction correction_of(const std::optional<CheckPoint>& low, const std::optional<CheckPoint>& high) {
  our_check(low || high, "a check has a point");
  if (!low || !high) {
    const CheckPoint& one = low ? *low : *high;
    return {1, one.is_degC - one.reads_degC};
  }
  our_check(low->reads_degC < high->reads_degC && low->is_degC < high->is_degC,
            "the low point is the colder");
  Correction line;
  line.gain = (high->is_degC - low->is_degC) / (high->reads_degC - low->reads_degC);
  line.offset_K = low->is_degC - line.gain * low->reads_degC;
  return line;
}

std::string_view role_text(ProbeRole role) {
  const auto* const found =
      std::find_if(roles.begin(), roles.end(), [&](const auto& pair) { return pair.first == role; });
  return found == roles.end() ? std::string_view() : found->second;
}

std::optional<ProbeRole> find_role(std::string_view text) {
  const auto* const found =
      std::find_if(roles.begin(), roles.end(), [&](const auto& pair) { return pair.second == text; });
  if (found == roles.end()) return {};
  return found->first;
}

std::vector<Probe> read_probe_tables(KeyedTable& root) {
  std::vector<Probe> probes;
  for (auto& [name, table] : root.named_tables("probes"))
    probes.push_back(read_probe(name, table));
  return probes;
}

ProbeRole role_by_name(std::string_view column) {
  const std::string name = lower_case(column);
  const auto says = [&](std::initializer_list<std::string_view> words) {
    return std::any_of(words.begin(), words.end(),
                       [&](std::string_view word) { return has_word(name, word); });
  };
  if (says({"vessel", "chamber", "steam", "c\xC3\xA1mara", "camara", "vapor"})) return ProbeRole::vessel;
  if (says({"lid", "tapa"})) return ProbeRole::lid;
  if (says({"drain"})) return ProbeRole::drain;
  if (says({"bag", "core", "bolsa", "centro"})) return ProbeRole::bag;
  return ProbeRole::unstated;
}

} // namespace coldbag
