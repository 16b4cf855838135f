#include "records/secret.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <type_traits>
#include <utility>

using namespace coldbag;

static_assert(!std::is_copy_constructible_v<Secret> && !std::is_copy_assignable_v<Secret>);

TEST_CASE("a secret begins as zeros and holds what is put in") {
  Secret secret(5);
  CHECK(secret.text() == std::string_view("\0\0\0\0\0", 5));
  std::ranges::fill(secret.bytes(), static_cast<std::uint8_t>('a'));
  const Secret moved = std::move(secret);
  CHECK(moved.text() == "aaaaa");
  CHECK(Secret(0).text().empty());
}

TEST_CASE("a text that is taken over is wiped where it stood") {
  std::string text = "a passphrase long enough to stand on the heap";
  text.reserve(200);
  const char* stood = text.data();
  const std::size_t size = text.size();
  const Secret secret = Secret::taken_from(text);
  CHECK(secret.text() == "a passphrase long enough to stand on the heap");
  CHECK(text.empty());
  REQUIRE(text.data() == stood); // its memory is still its own
  CHECK(std::all_of(stood, stood + size, [](char c) { return c == 0; }));
}
