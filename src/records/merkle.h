// The tree of hashes over a list that only grows: RFC 6962, section 2.1 (the same in RFC 9162).
#pragma once

#include "tables/sha256.h"

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// SHA-256 of a zero byte and the leaf's bytes; so no leaf can be taken for a node.
[[nodiscard]] Sha256 leaf_hash(std::string_view leaf);
/// SHA-256 of a one byte and both hashes.
[[nodiscard]] Sha256 node_hash(const Sha256& left, const Sha256& right);

/// How many leaves, and the hash over all of them. A root alone does not say how many: sign both together.
struct TreeHead {
  std::uint64_t size = 0;
  Sha256 root{};
  bool operator==(const TreeHead&) const = default;
};

/// Of the leaves with these hashes; SHA-256 of nothing where there are none. Guarded by
/// tests/records/merkle_test.cpp.
[[nodiscard]] TreeHead tree_head(std::span<const Sha256> leaves);

/// What must be kept of a tree to add to it: the roots of its whole subtrees, one for each bit of its size.
class Frontier {
 public:
  /// Takes the hash of a leaf; at most 64 hashes are made.
  void append(const Sha256& leaf);
  [[nodiscard]] TreeHead head() const;
  /// Its size and the roots, largest subtree first: "3 HEX HEX".
  [[nodiscard]] std::string text() const;
  /// What `text` wrote; nothing where it is anything else.
  [[nodiscard]] static std::optional<Frontier> read(std::string_view text);
  bool operator==(const Frontier&) const = default;

 private:
  std::uint64_t size_ = 0;
  std::vector<Sha256> roots_;
};

/// The hashes that lead from leaf `index` to the root, nearest first (RFC 6962, 2.1.1). The leaf must be
/// there (checked).
[[nodiscard]] std::vector<Sha256> inclusion_proof(std::span<const Sha256> leaves, std::uint64_t index);
/// Whether the proof shows that the leaf with this hash stands at `index` under the head (RFC 9162, 2.1.3.2).
[[nodiscard]] bool proves_inclusion(const Sha256& leaf, std::uint64_t index, const TreeHead& head,
                                    std::span<const Sha256> proof);

/// The hashes that show that the first `older_size` leaves are still what they were (RFC 6962, 2.1.2). At
/// most the number of leaves (checked); empty for 0 and for all.
[[nodiscard]] std::vector<Sha256> consistency_proof(std::span<const Sha256> leaves, std::uint64_t older_size);
/// Whether the proof shows that `newer` was grown from `older` (RFC 9162, 2.1.4.2). The head of no leaves is
/// in every tree.
[[nodiscard]] bool proves_consistency(const TreeHead& older, const TreeHead& newer,
                                      std::span<const Sha256> proof);

} // namespace coldbag
