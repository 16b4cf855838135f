#include "records/canonical_members_json.h"

#include "errors/user_error.h"
#include "records/canonical_json.h"
#include "records/refused.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <random>
#include <string>
#include <vector>

using namespace coldbag;
using test::refused;
using test::says;

namespace {

/// The long way: read, write, compare.
bool is_canonical_when_written_again(const std::string& json) {
  try {
    return made_canonical("", json) == json;
  } catch (const UserError&) {
    return false;
  }
}

std::string lists_in_lists(int levels) {
  return std::string(static_cast<std::size_t>(levels), '[') +
         std::string(static_cast<std::size_t>(levels), ']');
}

const std::vector<std::string> whole{
    R"({"a":[1,2.5,"x",null,true,false,[],{}],"b":{"":0,"\u0000":-1e-7},"ñ":"蘑菇 😀"})",
    R"([0,10,-1,1.5,1e+21,1e-7,123456789012345,9007199254740992,121.30000000000001,5e-324])",
    R"({"\"":"\\\"\b\t\n\f\r\u0001\u001f","a":"/"})",
    "{\"\xed\x9f\xbf\":1,\"\xf0\x90\x80\x80\":2,\"\xee\x80\x80\":3,\"\xef\xbf\xbf\":4}", // by UTF-16
    "\"\x7f\xc2\x80\xdf\xbf\xe0\xa0\x80\xf4\x8f\xbf\xbf\"",
    R"("x")",
    "0",
    "null",
    lists_in_lists(most_json_levels)};

const std::vector<std::string> others{"",
                                      " 1",
                                      "1 ",
                                      "01",
                                      "-0",
                                      "1.0",
                                      "1e5",
                                      "1E+21",
                                      "1e21",
                                      "+1",
                                      ".5",
                                      "1.",
                                      "-",
                                      "0x1",
                                      "1e400",
                                      "NaN",
                                      "inf",
                                      "100000000000000000001",
                                      "9007199254740993",
                                      "tru",
                                      "nul",
                                      "truex",
                                      "[1,]",
                                      "[,1]",
                                      "[1 ,2]",
                                      "[1",
                                      "]",
                                      "{",
                                      R"({"a":1,})",
                                      R"({"b":1,"a":2})",
                                      R"({"a":1,"a":2})",
                                      R"({"a" :1})",
                                      R"({"a"})",
                                      R"({1:2})",
                                      R"({"a":1}x)",
                                      R"("\/")",
                                      R"("\u0041")",
                                      R"("\u0008")",
                                      R"("\u001F")",
                                      R"("\u00e9")",
                                      R"("\u002")",
                                      R"("\x")",
                                      "\"\\",
                                      "\"",
                                      "\"a",
                                      "\"\n\"",
                                      "\"\x80\"",
                                      "\"\xc1\x81\"",
                                      "\"\xe0\x80\x80\"",
                                      "\"\xed\xa0\x80\"",
                                      "\"\xf4\x90\x80\x80\"",
                                      "\"\xf5\x80\x80\x80\"",
                                      "\"\xc3\"",
                                      "\"\xe2\x82\"",
                                      std::string("\"\0\"", 3),
                                      std::string("1\0", 2),
                                      "\xef\xbb\xbf"
                                      "1",
                                      "{\"\xee\x80\x80\":3,\"\xf0\x90\x80\x80\":2}",
                                      lists_in_lists(most_json_levels + 1)};

} // namespace

TEST_CASE("canonical JSON is told from all other JSON as writing it again tells it") {
  for (const std::string& json : whole) {
    CAPTURE(json);
    CHECK(is_canonical_when_written_again(json));
    CHECK(is_canonical_json(json));
  }
  for (const std::string& json : others) {
    CAPTURE(json);
    CHECK_FALSE(is_canonical_when_written_again(json));
    CHECK_FALSE(is_canonical_json(json));
  }
}

TEST_CASE("the same holds where bytes are altered, left out, doubled or put in by chance") {
  std::mt19937 random(20260308);
  const std::string letters = "\"\\{}[],:0123456789.-+eEuabftnr /\x01\x7f\xc3\xb1\xed\xee\xf0\x9f";
  int still_canonical = 0;
  for (int n = 0; n < 60000; ++n) {
    std::string json = whole[random() % whole.size()];
    for (auto changes = 1 + random() % 3; changes > 0 && !json.empty(); --changes) {
      const std::size_t at = random() % json.size();
      const char letter = letters[random() % letters.size()];
      if (random() % 3 == 0)
        json.erase(at, 1);
      else if (random() % 2 == 0)
        json[at] = letter;
      else
        json.insert(at, 1, random() % 2 == 0 ? letter : json[at]);
    }
    CAPTURE(json);
    const bool is_canonical = is_canonical_when_written_again(json);
    REQUIRE(is_canonical_json(json) == is_canonical);
    if (is_canonical && json.starts_with('{')) {
      const auto read = read_canonical_members("", json), known = members_of_canonical(json);
      REQUIRE(std::ranges::equal(read, known, {}, &CanonicalMember::value, &CanonicalMember::value));
    }
    still_canonical += is_canonical ? 1 : 0;
  }
  CHECK(still_canonical > 500);
}

TEST_CASE("numbers are told canonical as they are written again, whatever their digits") {
  std::mt19937_64 random(20260308);
  int still_canonical = 0;
  for (int n = 0; n < 40000; ++n) {
    std::string number = std::to_string(random() % 10000000000000000000U).substr(0, 1 + random() % 19);
    if (random() % 4 != 0) number.insert(random() % (number.size() + 1), ".");
    if (random() % 8 == 0) number.insert(0, "-");
    if (random() % 8 == 0) number.insert(0, "0.0000");
    CAPTURE(number);
    const bool is_canonical = is_canonical_when_written_again(number);
    REQUIRE(is_canonical_json(number) == is_canonical);
    still_canonical += is_canonical ? 1 : 0;
  }
  CHECK(still_canonical > 10000);
}

TEST_CASE("members of an object stand in their order with the text of their values") {
  const std::string json = R"({"":"","a":{"x":[1,2]},"b\n":null,"c":"}"})";
  std::string again;
  std::vector<std::string> keys;
  for (const CanonicalMember& member : read_canonical_members("entry", json)) {
    keys.push_back(member.key);
    again += std::string(member.value) + ";";
  }
  const auto known = members_of_canonical(json);
  REQUIRE(known.size() == 4);
  CHECK(known[0].value == R"("")");
  CHECK(known[1].value == R"({"x":[1,2]})");
  CHECK(known[2].key == R"(b\n)");
  CHECK(known[3].value == R"("}")");
  CHECK(members_of_canonical("{}").empty());
  CHECK(keys == std::vector<std::string>{"", "a", "b\n", "c"});
  CHECK(again == R"("";{"x":[1,2]};null;"}";)");
  CHECK(read_canonical_members("entry", "{}").empty());
}

TEST_CASE("what is no object in canonical JSON is refused with what is wrong") {
  CHECK(says(refused([] { return read_canonical_members("entry", "[]"); }), "no object"));
  CHECK(says(refused([] { return read_canonical_members("entry", R"({"b":1,"a":2})"); }), "RFC 8785"));
  CHECK(says(refused([] { return read_canonical_members("entry", R"({"a":1)"); }), "no JSON"));
  CHECK(says(refused([] { return read_canonical_members("entry", R"({"a":1,"a":1})"); }), "twice"));
}
