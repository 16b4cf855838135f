// What verdicts would be now, as blocks.
#pragma once

#include "clock/instant.h"
#include "report/block.h"
#include "report/words.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace coldbag {

/// A kept run judged again. Verdicts are words of report_words, "" where nothing was judged.
struct JudgedAgain {
  std::uint64_t number = 0;
  std::string run;
  std::string then;
  std::string now;
  std::optional<std::string> without; ///< as if a probe had not been there
  std::string why_not;                ///< where it could not be judged
};

/// Those whose verdict would be another, and how many there were.
[[nodiscard]] Blocks again_blocks(const std::vector<JudgedAgain>& all, const Words& words);

/// All of them, for a probe whose check is in doubt.
[[nodiscard]] Blocks affected_blocks(const std::vector<JudgedAgain>& all, const std::string& probe,
                                     std::optional<WallTime> last_good, const Words& words);

} // namespace coldbag
