// Which copy of each data table a result rests on: where it came from, and its hash.
#pragma once

#include "tables/sha256.h"

#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// One table as used.
struct Edition {
  std::string name;   ///< "organisms.csv"
  std::string origin; ///< "built in", or the path of the file that was read
  std::string sha256; ///< of its bytes, lower-case hexadecimal
  bool operator==(const Edition&) const = default;
};

/// The bytes of all tables and of the page's mould, each from the first place that has it: the folder given,
/// else the folder installed, else the copy built in.
class TableFiles {
 public:
  /// folder: "" for none given. Throws UserError where a folder is given and is not there, or a table cannot
  /// be read.
  [[nodiscard]] static TableFiles open(const std::string& folder);
  /// The built-in copies alone; what tests use.
  [[nodiscard]] static TableFiles built_in();
  /// Bytes of a table; asking for one that is in none of the places is a caller's fault (checked).
  [[nodiscard]] std::string_view bytes(std::string_view name) const;
  /// The name to put into messages: the path, or "built-in organisms.csv".
  [[nodiscard]] std::string source_name(std::string_view name) const;
  /// Of the tables a result can rest on, .csv and .toml.
  [[nodiscard]] std::vector<Edition> editions() const;

 private:
  struct File {
    std::string bytes;
    Edition edition;
  };
  std::map<std::string, File, std::less<>> files_;
};

} // namespace coldbag
