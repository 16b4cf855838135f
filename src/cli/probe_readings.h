// The readings of a check as they were given or typed.
#pragma once

#include "cli/options.h"
#include "cli/probe_bench.h"

#include <optional>
#include <string>

namespace coldbag {

/// What was read at the colder and at the hotter known temperature.
struct Points {
  std::optional<PointRead> low;
  std::optional<PointRead> high;
};

/// The readings of the options `ice` and `boil` ("ice", "ice-left", ...). Throws UserError (usage) where one
/// is no temperature or too far off.
[[nodiscard]] Points typed_points(const Given& given, const Bench& bench, const std::string& ice,
                                  const std::string& boil);

/// Throws UserError (usage) where the text is no temperature.
void must_be_temperature(const std::string& option, const std::string& text, const Bench& bench);

/// The readings beside a known thermometer, from --point and --reference-u.
[[nodiscard]] Points reference_points(const Given& given, const Bench& bench);

} // namespace coldbag
