// The bytes of a file of the source tree.
#pragma once

#include <doctest/doctest.h>

#include <fstream>
#include <sstream>
#include <string>

namespace coldbag::test {

[[nodiscard]] inline std::string source_file_text(const std::string& path) {
  std::ifstream file(std::string(COLDBAG_SOURCE_DIR) + '/' + path, std::ios::binary);
  REQUIRE_MESSAGE(file.good(), path);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

} // namespace coldbag::test
