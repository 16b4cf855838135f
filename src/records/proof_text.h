// An inclusion proof as lines of text that can be followed by hand.
#pragma once

#include "records/merkle.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// That a leaf stands at its number under a head.
struct InclusionProof {
  Sha256 leaf{};
  std::uint64_t number = 0;
  TreeHead head;
  std::vector<Sha256> beside; ///< nearest the leaf first
  bool operator==(const InclusionProof&) const = default;
};

[[nodiscard]] bool holds(const InclusionProof& proof);

/// A line each: what it is, "leaf_number", "tree_size", "leaf", for every step "left HASH" or "right HASH" by
/// the side on which the hash stands, "root". The proof must hold (checked).
[[nodiscard]] std::string proof_text(const InclusionProof& proof);

/// What proof_text wrote; nothing where it is anything else or does not hold. Guarded by
/// tests/records/proof_text_test.cpp.
[[nodiscard]] std::optional<InclusionProof> read_proof_text(std::string_view text);

} // namespace coldbag
