#include "farm/probe.h"

#include "farm/keyed.h"
#include "farm/probe_tables.h"

#include <algorithm>
#include <array>
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

std::optional<WallTime> read_day(KeyedTable& table) {
  const Stated<IsoTime> on = table.time("on");
  if (on.asked) table.note_asked(on.place);
  if (!on.value) return {};
  return on.value->wall;
}

/// One check; nothing where its correction is not known, for then it says nothing of the probe.
std::optional<ProbeCheck> read_check(KeyedTable& table) {
  const std::array<std::string, 4> ways{"ice", "boil", "ice and boil", "reference"};
  ProbeCheck check;
  check.place = table.place();
  check.on = read_day(table);
  const Stated<double> correction =
      table.quantity("correction", Dimension::temperature_difference, correction_bounds);
  if (correction.asked) table.note_asked(correction.place);
  if (!table.has("correction"))
    table.complain("correction", "correction is missing",
                   "write what is to be added to a reading, for example correction = \"-0.4 K\"");
  check.correction_K = correction.value.value_or(0);
  const Stated<double> u = table.quantity("u", Dimension::temperature_difference, zero_or_more);
  if (u.asked) table.note_asked(u.place);
  check.u_K = u.value;
  check.by = table.plain_text("by");
  const Stated<std::string> how = table.choice("how", ways);
  if (how.asked) table.note_asked(how.place);
  check.how = how.value.value_or("");
  table.finish();
  if (!correction.value) return {};
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
