#include "records/succession_json.h"

#include "errors/our_fault.h"
#include "records/canonical_json.h"
#include "records/canonical_members_json.h"
#include "records/made_keys.h"
#include "records/public_key.h"
#include "records/refused.h"

#include <doctest/doctest.h>

#include <chrono>
#include <string>

using namespace coldbag;
using test::key_of_letter;
using test::refused;
using test::says;

namespace {

constexpr Instant one_march_day{std::chrono::seconds(1772978709)}; // 2026-03-08T14:05:09Z

SignedSuccession made() {
  return succeed(key_of_letter('a'), key_of_letter('b'), one_march_day, "new laptop");
}

std::string key_text(char letter) {
  return public_key_text(key_of_letter(letter).public_key());
}

} // namespace

TEST_CASE("what is signed is canonical JSON that says what it is") {
  const std::string statement = succession_statement(made().succession);
  CHECK(statement == R"({"at":"2026-03-08T14:05:09Z","new_key":")" + key_text('b') + R"(","old_key":")" +
                         key_text('a') + R"(","reason":"new laptop","statement":"key_succession"})");
  CHECK(is_canonical_json(statement));
  CHECK(is_signed_by(key_of_letter('a').public_key(), statement, made().by_old));
  CHECK(is_signed_by(key_of_letter('b').public_key(), statement, made().by_new));
}

TEST_CASE("a succession is valid as both signed it, and with nothing changed") {
  REQUIRE(is_valid(made()));
  const auto changed = [](const auto& change) {
    SignedSuccession succession = made();
    change(succession);
    return is_valid(succession);
  };
  CHECK_FALSE(changed([](auto& s) { s.succession.reason += '.'; }));
  CHECK_FALSE(changed([](auto& s) { s.succession.at += std::chrono::microseconds(1); }));
  CHECK_FALSE(changed([](auto& s) { s.succession.new_key = key_of_letter('c').public_key(); }));
  CHECK_FALSE(changed([](auto& s) { s.succession.old_key = key_of_letter('c').public_key(); }));
  CHECK_FALSE(changed([](auto& s) { std::swap(s.succession.old_key, s.succession.new_key); }));
  CHECK_FALSE(changed([](auto& s) { std::swap(s.by_old, s.by_new); }));
  CHECK_FALSE(changed([](auto& s) { s.by_old.bytes[0] ^= 1; }));
  CHECK_FALSE(changed([](auto& s) { s.by_new.bytes[0] ^= 1; }));
}

TEST_CASE("a thief of neither key can name a successor, and the old key alone cannot either") {
  KeySuccession succession = made().succession;
  const std::string statement = succession_statement(succession);
  const Signature by_thief = key_of_letter('t').sign(statement);
  CHECK_FALSE(is_valid({succession, by_thief, key_of_letter('b').sign(statement)}));
  CHECK_FALSE(is_valid({succession, key_of_letter('a').sign(statement), by_thief}));
}

TEST_CASE("a key is not followed by itself") {
  CHECK_THROWS_AS((void)succeed(key_of_letter('a'), key_of_letter('a'), one_march_day, ""), OurFault);
  KeySuccession same = made().succession;
  same.new_key = same.old_key;
  const Signature signature = key_of_letter('a').sign(succession_statement(same));
  CHECK_FALSE(is_valid({same, signature, signature}));
}

TEST_CASE("a succession comes back from its JSON") {
  SignedSuccession succession = succeed(key_of_letter('a'), key_of_letter('b'),
                                        one_march_day + std::chrono::microseconds(250000), "\"ñ\"\n");
  CHECK(read_succession("key.json", succession_json(succession)) == succession);
  succession.by_new.bytes[5] ^= 1; // what does not hold is read all the same, and told apart by is_valid
  CHECK(read_succession("key.json", succession_json(succession)) == succession);
}

TEST_CASE("a succession that is not as it was written is refused") {
  const std::string json = succession_json(made());
  const auto complaint = [&](const std::string& from, const std::string& to) {
    std::string text = json;
    const std::size_t at = text.find(from);
    REQUIRE(at != std::string::npos);
    text.replace(at, from.size(), to);
    return refused([&] { return read_succession("key.json", text); });
  };
  CHECK(says(complaint("{\"by_new\"", "{ \"by_new\""), "not in its canonical form"));
  CHECK(says(complaint("\"by_new\"", "\"by_newer\""), "key.json: by_new: this key is missing"));
  CHECK(says(complaint("\"by_new\"", "\"by_newer\""), "key.json: by_newer: this key is not known"));
  CHECK(
      says(complaint("key_succession", "tree_head"), "succession.statement: this is no succession of keys"));
  CHECK(says(complaint("MCowBQYDK2VwAyEA", "MCowBQYDK2VuAyEA"),
             "succession.new_key: what stands here is damaged"));
  CHECK(says(complaint("2026-03-08T14:05:09Z", "2026-03-08T14:05:09+00:00"), "succession.at: "));
  CHECK(says(complaint("2026-03-08T14:05:09Z", "2026-03-08T14:05:09.0Z"), "succession.at: "));
  CHECK(says(complaint("\"new laptop\"", "7"), "succession.reason: what stands here is no text"));
  CHECK(says(refused([] { return read_succession("key.json", "[]"); }), "what stands here is no object"));
  CHECK(says(refused([] { return succession_statement({{}, {}, one_march_day, "\xFF"}); }), "no UTF-8"));
}
