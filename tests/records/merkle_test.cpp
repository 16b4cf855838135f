#include "records/merkle.h"

#include "errors/our_fault.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <limits>

using namespace coldbag;

namespace {

std::string bytes_of_hex(const std::string& hex) {
  std::string bytes;
  for (std::size_t i = 0; i < hex.size(); i += 2)
    bytes += static_cast<char>(std::stoi(hex.substr(i, 2), nullptr, 16));
  return bytes;
}

Sha256 hash(const std::string& hex) {
  const auto read = read_hex_text(hex);
  REQUIRE(read.has_value());
  return *read;
}

// The eight leaves, the roots and the proofs of the certificate-transparency tests: roots and proofs as
// published test files have them (seen), leaves from memory and confirmed by the roots.
const char* const eight_leaves[] = {
    "", "00", "10", "2021", "3031", "40414243", "5051525354555657", "606162636465666768696a6b6c6d6e6f"};
const char* const eight_roots[] = {"e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
                                   "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
                                   "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
                                   "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
                                   "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
                                   "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
                                   "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
                                   "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
                                   "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328"};

std::vector<Sha256> eight_hashes() {
  std::vector<Sha256> hashes;
  for (const char* leaf : eight_leaves)
    hashes.push_back(leaf_hash(bytes_of_hex(leaf)));
  return hashes;
}

/// Hashes of so many leaves, no two alike.
std::vector<Sha256> hashes_of(std::size_t count) {
  std::vector<Sha256> hashes;
  for (std::size_t i = 0; i < count; ++i)
    hashes.push_back(leaf_hash("entry " + std::to_string(i)));
  return hashes;
}

std::span<const Sha256> first(const std::vector<Sha256>& hashes, std::size_t count) {
  return std::span(hashes).first(count);
}

/// Calls `look` for the hash with each of its bits turned, and puts it back.
template <class Look>
void turn_each_bit(Sha256& hash, const Look& look) {
  for (std::uint8_t& byte : hash)
    for (unsigned bit = 0; bit < 8; ++bit) {
      const auto turned = static_cast<std::uint8_t>(1U << bit);
      byte ^= turned;
      look();
      byte ^= turned;
    }
}

constexpr std::size_t most_leaves = 40;

} // namespace

TEST_CASE("leaf and node hashes are those published") {
  CHECK(leaf_hash("") == hash("6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d"));
  CHECK(leaf_hash("L123456") == hash("395aa064aa4c29f7010acfe3f25db9485bbd4b91897b6ad7ad547639252b4d56"));
  // The published node is over two short texts; a node here takes hashes, so the bytes are put together by
  // hand.
  CHECK(sha256(std::string("\1") + "N123" + "N456") ==
        hash("aa217fe888e47007fa15edab33c2b492a722cb106c64667fc2b044444de66bbb"));
  const Sha256 left = sha256("left"), right = sha256("right");
  CHECK(node_hash(left, right) ==
        sha256("\1" + std::string(left.begin(), left.end()) + std::string(right.begin(), right.end())));
}

TEST_CASE("roots over none to eight leaves are those published, made at once and leaf by leaf") {
  const std::vector<Sha256> hashes = eight_hashes();
  Frontier frontier;
  for (std::size_t size = 0; size <= 8; ++size) {
    CAPTURE(size);
    const TreeHead head{size, hash(eight_roots[size])};
    CHECK(tree_head(first(hashes, size)) == head);
    CHECK(frontier.head() == head);
    if (size < 8) frontier.append(hashes[size]);
  }
}

TEST_CASE("inclusion proofs are those published") {
  struct Row {
    std::size_t index, size;
    std::vector<std::string> proof;
  };
  const Row rows[] = {
      {0, 1, {}},
      {0,
       8,
       {"96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7",
        "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
        "6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4"}},
      {5,
       8,
       {"bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b",
        "ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0",
        "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7"}},
      {2, 3, {"fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125"}},
      {1,
       5,
       {"6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
        "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
        "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b"}},
  };
  const std::vector<Sha256> hashes = eight_hashes();
  for (const Row& row : rows) {
    CAPTURE(row.index);
    CAPTURE(row.size);
    std::vector<Sha256> published;
    for (const std::string& each : row.proof)
      published.push_back(hash(each));
    CHECK(inclusion_proof(first(hashes, row.size), row.index) == published);
    CHECK(proves_inclusion(hashes[row.index], row.index, {row.size, hash(eight_roots[row.size])}, published));
  }
}

TEST_CASE("consistency proofs are those published") {
  struct Row {
    std::size_t older, newer;
    std::vector<std::string> proof;
  };
  const Row rows[] = {
      {1, 1, {}},
      {1,
       8,
       {"96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7",
        "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
        "6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4"}},
      {6,
       8,
       {"0ebc5d3437fbe2db158b9f126a1d118e308181031d0a949f8dededebc558ef6a",
        "ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0",
        "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7"}},
      {2,
       5,
       {"5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
        "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b"}},
      {6,
       7,
       {"0ebc5d3437fbe2db158b9f126a1d118e308181031d0a949f8dededebc558ef6a",
        "b08693ec2e721597130641e8211e7eedccb4c26413963eee6c1e2ed16ffb1a5f",
        "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7"}},
  };
  const std::vector<Sha256> hashes = eight_hashes();
  for (const Row& row : rows) {
    CAPTURE(row.older);
    CAPTURE(row.newer);
    std::vector<Sha256> published;
    for (const std::string& each : row.proof)
      published.push_back(hash(each));
    CHECK(consistency_proof(first(hashes, row.newer), row.older) == published);
    CHECK(proves_consistency({row.older, hash(eight_roots[row.older])},
                             {row.newer, hash(eight_roots[row.newer])}, published));
  }
}

TEST_CASE("a frontier is the tree it was grown from, and comes back from its text") {
  const std::vector<Sha256> hashes = hashes_of(300);
  Frontier frontier;
  for (std::size_t size = 0; size <= hashes.size(); ++size) {
    CAPTURE(size);
    REQUIRE(frontier.head() == tree_head(first(hashes, size)));
    const auto read = Frontier::read(frontier.text());
    REQUIRE(read.has_value());
    REQUIRE(*read == frontier);
    if (size == hashes.size()) break;
    frontier = *read; // and it grows on
    frontier.append(hashes[size]);
  }
}

TEST_CASE("a frontier's text that is not as it was written is refused") {
  Frontier frontier;
  CHECK(frontier.text() == "0");
  for (const Sha256& each : hashes_of(3))
    frontier.append(each);
  const std::string text = frontier.text();
  CHECK(text.substr(0, 2) == "3 ");
  for (const std::string& other :
       {std::string(), std::string("x"), std::string("-1"), std::string("1"),
        std::string("03") + text.substr(1), "2" + text.substr(1), "7" + text.substr(1), text + " ",
        text + text.substr(1), " " + text, text.substr(0, text.size() - 1),
        text.substr(0, 66) + "\n" + text.substr(67), std::string("18446744073709551616")}) {
    CAPTURE(other);
    CHECK_FALSE(Frontier::read(other));
  }
}

TEST_CASE("every inclusion proof holds, and with any bit changed none does") {
  const std::vector<Sha256> hashes = hashes_of(most_leaves);
  for (std::size_t size = 1; size <= most_leaves; ++size)
    for (std::size_t index = 0; index < size; ++index) {
      CAPTURE(size);
      CAPTURE(index);
      TreeHead head = tree_head(first(hashes, size));
      Sha256 leaf = hashes[index];
      std::vector<Sha256> proof = inclusion_proof(first(hashes, size), index);
      REQUIRE(proves_inclusion(leaf, index, head, proof));

      bool is_fooled = false;
      const auto look = [&] { is_fooled = is_fooled || proves_inclusion(leaf, index, head, proof); };
      turn_each_bit(leaf, look);
      turn_each_bit(head.root, look);
      for (Sha256& each : proof)
        turn_each_bit(each, look);
      CHECK_FALSE(is_fooled);

      // At another place, with a hash too many or too few, or with two of them changed over.
      for (std::size_t other = 0; other <= size + 1; ++other)
        if (other != index) CHECK_FALSE(proves_inclusion(leaf, other, head, proof));
      proof.push_back(sha256("more"));
      CHECK_FALSE(proves_inclusion(leaf, index, head, proof));
      std::rotate(proof.begin(), proof.end() - 1, proof.end());
      CHECK_FALSE(proves_inclusion(leaf, index, head, proof));
      proof.erase(proof.begin());
      if (proof.empty()) continue;
      CHECK_FALSE(proves_inclusion(leaf, index, head, std::span(proof).first(proof.size() - 1)));
      CHECK_FALSE(proves_inclusion(leaf, index, head, std::span(proof).subspan(1)));
      if (proof.size() < 2) continue;
      std::swap(proof[0], proof[1]);
      CHECK_FALSE(proves_inclusion(leaf, index, head, proof));
    }
}

TEST_CASE("every consistency proof holds, and with any bit changed none does") {
  const std::vector<Sha256> hashes = hashes_of(most_leaves);
  for (std::size_t newer_size = 1; newer_size <= most_leaves; ++newer_size)
    for (std::size_t older_size = 1; older_size <= newer_size; ++older_size) {
      CAPTURE(newer_size);
      CAPTURE(older_size);
      TreeHead older = tree_head(first(hashes, older_size));
      TreeHead newer = tree_head(first(hashes, newer_size));
      std::vector<Sha256> proof = consistency_proof(first(hashes, newer_size), older_size);
      REQUIRE(proves_consistency(older, newer, proof));

      bool is_fooled = false;
      const auto look = [&] { is_fooled = is_fooled || proves_consistency(older, newer, proof); };
      turn_each_bit(older.root, look);
      turn_each_bit(newer.root, look);
      for (Sha256& each : proof)
        turn_each_bit(each, look);
      CHECK_FALSE(is_fooled);

      // Grown from a tree of another size, or with a hash too many or too few.
      for (std::size_t other = 0; other <= newer_size + 1; ++other)
        if (other != older_size) CHECK_FALSE(proves_consistency({other, older.root}, newer, proof));
      proof.push_back(sha256("more"));
      CHECK_FALSE(proves_consistency(older, newer, proof));
      proof.pop_back();
      if (proof.empty()) continue;
      CHECK_FALSE(proves_consistency(older, newer, std::span(proof).first(proof.size() - 1)));
      CHECK_FALSE(proves_consistency(older, newer, std::span(proof).subspan(1)));
    }
}

TEST_CASE("a tree whose past was changed is not consistent with the older one") {
  std::vector<Sha256> hashes = hashes_of(most_leaves);
  const TreeHead older = tree_head(first(hashes, 23));
  for (std::size_t changed = 0; changed < 23; ++changed) {
    CAPTURE(changed);
    std::vector<Sha256> others = hashes;
    others[changed] = leaf_hash("put in later");
    CHECK_FALSE(proves_consistency(older, tree_head(others), consistency_proof(others, 23)));
  }
  hashes[23] = leaf_hash("behind it all is free");
  CHECK(proves_consistency(older, tree_head(hashes), consistency_proof(hashes, 23)));
}

TEST_CASE("the empty tree is in every tree, and only the true one") {
  const TreeHead none = tree_head({});
  const TreeHead some = tree_head(hashes_of(5));
  CHECK(consistency_proof(hashes_of(5), 0).empty());
  CHECK(proves_consistency(none, some, {}));
  CHECK(proves_consistency(none, none, {}));
  CHECK_FALSE(proves_consistency({0, some.root}, some, {}));
  CHECK_FALSE(proves_consistency(none, some, hashes_of(1)));
  CHECK_FALSE(proves_consistency(some, none, {}));
}

TEST_CASE("what is not in the tree cannot be proved") {
  CHECK_THROWS_AS((void)inclusion_proof(hashes_of(3), 3), OurFault);
  CHECK_THROWS_AS((void)consistency_proof(hashes_of(3), 4), OurFault);
  const std::uint64_t huge = std::numeric_limits<std::uint64_t>::max();
  CHECK_FALSE(proves_inclusion(leaf_hash("x"), huge - 1, {huge, sha256("x")}, hashes_of(64)));
  CHECK_FALSE(proves_inclusion(leaf_hash("x"), 0, tree_head({}), {}));
}
