// A ledger copied as it is: the same leaves, hashes, signatures and files. Nothing is signed again.
#pragma once

#include "records/store.h"

#include <cstdint>

namespace coldbag {

struct Copied {
  std::uint64_t there = 0; ///< entries that `to` had before
  std::uint64_t added = 0;
};

/// Adds to `to` the entries of `from` that it does not have yet, with their files; in parts, each of them
/// whole, so that a broken copy can be gone on with. Throws UserError where what `to` holds is not how `from`
/// begins, or somebody else adds to it meanwhile. Nothing is verified.
[[nodiscard]] Copied copy_ledger(const Store& from, Store& to);

} // namespace coldbag
