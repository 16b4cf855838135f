// Whether a ledger is what was once written into it.
#pragma once

#include "records/ledger.h"

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace coldbag {

/// The first thing that does not hold.
struct LedgerFault {
  std::uint64_t number = 0; ///< of the entry; that after the last where entries are missing
  std::string key;          ///< of words: "ledger_fault_leaf"
  std::string detail;       ///< a name or what the reader said, as it is
  bool operator==(const LedgerFault&) const = default;
};

struct LedgerCheck {
  std::uint64_t entries = 0; ///< that hold, from the first on
  std::uint64_t files = 0;
  std::uint64_t bytes = 0; ///< of leaves and files, unpacked
  TreeHead head;
  std::vector<PublicKey> keys; ///< in the order in which they signed
  std::vector<std::uint64_t>
      lost; ///< entries from which on another key signs without a word of the one before
  std::optional<LedgerFault> fault;
};

/// Looks at an entry that holds so far, with its files by the function of the store; an empty text where all
/// is well. What is recomputed of a run stands in the command.
using LookAtEntry = std::function<std::string(std::uint64_t number, const Entry& entry)>;

/// Reads every row: its number, leaf, root, frontier, signature, key, what it is looked for by, its
/// references and every file. seals: lengths with their roots that were written down before. A ledger that
/// was cut at its end, or a whole old copy, shows by a seal alone. Guarded by tests/records/verify_test.cpp.
[[nodiscard]] LedgerCheck verify_ledger(const Store& store, const std::vector<TreeHead>& seals,
                                        const LookAtEntry& look = {});

} // namespace coldbag
