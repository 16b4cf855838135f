// The report of a run as blocks. Whoever wants the parts in an order of their own calls them one by one; they
// stand in the headers included here.
#pragma once

#include "report/block.h"
#include "report/full_blocks.h"
#include "report/happenings_blocks.h"
#include "report/load_blocks.h"
#include "report/log_blocks.h"
#include "report/measured_blocks.h"
#include "report/notes_blocks.h"
#include "report/probe_blocks.h"
#include "report/unjudged_blocks.h"
#include "report/verdict_blocks.h"
#include "report/words.h"

#include <string>

namespace coldbag {

/// The run's name as a heading of level 1, and after which run it was steamed again; empty where neither is
/// said.
[[nodiscard]] Blocks run_name_blocks(const RunReport& report, const Words& words);

/// The whole report in the order of the screen; `is_full` adds `full_blocks`. Where nothing was judged: what
/// the logs show, and what to type next. `log_argument` is the log as it was typed.
[[nodiscard]] Blocks run_blocks(const RunReport& report, const Words& words, const std::string& log_argument,
                                bool is_full);

} // namespace coldbag
