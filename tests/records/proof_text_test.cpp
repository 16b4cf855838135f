// Inclusion proofs as lines of text, by the proofs that the certificate-transparency tests publish.
#include "records/proof_text.h"

#include "records/made_keys.h"

#include <doctest/doctest.h>

#include <string>
#include <vector>

using namespace coldbag;
using namespace coldbag::test;

namespace {

// The eight leaves of the published tests (from memory; they give the published roots).
std::vector<Sha256> published_leaves(std::size_t count) {
  std::vector<Sha256> leaves;
  for (const char* hex :
       {"", "00", "10", "2021", "3031", "40414243", "5051525354555657", "606162636465666768696a6b6c6d6e6f"})
    if (leaves.size() < count) leaves.push_back(leaf_hash(bytes_of_hex(hex)));
  return leaves;
}

InclusionProof proof_of(std::uint64_t number, std::size_t size) {
  const std::vector<Sha256> leaves = published_leaves(size);
  return {leaves.at(number), number, tree_head(leaves), inclusion_proof(leaves, number)};
}

std::string replaced(std::string text, const std::string& old_part, const std::string& new_part) {
  const std::size_t at = text.find(old_part);
  REQUIRE(at != std::string::npos);
  return text.replace(at, old_part.size(), new_part);
}

} // namespace

TEST_SUITE("a proof as text") {
  // RFC 6962, 2.1.1; the hashes stand in the published test files (inclusion of index 5 in 8, of 2 in 3).
  TEST_CASE("published proofs are written step by step, with the side on which each hash stands") {
    CHECK(proof_text(proof_of(5, 8)) ==
          "coldbag inclusion proof 1\n"
          "leaf_number 5\n"
          "tree_size 8\n"
          "leaf " +
              hex_text(published_leaves(8)[5]) +
              "\n"
              "left bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b\n"
              "right ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0\n"
              "left d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7\n"
              "root 5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328\n");
    CHECK(proof_text(proof_of(2, 3)) ==
          "coldbag inclusion proof 1\n"
          "leaf_number 2\n"
          "tree_size 3\n"
          "leaf " +
              hex_text(published_leaves(3)[2]) +
              "\n"
              "left fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125\n"
              "root aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77\n");
  }

  TEST_CASE("every proof is read back, and following its lines gives the root") {
    for (std::size_t size = 1; size <= 8; ++size)
      for (std::uint64_t number = 0; number < size; ++number) {
        const InclusionProof proof = proof_of(number, size);
        const std::string text = proof_text(proof);
        CHECK(read_proof_text(text) == proof);
        Sha256 now = proof.leaf;
        std::size_t step = 0;
        for (std::size_t at = 0; at < text.size(); at = text.find('\n', at) + 1) {
          if (text.compare(at, 5, "left ") == 0) now = node_hash(proof.beside.at(step++), now);
          if (text.compare(at, 6, "right ") == 0) now = node_hash(now, proof.beside.at(step++));
        }
        CHECK(now == proof.head.root);
        CHECK(step == proof.beside.size());
      }
  }

  TEST_CASE("a proof with another number, size, side, hash, order or line is none") {
    const std::string text = proof_text(proof_of(4, 7));
    REQUIRE(read_proof_text(text));
    for (const auto& [old_part, new_part] : std::vector<std::pair<std::string, std::string>>{
             {"leaf_number 4", "leaf_number 5"},
             {"leaf_number 4", "leaf_number 04"},
             {"leaf_number 4", "leaf_number -4"},
             {"leaf_number 4", "leaf_number 9"},
             {"tree_size 7",
              "tree_size 6"}, // 8 has the same steps to the same root: size and root are signed together
             {"tree_size 7", "tree_size 0"},
             {"right ", "left "},
             {"right ", "beside "},
             {"proof 1", "proof 2"},
             {"leaf_number 4\ntree_size 7", "tree_size 7\nleaf_number 4"},
             {"\nroot", "\n\nroot"},
             {"\nroot", "\nroot "},
         })
      CHECK_FALSE(read_proof_text(replaced(text, old_part, new_part)));
    for (std::size_t at = 0; at < text.size(); ++at) {
      std::string changed = text;
      changed[at] = changed[at] == '0' ? '1' : '0';
      CHECK_FALSE(read_proof_text(changed));
      CHECK_FALSE(read_proof_text(text.substr(0, at)));
    }
    CHECK_FALSE(read_proof_text(text + "\n"));
    CHECK_FALSE(read_proof_text(""));
  }
}
