#include "run/follow_up.h"

#include "tables/basis_words.h"
#include "tables/table.h"

#include <algorithm>
#include <array>

namespace coldbag {

namespace {

constexpr std::array day_columns{
    ColumnRule{.name = "key", .required = true},
    ColumnRule{.name = "day", .kind = CellKind::number, .required = true, .lowest = 0, .highest = 365},
    ColumnRule{.name = "source"},
    ColumnRule{.name = "locator"},
    ColumnRule{.name = "basis", .kind = CellKind::choice, .required = true, .choices = basis_words},
    ColumnRule{.name = "note"},
};

} // namespace

std::vector<int> read_follow_up_days(const TableFiles& tables) {
  const Table table =
      Table::read(tables.source_name("follow-up-days.csv"), tables.bytes("follow-up-days.csv"), day_columns);
  std::vector<int> days;
  for (const TableRow& row : table.rows())
    days.push_back(static_cast<int>(row.required_number("day")));
  std::ranges::sort(days);
  return days;
}

} // namespace coldbag
