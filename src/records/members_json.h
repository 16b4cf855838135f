// The members of a JSON object while it is read: each is asked for, and complaints are gathered.
#pragma once

#include "errors/user_error.h"

#include <nlohmann/json_fwd.hpp>

#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// Every complaint about what is read, each with the source's name.
struct ReadComplaints {
  std::string source_name;
  std::vector<Complaint> all;
};

class Members {
 public:
  /// object: must outlive this; anything else than an object is complained of. path: of the object, "" of the
  /// whole.
  Members(ReadComplaints& complaints, const nlohmann::json& object, std::string path);

  /// Each gives nothing where the member is missing or of another kind, which is complained of.
  [[nodiscard]] const nlohmann::json* object(const std::string& key);
  [[nodiscard]] const nlohmann::json* list(const std::string& key);
  [[nodiscard]] std::optional<std::string> text(const std::string& key);
  /// At most most_json_count.
  [[nodiscard]] std::optional<std::uint64_t> count(const std::string& key);
  /// An object of texts alone; empty where it is anything else, which is complained of.
  [[nodiscard]] std::map<std::string, std::string> texts(const std::string& key);
  /// Complains of what stands at `key`.
  void complain(const std::string& key, std::string problem, std::string remedy);
  [[nodiscard]] std::string path_of(const std::string& key) const;
  /// Complains of every member that was not asked for.
  void done();

 private:
  [[nodiscard]] const nlohmann::json* find(const std::string& key);

  ReadComplaints& complaints_;
  const nlohmann::json& object_;
  std::string path_;
  std::set<std::string, std::less<>> asked_;
};

/// Throws UserError where there is a complaint.
void throw_if_any(ReadComplaints complaints);

} // namespace coldbag
