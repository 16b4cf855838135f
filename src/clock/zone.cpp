#include "clock/zone.h"

#include "errors/our_fault.h"

#include <date/tz.h>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <stdexcept>
#include <utility>

namespace coldbag {
namespace {

using LocalTime = date::local_time<std::chrono::microseconds>;

constexpr int s_per_day = 86'400;

std::string offset_text(int offset_s) {
  const int size_s = std::abs(offset_s);
  std::string text =
      fmt::format("{}{:02}:{:02}", offset_s < 0 ? '-' : '+', size_s / 3600, size_s % 3600 / 60);
  // Only local mean times of before the zones were agreed have seconds.
  if (size_s % 60 != 0) text += fmt::format(":{:02}", size_s % 60);
  return text;
}

/// "+05:30", "-0300", "+05"; the reader of times knows the forms already.
std::optional<int> written_offset_s(std::string_view name) {
  if (name.empty() || (name.front() != '+' && name.front() != '-')) return std::nullopt;
  const auto time = parse_iso_time("1970-01-01T00:00" + std::string{name});
  return time ? time->offset_s : std::nullopt;
}

/// Files that lie in the zone folder but are copies counted otherwise ("right/" counts leap seconds).
bool is_zone_name(std::string_view name) {
  constexpr std::array<std::string_view, 3> others{"localtime", "posixrules", "Factory"};
  if (name.starts_with("posix/") || name.starts_with("right/")) return false;
  return std::find(others.begin(), others.end(), name) == others.end();
}

/// Null where the database has no such zone, or there is no database.
const date::time_zone* named_zone(std::string_view name) {
  if (!is_zone_name(name)) return nullptr;
  try {
    return date::locate_zone(name);
  } catch (const std::runtime_error&) {
    return nullptr;
  }
}

const date::time_zone& known_zone(std::string_view name) {
  const date::time_zone* found = named_zone(name);
  our_check(found != nullptr, "a zone that was found once is found again");
  return *found;
}

Instant minus_offset(WallTime wall, std::chrono::seconds offset) {
  return Instant{std::chrono::microseconds{wall.us} - offset};
}

WallMeaning meaning_in(const date::time_zone& zone, WallTime wall) {
  const date::local_info info = zone.get_info(LocalTime{std::chrono::microseconds{wall.us}});
  WallMeaning meaning;
  switch (info.result) {
  case date::local_info::nonexistent:
    meaning.kind = WallMeaning::Kind::missing;
    meaning.first = meaning.second = Instant{info.first.end};
    break;
  case date::local_info::ambiguous:
    meaning.kind = WallMeaning::Kind::twofold;
    meaning.first = minus_offset(wall, info.first.offset);
    meaning.second = minus_offset(wall, info.second.offset);
    break;
  default:
    meaning.first = meaning.second = minus_offset(wall, info.first.offset);
    break;
  }
  return meaning;
}

char folded(char c) {
  if (c >= 'A' && c <= 'Z') return static_cast<char>(c - 'A' + 'a');
  return c == ' ' || c == '-' ? '_' : c;
}

std::string folded(std::string_view text) {
  std::string result;
  for (const char c : text)
    result += folded(c);
  return result;
}

/// Letters to add, drop or change to make one text of the other (Levenshtein's distance).
std::size_t letters_apart(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j)
    row[j] = j;
  for (std::size_t i = 0; i < a.size(); ++i) {
    std::size_t diagonal = std::exchange(row[0], i + 1);
    for (std::size_t j = 0; j < b.size(); ++j) {
      const std::size_t changed = diagonal + (a[i] == b[j] ? 0 : 1);
      diagonal = row[j + 1];
      row[j + 1] = std::min({changed, row[j] + 1, diagonal + 1});
    }
  }
  return row[b.size()];
}

/// The city alone is what many write.
std::size_t distance_to_zone(std::string_view wanted, std::string_view zone) {
  const std::string whole = folded(zone);
  const std::string city = whole.substr(whole.rfind('/') + 1);
  return std::min(letters_apart(wanted, whole), letters_apart(wanted, city));
}

} // namespace

/// Opens the zone's insides to the functions below.
struct ZoneRules {
  static Zone named(std::string_view name) {
    Zone zone;
    zone.name_ = name;
    return zone;
  }
  static const std::optional<int>& fixed_offset_s(const Zone& zone) { return zone.fixed_offset_s_; }
};

std::optional<Zone> Zone::find(std::string_view name) {
  if (name == "UTC" || name == "Z") return utc();
  if (const auto offset_s = written_offset_s(name)) return fixed(*offset_s);
  if (named_zone(name) == nullptr) return std::nullopt;
  return ZoneRules::named(name);
}

Zone Zone::fixed(int offset_s) {
  our_check(std::abs(offset_s) < s_per_day, "an offset from UTC is less than a day");
  Zone zone;
  zone.name_ = offset_s == 0 ? "UTC" : offset_text(offset_s);
  zone.fixed_offset_s_ = offset_s;
  return zone;
}

WallMeaning instants_of(const Zone& zone, WallTime wall) {
  const auto& fixed_s = ZoneRules::fixed_offset_s(zone);
  if (!fixed_s) return meaning_in(known_zone(zone.name()), wall);
  const Instant instant = minus_offset(wall, std::chrono::seconds{*fixed_s});
  return {WallMeaning::Kind::one, instant, instant};
}

int offset_s_at(const Zone& zone, Instant instant) {
  const auto& fixed_s = ZoneRules::fixed_offset_s(zone);
  if (fixed_s) return *fixed_s;
  return static_cast<int>(known_zone(zone.name()).get_info(instant).offset.count());
}

WallTime wall_time_of(const Zone& zone, Instant instant) {
  const std::chrono::microseconds shown =
      instant.time_since_epoch() + std::chrono::seconds{offset_s_at(zone, instant)};
  return WallTime{shown.count()};
}

std::string print_iso_local(const Zone& zone, Instant instant) {
  return print_iso_wall(wall_time_of(zone, instant)) + offset_text(offset_s_at(zone, instant));
}

std::vector<std::string> zones_like(std::string_view name) {
  constexpr std::size_t most_names = 3;
  constexpr std::size_t longest_name = 64; // the comparison is quadratic
  if (name.empty() || name.size() > longest_name) return {};
  const std::string wanted = folded(name);
  std::vector<std::pair<std::size_t, std::string>> near;
  try {
    for (const date::time_zone& zone : date::get_tzdb().zones) {
      const std::size_t distance = distance_to_zone(wanted, zone.name());
      if (distance <= wanted.size() / 4 && is_zone_name(zone.name()))
        near.emplace_back(distance, zone.name());
    }
  } catch (const std::runtime_error&) {
    return {}; // no database, so no names to offer
  }
  std::sort(near.begin(), near.end());
  std::vector<std::string> names;
  for (auto& [distance, zone] : near) {
    if (names.size() < most_names) names.push_back(std::move(zone));
  }
  return names;
}

} // namespace coldbag
