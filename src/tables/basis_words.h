// On what a figure of a table may rest: the words of every `basis` column, and the columns that go with it.
#pragma once

#include "tables/table.h"

#include <array>
#include <string_view>

namespace coldbag {

inline constexpr std::array<std::string_view, 5> basis_words{"published", "common practice", "from memory",
                                                             "assumed", "site"};

/// The columns with which the rows of a table say what they rest on.
inline constexpr ColumnRule source_column{.name = "source"}; ///< key of sources.csv
inline constexpr ColumnRule locator_column{.name = "locator"};
inline constexpr ColumnRule basis_column{
    .name = "basis", .kind = CellKind::choice, .required = true, .choices = basis_words};
inline constexpr ColumnRule note_column{.name = "note"};

} // namespace coldbag
