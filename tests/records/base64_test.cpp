#include "records/base64.h"

#include <doctest/doctest.h>

#include <string>

using namespace coldbag;

// RFC 4648, section 10.
TEST_CASE("base64 is that of RFC 4648, both ways") {
  const char* const rows[][2] = {{"", ""},
                                 {"f", "Zg=="},
                                 {"fo", "Zm8="},
                                 {"foo", "Zm9v"},
                                 {"foob", "Zm9vYg=="},
                                 {"fooba", "Zm9vYmE="},
                                 {"foobar", "Zm9vYmFy"}};
  for (const auto& [bytes, text] : rows) {
    CAPTURE(bytes);
    CHECK(base64_text(std::string_view(bytes)) == text);
    CHECK(read_base64(text) == bytes);
  }
}

TEST_CASE("every byte comes back") {
  std::string bytes;
  for (int i = 0; i < 256; ++i)
    bytes += static_cast<char>(i);
  for (std::size_t size = 0; size <= bytes.size(); ++size)
    CHECK(read_base64(base64_text(std::string_view(bytes).substr(0, size))) == bytes.substr(0, size));
}

TEST_CASE("text that base64 does not write is refused") {
  for (const char* text : {"Zg", "Zg=", "Zg===", "Zh==", "Zm9=", "Zm 9v", "Zm9v\n", "Zm9v=", "=", "Zm9-",
                           "Zm9_", "Z", "Zm9vZ"}) {
    CAPTURE(text);
    CHECK_FALSE(read_base64(text));
  }
}
