// A run with the files it was judged from, to be kept and to be judged again.
#pragma once

#include "cli/options.h"
#include "records/ledger.h"
#include "records/run_entry_json.h"
#include "report/words.h"
#include "run/run_input.h"
#include "run/run_report.h"
#include "tables/edition.h"

#include <optional>
#include <string>
#include <vector>

namespace coldbag {

struct JudgedRun {
  RunReport report;
  RunContent content;
  std::vector<KeptFile> files; ///< bit for bit
};

/// Reads and judges a run file, or a log with options, as `check` does. Throws UserError as it does.
[[nodiscard]] JudgedRun judge_to_keep(const std::string& path, const Given& given, const Words& words,
                                      const TableFiles& tables);

/// What a kept run is judged from, out of its kept files and options. Throws UserError where a file is not
/// what its entry says.
[[nodiscard]] RunRequest kept_request(const Store& store, const std::vector<Attachment>& attachments,
                                      const RunContent& content, const TableFiles& tables);

/// Judges a kept run again from its kept files and says where the report differs from the kept one: a path of
/// its JSON, or why it cannot be judged; "" where they agree.
[[nodiscard]] std::string recomputed_difference(const Store& store, const Entry& entry,
                                                const TableFiles& tables);

} // namespace coldbag
