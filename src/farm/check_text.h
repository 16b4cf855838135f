// A check of a probe as the lines that go behind a site file.
#pragma once

#include "farm/probe.h"

#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// The check as it is once written: temperatures and u to 0.001, a pressure to 0.01 kPa.
[[nodiscard]] ProbeCheck as_written(ProbeCheck check);

/// `[[probes.NAME.check]]` and its keys, as read_site takes them.
[[nodiscard]] std::string check_text(std::string_view probe, const ProbeCheck& check);

/// The bytes of a site file with checks of one of its probes added behind them: everything before stays as it
/// is, line ends too. Throws UserError where the file has no such probe, or writes its checks in a way that
/// nothing can be added to (`check = [...]`), or where what comes back is not the old file and the checks.
[[nodiscard]] std::string with_checks(std::string_view source_name, std::string_view toml,
                                      const std::string& probe, const std::vector<ProbeCheck>& checks);

} // namespace coldbag
