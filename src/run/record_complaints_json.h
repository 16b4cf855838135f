// What is wrong with a record that is being read: complaints, each with the path of its key.
#pragma once

#include "errors/user_error.h"
#include "run/run_report.h"

#include <nlohmann/json_fwd.hpp>

#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// A record while it is read.
struct Reading {
  /// What follows from the rest, as it was written.
  struct Derived {
    std::string path;
    const nlohmann::ordered_json* written = nullptr;
  };
  std::string source_name;
  RunClock clock; ///< behind every moment; read before the rest
  std::vector<Complaint> complaints;
  std::vector<Derived> derived; ///< compared once the rest is read
};

inline constexpr const char* as_written = "take the record as the program wrote it, or judge the run again";

void complain(Reading& reading, const std::string& path, std::string problem, std::string remedy);
void key_missing(Reading& reading, const std::string& path);
void key_not_known(Reading& reading, const std::string& path);
/// Complains of every place where what is written is not what follows from the rest.
void check_same(Reading& reading, const std::string& path, const nlohmann::ordered_json& written,
                const nlohmann::ordered_json& computed);
/// Throws what was complained of.
[[noreturn]] void refuse(const Reading& reading);

/// A value in a sentence: short, in ASCII.
[[nodiscard]] std::string shown(const nlohmann::ordered_json& json);
[[nodiscard]] std::string path_inside(const std::string& path, std::string_view key);
/// The object of a record. Throws UserError where the text is no JSON, no object, or a key stands twice.
[[nodiscard]] nlohmann::ordered_json parsed(Reading& reading, std::string_view json);

} // namespace coldbag
