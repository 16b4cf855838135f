// `coldbag lag RUN`: what a run showed of how its bags heat; and, with --learn, what many runs showed
// together.
#pragma once

#include "cli/options.h"
#include "tables/edition.h"

namespace coldbag {

/// Tells of each run or log that was given; 0 where every one told of a kind of bag, else 2.
int tell_runs(const Given& given, const TableFiles& tables);

/// Puts the runs together and writes what they showed to the file that --out or the site file names; where
/// neither does, only tells it. A file is replaced only where this command wrote it.
int learn_from_runs(const Given& given, const TableFiles& tables);

} // namespace coldbag
