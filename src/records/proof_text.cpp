#include "records/proof_text.h"

#include "errors/our_fault.h"

#include <charconv>

namespace coldbag {

namespace {

constexpr std::string_view first_line = "coldbag inclusion proof 1";

/// Of each step whether the hash beside stands left: RFC 9162, 2.1.3.2.
std::vector<bool> left_sides(std::uint64_t at, std::uint64_t last) {
  std::vector<bool> sides;
  for (; last > 0; at /= 2, last /= 2) {
    const bool is_left = at % 2 == 1 || at == last;
    sides.push_back(is_left);
    // A node without a neighbour goes up as it is.
    for (; is_left && at % 2 == 0 && at != 0; at /= 2)
      last /= 2;
  }
  return sides;
}

/// Takes "WORD VALUE\n" from the front of a text.
struct Line {
  std::string_view word, value;
};

std::optional<Line> take_line(std::string_view& text) {
  const std::size_t end = text.find('\n');
  if (end == std::string_view::npos) return std::nullopt;
  const std::string_view line = text.substr(0, end);
  text.remove_prefix(end + 1);
  const std::size_t blank = std::min(line.find(' '), line.size());
  return Line{line.substr(0, blank), line.substr(std::min(blank + 1, line.size()))};
}

bool read_count(std::string_view text, std::uint64_t& count) {
  const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), count);
  return fault == std::errc{} && end == text.data() + text.size();
}

bool read_hash(std::string_view text, Sha256& hash) {
  const std::optional<Sha256> read = read_hex_text(text);
  if (read) hash = *read;
  return read.has_value();
}

bool take(const Line& line, InclusionProof& proof) {
  if (line.word == "leaf_number") return read_count(line.value, proof.number);
  if (line.word == "tree_size") return read_count(line.value, proof.head.size);
  if (line.word == "leaf") return read_hash(line.value, proof.leaf);
  if (line.word == "root") return read_hash(line.value, proof.head.root);
  return read_hash(line.value, proof.beside.emplace_back());
}

} // namespace

bool holds(const InclusionProof& proof) {
  return proves_inclusion(proof.leaf, proof.number, proof.head, proof.beside);
}

std::string proof_text(const InclusionProof& proof) {
  our_check(holds(proof), "a proof that is written holds");
  std::string text(first_line);
  text += "\nleaf_number " + std::to_string(proof.number) + "\ntree_size " + std::to_string(proof.head.size) +
          "\nleaf " + hex_text(proof.leaf) + "\n";
  const std::vector<bool> sides = left_sides(proof.number, proof.head.size - 1);
  our_check(sides.size() == proof.beside.size(), "a step of a proof has its side");
  for (std::size_t i = 0; i < sides.size(); ++i)
    text += (sides[i] ? "left " : "right ") + hex_text(proof.beside[i]) + "\n";
  return text + "root " + hex_text(proof.head.root) + "\n";
}

std::optional<InclusionProof> read_proof_text(std::string_view text) {
  InclusionProof proof;
  for (std::string_view rest = text.substr(std::min(text.find('\n') + 1, text.size())); !rest.empty();) {
    const std::optional<Line> line = take_line(rest);
    if (!line || !take(*line, proof)) return std::nullopt;
  }
  // Order, sides, first line and all else: it is what would be written.
  if (!holds(proof) || proof_text(proof) != text) return std::nullopt;
  return proof;
}

} // namespace coldbag
