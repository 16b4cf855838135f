// Something to be said: a key of words and the quantities that go into them. A language is chosen when it is
// written out.
#pragma once

#include <map>
#include <string>
#include <variant>

namespace coldbag {

/// Numbers and names by their name. A number's unit is the end of its name (`_degC`, `_minutes`, `_K`, `_Pa`,
/// `_m`, `_kg`); `_at` is a moment in seconds since the run's first reading.
using SaidValues = std::map<std::string, std::variant<double, std::string>>;

struct Said {
  std::string key;
  SaidValues values;
  bool operator==(const Said&) const = default;
};

} // namespace coldbag
