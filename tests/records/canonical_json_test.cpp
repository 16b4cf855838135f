#include "records/canonical_json.h"
#include "records/canonical_members_json.h"

#include "errors/our_fault.h"
#include "records/refused.h"
#include "support/long_run.h"
#include "tables/sha256.h"

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <array>
#include <bit>
#include <cmath>
#include <cstring>
#include <limits>
#include <vector>

using namespace coldbag;
using test::refused;
using test::says;
using Json = nlohmann::json;

namespace {

struct NumberRow {
  std::uint64_t bits;
  const char* text;
};

// RFC 8785, appendix B, all rows but NaN and Infinity (seen in copies of the table; node prints the same).
const NumberRow appendix_b[] = {
    {0x0000000000000000, "0"},
    {0x8000000000000000, "0"},
    {0x0000000000000001, "5e-324"},
    {0x8000000000000001, "-5e-324"},
    {0x7fefffffffffffff, "1.7976931348623157e+308"},
    {0xffefffffffffffff, "-1.7976931348623157e+308"},
    {0x4340000000000000, "9007199254740992"},
    {0xc340000000000000, "-9007199254740992"},
    {0x4430000000000000, "295147905179352830000"},
    {0x44b52d02c7e14af5, "9.999999999999997e+22"},
    {0x44b52d02c7e14af6, "1e+23"},
    {0x44b52d02c7e14af7, "1.0000000000000001e+23"},
    {0x444b1ae4d6e2ef4e, "999999999999999700000"},
    {0x444b1ae4d6e2ef4f, "999999999999999900000"},
    {0x444b1ae4d6e2ef50, "1e+21"},
    {0x3eb0c6f7a0b5ed8c, "9.999999999999997e-7"},
    {0x3eb0c6f7a0b5ed8d, "0.000001"},
    {0x41b3de4355555553, "333333333.3333332"},
    {0x41b3de4355555554, "333333333.33333325"},
    {0x41b3de4355555555, "333333333.3333333"},
    {0x41b3de4355555556, "333333333.3333334"},
    {0x41b3de4355555557, "333333333.33333343"},
    {0xbecbf647612f3696, "-0.0000033333333333333333"},
    {0x43143ff3c1cb0959, "1424953923781206.2"},
};

/// The doubles of the test file that belongs to RFC 8785: a list, 2000 in a row, then those that a chain of
/// SHA-256 gives.
class TestFileNumbers {
 public:
  double next() {
    const std::size_t at = at_++;
    if (at < listed.size()) return std::bit_cast<double>(listed[at]);
    if (at < listed.size() + 2000) return std::bit_cast<double>(0x0010000000000000 + (at - listed.size()));
    for (;;) {
      if (left_ == 0) {
        block_ = sha256(std::string(block_.begin(), block_.end()));
        left_ = 4;
      }
      double value = 0; // eight bytes, the least first, as this machine has them
      std::memcpy(&value, block_.data() + 8 * (4 - left_--), sizeof value);
      if (value != 0 && std::isfinite(value)) return value;
    }
  }

 private:
  static const std::vector<std::uint64_t> listed;
  std::size_t at_ = 0;
  Sha256 block_{};
  std::size_t left_ = 0;
};

const std::vector<std::uint64_t> TestFileNumbers::listed = {
    0x0000000000000000, 0x8000000000000000, 0x0000000000000001, 0x8000000000000001, 0xc46696695dbd1cc3,
    0xc43211ede4974a35, 0xc3fce97ca0f21056, 0xc3c7213080c1a6ac, 0xc39280f39a348556, 0xc35d9b1f5d20d557,
    0xc327af4c4a80aaac, 0xc2f2f2a36ecd5556, 0xc2be51057e155558, 0xc28840d131aaaaac, 0xc253670dc1555557,
    0xc21f0b4935555557, 0xc1e8d5d42aaaaaac, 0xc1b3de4355555556, 0xc17fca0555555556, 0xc1496e6aaaaaaaab,
    0xc114585555555555, 0xc0e046aaaaaaaaab, 0xc0aa0aaaaaaaaaaa, 0xc074d55555555555, 0xc040aaaaaaaaaaab,
    0xc00aaaaaaaaaaaab, 0xbfd5555555555555, 0xbfa1111111111111, 0xbf6b4e81b4e81b4f, 0xbf35d867c3ece2a5,
    0xbf0179ec9cbd821e, 0xbecbf647612f3696, 0xbe965e9f80f29212, 0xbe61e54c672874db, 0xbe2ca213d840baf8,
    0xbdf6e80fe033c8c6, 0xbdc2533fe68fd3d2, 0xbd8d51ffd74c861c, 0xbd5774ccac3d3817, 0xbd22c3d6f030f9ac,
    0xbcee0624b3818f79, 0xbcb804ea293472c7, 0xbc833721ba905bd3, 0xbc4ebe9c5db3c61e, 0xbc18987d17c304e5,
    0xbbe3ad30dfcf371d, 0xbbaf7b816618582f, 0xbb792f9ab81379bf, 0xbb442615600f9499, 0xbb101e77800c76e1,
    0xbad9ca58cce0be35, 0xbaa4a1e0a3e6fe90, 0xba708180831f320d, 0xba3a68cd9e985016, 0x446696695dbd1cc3,
    0x443211ede4974a35, 0x43fce97ca0f21056, 0x43c7213080c1a6ac, 0x439280f39a348556, 0x435d9b1f5d20d557,
    0x4327af4c4a80aaac, 0x42f2f2a36ecd5556, 0x42be51057e155558, 0x428840d131aaaaac, 0x4253670dc1555557,
    0x421f0b4935555557, 0x41e8d5d42aaaaaac, 0x41b3de4355555556, 0x417fca0555555556, 0x41496e6aaaaaaaab,
    0x4114585555555555, 0x40e046aaaaaaaaab, 0x40aa0aaaaaaaaaaa, 0x4074d55555555555, 0x4040aaaaaaaaaaab,
    0x400aaaaaaaaaaaab, 0x3fd5555555555555, 0x3fa1111111111111, 0x3f6b4e81b4e81b4f, 0x3f35d867c3ece2a5,
    0x3f0179ec9cbd821e, 0x3ecbf647612f3696, 0x3e965e9f80f29212, 0x3e61e54c672874db, 0x3e2ca213d840baf8,
    0x3df6e80fe033c8c6, 0x3dc2533fe68fd3d2, 0x3d8d51ffd74c861c, 0x3d5774ccac3d3817, 0x3d22c3d6f030f9ac,
    0x3cee0624b3818f79, 0x3cb804ea293472c7, 0x3c833721ba905bd3, 0x3c4ebe9c5db3c61e, 0x3c18987d17c304e5,
    0x3be3ad30dfcf371d, 0x3baf7b816618582f, 0x3b792f9ab81379bf, 0x3b442615600f9499, 0x3b101e77800c76e1,
    0x3ad9ca58cce0be35, 0x3aa4a1e0a3e6fe90, 0x3a708180831f320d, 0x3a3a68cd9e985016, 0x4024000000000000,
    0x4014000000000000, 0x3fe0000000000000, 0x3fa999999999999a, 0x3f747ae147ae147b, 0x3f40624dd2f1a9fc,
    0x3f0a36e2eb1c432d, 0x3ed4f8b588e368f1, 0x3ea0c6f7a0b5ed8d, 0x3e6ad7f29abcaf48, 0x3e35798ee2308c3a,
    0x3ed539223589fa95, 0x3ed4ff26cd5a7781, 0x3ed4f95a762283ff, 0x3ed4f8c60703520c, 0x3ed4f8b72f19cd0d,
    0x3ed4f8b5b31c0c8d, 0x3ed4f8b58d1c461a, 0x3ed4f8b5894f7f0e, 0x3ed4f8b588ee37f3, 0x3ed4f8b588e47da4,
    0x3ed4f8b588e3849c, 0x3ed4f8b588e36bb5, 0x3ed4f8b588e36937, 0x3ed4f8b588e368f8, 0x3ed4f8b588e368f1,
    0x3ff0000000000000, 0xbff0000000000000, 0xbfeffffffffffffa, 0xbfeffffffffffffb, 0x3feffffffffffffa,
    0x3feffffffffffffb, 0x3feffffffffffffc, 0x3feffffffffffffe, 0xbfefffffffffffff, 0xbfefffffffffffff,
    0x3fefffffffffffff, 0x3fefffffffffffff, 0x3fd3333333333332, 0x3fd3333333333333, 0x3fd3333333333334,
    0x0010000000000000, 0x000ffffffffffffd, 0x000fffffffffffff, 0x7fefffffffffffff, 0xffefffffffffffff,
    0x4340000000000000, 0xc340000000000000, 0x4430000000000000, 0x44b52d02c7e14af5, 0x44b52d02c7e14af6,
    0x44b52d02c7e14af7, 0x444b1ae4d6e2ef4e, 0x444b1ae4d6e2ef4f, 0x444b1ae4d6e2ef50, 0x3eb0c6f7a0b5ed8c,
    0x3eb0c6f7a0b5ed8d, 0x41b3de4355555553, 0x41b3de4355555554, 0x41b3de4355555555, 0x41b3de4355555556,
    0x41b3de4355555557, 0xbecbf647612f3696, 0x43143ff3c1cb0959,
};

/// The hash of the file's first lines, each the bits and the number as text.
std::string hash_of_lines(int count) {
  static_assert(std::endian::native == std::endian::little);
  TestFileNumbers numbers;
  Sha256Stream stream;
  for (int i = 0; i < count; ++i) {
    const double value = numbers.next();
    stream.take(fmt::format("{:x},{}\n", std::bit_cast<std::uint64_t>(value), canonical_number(value)));
  }
  return hex_text(stream.finish());
}

std::string canonical(std::string_view json) {
  return made_canonical("made.json", json);
}

} // namespace

TEST_CASE("numbers are printed as the table of RFC 8785 has them, and read back the same") {
  for (const NumberRow& row : appendix_b) {
    CAPTURE(row.text);
    const auto value = std::bit_cast<double>(row.bits);
    CHECK(canonical_number(value) == row.text);
    CHECK(canonical(row.text) == row.text);
  }
}

// Hashes as the readme of the test data has them (github.com/cyberphone/json-canonicalization, testdata,
// seen; its author wrote RFC 8785), the numbers by the rule that it gives.
TEST_CASE("the first lines of the test file of numbers have its hash") {
  CHECK(hash_of_lines(1000) == "be18b62b6f69cdab33a7e0dae0d9cfa869fda80ddc712221570f9f40a5878687");
  CHECK(hash_of_lines(10000) == "b9f7a8e75ef22a835685a52ccba7f7d6bdc99e34b010992cbc5864cd12be6892");
  CHECK(hash_of_lines(100000) == "22776e6d4b49fa294a0d0f349268e5c28808fe7e0cb2bcbe28f63894e494d4c7");
  if (!test::is_long()) return;
  CHECK(hash_of_lines(1000000) == "49415fee2c56c77864931bd3624faad425c3c577d6d74e89a83bc725506dad16");
  CHECK(hash_of_lines(10000000) == "b9f8a44a91d46813b21b9602e72f112613c91408db0b8341fb94603d9db135e0");
}

TEST_CASE("a number that is none is our fault") {
  CHECK_THROWS_AS((void)canonical_number(std::numeric_limits<double>::quiet_NaN()), OurFault);
  CHECK_THROWS_AS((void)canonical_number(std::numeric_limits<double>::infinity()), OurFault);
  CHECK_THROWS_AS((void)canonical_json({{"a", -std::numeric_limits<double>::infinity()}}), OurFault);
}

// The published pairs of input and output (testdata of the same place). The hashes are those of its output.
TEST_CASE("the published samples come out byte for byte") {
  struct Sample {
    const char* name;
    const char* input;
    const char* sha256;
  };
  const Sample samples[] = {
      {"arrays", R"([56,{"d":true,"10":null,"1":[]}])",
       "099601b171cafed97c333f8878d68e7f8c8f795412adb34b2fdcf0e7c7beac42"},
      {"french", R"({
  "peach": "This sorting order",
  "péché": "is wrong according to French",
  "pêche": "but canonicalization MUST",
  "sin":   "ignore locale"
})",
       "d99d0ebdcb0033cb858cfa830ae46bc0fb3309413b271f1da828c89901a27ed5"},
      {"structures",
       R"({"1":{"f":{"f":"hi","F":5},"\n":56.0},"10":{},"":"empty","a":{},"111":[{"e":"yes","E":"no"}],"A":{}})",
       "605f65004ec2db7692522a0852c22f1c989e036d547e88963d1a3143cf3195d5"},
      {"unicode", "{\"Unnormalized Unicode\":\"A\\u030a\"}",
       "0d99aad92a125196ff887876643fd3206786a84ddce2cee52ba4ad256d2381d3"},
      {"weird", R"({"\u20ac":"Euro Sign","\r":"Carriage Return","\u000a":"Newline","1":"One",
"\u0080":"Control\u007f","\ud83d\ude02":"Smiley","\u00f6":"Latin Small Letter O With Diaeresis",
"\ufb33":"Hebrew Letter Dalet With Dagesh","</script>":"Browser Challenge"})",
       "6af595a9aa80110b964b4de3f82a05fa6ae7423005019bacfa2620dddc4e94d1"},
      {"values", R"({"numbers":[333333333.33333329,1E30,4.50,2e-3,0.000000000000000000000000001],
"string":"\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/","literals":[null,true,false]})",
       "2d5e01a318d0f0879ab568c4be289c8b1f64ef8921a53c6277d5e069978baacb"},
  };
  for (const Sample& sample : samples) {
    CAPTURE(sample.name);
    CAPTURE(canonical(sample.input));
    CHECK(sha256_hex(canonical(sample.input)) == sample.sha256);
  }
}

// RFC 8785, section 3.2.2 (sample), 3.2.3 (sorted) and 3.2.4 (bytes).
TEST_CASE("the sample of RFC 8785 gives its bytes") {
  const std::string out = canonical(R"({
    "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
    "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
    "literals": [null, true, false]
  })");
  CHECK(out == "{\"literals\":[null,true,false],\"numbers\":[333333333.3333333,1e+30,4.5,0.002,1e-27],"
               "\"string\":\"\xE2\x82\xAC$\\u000f\\nA'B\\\"\\\\\\\\\\\"/\"}");
  CHECK(out.size() == 118);
}

// RFC 8785, section 3.2.3: the keys whose order in UTF-16 is not that of UTF-8.
TEST_CASE("keys are sorted by their UTF-16 code units") {
  const std::string out = canonical(R"({
    "\u20ac": "Euro Sign",
    "\r": "Carriage Return",
    "\ufb33": "Hebrew Letter Dalet With Dagesh",
    "1": "One",
    "\ud83d\ude00": "Emoji: Grinning Face",
    "\u0080": "Control",
    "\u00f6": "Latin Small Letter O With Diaeresis"
  })");
  std::size_t at = 0;
  for (const char* value : {"Carriage Return", "One", "Control", "Latin Small Letter O With Diaeresis",
                            "Euro Sign", "Emoji: Grinning Face", "Hebrew Letter Dalet With Dagesh"}) {
    CAPTURE(value);
    const std::size_t found = out.find(value);
    REQUIRE(found != std::string::npos);
    CHECK(found >= at);
    at = found;
  }
}

TEST_CASE("text is escaped as little as can be") {
  std::string controls;
  for (char c = 0; c < 0x20; ++c)
    controls += c;
  CHECK(canonical_json(controls) ==
        "\"\\u0000\\u0001\\u0002\\u0003\\u0004\\u0005\\u0006\\u0007\\b\\t\\n\\u000b\\f\\r\\u000e\\u000f"
        "\\u0010\\u0011\\u0012\\u0013\\u0014\\u0015\\u0016\\u0017\\u0018\\u0019\\u001a\\u001b\\u001c\\u001d\\"
        "u001e"
        "\\u001f\"");
  CHECK(canonical_json("/\x7F\xC2\x80\xE2\x80\xA8") == "\"/\x7F\xC2\x80\xE2\x80\xA8\"");
}

TEST_CASE("what is canonical is known, and every other way to write it is not") {
  CHECK(is_canonical_json(R"({"a":[1,2.5,"x"],"b":{}})"));
  for (const char* other :
       {R"({"a":[1,2.5,"x"],"b":{}} )", R"({"b":{},"a":[1,2.5,"x"]})", R"({"a":[1,2.50,"x"],"b":{}})",
        R"({"a":[1.0,2.5,"x"],"b":{}})", R"({"a":[1,2.5,"\u0078"],"b":{}})", R"({"a": [1,2.5,"x"],"b":{}})",
        "\xEF\xBB\xBF{\"a\":[1,2.5,\"x\"],\"b\":{}}", R"({"a":[1,2.5,"x"],"b":{}}})",
        R"({"a":[1,2.5,"x"],"b":{})", R"({"a":0,"a":[1,2.5,"x"],"b":{}})", "", "-0", "1e400", "nul"}) {
    CAPTURE(other);
    CHECK_FALSE(is_canonical_json(other));
  }
}

TEST_CASE("a key that stands twice is refused, with the way to it") {
  CHECK(refused([] { return canonical(R"({"a":1,"b":{"x":1},"a":2})"); }) ==
        "made.json: a: this key stands twice in one object; take it as the program wrote it");
  CHECK(says(refused([] { return canonical(R"({"a":[0,{"b":[{"x":1,"x":1}]}]})"); }), "a[1].b[0].x: "));
  CHECK(says(refused([] { return canonical("{\"a\":1,\"\\u0061\":1}"); }), "twice"));
  CHECK(refused([] { return canonical(R"([{"a":1},{"a":1}])"); }).empty());
}

TEST_CASE("whole numbers are refused where a double loses digits, never rounded") {
  for (const char* exact : {"9007199254740991", "9007199254740992", "-9007199254740992",
                            "1152921504606847000", "18446744073709552000", "100000000000000000000", "-5"}) {
    CAPTURE(exact);
    CHECK(canonical(exact) == exact);
  }
  for (const char* lossy :
       {"9007199254740993", "-9007199254740993", "1152921504606846976", "18446744073709551615",
        "18446744073709551617", "123456789012345678901234567890", "1000000000000000000000"}) {
    CAPTURE(lossy);
    CHECK(says(refused([&] { return canonical(lossy); }), "more digits than a computer number holds"));
  }
  CHECK(says(refused([] { return canonical("{\"a\":1e400}"); }), "no computer number can hold"));
  CHECK_THROWS_AS((void)canonical_json(9007199254740993), OurFault);
}

TEST_CASE("what is no JSON is refused with its line and column") {
  CHECK(refused([] { return canonical("{\n \"a\": }"); }) ==
        "made.json:2:7: this is no JSON, or not all of it; take it as the program wrote it");
  for (const char* broken :
       {"", "{", "[1,]", "{\"a\" 1}", "01", "+1", ".5", "NaN", "Infinity", "'a'", "{} {}", "\"\xC3\"",
        "\"\xED\xA0\x80\"", "\"\\ud800\"", "\"\\udc00\\ud800\"", "\"\t\"", "/**/1"}) {
    CAPTURE(broken);
    CHECK(says(refused([&] { return canonical(broken); }), "this is no JSON"));
  }
  // The library takes a zero byte for the end.
  CHECK(says(refused([] { return canonical(std::string_view("{}\0{", 4)); }), ":1:3: this is no JSON"));
  CHECK(refused([] { return canonical(std::string_view("{\0}", 3)); }) ==
        "made.json:1:2: this is no JSON, or not all of it; take it as the program wrote it");
}

TEST_CASE("text that is no UTF-8 is refused with the way to it") {
  const char* const broken[] = {"\x80",
                                "\xC3",
                                "\xC0\x80",
                                "\xE0\x80\x80",
                                "\xED\xA0\x80",
                                "\xED\xBF\xBF",
                                "\xF0\x80\x80\x80",
                                "\xF4\x90\x80\x80",
                                "\xF8\x88\x80\x80\x80",
                                "\xC3(",
                                "a\xFF"};
  for (const char* text : broken) {
    CAPTURE(text);
    CHECK(says(refused([&] {
                 return canonical_json({{"who", {{"name", {1, text}}}}});
               }),
               "who.name[1]: this text has bytes that are no UTF-8"));
    CHECK(says(refused([&] { return canonical_json({{"who", {{text, 1}}}}); }), "who: this text has bytes"));
  }
  for (const char* text :
       {"\xC2\x80", "\xED\x9F\xBF", "\xEE\x80\x80", "\xF0\x90\x80\x80", "\xF4\x8F\xBF\xBF"})
    CHECK(refused([&] { return canonical_json(text); }).empty());
}

TEST_CASE("nesting has an end, the same for reading and writing") {
  const auto nested = [](int levels) {
    return std::string(static_cast<std::size_t>(levels), '[') +
           std::string(static_cast<std::size_t>(levels), ']');
  };
  CHECK(canonical(nested(most_json_levels)) == nested(most_json_levels));
  CHECK(says(refused([&] { return canonical(nested(most_json_levels + 1)); }), "more than 100 deep"));
  CHECK(says(refused([&] { return canonical(nested(1000000)); }), "more than 100 deep"));
  Json deep = Json::array();
  for (int i = 0; i < most_json_levels; ++i)
    deep = Json::array({deep});
  CHECK_THROWS_AS((void)canonical_json(deep), OurFault);
}
