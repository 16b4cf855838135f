// What may be stated about what, and what a statement opens.
#pragma once

#include "errors/user_error.h"
#include "records/entry.h"
#include "records/fields.h"

#include <optional>
#include <string>
#include <vector>

namespace coldbag {

/// Kinds that a person states, beside runs and keys.
[[nodiscard]] bool is_statement(EntryKind kind);

/// What its signature stands for: review of a review, approval of a disposition, else authorship.
[[nodiscard]] Meaning meaning_of(EntryKind kind);

/// Of what kind the older entry has to be that a statement is about; empty: any, and none for a probe check.
[[nodiscard]] std::vector<EntryKind> is_about(EntryKind kind);

/// What is wrong with a statement beyond its fields one by one: a release against FAIL or UNPROVEN wants a
/// reason and a second name, more bad bags than were looked at, more strips grown than there were.
/// verdict: of the run that it is about, "" for none.
[[nodiscard]] std::vector<Complaint> complaints_about(EntryKind kind, const FieldTexts& fields,
                                                      const std::string& signer, const std::string& verdict);

/// The word of the event where a statement is a deviation itself: spores that grew although the run passed
/// and the strips beside it were alive.
[[nodiscard]] std::optional<std::string> deviation_opened_by(EntryKind kind, const FieldTexts& fields,
                                                             const std::string& verdict);

/// The word of a deviation that an event of a run is ("door"), nothing where it is none. before_steam_off:
/// whether it was before the steam went off; a door opened afterwards is as planned.
[[nodiscard]] std::optional<std::string> deviation_of_event(std::string_view what, bool before_steam_off);

} // namespace coldbag
