// What a ledger hands out of one run: files that show without this program what was kept and signed.
#pragma once

#include "records/entry.h"
#include "records/keys.h"
#include "records/ledger.h"
#include "records/merkle.h"
#include "records/store.h"

#include <cstdint>
#include <string>
#include <vector>

namespace coldbag {

/// An entry that is handed out.
struct ProvedEntry {
  std::uint64_t number = 0;
  EntryId id{};
  std::string leaf;
  Entry entry;
};

/// The run, what was stated about it later, and the newest head of the ledger.
struct Exported {
  ProvedEntry run;
  std::vector<ProvedEntry> about; ///< every entry that refers to it, or to one that does; oldest first
  TreeHead head;
  PublicKey key;               ///< that signed the head
  std::vector<KeptFile> files; ///< "entry.json", "files/log.csv"; docs/formats/export.md
};

/// The entry with this number. Throws UserError where it is no run or an imported one, where the ledger does
/// not hold as far as this looks, or a file of it has been altered.
[[nodiscard]] Exported exported(const Store& store, std::uint64_t number);

/// With one file more, "sha256sums": a line for each as sha256sum reads them.
[[nodiscard]] std::vector<KeptFile> with_sums(std::vector<KeptFile> files);

} // namespace coldbag
