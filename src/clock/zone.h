// Time zones: wall time to instants, with the hour that happens twice and the hour that is missing named.
#pragma once

#include "clock/instant.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// A named zone of the IANA database, or a fixed offset from UTC. Cheap to copy. Summer time is known to the
/// end of 2037, where the compiled database of the system ends; after it the last offset stays.
class Zone {
 public:
  /// "America/Bogota", "UTC", "Z", "+05:30", "-0300", "-03"; nothing where there is no such zone. Letters
  /// count.
  [[nodiscard]] static std::optional<Zone> find(std::string_view name);
  [[nodiscard]] static Zone fixed(int offset_s);
  [[nodiscard]] static Zone utc() { return fixed(0); }
  [[nodiscard]] const std::string& name() const { return name_; }
  bool operator==(const Zone&) const = default;

 private:
  friend struct ZoneRules;
  std::string name_;
  std::optional<int> fixed_offset_s_;
};

/// The instants that show this wall time.
struct WallMeaning {
  enum class Kind { one, twofold, missing };
  Kind kind = Kind::one;
  Instant first;  ///< the instant; the earlier of two; where missing, the instant of the jump
  Instant second; ///< the later of two; else equal to first
};

[[nodiscard]] WallMeaning instants_of(const Zone& zone, WallTime wall);
[[nodiscard]] WallTime wall_time_of(const Zone& zone, Instant instant);
[[nodiscard]] int offset_s_at(const Zone& zone, Instant instant);

/// "2026-03-08T14:05:09-05:00".
[[nodiscard]] std::string print_iso_local(const Zone& zone, Instant instant);

/// Zone names that look like the one asked for, best first, at most three; for the remedy in an error.
[[nodiscard]] std::vector<std::string> zones_like(std::string_view name);

} // namespace coldbag
