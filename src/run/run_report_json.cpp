#include "run/run_report_json.h"

#include "errors/our_fault.h"
#include "run/moment_text.h"

#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <set>
#include <type_traits>

namespace coldbag {

namespace {

using Json = nlohmann::ordered_json;

// ---- Words of enumerations. The compiler asks for a line where one is added; nothing ends the list. ----

std::string_view word(Verdict verdict) {
  switch (verdict) {
  case Verdict::pass:
    return "pass";
  case Verdict::fail:
    return "fail";
  case Verdict::unproven:
    return "unproven";
  }
  return {};
}

std::string_view word(SoFar so_far) {
  switch (so_far) {
  case SoFar::not_yet:
    return "not_yet";
  case SoFar::enough:
    return "enough";
  }
  return {};
}

std::string_view word(Status status) {
  switch (status) {
  case Status::met:
    return "met";
  case Status::missed:
    return "missed";
  case Status::unproven:
    return "unproven";
  }
  return {};
}

std::string_view word(Sense sense) {
  switch (sense) {
  case Sense::at_least:
    return "at_least";
  case Sense::at_most:
    return "at_most";
  case Sense::below:
    return "below";
  }
  return {};
}

std::string_view word(UnitSystem units) {
  switch (units) {
  case UnitSystem::metric:
    return "metric";
  case UnitSystem::us:
    return "us";
  }
  return {};
}

std::string_view word(How how) {
  switch (how) {
  case How::given:
    return "given";
  case How::found:
    return "found";
  case How::assumed:
    return "assumed";
  }
  return {};
}

std::string_view word(TextEncoding encoding) {
  switch (encoding) {
  case TextEncoding::utf8:
    return "utf-8";
  case TextEncoding::utf16_le:
    return "utf-16le";
  case TextEncoding::utf16_be:
    return "utf-16be";
  case TextEncoding::windows_1252:
    return "windows-1252";
  }
  return {};
}

std::string_view word(ColumnKind kind) {
  switch (kind) {
  case ColumnKind::time:
    return "time";
  case ColumnKind::date:
    return "date";
  case ColumnKind::clock:
    return "clock";
  case ColumnKind::temperature:
    return "temperature";
  case ColumnKind::pressure:
    return "pressure";
  case ColumnKind::unit:
    return "unit";
  case ColumnKind::ignored:
    return "ignored";
  }
  return {};
}

std::string_view word(ColumnUnit unit) {
  switch (unit) {
  case ColumnUnit::none:
    return "none";
  case ColumnUnit::degC:
    return "degC";
  case ColumnUnit::degF:
    return "degF";
  case ColumnUnit::kelvin:
    return "K";
  case ColumnUnit::Pa:
    return "Pa";
  case ColumnUnit::hPa:
    return "hPa";
  case ColumnUnit::kPa:
    return "kPa";
  case ColumnUnit::MPa:
    return "MPa";
  case ColumnUnit::mbar:
    return "mbar";
  case ColumnUnit::bar:
    return "bar";
  case ColumnUnit::psi:
    return "psi";
  case ColumnUnit::seconds:
    return "s";
  case ColumnUnit::minutes:
    return "min";
  case ColumnUnit::hours:
    return "h";
  case ColumnUnit::days:
    return "d";
  case ColumnUnit::milliseconds:
    return "ms";
  }
  return {};
}

std::string_view word(PressureBasis basis) {
  switch (basis) {
  case PressureBasis::none:
    return "none";
  case PressureBasis::gauge:
    return "gauge";
  case PressureBasis::absolute:
    return "absolute";
  case PressureBasis::unstated:
    return "unstated";
  }
  return {};
}

std::string_view word(TimeRule::Form form) {
  switch (form) {
  case TimeRule::Form::iso:
    return "iso";
  case TimeRule::Form::written:
    return "written";
  case TimeRule::Form::epoch:
    return "epoch";
  case TimeRule::Form::serial_1900:
    return "serial_1900";
  case TimeRule::Form::serial_1904:
    return "serial_1904";
  case TimeRule::Form::clock:
    return "clock";
  case TimeRule::Form::elapsed:
    return "elapsed";
  }
  return {};
}

std::string_view word(DateOrder order) {
  switch (order) {
  case DateOrder::day_first:
    return "day_first";
  case DateOrder::month_first:
    return "month_first";
  case DateOrder::year_first:
    return "year_first";
  }
  return {};
}

std::string_view word(Basis basis) {
  return basis_text(basis);
}

std::string_view word(ProbeRole role) {
  return role_text(role);
}

std::string_view word(FaultEffect effect) {
  return effect_text(effect);
}

constexpr int most_words = 64;

template <class Enum>
std::optional<Enum> find_word(std::string_view text) {
  for (int i = 0; i < most_words; ++i)
    if (word(static_cast<Enum>(i)) == text) return static_cast<Enum>(i);
  return std::nullopt;
}

template <class Enum>
std::string all_words() {
  std::string all;
  for (int i = 0; i < most_words; ++i) {
    const std::string_view one = word(static_cast<Enum>(i));
    if (one.empty() || find_word<Enum>(one) != static_cast<Enum>(i)) break;
    all += (all.empty() ? "" : ", ") + std::string(one);
  }
  return all;
}

// ---- What both ways share ----

template <class T>
struct IsOptional : std::false_type {};
template <class T>
struct IsOptional<std::optional<T>> : std::true_type {};
template <class T>
struct IsVector : std::false_type {};
template <class T>
struct IsVector<std::vector<T>> : std::true_type {};
template <class T>
inline constexpr bool is_whole_number =
    std::is_integral_v<T> && !std::is_same_v<T, bool> && !std::is_same_v<T, char>;

template <class Way, class T>
using Of = typename Way::template Value<T>;

// A moment of a record lies within this of its first reading: about 126 years.
constexpr double most_moment_s = 4e9;

std::string seconds_key(std::string_view key) {
  return std::string(key) + "_s";
}

bool ends_with(std::string_view name, std::string_view end) {
  return name.size() >= end.size() && name.substr(name.size() - end.size()) == end;
}

// ---- To JSON ----

class Writer {
 public:
  template <class T>
  using Value = const T;

  Writer(const RunClock& clock, Json& out) : clock_(clock), out_(out) {}

  template <class T>
  void field(std::string_view key, const T& value) {
    put(key, json_of(value));
  }
  template <class T>
  void later(std::string_view key, const T& value) {
    field(key, value);
  }
  void text_or_null(std::string_view key, const std::string& text) {
    put(key, text.empty() ? Json(nullptr) : Json(text));
  }
  template <class T>
  void field_if(bool is_there, std::string_view key, const T& value) {
    put(key, is_there ? json_of(value) : Json(nullptr));
  }
  void either(std::string_view key, bool value, std::string_view when_true, std::string_view when_false) {
    put(key, std::string(value ? when_true : when_false));
  }
  /// Seconds since a log's first row.
  void log_time(std::string_view key, double at_s) { field(key, at_s); }
  void moment(std::string_view key, const std::optional<double>& at_s) {
    put(key, at_s ? Json(moment_iso(clock_, *at_s)) : Json(nullptr));
    field(seconds_key(key), at_s);
  }
  void said_values(const SaidValues& said) {
    Json values = Json::object();
    Json moments_s = Json::object();
    for (const auto& [name, value] : said) {
      const double* number = std::get_if<double>(&value);
      if (number == nullptr)
        values[name] = std::get<std::string>(value);
      else if (ends_with(name, "_at"))
        values[name] = moment_iso(clock_, *number);
      else
        values[name] = json_of(*number);
      if (number != nullptr && ends_with(name, "_at")) moments_s[name] = json_of(*number);
    }
    put("values", std::move(values));
    put("moments_s", std::move(moments_s));
  }
  template <class Inside>
  void object(std::string_view key, const Inside& inside) {
    Json json = Json::object();
    Writer in(clock_, json);
    inside(in);
    put(key, std::move(json));
  }
  template <class Inside>
  void object_if(bool is_there, std::string_view key, const Inside& inside) {
    if (is_there)
      object(key, inside);
    else
      put(key, nullptr);
  }
  template <class Inside>
  void object_or_null(bool is_there, std::string_view key, const Inside& inside) {
    object_if(is_there, key, inside);
  }
  template <class T, class Inside>
  void list(std::string_view key, const std::vector<T>& values, const Inside& inside) {
    Json array = Json::array();
    for (std::size_t i = 0; i < values.size(); ++i) {
      Json json = Json::object();
      Writer in(clock_, json);
      inside(in, values[i], i);
      array.push_back(std::move(json));
    }
    put(key, std::move(array));
  }
  template <class Compute>
  void derived(std::string_view key, const Compute& compute) {
    put(key, compute());
  }

 private:
  void put(std::string_view key, Json value) { out_[std::string(key)] = std::move(value); }

  template <class T>
  [[nodiscard]] Json json_of(const T& value) const {
    if constexpr (std::is_same_v<T, double>) {
      our_check(std::isfinite(value), "a figure of a report is finite");
      return value;
    } else if constexpr (std::is_same_v<T, char>) {
      return std::string(1, value);
    } else if constexpr (std::is_same_v<T, bool> || is_whole_number<T> || std::is_same_v<T, std::string>) {
      return value;
    } else if constexpr (std::is_same_v<T, Ended>) {
      return value == Ended::unknown ? Json("unknown") : Json(value == Ended::yes);
    } else if constexpr (std::is_same_v<T, Instant>) {
      return print_iso_utc(value);
    } else if constexpr (std::is_same_v<T, WallTime>) {
      return print_iso_wall(value);
    } else if constexpr (std::is_enum_v<T>) {
      return std::string(word(value));
    } else if constexpr (IsOptional<T>::value) {
      return value ? json_of(*value) : Json(nullptr);
    } else if constexpr (IsVector<T>::value) {
      Json array = Json::array();
      for (const auto& one : value)
        array.push_back(json_of(one));
      return array;
    } else {
      Json json = Json::object();
      Writer in(clock_, json);
      fields(in, value);
      return json;
    }
  }

  const RunClock& clock_;
  Json& out_;
};

// ---- From JSON ----

struct Reading {
  std::string source_name;
  RunClock clock; ///< behind every moment; read before the rest
  std::vector<Complaint> complaints;
  std::vector<std::function<void()>> checks; ///< of what follows from the rest, once the rest is read
};

const char* const as_written = "take the record as the program wrote it, or judge the run again";
constexpr std::size_t most_complaints = 20;

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

// The same moment may be written with another offset where the zone's rules were mended since.
bool is_same_text(const std::string& a, const std::string& b) {
  if (a == b) return true;
  const auto at_a = parse_iso_time(a);
  const auto at_b = parse_iso_time(b);
  return at_a && at_b && at_a->offset_s && at_b->offset_s &&
         at_a->wall.us - *at_a->offset_s * std::int64_t{1000000} ==
             at_b->wall.us - *at_b->offset_s * std::int64_t{1000000};
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

class Reader {
 public:
  template <class T>
  using Value = T;

  /// An object of the record; anything else is complained of.
  Reader(Reading& reading, const Json& object, std::string path)
      : reading_(reading), object_(object), path_(std::move(path)) {
    if (!object_.is_object()) wrong(object_, path_, "object", "{ ... }");
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
    wrong(object_.at(std::string(key)), path_of(key), "time within a century", "3600");
  }
  void moment(std::string_view key, double& at_s) {
    std::optional<double> found;
    moment(key, found);
    at_s = found.value_or(0);
    const auto json = object_.find(seconds_key(key));
    if (!found && json != object_.end() && json->is_null())
      wrong(*json, path_of(seconds_key(key)), "number", "12.5");
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
    if (!values->is_object()) return wrong(*values, path_of("values"), "object", "{ ... }");
    if (!moments_s->is_object()) return wrong(*moments_s, path_of("moments_s"), "object", "{ ... }");
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
    if (!json->is_array()) return wrong(*json, path_of(key), "list", "[ ... ]");
    values.resize(json->size());
    for (std::size_t i = 0; i < values.size(); ++i)
      enter((*json)[i], fmt::format("{}[{}]", path_of(key), i),
            [&](Reader& in) { inside(in, values[i], i); });
  }
  template <class Compute>
  void derived(std::string_view key, Compute compute) {
    const Json* json = find(key);
    if (json == nullptr) return;
    reading_.checks.emplace_back([&reading = reading_, json, path = path_of(key), compute] {
      check_same(reading, path, *json, compute());
    });
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
    const bool vowel = kind.front() == 'o' || kind.front() == 'a';
    complain(reading_, path, fmt::format("{} is no {}", shown(json), kind),
             fmt::format("write a{} {}, for example {}; or {}", vowel ? "n" : "", kind, example, as_written));
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
      if (!json.is_number()) return wrong(json, path, "number", "12.5"), false;
      value = json.get<double>();
    } else if constexpr (std::is_same_v<T, bool>) {
      if (!json.is_boolean()) return wrong(json, path, "truth value", "true"), false;
      value = json.get<bool>();
    } else if constexpr (std::is_same_v<T, std::string>) {
      if (!json.is_string()) return wrong(json, path, "text", "\"core 1\""), false;
      value = json.get<std::string>();
    } else if constexpr (std::is_same_v<T, char>) {
      if (!json.is_string() || json.get_ref<const std::string&>().size() != 1)
        return wrong(json, path, "single character", "\",\""), false;
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
      if (!json.is_string()) return wrong(json, path, "text", "\"" + std::string(word(T{})) + "\""), false;
      const auto found = find_word<T>(json.get_ref<const std::string&>());
      if (!found) return no_word(json, path, all_words<T>()), false;
      value = *found;
    } else if constexpr (IsOptional<T>::value) {
      if (json.is_null()) return value.reset(), true;
      return take(json, path, value.emplace());
    } else if constexpr (IsVector<T>::value) {
      if (!json.is_array()) return wrong(json, path, "list", "[ ... ]"), false;
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
    if (!fits) return wrong(json, path, "whole number", "12"), false;
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
      return wrong(json, path, "time in UTC", "\"2026-03-08T14:05:09Z\""), false;
    value = Instant(std::chrono::microseconds(time->wall.us));
    return true;
  }
  bool take_time(const Json& json, const std::string& path, WallTime& value) {
    const auto time = json.is_string() ? parse_iso_time(json.get_ref<const std::string&>()) : std::nullopt;
    if (!time || !time->has_clock || time->offset_s || is_far_off(time->wall.us))
      return wrong(json, path, "time without zone", "\"2026-03-08T14:05:09\""), false;
    value = time->wall;
    return true;
  }

  Reading& reading_;
  const Json& object_;
  std::string path_;
  std::set<std::string, std::less<>> known_;
};

// ---- The keys, in their order. One line serves both ways: to add a member of the report, add its line here
// and its row to docs/formats/check-json.md. `later` instead of `field` lets records without the key be read.
// ----

template <class Way>
void fields(Way& way, Of<Way, Place>& place) {
  way.field("source", place.source_name);
  way.field("line", place.line);
  way.field("letter", place.column);
  way.field("key_path", place.key_path);
}

template <class Way, class Choice>
void choice(Way& way, Choice& choice) {
  way.field("value", choice.value);
  way.field("how", choice.how);
  way.field("evidence", choice.evidence);
}
template <class Way>
void fields(Way& way, Of<Way, Choice<std::string>>& c) {
  choice(way, c);
}
template <class Way>
void fields(Way& way, Of<Way, Choice<bool>>& c) {
  choice(way, c);
}
template <class Way>
void fields(Way& way, Of<Way, Choice<char>>& c) {
  choice(way, c);
}
template <class Way>
void fields(Way& way, Of<Way, Choice<ColumnKind>>& c) {
  choice(way, c);
}
template <class Way>
void fields(Way& way, Of<Way, Choice<ColumnUnit>>& c) {
  choice(way, c);
}
template <class Way>
void fields(Way& way, Of<Way, Choice<TimeRule::Form>>& c) {
  choice(way, c);
}
template <class Way>
void fields(Way& way, Of<Way, Choice<DateOrder>>& c) {
  choice(way, c);
}
template <class Way>
void fields(Way& way, Of<Way, Choice<WallTime>>& c) {
  choice(way, c);
}

template <class Way>
void fields(Way& way, Of<Way, LogColumn>& column) {
  way.field("name", column.name);
  way.field("position", column.position);
  way.field("kind", column.kind);
  way.field("unit", column.unit);
  way.field("pressure_basis", column.pressure_basis);
  way.field("unit_with_each_value", column.unit_with_each_value);
  way.field("unit_position", column.unit_position);
  way.field("place", column.place);
}

template <class Way>
void fields(Way& way, Of<Way, TimeRule>& time) {
  way.field("form", time.form);
  way.field("date_order", time.date_order);
  way.field("date", time.date);
  way.field("written_offset", time.written_offset);
  way.field("zone", time.zone);
}

template <class Way>
void fields(Way& way, Of<Way, LongLayout>& layout) {
  way.field("probe", layout.probe);
  way.field("reading", layout.reading);
  way.field("first", layout.first);
}

template <class Way>
void fields(Way& way, Of<Way, Understanding>& u) {
  way.field("encoding", u.encoding);
  way.field("text_encoding", u.text_encoding);
  way.field("delimiter", u.delimiter);
  way.field("decimal_mark", u.decimal_mark);
  way.field("preamble_lines", u.preamble_lines);
  way.field("header_line", u.header_line);
  way.field("first_data_line", u.first_data_line);
  way.field("header_rows", u.header_rows);
  way.field("by_hand", u.by_hand);
  way.field("time", u.time);
  way.field("columns", u.columns);
  way.field("long_layout", u.long_layout);
}

template <class Way>
void fields(Way& way, Of<Way, CellTally>& tally) {
  way.field("kind", tally.kind);
  way.field("count", tally.count);
  way.field("first", tally.first);
  way.field("text", tally.text);
}

template <class Way>
void fields(Way& way, Of<Way, Gap>& gap) {
  way.log_time("from_log_s", gap.from_s);
  way.log_time("to_log_s", gap.to_s);
}

template <class Way>
void fields(Way& way, Of<Way, ClockEvent>& event) {
  way.field("kind", event.kind);
  way.field("row", event.at);
  way.log_time("at_log_s", event.time_s);
  way.field("jump_s", event.jump_s);
  way.field("rows", event.rows);
  way.field("effect", event.effect);
}

template <class Way>
void fields(Way& way, Of<Way, LogResult>& log) {
  way.field("name", log.name);
  way.field("sha256", log.sha256);
  way.field("rows", log.rows);
  way.field("interval_s", log.interval_s);
  way.moment("from", log.from_s);
  way.moment("to", log.to_s);
  way.field("gap_count", log.gap_count);
  way.field("gaps", log.gaps);
  way.field("clock_events", log.clock_events);
  way.field("cells_unread", log.cells_unread);
  way.field("understanding", log.understanding);
  way.field("by_hand", log.by_hand);
}

template <class Way>
void fields(Way& way, Of<Way, Said>& said) {
  way.field("key", said.key);
  way.said_values(said.values);
}

template <class Way>
void fields(Way& way, Of<Way, Caution>& caution) {
  way.field("kind", caution.kind);
  way.field("text_key", caution.said.key);
  way.said_values(caution.said.values);
  way.field("basis", caution.basis);
  way.moment("when", caution.when_s);
}

template <class Way>
void fields(Way& way, Of<Way, CriterionResult>& c) {
  way.field("name", c.name);
  way.either("kind", c.too_much, "too_much", "too_little");
  way.field("unit", c.unit);
  way.field("required", c.required);
  way.field("required_to", c.required_to);
  way.field("sense", c.sense);
  way.field("delivered", c.delivered);
  way.field("bound", c.bound);
  way.text_or_null("bound_side", c.bound_side);
  way.text_or_null("decided_by", c.decided_by);
  way.field("status", c.status);
  way.either("on_miss", c.fails, "fail", "caution");
  way.field("evidence", c.evidence);
  way.field("basis", c.basis);
  way.field("source", c.source);
}

template <class Way>
void fields(Way& way, Of<Way, Fault>& fault) {
  way.field("kind", fault.kind);
  way.moment("from", fault.from_s);
  way.moment("to", fault.to_s);
  way.object("detail", [&](auto& in) {
    in.derived("key", [&fault] { return Json(said_of(fault).key); });
    in.said_values(fault.values);
  });
  way.field("effect", fault.effect);
  way.text_or_null("variant", fault.variant);
}

template <class Way>
void fields(Way& way, Of<Way, EventResult>& event) {
  way.field("what", event.what);
  way.moment("at", event.at_s);
  way.field("stated", event.is_stated);
  way.text_or_null("note", event.note);
  way.text_or_null("who", event.who);
  way.text_or_null("probe", event.probe);
}

template <class Way>
void fields(Way& way, Of<Way, Survival>& s) {
  way.field("organism", s.organism);
  way.field("name", s.name);
  way.field("initial_count", s.initial_count);
  way.field("survivors_at_most", s.survivors_at_most);
  way.field("expected_bad_bags", s.expected_bad_bags);
  way.field("bags", s.bags);
  way.field("beyond_range", s.beyond_range);
}

template <class Way>
void fields(Way& way, Of<Way, OrganismResult>& o) {
  way.field("organism", o.key);
  way.field("name", o.name);
  way.field("decades", o.decades);
  way.field("decades_lower", o.decades_lower);
  way.field("decades_lower_z_less_one", o.decades_lower_z_less_one);
  way.field("beyond_range", o.beyond_range);
  way.field("basis", o.basis);
  way.field("source", o.source);
}

Json band_edge(std::size_t band) {
  return band < band_edges_degC.size() ? Json(band_edges_degC[band]) : Json(nullptr);
}

template <class Way>
void fields(Way& way, Of<Way, ProbeErrorParts>& parts) {
  way.field("check_K", parts.check_K);
  way.field("class_K", parts.class_K);
  way.field("given_K", parts.given_K);
  way.field("extrapolation_K", parts.extrapolation_K);
  way.field("drift_K", parts.drift_K);
  way.field("age_K", parts.age_K);
  way.field("resolution_K", parts.resolution_K);
  way.field("stem_K", parts.stem_K);
}

template <class Way>
void fields(Way& way, Of<Way, ProbeResult>& p) {
  way.field("name", p.name);
  way.field("role", p.role);
  way.text_or_null("place", p.place);
  way.text_or_null("bag", p.bag);
  way.text_or_null("spot", p.spot);
  way.field("F_minutes", p.F_minutes);
  way.field("F_minutes_all", p.F_minutes_all);
  way.field("F_minutes_lower", p.F_minutes_lower);
  way.field("F_minutes_after_steam_off", p.F_minutes_after_steam_off);
  way.list("F_by_band", p.F_minutes_by_band, [](auto& in, auto& F_minutes, std::size_t band) {
    in.derived("from_degC", [band] { return band == 0 ? Json(nullptr) : band_edge(band - 1); });
    in.derived("to_degC", [band] { return band_edge(band); });
    in.field("F_minutes", F_minutes);
  });
  way.field("hold_minutes", p.hold_minutes);
  way.field("hold_minutes_lower", p.hold_minutes_lower);
  way.field("hold_total_minutes", p.hold_total_minutes);
  way.field("strict_hold_minutes", p.strict_hold_minutes);
  way.moment("stayed_from", p.stayed_from_s);
  way.moment("stayed_to", p.stayed_to_s);
  way.field("top_degC", p.top_degC);
  way.field("last_degC", p.last_degC);
  way.moment("hot_at", p.hot_at_s);
  way.moment("near_top_at", p.near_top_at_s);
  way.field("top_raw_degC", p.top_raw_degC);
  way.field("gain", p.gain);
  way.field("offset_K", p.offset_K);
  way.field("correction_K", p.correction_K);
  way.field("checked_on", p.checked_on);
  way.field("u_K", p.u_K);
  way.field("u_parts", p.u_parts);
  way.field("u_from", p.u_from);
  way.field("noise_K", p.noise_K);
  way.field("not_credited_minutes", p.not_credited_minutes);
  way.field("hold_unseen_minutes", p.hold_unseen_minutes);
  way.field("hold_unseen_gaps", p.hold_unseen_gaps);
  way.field("organisms", p.organisms);
  way.field("faults", p.faults);
}

template <class Way>
void fields(Way& way, Of<Way, WouldNeed>& need) {
  way.field("treatment", need.treatment);
  way.field("name", need.name);
  way.field("setpoint_degC", need.setpoint_degC);
  way.moment("hot_at", need.hot_at_s);
  way.field("hold_minutes", need.hold_minutes);
  way.field("F_minutes", need.F_minutes);
  way.field("short_of", need.short_of);
}

template <class Way>
void fields(Way& way, Of<Way, MoreHold>& more) {
  way.field("minutes", more.minutes);
  way.field("at_degC", more.at_degC);
  way.moment("until", more.until_s);
  way.field("possible", more.possible);
  way.field("why_not", more.why_not);
}

template <class Way>
void fields(Way& way, Of<Way, Reach>& reach) {
  way.field("probed_bags", reach.probed_bags);
  way.field("bag_count", reach.bag_count);
  way.field("all_at_cold_spots", reach.all_at_cold_spots);
  way.field("all_at_random", reach.all_at_random);
  way.field("share_above_coldest", reach.share_above_coldest);
  way.field("most_short", reach.most_short);
}

template <class Way>
void fields(Way& way, Of<Way, UnseenHold>& unseen) {
  way.field("probe", unseen.probe);
  way.field("minutes", unseen.minutes);
  way.field("gaps", unseen.gaps);
  way.field("tells_verdict", unseen.tells_verdict);
}

template <class Way>
void fields(Way& way, Of<Way, Stretch>& run) {
  way.moment("from", run.from_s);
  way.moment("to", run.to_s);
  way.field("withheld_s", run.withheld_s);
}

template <class Way>
void fields(Way& way, Of<Way, Reference>& reference) {
  way.field("name", reference.name);
  way.field("at_degC", reference.at_degC);
  way.field("z_K", reference.z_K);
  way.field("lowest_degC", reference.lowest_degC);
  way.field("highest_degC", reference.highest_degC);
}

template <class Way>
void fields(Way& way, Of<Way, RunClock>& clock) {
  way.field("start", clock.start);
  way.field("start_wall", clock.start_wall);
  way.text_or_null("zone", clock.zone);
}

template <class Way>
void fields(Way& way, Of<Way, Edition>& edition) {
  way.field("name", edition.name);
  way.field("origin", edition.origin);
  way.field("sha256", edition.sha256);
}

const ProbeResult* coldest_of(const RunReport& report) {
  for (const ProbeResult& p : report.probes)
    if (p.name == report.coldest) return &p;
  return nullptr;
}

template <class Way>
void coldest_fields(Way& way, Of<Way, RunReport>& report) {
  const auto of_coldest = [&report](auto member) {
    return [&report, member] {
      const ProbeResult* p = coldest_of(report);
      return p == nullptr ? Json("no such probe") : Json(p->*member);
    };
  };
  way.field("probe", report.coldest);
  way.derived("bag", [&report] {
    const ProbeResult* p = coldest_of(report);
    return p == nullptr || p->bag.empty() ? Json(nullptr) : Json(p->bag);
  });
  way.derived("F_minutes", of_coldest(&ProbeResult::F_minutes));
  way.derived("F_minutes_lower", of_coldest(&ProbeResult::F_minutes_lower));
  way.derived("hold_minutes", of_coldest(&ProbeResult::hold_minutes));
  way.derived("hold_minutes_lower", of_coldest(&ProbeResult::hold_minutes_lower));
}

Json rows_of_all(const RunReport& report) {
  std::int64_t rows = 0;
  for (const LogResult& one : report.logs)
    rows += one.rows;
  return rows;
}

Json cells_of_all(const RunReport& report) {
  Json cells = Json::array();
  for (const LogResult& one : report.logs)
    for (const CellTally& tally : one.cells_unread)
      cells.push_back({{"kind", tally.kind},
                       {"count", tally.count},
                       {"source", tally.first.source_name},
                       {"line", tally.first.line},
                       {"column", tally.first.key_path},
                       {"text", tally.text}});
  return cells;
}

Json gaps_of_all(const RunReport& report) {
  Json gaps = Json::array();
  for (const LogResult& one : report.logs)
    for (const Gap& gap : one.gaps)
      gaps.push_back({{"source", one.name},
                      {"from", moment_iso(report.clock, one.from_s + gap.from_s)},
                      {"to", moment_iso(report.clock, one.from_s + gap.to_s)},
                      {"minutes", (gap.to_s - gap.from_s) / 60}});
  return gaps;
}

Json clock_events_of_all(const RunReport& report) {
  Json events = Json::array();
  for (const LogResult& one : report.logs)
    for (const ClockEvent& event : one.clock_events)
      events.push_back({{"kind", event.kind},
                        {"source", one.name},
                        {"line", event.at.line == 0 ? Json(nullptr) : Json(event.at.line)},
                        {"at", moment_iso(report.clock, one.from_s + event.time_s)},
                        {"jump_s", event.jump_s},
                        {"rows", event.rows},
                        {"effect", event.effect}});
  return events;
}

template <class Way>
void log_fields(Way& way, Of<Way, RunReport>& report) {
  way.derived("rows", [&report] { return rows_of_all(report); });
  way.derived("cells_unread", [&report] { return cells_of_all(report); });
  way.derived("interval_s", [&report] {
    return report.logs.empty() ? Json(nullptr) : Json(report.logs.front().interval_s);
  });
  way.derived("gaps", [&report] { return gaps_of_all(report); });
  way.derived("clock_events", [&report] { return clock_events_of_all(report); });
  way.field("sources", report.logs);
}

template <class Way>
void fields(Way& way, Of<Way, RunReport>& report) {
  way.field("verdict", report.verdict);
  way.field("so_far", report.so_far);
  way.text_or_null("failed_by", report.failed_by);
  way.field("scope", report.scope);
  way.field("ended", report.ended);
  way.text_or_null("treatment", report.treatment);
  way.text_or_null("treatment_name", report.treatment_name);
  way.field("notes", report.notes);
  way.field_if(report.verdict.has_value(), "reference", report.reference);
  way.field("counts_from_degC", report.counts_from_degC);
  way.field_if(report.verdict.has_value(), "setpoint_degC", report.setpoint_degC);
  way.field("coverage", report.coverage);
  way.field("k", report.k);
  way.field("criteria", report.criteria);
  way.field("probes", report.probes);
  way.object_or_null(coldest_of(report) != nullptr, "coldest", [&](auto& in) { coldest_fields(in, report); });
  way.derived("slowest_unprobed", [] { return Json(nullptr); });
  way.field("vessel_hold_minutes", report.vessel_hold_minutes);
  way.field("all_hot_minutes", report.all_hot_minutes);
  way.field("unseen_hold", report.unseen_hold);
  way.object("log", [&](auto& in) { log_fields(in, report); });
  way.field("survival", report.survival);
  way.field_if(!report.treatment.empty(), "more_hold", report.more_hold);
  way.field("next", report.next);
  way.field("cautions", report.cautions);
  way.field("events", report.events);
  way.field("blocks", report.blocks);
  way.field("unanswered", report.unanswered);
  way.field("would_need", report.would_need);
  way.field("runs", report.runs);
  way.field("reach", report.reach);
  way.object("steam_off", [&](auto& in) {
    in.moment("at", report.steam_off_at_s);
    in.field("stated", report.steam_off_stated);
  });
  way.object("site", [&](auto& in) {
    in.text_or_null("name", report.site_name);
    in.field("altitude_m", report.altitude_m);
    in.field("abs_pressure_Pa", report.site_pressure_Pa);
    in.field("boiling_degC", report.boiling_degC);
    in.field("check_reaches_degC", report.check_reaches_degC);
    in.text_or_null("vessel_kind", report.vessel_kind);
  });
  way.text_or_null("run", report.run_name);
  way.text_or_null("resteam_of", report.resteam_of);
  way.text_or_null("by", report.run_by);
  way.field("lots", report.lots);
  way.text_or_null("run_notes", report.run_notes);
  way.field("clock", report.clock);
  way.field("units", report.units);
  way.field("editions", report.editions);
  way.field("program_version", report.program_version);
}

// ---- The text of JSON ----

[[noreturn]] void refuse(const Reading& reading) {
  throw UserError(reading.complaints);
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

} // namespace

std::string report_json(const RunReport& report) {
  Json root = Json::object();
  Writer way(report.clock, root);
  fields(way, report);
  return root.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

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
  if (reading.complaints.empty())
    for (const auto& check : reading.checks)
      check();
  if (!reading.complaints.empty()) refuse(reading);
  return report;
}

} // namespace coldbag
