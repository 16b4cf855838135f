#include "records/members_json.h"

#include "records/canonical_json.h"

#include <nlohmann/json.hpp>

#include <utility>

namespace coldbag {

using Json = nlohmann::json;

Members::Members(ReadComplaints& complaints, const Json& object, std::string path)
    : complaints_(complaints), object_(object), path_(std::move(path)) {
  if (!object_.is_object()) complain("", "what stands here is no object", as_the_program_wrote_it);
}

const Json* Members::find(const std::string& key) {
  asked_.insert(key);
  if (!object_.is_object()) return nullptr;
  const auto found = object_.find(key);
  if (found != object_.end()) return &*found;
  complain(key, "this key is missing", as_the_program_wrote_it);
  return nullptr;
}

const Json* Members::object(const std::string& key) {
  const Json* found = find(key);
  if (found == nullptr || found->is_object()) return found;
  complain(key, "what stands here is no object", as_the_program_wrote_it);
  return nullptr;
}

const Json* Members::list(const std::string& key) {
  const Json* found = find(key);
  if (found == nullptr || found->is_array()) return found;
  complain(key, "what stands here is no list", as_the_program_wrote_it);
  return nullptr;
}

std::optional<std::string> Members::text(const std::string& key) {
  const Json* found = find(key);
  if (found == nullptr) return std::nullopt;
  if (found->is_string()) return found->get<std::string>();
  complain(key, "what stands here is no text", as_the_program_wrote_it);
  return std::nullopt;
}

std::optional<std::uint64_t> Members::count(const std::string& key) {
  const Json* found = find(key);
  if (found == nullptr) return std::nullopt;
  if (found->is_number_unsigned() && found->get<std::uint64_t>() <= most_json_count)
    return found->get<std::uint64_t>();
  complain(key, "what stands here is no whole number", as_the_program_wrote_it);
  return std::nullopt;
}

std::map<std::string, std::string> Members::texts(const std::string& key) {
  std::map<std::string, std::string> out;
  const Json* found = object(key);
  if (found == nullptr) return out;
  Members each(complaints_, *found, path_of(key));
  for (const auto& [name, value] : found->items())
    out[name] = each.text(name).value_or("");
  return out;
}

void Members::complain(const std::string& key, std::string problem, std::string remedy) {
  complaints_.all.push_back({Trouble::bad_data,
                             {complaints_.source_name, 0, 0, path_of(key)},
                             std::move(problem),
                             std::move(remedy)});
}

std::string Members::path_of(const std::string& key) const {
  if (key.empty() || path_.empty()) return path_ + key;
  return path_ + "." + key;
}

void Members::done() {
  if (!object_.is_object()) return;
  for (const auto& [key, value] : object_.items())
    if (!asked_.contains(key))
      complain(key, "this key is not known",
               "read the record with the version of the program that wrote it, or take the key out");
}

void throw_if_any(ReadComplaints complaints) {
  if (!complaints.all.empty()) throw UserError(std::move(complaints.all));
}

} // namespace coldbag
