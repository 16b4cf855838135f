#include "run/moment_text.h"
#include "run/record_complaints_json.h"
#include "run/report_fields.h"
#include "run/report_words.h"
#include "run/run_report_json.h"

#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include <cmath>
#include <limits>
#include <set>

namespace coldbag {

namespace {

using Json = nlohmann::ordered_json;

/// "/probes/0/faults" of "probes[0].faults".
std::string pointer_text(std::string_view path) {
  std::string text = "/";
  for (const char c : path)
    if (c == '.' || c == '[')
      text += '/';
    else if (c != ']')
      text += c;
  return text;
}

class Reader {
 public:
  template <class T>
  using Value = T;

  /// An object of the record; anything else is complained of.
  Reader(Reading& reading, const Json& object, std::string path)
      : reading_(reading), object_(object), path_(std::move(path)) {
    if (!object_.is_object()) wrong(object_, path_, "an object", "{ ... }");
  }

  template <class T>
  void field(std::string_view key, T& value) {
    if (const Json* json = find(key)) take(*json, path_of(key), value);
  }
  template <class T>
  void later(std::string_view key, T& value) {
    if (object_.contains(std::string(key))) field(key, value);
  }
  void text_or_null(std::string_view key, std::string& text) {
    std::optional<std::string> found;
    field(key, found);
    text = found.value_or("");
  }
  template <class T>
  void field_if(bool is_there, std::string_view key, T& value) {
    if (const Json* json = find_if(is_there, key)) take(*json, path_of(key), value);
  }
  void either(std::string_view key, bool& value, std::string_view when_true, std::string_view when_false) {
    std::string text;
    const Json* json = find(key);
    if (json == nullptr || !take(*json, path_of(key), text)) return;
    value = text == when_true;
    if (!value && text != when_false)
      no_word(*json, path_of(key), fmt::format("{}, {}", when_true, when_false));
  }
  void log_time(std::string_view key, double& at_s) {
    field(key, at_s);
    if (std::abs(at_s) <= most_moment_s) return;
    at_s = 0;
    wrong(object_.at(std::string(key)), path_of(key), "a time within a century", "3600");
  }
  void moment(std::string_view key, double& at_s) {
    std::optional<double> found;
    moment(key, found);
    at_s = found.value_or(0);
    const auto json = object_.find(seconds_key(key));
    if (!found && json != object_.end() && json->is_null())
      wrong(*json, path_of(seconds_key(key)), "a number", "12.5");
  }
  void moment(std::string_view key, std::optional<double>& at_s) {
    const Json* text = find(key);
    const Json* seconds = find(seconds_key(key));
    if (text == nullptr || seconds == nullptr || !take(*seconds, path_of(seconds_key(key)), at_s)) return;
    if (at_s) check_moment(*text, path_of(key), *at_s);
    if (!at_s && !text->is_null()) check_same(reading_, path_of(key), *text, nullptr);
  }
  void said_values(SaidValues& said) {
    const Json* values = find("values");
    const Json* moments_s = find("moments_s");
    if (values == nullptr || moments_s == nullptr) return;
    if (!values->is_object()) return wrong(*values, path_of("values"), "an object", "{ ... }");
    if (!moments_s->is_object()) return wrong(*moments_s, path_of("moments_s"), "an object", "{ ... }");
    for (const auto& [name, json] : values->items())
      take_said(name, json, *moments_s, said);
    for (const auto& [name, json] : moments_s->items())
      if (!values->contains(name)) key_not_known(reading_, path_of("moments_s." + name));
  }
  template <class Inside>
  void object(std::string_view key, const Inside& inside) {
    if (const Json* json = find(key)) enter(*json, path_of(key), inside);
  }
  template <class Inside>
  void object_if(bool is_there, std::string_view key, const Inside& inside) {
    if (const Json* json = find_if(is_there, key)) enter(*json, path_of(key), inside);
  }
  template <class Inside>
  void object_or_null(bool /*is_there*/, std::string_view key, const Inside& inside) {
    const Json* json = find(key);
    if (json != nullptr && !json->is_null()) enter(*json, path_of(key), inside);
  }
  template <class T, class Inside>
  void list(std::string_view key, std::vector<T>& values, const Inside& inside) {
    const Json* json = find(key);
    if (json == nullptr) return;
    if (!json->is_array()) return wrong(*json, path_of(key), "a list", "[ ... ]");
    values.resize(json->size());
    for (std::size_t i = 0; i < values.size(); ++i)
      enter((*json)[i], fmt::format("{}[{}]", path_of(key), i),
            [&](Reader& in) { inside(in, values[i], i); });
  }
  /// Compared with what is written from the rest, once the rest is read.
  template <class Compute>
  void derived(std::string_view key, const Compute& /*compute*/) {
    if (const Json* json = find(key)) reading_.derived.push_back({path_of(key), json});
  }

  /// Complains of every key that nothing asked for.
  void done() {
    if (!object_.is_object()) return;
    for (const auto& [key, value] : object_.items())
      if (!known_.contains(key)) key_not_known(reading_, path_of(key));
  }

 private:
  [[nodiscard]] std::string path_of(std::string_view key) const { return path_inside(path_, key); }
  const Json* find(std::string_view key) {
    known_.emplace(key);
    if (!object_.is_object()) return nullptr;
    const auto found = object_.find(std::string(key));
    if (found != object_.end()) return &*found;
    key_missing(reading_, path_of(key));
    return nullptr;
  }
  /// A key that must be null where `is_there` is false.
  const Json* find_if(bool is_there, std::string_view key) {
    const Json* json = find(key);
    if (json == nullptr || is_there) return json;
    if (!json->is_null()) check_same(reading_, path_of(key), *json, nullptr);
    return nullptr;
  }
  void wrong(const Json& json, const std::string& path, std::string_view kind, std::string_view example) {
    complain(reading_, path, fmt::format("{} is not {}", shown(json), kind),
             fmt::format("write {}, for example {}; or {}", kind, example, as_written));
  }
  void no_word(const Json& json, const std::string& path, const std::string& words) {
    complain(reading_, path, fmt::format("{} is none of its words", shown(json)), "write one of " + words);
  }
  void check_moment(const Json& text, const std::string& path, double at_s) {
    if (std::abs(at_s) > most_moment_s)
      return complain(reading_, seconds_key(path), fmt::format("{} s is no moment of a run", at_s),
                      as_written);
    check_same(reading_, path, text, moment_iso(reading_.clock, at_s));
  }
  void take_said(const std::string& name, const Json& json, const Json& moments_s, SaidValues& said) {
    const std::string path = path_of("values." + name);
    double number = 0;
    if (const auto at = moments_s.find(name); at != moments_s.end()) {
      if (!take(*at, path_of("moments_s." + name), number)) return;
      check_moment(json, path, number);
      said[name] = number;
    } else if (json.is_string()) {
      said[name] = json.get<std::string>();
    } else if (take(json, path, number)) {
      if (ends_with(name, "_at")) key_missing(reading_, path_of("moments_s." + name));
      said[name] = number;
    }
  }
  template <class Inside>
  void enter(const Json& json, std::string path, const Inside& inside) {
    Reader in(reading_, json, std::move(path));
    if (!json.is_object()) return;
    inside(in);
    in.done();
  }

  /// Whether it was of the right type; complained of where not.
  template <class T>
  bool take(const Json& json, const std::string& path, T& value) {
    if constexpr (std::is_same_v<T, double>) {
      if (!json.is_number()) return wrong(json, path, "a number", "12.5"), false;
      value = json.get<double>();
    } else if constexpr (std::is_same_v<T, bool>) {
      if (!json.is_boolean()) return wrong(json, path, "a truth value", "true"), false;
      value = json.get<bool>();
    } else if constexpr (std::is_same_v<T, std::string>) {
      if (!json.is_string()) return wrong(json, path, "a text", "\"core 1\""), false;
      value = json.get<std::string>();
    } else if constexpr (std::is_same_v<T, char>) {
      if (!json.is_string() || json.get_ref<const std::string&>().size() != 1)
        return wrong(json, path, "a single character", "\",\""), false;
      value = json.get_ref<const std::string&>().front();
    } else if constexpr (is_whole_number<T>) {
      return take_whole(json, path, value);
    } else if constexpr (std::is_same_v<T, Ended>) {
      if (!json.is_boolean() && json != Json("unknown"))
        return no_word(json, path, "true, false, \"unknown\""), false;
      value = json.is_string() ? Ended::unknown : (json.get<bool>() ? Ended::yes : Ended::no);
    } else if constexpr (std::is_same_v<T, Instant> || std::is_same_v<T, WallTime>) {
      return take_time(json, path, value);
    } else if constexpr (std::is_enum_v<T>) {
      if (!json.is_string()) return wrong(json, path, "a text", "\"" + std::string(word(T{})) + "\""), false;
      const auto found = find_word<T>(json.get_ref<const std::string&>());
      if (!found) return no_word(json, path, all_words<T>()), false;
      value = *found;
    } else if constexpr (IsOptional<T>::value) {
      if (json.is_null()) return value.reset(), true;
      return take(json, path, value.emplace());
    } else if constexpr (IsVector<T>::value) {
      if (!json.is_array()) return wrong(json, path, "a list", "[ ... ]"), false;
      value.resize(json.size()); // once: what follows from an element is checked later, by reference
      for (std::size_t i = 0; i < value.size(); ++i)
        take(json[i], fmt::format("{}[{}]", path, i), value[i]);
    } else {
      enter(json, path, [&](Reader& in) { fields(in, value); });
      return json.is_object();
    }
    return true;
  }
  template <class T>
  bool take_whole(const Json& json, const std::string& path, T& value) {
    const bool fits =
        json.is_number_unsigned()
            ? json.get<std::uint64_t>() <= static_cast<std::uint64_t>(std::numeric_limits<T>::max())
            : json.is_number_integer() && json.get<std::int64_t>() >= std::numeric_limits<T>::min();
    if (!fits) return wrong(json, path, "a whole number", "12"), false;
    value = json.get<T>();
    return true;
  }
  // A clock of a run lies within some 120 years of 2000; spans between two such times can be told.
  static bool is_far_off(std::int64_t us) {
    constexpr std::int64_t year_2000_us = 946684800'000000;
    constexpr std::int64_t farthest_us = 4000000000'000000;
    return us < year_2000_us - farthest_us || us > year_2000_us + farthest_us;
  }
  bool take_time(const Json& json, const std::string& path, Instant& value) {
    const auto time = json.is_string() ? parse_iso_time(json.get_ref<const std::string&>()) : std::nullopt;
    if (!time || !time->has_clock || time->offset_s != 0 || is_far_off(time->wall.us))
      return wrong(json, path, "a time in UTC", "\"2026-03-08T14:05:09Z\""), false;
    value = Instant(std::chrono::microseconds(time->wall.us));
    return true;
  }
  bool take_time(const Json& json, const std::string& path, WallTime& value) {
    const auto time = json.is_string() ? parse_iso_time(json.get_ref<const std::string&>()) : std::nullopt;
    if (!time || !time->has_clock || time->offset_s || is_far_off(time->wall.us))
      return wrong(json, path, "a time without zone", "\"2026-03-08T14:05:09\""), false;
    value = time->wall;
    return true;
  }

  Reading& reading_;
  const Json& object_;
  std::string path_;
  std::set<std::string, std::less<>> known_;
};

/// `again` is the report as it is written from what was read.
void check_derived(Reading& reading, const Json& again) {
  for (const auto& [path, written] : reading.derived) {
    const Json::json_pointer at(pointer_text(path));
    check_same(reading, path, *written, again.contains(at) ? again.at(at) : Json("nothing of the kind"));
  }
}

} // namespace

RunReport read_report_json(std::string_view source_name, std::string_view json) {
  Reading reading;
  reading.source_name = std::string(source_name);
  const Json root = parsed(reading, json);
  Reader(reading, root, "").field("clock", reading.clock);
  if (!reading.complaints.empty()) refuse(reading);
  RunReport report;
  Reader way(reading, root, "");
  fields(way, report);
  way.done();
  if (reading.complaints.empty()) check_derived(reading, Json::parse(report_json(report)));
  if (!reading.complaints.empty()) refuse(reading);
  return report;
}

} // namespace coldbag
