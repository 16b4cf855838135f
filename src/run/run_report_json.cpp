#include "run/run_report_json.h"

#include "errors/our_fault.h"
#include "run/moment_text.h"
#include "run/report_fields.h"
#include "run/report_words.h"

#include <nlohmann/json.hpp>

#include <cmath>

namespace coldbag {

namespace {

using Json = nlohmann::ordered_json;

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
    field(key, compute());
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

} // namespace

std::string report_json(const RunReport& report) {
  Json root = Json::object();
  Writer way(report.clock, root);
  fields(way, report);
  // The curves come last, on one line: thousands of figures a line each are for nobody to read.
  const std::string curves = root["curves"].dump(-1, ' ', false, Json::error_handler_t::replace);
  root.erase("curves");
  std::string text = root.dump(2, ' ', false, Json::error_handler_t::replace);
  text.resize(text.size() - 2); // the brace that closes it, on a line of its own
  return text + ",\n  \"curves\": " + curves + "\n}\n";
}

std::string heating_json(const RunReport& report) {
  Json root = Json::object();
  Writer way(report.clock, root);
  way.field("rests_on", std::string("log"));
  way.text_or_null("run", report.run_name);
  way.field("heating", report.heating);
  way.field("slowest_unprobed", report.slowest_unprobed);
  way.field("pattern", report.pattern);
  way.field("load_not_judged", report.load_not_judged);
  way.field("editions", report.editions);
  way.field("program_version", report.program_version);
  return root.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

} // namespace coldbag
