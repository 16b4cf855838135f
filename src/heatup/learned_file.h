// The file in which a farm keeps what its runs have shown: TOML, written by the program, read back by it.
#pragma once

#include "heatup/learned.h"

#include <string>
#include <string_view>

namespace coldbag {

/// The first line of such a file, by which it is told from a file of the user's own.
[[nodiscard]] std::string_view learned_heading();

/// As docs/formats/learned.md says; six digits of each figure, so that the same runs give the same bytes.
[[nodiscard]] std::string write_learned(const Learned& learned);

/// Throws UserError with every fault: those of KeyedDocument, a figure that cannot be, standard deviations
/// and correlations that belong to no three quantities.
[[nodiscard]] Learned read_learned(std::string_view source_name, std::string_view toml);

} // namespace coldbag
