// Figures and names of a report as its texts show them.
#pragma once

#include "report/words.h"

#include <cstdint>
#include <optional>
#include <string>

namespace coldbag {

/// "78.6 min"; two decimals below ten minutes.
[[nodiscard]] std::string F_text(double minutes);
/// A lower bound, cut down to hundredths first.
[[nodiscard]] std::string F_bound_text(double minutes);
/// Cut down to whole minutes: a hold is never shown longer than it was.
[[nodiscard]] std::string hold_text(double minutes);
/// The same, "-" where there was none.
[[nodiscard]] std::string hold_or_dash(double minutes);
/// "a gap", "3 gaps".
[[nodiscard]] std::string gaps_text(std::int64_t gaps, const Words& words);
[[nodiscard]] std::string temperature_or_dash(const RunReport& report, const std::optional<double>& degC);
[[nodiscard]] std::string moment_or_dash(const RunReport& report, const std::optional<double>& at_s);

/// A value of a criterion in its unit; `against` rounds it so that it never shows on the wrong side of what
/// is required.
[[nodiscard]] std::string amount(const RunReport& report, const CriterionResult& criterion, double value,
                                 bool against);

[[nodiscard]] std::string criterion_name(const Words& words, const std::string& name);
[[nodiscard]] std::string role_name(const Words& words, ProbeRole role);

/// How a kind of bag is described, "brick of sawdust, breathing, apart", in the words of the catalogue;
/// another text as it is.
[[nodiscard]] std::string bag_description(const Words& words, const std::string& described);

/// What of a thing said its words have no place for: "; kind value" for each.
[[nodiscard]] std::string values_text(const RunReport& report, const SaidValues& values);

/// A table that was used: name, origin, beginning of its hash.
[[nodiscard]] std::string edition_text(const Words& words, const Edition& edition);

/// nullptr where the report has no such probe.
[[nodiscard]] const ProbeResult* find_probe(const RunReport& report, const std::string& name);

} // namespace coldbag
