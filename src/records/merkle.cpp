#include "records/merkle.h"

#include "errors/our_fault.h"

#include <algorithm>
#include <array>
#include <bit>
#include <charconv>
#include <limits>

namespace coldbag {

namespace {

/// Largest power of two below n, of n leaves at least two.
std::size_t split_of(std::size_t n) {
  return std::bit_floor(n - 1);
}

// Of at least one leaf.
Sha256 root_of(std::span<const Sha256> leaves) {
  if (leaves.size() == 1) return leaves.front();
  const std::size_t k = split_of(leaves.size());
  return node_hash(root_of(leaves.first(k)), root_of(leaves.subspan(k)));
}

void prove_inclusion(std::span<const Sha256> leaves, std::size_t index, std::vector<Sha256>& proof) {
  if (leaves.size() == 1) return;
  const std::size_t k = split_of(leaves.size());
  const auto left = leaves.first(k), right = leaves.subspan(k);
  if (index < k) {
    prove_inclusion(left, index, proof);
    proof.push_back(root_of(right));
  } else {
    prove_inclusion(right, index - k, proof);
    proof.push_back(root_of(left));
  }
}

/// SUBPROOF of RFC 6962: `is_known` while the older tree is the whole of a subtree whose root the reader has.
void prove_consistency(std::span<const Sha256> leaves, std::size_t older, bool is_known,
                       std::vector<Sha256>& proof) {
  if (older == leaves.size()) {
    if (!is_known) proof.push_back(root_of(leaves));
    return;
  }
  const std::size_t k = split_of(leaves.size());
  const auto left = leaves.first(k), right = leaves.subspan(k);
  if (older <= k) {
    prove_consistency(left, older, is_known, proof);
    proof.push_back(root_of(right));
  } else {
    prove_consistency(right, older - k, false, proof);
    proof.push_back(root_of(left));
  }
}

/// A step up the path of a leaf: `at` its place among the nodes of its level, `last` that of the last node.
struct Climb {
  std::uint64_t at, last;

  /// A node without a neighbour to its right goes up as it is until it has one to its left.
  [[nodiscard]] bool is_right() const { return at % 2 == 1 || at == last; }
  void up() {
    at /= 2;
    last /= 2;
  }
  void up_to_right_child() {
    while (at % 2 == 0 && at != 0)
      up();
  }
};

} // namespace

Sha256 leaf_hash(std::string_view leaf) {
  Sha256Stream stream;
  stream.take(std::string_view("\0", 1));
  stream.take(leaf);
  return stream.finish();
}

Sha256 node_hash(const Sha256& left, const Sha256& right) {
  std::array<char, 1 + 2 * std::tuple_size_v<Sha256>> bytes{'\1'};
  std::ranges::copy(right, std::ranges::copy(left, bytes.begin() + 1).out);
  return sha256({bytes.data(), bytes.size()});
}

TreeHead tree_head(std::span<const Sha256> leaves) {
  return {leaves.size(), leaves.empty() ? sha256("") : root_of(leaves)};
}

void Frontier::append(const Sha256& leaf) {
  our_check(size_ < std::numeric_limits<std::uint64_t>::max(), "a tree has room for one leaf more");
  Sha256 root = leaf;
  // Every subtree as large as the new one joins it, as a carry goes through a binary number.
  for (std::uint64_t carry = size_; carry % 2 == 1; carry /= 2) {
    root = node_hash(roots_.back(), root);
    roots_.pop_back();
  }
  roots_.push_back(root);
  ++size_;
}

TreeHead Frontier::head() const {
  if (roots_.empty()) return tree_head({});
  Sha256 root = roots_.back();
  for (std::size_t i = roots_.size() - 1; i-- > 0;)
    root = node_hash(roots_[i], root);
  return {size_, root};
}

std::string Frontier::text() const {
  std::string text = std::to_string(size_);
  for (const Sha256& root : roots_)
    text += ' ' + hex_text(root);
  return text;
}

std::optional<Frontier> Frontier::read(std::string_view text) {
  Frontier frontier;
  const std::string_view number = text.substr(0, text.find(' '));
  const auto [end, fault] = std::from_chars(number.data(), number.data() + number.size(), frontier.size_);
  if (fault != std::errc() || end != number.data() + number.size()) return std::nullopt;
  text.remove_prefix(number.size());
  while (!text.empty()) {
    constexpr std::size_t digits = 64;
    const auto root = read_hex_text(text.substr(1, digits));
    if (text.front() != ' ' || !root) return std::nullopt;
    frontier.roots_.push_back(*root);
    text.remove_prefix(1 + digits);
  }
  const auto subtrees = static_cast<std::size_t>(std::popcount(frontier.size_));
  if (frontier.roots_.size() != subtrees || std::to_string(frontier.size_) != number) return std::nullopt;
  return frontier;
}

std::vector<Sha256> inclusion_proof(std::span<const Sha256> leaves, std::uint64_t index) {
  our_check(index < leaves.size(), "a leaf that is proved is there");
  std::vector<Sha256> proof;
  prove_inclusion(leaves, index, proof);
  return proof;
}

bool proves_inclusion(const Sha256& leaf, std::uint64_t index, const TreeHead& head,
                      std::span<const Sha256> proof) {
  if (index >= head.size) return false;
  Climb climb{index, head.size - 1};
  Sha256 root = leaf;
  for (const Sha256& beside : proof) {
    if (climb.last == 0) return false;
    if (climb.is_right()) {
      root = node_hash(beside, root);
      climb.up_to_right_child();
    } else {
      root = node_hash(root, beside);
    }
    climb.up();
  }
  return climb.last == 0 && root == head.root;
}

std::vector<Sha256> consistency_proof(std::span<const Sha256> leaves, std::uint64_t older_size) {
  our_check(older_size <= leaves.size(), "an older tree is no larger");
  std::vector<Sha256> proof;
  if (older_size > 0) prove_consistency(leaves, older_size, true, proof);
  return proof;
}

bool proves_consistency(const TreeHead& older, const TreeHead& newer, std::span<const Sha256> proof) {
  if (older.size > newer.size) return false;
  if (older.size == 0) return proof.empty() && older.root == sha256("");
  if (older.size == newer.size) return proof.empty() && older.root == newer.root;
  // A tree of a power of two is one node of the newer tree, and its root is where the path begins.
  const bool is_one_node = std::has_single_bit(older.size);
  if (!is_one_node && proof.empty()) return false;
  Climb climb{older.size - 1, newer.size - 1};
  while (climb.at % 2 == 1)
    climb.up();
  Sha256 older_root = is_one_node ? older.root : proof.front();
  Sha256 newer_root = older_root;
  for (const Sha256& beside : proof.subspan(is_one_node ? 0 : 1)) {
    if (climb.last == 0) return false;
    if (climb.is_right()) {
      older_root = node_hash(beside, older_root);
      newer_root = node_hash(beside, newer_root);
      climb.up_to_right_child();
    } else {
      newer_root = node_hash(newer_root, beside);
    }
    climb.up();
  }
  return climb.last == 0 && older_root == older.root && newer_root == newer.root;
}

} // namespace coldbag
