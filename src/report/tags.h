// Tags for the racks of one run: which run, treated or not, what became of the bags.
#pragma once

#include "report/sheet_pdf.h"

#include <optional>
#include <string>
#include <vector>

namespace coldbag {

/// What is empty is a line to write on.
struct RackTag {
  std::string run_name;
  std::string rack; ///< "2 of 6"
  std::string vessel;
  std::string bag_kind;
  std::optional<int> bags_in_run; ///< how many of them are on this rack is written by hand
  std::string treatment;
  bool operator==(const RackTag&) const = default;
};

inline constexpr int most_racks = 400;

/// A tag for each of `racks`; without a number of them one page of tags whose rack is to be written. Of
/// several kinds of bags none is printed: a rack may hold either.
[[nodiscard]] std::vector<RackTag> rack_tags(const RunSheet& sheet, const Words& words,
                                             std::optional<int> racks);

/// Four to a page, with lines to cut along, and a box to count bad bags in for each of `days`. Names have no
/// control characters. The same tags give the same bytes.
[[nodiscard]] PrintedPdf tags_pdf(const std::vector<RackTag>& tags, const std::vector<int>& days,
                                  const Words& words, Paper paper);

} // namespace coldbag
