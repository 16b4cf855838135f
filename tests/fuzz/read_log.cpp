// Any bytes given as a log: understood and read, or refused with a UserError. The first byte chooses options.
#include "errors/user_error.h"
#include "logs/rows.h"

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string>

namespace {

coldbag::LogOptions options_by(unsigned choice) {
  using namespace coldbag;
  LogOptions options;
  if ((choice & 1U) != 0) options.temperature_unit = ColumnUnit::degC;
  if ((choice & 2U) != 0) options.elapsed_unit = ColumnUnit::minutes;
  if ((choice & 4U) != 0) options.time_column = "1";
  if ((choice & 8U) != 0) options.zone = Zone::find("America/New_York");
  if ((choice & 16U) != 0) options.delimiter = ' ';
  if ((choice & 32U) != 0) options.encoding = TextEncoding::windows_1252;
  if ((choice & 64U) != 0) options.decimal_mark = ',';
  return options;
}

/// Rows and readings handed on, so that every block size can be held against another.
std::string told(const coldbag::ProbeLog& log, int block_rows) {
  std::size_t rows = 0;
  std::size_t readings = 0;
  double last_s = -1;
  const auto tally = log.for_each_block(
      [&](const coldbag::RowBlock& block) {
        rows += block.time_s.size();
        for (const double time_s : block.time_s) {
          if (!(time_s > last_s)) std::abort();
          last_s = time_s;
        }
        for (const auto& has : block.has)
          for (const std::uint8_t there : has)
            readings += there;
      },
      block_rows);
  std::string text = std::to_string(rows) + " " + std::to_string(readings);
  for (const coldbag::CellTally& one : tally)
    text += " " + one.kind + " " + std::to_string(one.count);
  if (rows != static_cast<std::size_t>(log.survey().row_count)) std::abort();
  return text;
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size == 0) return 0;
  try {
    const auto log = coldbag::ProbeLog::open(
        coldbag::Source::memory("fuzz.csv", std::string(reinterpret_cast<const char*>(data) + 1, size - 1)),
        options_by(data[0]));
    if (told(log, 1) != told(log, coldbag::most_rows_in_block)) std::abort();
  } catch (const coldbag::UserError&) {
  }
  return 0;
}
