#include "farm/keyed.h"

#include "farm/nearest.h"
#include "farm/toml_scan.h"
#include "quantity/parse.h"

#include <fmt/format.h>

#include <toml++/toml.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>
#include <sstream>
#include <tuple>

namespace coldbag {

struct KeyedDocument::Contents {
  std::string source_name;
  toml::table tree;
  std::vector<Complaint> complaints;
  std::vector<Place> asked;
};

struct KeyedTable::Node {
  KeyedDocument::Contents* document = nullptr;
  const toml::table* table = nullptr; ///< null where the table is not there
  Place place;
  std::set<std::string, std::less<>> read;

  [[nodiscard]] const toml::node* find(std::string_view key) {
    read.emplace(key);
    return table == nullptr ? nullptr : table->get(key);
  }
  [[nodiscard]] Place place_at(const toml::source_region& region, std::string_view key) const {
    return {document->source_name, static_cast<int>(region.begin.line), static_cast<int>(region.begin.column),
            place.key_path.empty() ? std::string(key) : place.key_path + '.' + std::string(key)};
  }
  [[nodiscard]] Place place_of(std::string_view key) const {
    const toml::node* value = table == nullptr ? nullptr : table->get(key);
    if (value != nullptr) return place_at(value->source(), key);
    Place here = place_at({}, key);
    here.line = place.line;
    here.column = place.column;
    return here;
  }
  void complain(Place where, std::string problem, std::string remedy) const {
    document->complaints.push_back(
        {Trouble::bad_data, std::move(where), std::move(problem), std::move(remedy)});
  }
};

namespace {

using Words = std::span<const std::string>;

/// As the user wrote it, near enough to be found again.
std::string shown(const toml::node& value) {
  if (const auto text = value.value<std::string>(); text && value.is_string()) return '"' + *text + '"';
  if (const auto* whole = value.as_integer()) return std::to_string(whole->get());
  if (const auto* number = value.as_floating_point()) {
    std::ostringstream out;
    out << number->get();
    return out.str();
  }
  if (const auto* flag = value.as_boolean()) return flag->get() ? "true" : "false";
  if (value.is_table()) return "a table";
  if (value.is_array()) return "a list";
  return "a date or time";
}

std::string_view trimmed(std::string_view text) {
  const std::size_t first = text.find_first_not_of(" \t\r\n");
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(" \t\r\n") - first + 1);
}

bool is_asked(const toml::node& value) {
  const auto* text = value.as_string();
  return text != nullptr && trimmed(text->get()) == "?";
}

/// How a quantity of this kind may be written.
std::string_view example_of(Dimension dimension) {
  switch (dimension) {
  case Dimension::temperature:
    return "88 C";
  case Dimension::temperature_difference:
    return "0.2 K";
  case Dimension::duration:
    return "1 h 20 min";
  case Dimension::mass:
    return "5 lb";
  case Dimension::length:
    return "20 cm";
  case Dimension::area:
    return "6 m2";
  case Dimension::volume:
    return "2 m3";
  case Dimension::power:
    return "6 kW";
  case Dimension::energy:
    return "10 kWh";
  case Dimension::mass_rate:
    return "10 kg/h";
  case Dimension::pressure:
    return "15 psi gauge";
  case Dimension::fraction:
    return "62 %";
  case Dimension::transmittance:
    return "2 W/m2K";
  case Dimension::fuel_rate:
    return "2 kg/h";
  }
  return "";
}

std::string write_for_example(std::string_view key, std::string_view value) {
  return "write for example " + std::string(key) + " = \"" + std::string(value) + '"';
}

std::string write_for_example(std::string_view key, std::string_view value, Dimension dimension) {
  return fmt::format("write for example {} = \"{}\" ({})", key, value, units_to_name(dimension));
}

bool keeps(const Bounds& bounds, double value) {
  if (!std::isfinite(value)) return false;
  if (bounds.lowest && (value < *bounds.lowest || (!bounds.lowest_itself && value == *bounds.lowest)))
    return false;
  return !bounds.highest || value <= *bounds.highest;
}

std::string must_be(std::string_view key, const Bounds& bounds, std::string_view example) {
  return fmt::format("{} is {}, for example {} = \"{}\"", key,
                     bounds.words.empty() ? "a finite number" : bounds.words, key, example);
}

/// Problem and remedy of a value that could not be taken; empty problem where it could.
struct Fault {
  std::string problem;
  std::string remedy;
};

struct Outcome {
  std::optional<double> value;
  Fault fault;
};

Outcome bare_number(double value, std::string_view key, const toml::node& node, Dimension dimension) {
  if (dimension == Dimension::fraction) {
    if (value >= 0 && value <= 1) return {value, {}};
    return {{}, {shown(node) + " is not from 0 to 1", write_for_example(key, example_of(dimension))}};
  }
  return {{}, {shown(node) + " has no unit", write_for_example(key, example_of(dimension), dimension)}};
}

Outcome quantity_of(std::string_view key, const toml::node& node, Dimension dimension) {
  if (node.is_number()) return bare_number(*node.value<double>(), key, node, dimension);
  const auto* text = node.as_string();
  if (text == nullptr)
    return {{}, {shown(node) + " is no quantity", write_for_example(key, example_of(dimension))}};
  const Parsed parsed = parse_quantity(text->get(), dimension);
  if (parsed.value) return {parsed.value, {}};
  if (dimension == Dimension::fraction) {
    const auto bare = parse_number(trimmed(text->get()));
    if (bare) return bare_number(*bare, key, node, dimension);
  }
  return {{}, {parsed.problem, parsed.remedy}};
}

Outcome pressure_of(std::string_view key, const toml::node& node, PressureSort sort) {
  const std::string_view example = sort == PressureSort::gauge ? "15 psi gauge" : "88.2 kPa";
  const auto* text = node.as_string();
  if (text == nullptr) {
    const std::string problem = shown(node) + (node.is_number() ? " has no unit" : " is no pressure");
    return {{}, {problem, write_for_example(key, example)}};
  }
  const ParsedPressure read = parse_pressure(text->get());
  if (!read.parsed.value) return {{}, {read.parsed.problem, read.parsed.remedy}};
  if (sort == PressureSort::gauge && read.kind == PressureKind::unstated)
    return {{}, {shown(node) + " does not say gauge or absolute", write_for_example(key, example)}};
  if (sort == PressureSort::gauge && read.kind == PressureKind::absolute)
    return {{},
            {shown(node) + " is absolute, but a nameplate gives gauge pressure",
             write_for_example(key, example)}};
  if (sort == PressureSort::barometer && read.kind == PressureKind::gauge)
    return {{}, {shown(node) + " is gauge, but a barometer reads absolute", write_for_example(key, example)}};
  return {read.parsed.value, {}};
}

std::optional<WallTime> wall_of(const toml::date& date, const toml::time& time) {
  CalendarTime parts;
  parts.year = date.year;
  parts.month = date.month;
  parts.day = date.day;
  parts.hour = time.hour;
  parts.minute = time.minute;
  parts.us_of_minute = std::int64_t{time.second} * 1'000'000 + time.nanosecond / 1000;
  return wall_time(parts);
}

std::optional<IsoTime> time_of(const toml::node& node) {
  if (const auto* text = node.as_string()) return parse_iso_time(trimmed(text->get()));
  if (const auto* date = node.as_date()) {
    const auto wall = wall_of(date->get(), {});
    if (!wall) return {};
    return IsoTime{*wall, {}, false};
  }
  const auto* both = node.as_date_time();
  if (both == nullptr) return {};
  const auto wall = wall_of(both->get().date, both->get().time);
  if (!wall) return {};
  IsoTime iso{*wall, {}, true};
  if (both->get().offset) iso.offset_s = 60 * both->get().offset->minutes;
  return iso;
}

bool stands_before(const Place& left, const Place& right) {
  return std::tie(left.line, left.column) < std::tie(right.line, right.column);
}

/// What stands in a file from a place on, to the end of its line and without what cannot be shown.
std::string text_from(std::string_view toml, const toml::source_position& place) {
  constexpr std::size_t longest = 40;
  std::size_t at = 0;
  for (toml::source_index line = 1; line < place.line && at < toml.size(); ++line)
    at = std::min(toml.find('\n', at), toml.size() - 1) + 1;
  std::string text;
  for (at += place.column > 0 ? place.column - 1 : 0; at < toml.size() && text.size() < longest; ++at) {
    if (toml[at] < ' ' || toml[at] > '~') break;
    text += toml[at];
  }
  return text;
}

/// In words of our own: toml++'s are of its grammar, and English alone.
Complaint parse_complaint(const std::string& source_name, std::string_view toml,
                          const toml::parse_error& error) {
  const toml::source_position& at = error.source().begin;
  Complaint complaint;
  complaint.place = {source_name, static_cast<int>(at.line), static_cast<int>(at.column), ""};
  if (error.description().find("cannot redefine") != std::string_view::npos) {
    complaint.problem = "this key or heading stands in the file already";
    complaint.remedy = "write each heading once, and each key once below its heading";
    return complaint;
  }
  const std::string found = text_from(toml, at);
  complaint.problem =
      found.empty() ? "the file is not TOML here" : fmt::format("the file is not TOML here: \"{}\"", found);
  complaint.remedy = "a line is a heading such as [vessels.north], or key = value with text in quotes";
  return complaint;
}

std::vector<Complaint> parse_complaints(const std::string& source_name, std::string_view toml,
                                        const toml::parse_error& error) {
  std::vector<Complaint> complaints = toml_slips(source_name, toml);
  const int line = static_cast<int>(error.source().begin.line);
  const auto explains = [line](const Complaint& slip) { return slip.place.line == line; };
  if (std::any_of(complaints.begin(), complaints.end(), explains)) return complaints;
  complaints.push_back(parse_complaint(source_name, toml, error));
  return complaints;
}

toml::table parse(const std::string& source_name, std::string_view toml) {
  std::vector<Complaint> excess = toml_excess(source_name, toml);
  if (!excess.empty()) throw UserError(std::move(excess));
  try {
    return toml::parse(toml);
  } catch (const toml::parse_error& error) {
    throw UserError(parse_complaints(source_name, toml, error));
  }
}

} // namespace

bool KeyedTable::has(std::string_view key) const {
  return node_->table != nullptr && node_->table->contains(key);
}

bool KeyedTable::is_table(std::string_view key) const {
  return has(key) && node_->table->get(key)->is_table();
}

bool KeyedTable::holds_text(std::string_view key) const {
  return has(key) && node_->table->get(key)->is_string();
}

Place KeyedTable::place() const {
  return node_->place;
}

Place KeyedTable::place_of(std::string_view key) const {
  return node_->place_of(key);
}

void KeyedTable::complain(std::string_view key, std::string problem, std::string remedy) {
  node_->complain(node_->place_of(key), std::move(problem), std::move(remedy));
}

void KeyedTable::refuse(std::string_view key, std::string problem, std::string remedy) {
  if (node_->find(key) != nullptr) complain(key, std::move(problem), std::move(remedy));
}

void KeyedTable::note_asked(const Place& place) {
  node_->document->asked.push_back(place);
}

Stated<std::string> KeyedTable::text(std::string_view key) {
  Stated<std::string> stated;
  const toml::node* node = node_->find(key);
  if (node == nullptr) return stated;
  stated.place = node_->place_of(key);
  if (is_asked(*node)) {
    stated.asked = true;
    return stated;
  }
  const auto* text = node->as_string();
  if (text == nullptr)
    complain(key, shown(*node) + " is no text", "write " + std::string(key) + " = \"...\", in quotes");
  else if (trimmed(text->get()).empty())
    complain(key, "the text is empty", "leave the key out, or write \"?\" where it is not known");
  else
    stated.value = std::string(trimmed(text->get()));
  return stated;
}

std::string KeyedTable::plain_text(std::string_view key) {
  const toml::node* node = node_->find(key);
  const auto* written = node == nullptr ? nullptr : node->as_string();
  if (written != nullptr && trimmed(written->get()).empty()) return "";
  const Stated<std::string> stated = text(key);
  if (stated.asked) note_asked(stated.place);
  return stated.value.value_or("");
}

std::string KeyedTable::required_text(std::string_view key, std::string_view example) {
  const Stated<std::string> stated = text(key);
  const std::string remedy = write_for_example(key, example);
  if (stated.asked)
    complain(key, std::string(key) + " cannot be \"?\"", remedy);
  else if (!has(key))
    complain(key, std::string(key) + " is missing", remedy);
  return stated.value.value_or("");
}

std::vector<std::string> KeyedTable::texts(std::string_view key) {
  std::vector<std::string> all;
  const toml::node* node = node_->find(key);
  if (node == nullptr) return all;
  if (is_asked(*node)) {
    note_asked(node_->place_of(key));
    return all;
  }
  const std::string remedy = "write " + std::string(key) + R"( = ["one", "another"])";
  const auto* list = node->as_array();
  if (list == nullptr) {
    complain(key, shown(*node) + " is no list", remedy);
    return all;
  }
  for (const toml::node& item : *list) {
    if (is_asked(item))
      note_asked(node_->place_at(item.source(), key));
    else if (const auto* text = item.as_string())
      all.emplace_back(trimmed(text->get()));
    else
      node_->complain(node_->place_at(item.source(), key), shown(item) + " is no text", remedy);
  }
  return all;
}

bool KeyedTable::flag(std::string_view key) {
  const toml::node* node = node_->find(key);
  if (node == nullptr) return false;
  if (const auto* value = node->as_boolean()) return value->get();
  if (is_asked(*node))
    note_asked(node_->place_of(key));
  else
    complain(key, shown(*node) + " is neither true nor false",
             "write " + std::string(key) + " = true, without quotes");
  return false;
}

Stated<std::string> KeyedTable::choice(std::string_view key, Words words) {
  Stated<std::string> stated = text(key);
  if (!stated.value || std::find(words.begin(), words.end(), *stated.value) != words.end()) return stated;
  const std::string near = nearest_word(*stated.value, words);
  complain(key, '"' + *stated.value + "\" is not known here",
           near.empty() ? fmt::format("write {} = {}", key, list_words(words))
                        : fmt::format("write {} = {}; did you mean \"{}\"?", key, list_words(words), near));
  stated.value.reset();
  return stated;
}

namespace {

/// Takes what was read where it keeps to the bounds; else says why not.
Fault settle(Outcome outcome, const Bounds& bounds, std::string_view key, const toml::node& node,
             std::string_view example, std::optional<double>& value) {
  if (!outcome.value) return outcome.fault;
  if (!keeps(bounds, *outcome.value))
    return {shown(node) + " is not possible", must_be(key, bounds, example)};
  value = outcome.value;
  return {};
}

} // namespace

Stated<double> KeyedTable::quantity(std::string_view key, Dimension dimension, const Bounds& bounds) {
  Stated<double> stated;
  const toml::node* node = node_->find(key);
  if (node == nullptr) return stated;
  stated.place = node_->place_of(key);
  stated.asked = is_asked(*node);
  if (stated.asked) return stated;
  const std::string_view example = bounds.example.empty() ? example_of(dimension) : bounds.example;
  Outcome read = quantity_of(key, *node, dimension);
  // What is said of any length misleads where the value has bounds and an example of its own.
  if (!bounds.example.empty() && read.fault.remedy.starts_with("write for example"))
    read.fault.remedy = write_for_example(key, example, dimension);
  const Fault fault = settle(read, bounds, key, *node, example, stated.value);
  if (!fault.problem.empty()) complain(key, fault.problem, fault.remedy);
  return stated;
}

std::optional<std::pair<double, double>> KeyedTable::quantity_band(std::string_view key, Dimension dimension,
                                                                   const Bounds& bounds) {
  const toml::node* node = node_->find(key);
  if (node == nullptr) return {};
  const std::string example(example_of(dimension));
  const auto* list = node->as_array();
  if (list == nullptr || list->size() != 2) {
    complain(key, "a band has two ends",
             "write " + std::string(key) + " = [\"" + example + "\", \"" + example + "\"], the lower first");
    return {};
  }
  std::array<std::optional<double>, 2> ends;
  for (std::size_t i = 0; i < 2; ++i) {
    const toml::node& end = *list->get(i);
    const Fault fault = settle(quantity_of(key, end, dimension), bounds, key, end, example, ends.at(i));
    if (!fault.problem.empty())
      node_->complain(node_->place_at(end.source(), key), fault.problem, fault.remedy);
  }
  if (!ends[0] || !ends[1]) return {};
  if (*ends[0] < *ends[1]) return std::pair(*ends[0], *ends[1]);
  complain(key, "the band's first end is not below its second", "put the lower end first");
  return {};
}

Stated<double> KeyedTable::pressure(std::string_view key, PressureSort sort, const Bounds& bounds) {
  Stated<double> stated;
  const toml::node* node = node_->find(key);
  if (node == nullptr) return stated;
  stated.place = node_->place_of(key);
  stated.asked = is_asked(*node);
  if (stated.asked) return stated;
  const std::string_view example = sort == PressureSort::gauge ? "15 psi gauge" : "88.2 kPa";
  const Fault fault = settle(pressure_of(key, *node, sort), bounds, key, *node, example, stated.value);
  if (!fault.problem.empty()) complain(key, fault.problem, fault.remedy);
  return stated;
}

Stated<double> KeyedTable::number(std::string_view key, const Bounds& bounds) {
  Stated<double> stated;
  const toml::node* node = node_->find(key);
  if (node == nullptr) return stated;
  stated.place = node_->place_of(key);
  stated.asked = is_asked(*node);
  if (stated.asked) return stated;
  if (!node->is_number())
    complain(key, shown(*node) + " is no number", "write " + std::string(key) + " = 6, without quotes");
  else if (const double value = *node->value<double>(); keeps(bounds, value))
    stated.value = value;
  else
    complain(key, shown(*node) + " is not possible",
             fmt::format("{} is {}", key, bounds.words.empty() ? "a finite number" : bounds.words));
  return stated;
}

Stated<int> KeyedTable::whole_number(std::string_view key, const Bounds& bounds) {
  const Stated<double> read = number(key, bounds);
  Stated<int> stated;
  stated.place = read.place;
  stated.asked = read.asked;
  if (!read.value) return stated;
  if (std::floor(*read.value) == *read.value && std::abs(*read.value) <= 1e9)
    stated.value = static_cast<int>(*read.value);
  else
    complain(key, shown(*node_->find(key)) + " is no whole number", "write " + std::string(key) + " = 120");
  return stated;
}

Stated<IsoTime> KeyedTable::time(std::string_view key) {
  Stated<IsoTime> stated;
  const toml::node* node = node_->find(key);
  if (node == nullptr) return stated;
  stated.place = node_->place_of(key);
  stated.asked = is_asked(*node);
  if (stated.asked) return stated;
  stated.value = time_of(*node);
  if (stated.value) return stated;
  const std::string problem =
      node->is_time() ? "a clock time without its date" : shown(*node) + " is no date or time";
  complain(key, problem, "write " + std::string(key) + " = 2026-03-08T14:05:00, or 2026-03-08 for a day");
  return stated;
}

KeyedTable KeyedTable::table(std::string_view key) {
  const toml::node* value = node_->find(key);
  auto node = std::make_shared<Node>();
  node->document = node_->document;
  node->place = node_->place_of(key);
  if (value == nullptr) return KeyedTable(node);
  node->table = value->as_table();
  if (node->table == nullptr && is_asked(*value))
    note_asked(node->place);
  else if (node->table == nullptr)
    complain(key, shown(*value) + " is no table",
             "write it as [" + node->place.key_path + "] with its keys below");
  return KeyedTable(node);
}

std::vector<std::pair<std::string, KeyedTable>> KeyedTable::named_tables(std::string_view key) {
  std::vector<std::pair<std::string, KeyedTable>> all;
  const KeyedTable above = table(key);
  if (above.node_->table == nullptr) return all;
  for (const auto& [name, value] : *above.node_->table) {
    const std::string text(name.str());
    auto node = std::make_shared<Node>();
    node->document = node_->document;
    node->place = above.node_->place_of(text);
    node->table = value.as_table();
    if (trimmed(text).empty())
      node_->complain(node->place, "the name is empty", "write for example [" + std::string(key) + ".north]");
    if (node->table == nullptr)
      node_->complain(node->place, shown(value) + " stands where a name's own table is wanted",
                      "write [" + std::string(key) + ".NAME] and put " + text + " below it");
    else
      all.emplace_back(text, KeyedTable(node));
  }
  std::stable_sort(all.begin(), all.end(), [](const auto& left, const auto& right) {
    return stands_before(left.second.place(), right.second.place());
  });
  return all;
}

std::vector<KeyedTable> KeyedTable::tables(std::string_view key) {
  std::vector<KeyedTable> all;
  const toml::node* value = node_->find(key);
  if (value == nullptr) return all;
  const std::string remedy = "write [[" + node_->place_of(key).key_path + "]], once for each";
  const auto* list = value->as_array();
  if (list == nullptr) {
    complain(key, shown(*value) + " is no list of tables", remedy);
    return all;
  }
  int number = 0;
  for (const toml::node& item : *list) {
    ++number;
    auto node = std::make_shared<Node>();
    node->document = node_->document;
    node->place = node_->place_at(item.source(), key);
    node->place.key_path += '[' + std::to_string(number) + ']';
    node->table = item.as_table();
    if (node->table == nullptr)
      node_->complain(node->place, shown(item) + " is no table", remedy);
    else
      all.emplace_back(KeyedTable(node));
  }
  return all;
}

void KeyedTable::finish() {
  if (node_->table == nullptr) return;
  const std::vector<std::string> known(node_->read.begin(), node_->read.end());
  for (const auto& [key, value] : *node_->table) {
    const std::string text(key.str());
    if (node_->read.contains(text)) continue;
    const std::string near = nearest_word(text, known);
    const std::string remedy =
        near.empty() ? "known here: " + list_names(known, false) : "did you mean " + near + '?';
    node_->complain(node_->place_at(key.source(), text), "the key is not known", remedy);
  }
}

KeyedDocument::KeyedDocument(std::string_view source_name, std::string_view toml)
    : contents_(std::make_unique<Contents>()) {
  contents_->source_name = source_name;
  contents_->tree = parse(contents_->source_name, toml);
}

KeyedDocument::~KeyedDocument() = default;

KeyedTable KeyedDocument::root() {
  auto node = std::make_shared<KeyedTable::Node>();
  node->document = contents_.get();
  node->table = &contents_->tree;
  node->place.source_name = contents_->source_name;
  node->place.line = 1;
  node->place.column = 1;
  return KeyedTable(node);
}

const std::string& KeyedDocument::source_name() const {
  return contents_->source_name;
}

void KeyedDocument::complain(Complaint complaint) {
  contents_->complaints.push_back(std::move(complaint));
}

std::vector<Place> KeyedDocument::also_asked() const {
  std::vector<Place> places = contents_->asked;
  std::stable_sort(places.begin(), places.end(), stands_before);
  return places;
}

void KeyedDocument::throw_complaints() {
  if (contents_->complaints.empty()) return;
  std::vector<Complaint> complaints = contents_->complaints;
  std::stable_sort(complaints.begin(), complaints.end(), [](const Complaint& left, const Complaint& right) {
    return stands_before(left.place, right.place);
  });
  throw UserError(std::move(complaints));
}

} // namespace coldbag
