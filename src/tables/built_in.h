// The copies of the data tables that are compiled into the program.
#pragma once

#include <span>
#include <string_view>

namespace coldbag {

struct BuiltInTable {
  std::string_view name;  ///< file name in shared/, for example "organisms.csv"
  std::string_view bytes; ///< the file as it was when the program was built
};

/// Every table of shared/ at build time, by file name in rising order.
[[nodiscard]] std::span<const BuiltInTable> built_in_tables();

} // namespace coldbag
