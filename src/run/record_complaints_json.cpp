#include "run/record_complaints_json.h"

#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include <set>

namespace coldbag {

using Json = nlohmann::ordered_json;

namespace {

constexpr std::size_t most_complaints = 20;

// The same moment may be written with another offset where the zone's rules were mended since.
bool is_same_text(const std::string& a, const std::string& b) {
  if (a == b) return true;
  const auto at_a = parse_iso_time(a);
  const auto at_b = parse_iso_time(b);
  return at_a && at_b && at_a->offset_s && at_b->offset_s &&
         at_a->wall.us - *at_a->offset_s * std::int64_t{1000000} ==
             at_b->wall.us - *at_b->offset_s * std::int64_t{1000000};
}

/// Line and letter of a byte, both from 1.
Place place_of(const Reading& reading, std::string_view json, std::size_t byte) {
  Place place{reading.source_name, 1, 1, ""};
  for (const char c : json.substr(0, byte > 0 ? byte - 1 : 0)) {
    place.column = c == '\n' ? 1 : place.column + 1;
    place.line += c == '\n' ? 1 : 0;
  }
  return place;
}

} // namespace

void complain(Reading& reading, const std::string& path, std::string problem, std::string remedy) {
  if (reading.complaints.size() < most_complaints)
    reading.complaints.push_back(
        {Trouble::bad_data, {reading.source_name, 0, 0, path}, std::move(problem), std::move(remedy)});
}

std::string shown(const Json& json) {
  if (json.is_object()) return "an object";
  if (json.is_array()) return "a list";
  std::string text = json.dump(-1, ' ', true);
  return text.size() <= 40 ? text : text.substr(0, 40) + "...";
}

void key_missing(Reading& reading, const std::string& path) {
  complain(reading, path, "this key is missing", as_written);
}

void key_not_known(Reading& reading, const std::string& path) {
  complain(reading, path, "this key is not known",
           "read the record with the version of the program that wrote it, or take the key out");
}

std::string path_inside(const std::string& path, std::string_view key) {
  return path.empty() ? std::string(key) : path + "." + std::string(key);
}

/// Complains of every place where what is written is not what follows from the rest.
void check_same(Reading& reading, const std::string& path, const Json& written, const Json& computed) {
  if (written.is_object() && computed.is_object()) {
    for (const auto& [key, value] : computed.items()) {
      const auto found = written.find(key);
      if (found == written.end())
        key_missing(reading, path_inside(path, key));
      else
        check_same(reading, path_inside(path, key), *found, value);
    }
    for (const auto& [key, value] : written.items())
      if (!computed.contains(key)) key_not_known(reading, path_inside(path, key));
  } else if (written.is_array() && computed.is_array() && written.size() == computed.size()) {
    for (std::size_t i = 0; i < written.size(); ++i)
      check_same(reading, fmt::format("{}[{}]", path, i), written[i], computed[i]);
  } else if (written.is_string() && computed.is_string()
                 ? !is_same_text(written.get_ref<const std::string&>(),
                                 computed.get_ref<const std::string&>())
                 : written.is_structured() || computed.is_structured() || written != computed) {
    complain(reading, path,
             fmt::format("{} does not agree with the rest of the record, which says {}", shown(written),
                         shown(computed)),
             as_written);
  }
}

void refuse(const Reading& reading) {
  throw UserError(reading.complaints);
}

Json parsed(Reading& reading, std::string_view json) {
  std::vector<std::set<std::string>> open; // keys of the objects around
  const auto look = [&](int /*depth*/, Json::parse_event_t event, Json& what) {
    if (event == Json::parse_event_t::object_start) open.emplace_back();
    if (event == Json::parse_event_t::object_end) open.pop_back();
    if (event == Json::parse_event_t::key && !open.back().insert(what.get<std::string>()).second)
      complain(reading, what.get<std::string>(), "this key stands twice in one object", as_written);
    return true;
  };
  try {
    Json root = Json::parse(json, look);
    if (!root.is_object()) complain(reading, "", shown(root) + " is no record of a run", as_written);
    if (!reading.complaints.empty()) refuse(reading);
    return root;
  } catch (const Json::parse_error& error) {
    throw UserError({Trouble::bad_data, place_of(reading, json, error.byte),
                     "this is no JSON, or not all of it", as_written});
  } catch (const Json::exception&) {
    throw UserError({Trouble::bad_data,
                     {reading.source_name, 0, 0, ""},
                     "this JSON has a number that no computer number can hold",
                     as_written});
  }
}

} // namespace coldbag
