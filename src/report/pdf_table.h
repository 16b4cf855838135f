// A table of a report on paper: columns as wide as what stands in them, rows that are never torn apart.
#pragma once

#include "report/block.h"
#include "report/pdf_flow.h"

namespace coldbag {

/// Room that a table has: where it begins, how wide it may be, and how high a page is.
struct TableRoom {
  double left_pt;
  double width_pt;
  double page_height_pt;
};

/// The head, which stands again on every page, then a piece for each row with its note; a row that is higher
/// than a page is continued on the next. Where all is too wide, the widest columns of text are wrapped first,
/// then the letters get smaller; what is too wide even so stands as one line for each cell. Numbers are never
/// broken. `number` is the table's own among the elements of the file, and the numbers behind it are the
/// rows'.
[[nodiscard]] Pieces table_pieces(const Drawing& drawing, const Table& table, const TableRoom& room,
                                  std::size_t number);

} // namespace coldbag
