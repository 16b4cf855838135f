// The files that a plan is drawn into: page and PDF.
#pragma once

#include "cli/options.h"
#include "report/words.h"
#include "sizing/beside_plan.h"
#include "tables/edition.h"

namespace coldbag {

/// Writes --html and --pdf, where they are asked for, each new. Throws UserError (cannot_write).
void write_drawn_plan(const Given& given, const PlanReport& report, const BesidePlan& beside,
                      const Words& words, const TableFiles& tables);

} // namespace coldbag
