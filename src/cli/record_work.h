// What each kind of work on a ledger is given, and the options that most of them ask for.
#pragma once

#include "cli/options.h"
#include "records/ledger.h"
#include "report/words.h"
#include "tables/edition.h"

#include <cstdint>
#include <string>
#include <vector>

namespace coldbag {

/// The exit status where a ledger is not whole.
inline constexpr int broken_status = 1;

struct RecordWork {
  const Given& given;
  const Words& words;
  const TableFiles& tables;
  std::vector<std::string> operands; ///< without the word of the work
};

/// The text of an option that cannot do without; throws UserError (usage).
[[nodiscard]] std::string needed_option(const RecordWork& work, const char* option, const char* remedy);

/// The ledger of --ledger, open. Throws UserError as Store::open does.
[[nodiscard]] Store opened_ledger(const RecordWork& work);

/// The key of --key; asks for its passphrase at the terminal where it has one.
[[nodiscard]] SigningKey signing_key(const RecordWork& work);

/// --by, with what the signature stands for.
[[nodiscard]] Signer signer_of(const RecordWork& work, Meaning meaning);

[[nodiscard]] Instant now();

/// An entry that happens and is written down now, by UTC.
[[nodiscard]] Entry entry_now(const Signer& signer, EntryKind kind);

/// The number of an entry of this ledger as an operand gives it: the number itself, or the name of a run that
/// is kept once. Throws UserError (usage) where it is neither.
[[nodiscard]] std::uint64_t entry_number(const Store& store, const std::string& text);

/// --from and --before as times of UTC. Throws UserError (usage).
[[nodiscard]] std::optional<std::int64_t> day_option(const Given& given, const char* option);

/// The filters of --kind, --run, --vessel, --treatment, --verdict, --from and --before.
[[nodiscard]] RowFilter filter_of(const Given& given);

/// A whole number above 0. Throws UserError (usage).
[[nodiscard]] std::size_t count_option(const Given& given, const char* option);

} // namespace coldbag
