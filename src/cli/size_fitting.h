// How many bags fit inside: --inside and the spaces between.
#pragma once

#include "cli/options.h"
#include "sizing/fitting.h"
#include "sizing/plan_request.h"

#include <optional>

namespace coldbag {

/// Fits the request's first kind of bag into what --inside says; sets number and volume where nobody said
/// them. None where --inside is not given. Throws UserError where it cannot be understood, or the bags that
/// were asked for do not fit.
[[nodiscard]] std::optional<Fitting> fit_request(const Given& given, PlanRequest& request,
                                                 const SizingTables& tables);

} // namespace coldbag
