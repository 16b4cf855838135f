// Logs for the tests of this folder: read from a text or a file of broken/ or odd/.
#pragma once

#include "logs/rows.h"

#include <string>
#include <utility>
#include <vector>

namespace coldbag::test {

inline Source sample_file(const std::string& name) {
  return Source::file(std::string(COLDBAG_SOURCE_DIR) + "/tests/logs/" + name);
}

inline ProbeLog open_text(std::string text, const LogOptions& options = {}) {
  return ProbeLog::open(Source::memory("run.csv", std::move(text)), options);
}

/// All rows of a log in one block, with the tally.
struct AllRows {
  RowBlock rows;
  std::vector<CellTally> tally;
};

inline void append(RowBlock& all, const RowBlock& block) {
  all.value.resize(block.value.size());
  all.has.resize(block.has.size());
  all.time_s.insert(all.time_s.end(), block.time_s.begin(), block.time_s.end());
  if (!block.break_before.empty() || !all.break_before.empty()) {
    all.break_before.resize(all.time_s.size() - block.time_s.size());
    all.break_before.insert(all.break_before.end(), block.break_before.begin(), block.break_before.end());
    all.break_before.resize(all.time_s.size());
  }
  for (std::size_t c = 0; c < block.value.size(); ++c) {
    all.value[c].insert(all.value[c].end(), block.value[c].begin(), block.value[c].end());
    all.has[c].insert(all.has[c].end(), block.has[c].begin(), block.has[c].end());
  }
}

inline AllRows all_rows(const ProbeLog& log, int block_rows = most_rows_in_block) {
  AllRows all;
  all.tally = log.for_each_block([&](const RowBlock& block) { append(all.rows, block); }, block_rows);
  return all;
}

/// The tally of one kind; a count of 0 where there is none.
inline CellTally tally_of(const std::vector<CellTally>& tally, const std::string& kind) {
  for (const CellTally& one : tally)
    if (one.kind == kind) return one;
  return {};
}

} // namespace coldbag::test
