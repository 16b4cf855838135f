#include "tables/sha256.h"

#include "errors/our_fault.h"

#include <doctest/doctest.h>

#include <string>

using namespace coldbag;

namespace {

struct Example {
  std::string message;
  std::string digest;
};

// FIPS 180-4: its example messages of one block, two blocks and many, the hash of nothing, and a million
// times "a". Digests from memory; python's hashlib gives the same.
const std::string two_blocks = "abcdefghbcdefghicdefghijdefghijkefghijklfghijklmghijklmnhijklmnoijklmnopjklmn"
                               "opqklmnopqrlmnopqrsmnopqrstnopqrstu";
const Example examples[] = {
    {"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"},
    {"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"},
    {"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
     "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"},
    {two_blocks, "cf5b16a778af8380036ce59e7b0492370b249b11e8f07a51afac45037afee9d1"},
    {std::string(1000000, 'a'), "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"},
};

} // namespace

TEST_CASE("the hash is SHA-256 in small hexadecimal digits") {
  for (const Example& example : examples) {
    CAPTURE(example.digest);
    CHECK(sha256_hex(example.message) == example.digest);
    CHECK(hex_text(sha256(example.message)) == example.digest);
  }
}

TEST_CASE("bytes that come in pieces have the hash of the whole") {
  for (const Example& example : examples)
    for (const std::size_t piece : {std::size_t{1}, std::size_t{7}, std::size_t{64}, std::size_t{1} << 20U}) {
      if (piece == 1 && example.message.size() > 1000) continue; // long enough with larger ones
      CAPTURE(example.digest);
      CAPTURE(piece);
      Sha256Stream stream;
      for (std::size_t at = 0; at < example.message.size(); at += piece)
        stream.take(std::string_view(example.message).substr(at, piece));
      CHECK(hex_text(stream.finish()) == example.digest);
      CHECK_THROWS_AS(stream.take("a"), OurFault);
      CHECK_THROWS_AS((void)stream.finish(), OurFault);
    }
}

TEST_CASE("a hash is read back from its 64 small digits and from nothing else") {
  const std::string digits = sha256_hex("abc");
  CHECK(read_hex_text(digits) == sha256("abc"));
  CHECK_FALSE(read_hex_text(""));
  CHECK_FALSE(read_hex_text(digits.substr(1)));
  CHECK_FALSE(read_hex_text(digits + "0"));
  std::string capital = digits;
  capital[1] = 'A';
  CHECK_FALSE(read_hex_text(capital));
  std::string blank = digits;
  blank[63] = ' ';
  CHECK_FALSE(read_hex_text(blank));
}

// The hash of "abc" above, turned into base64 by python's base64 module.
TEST_CASE("the hash in base64 has its padding") {
  CHECK(sha256_base64("abc") == "ungWv48Bz+pBQUDeXa4iI7ADYaOWF3qctBD/YfIAFa0=");
}
