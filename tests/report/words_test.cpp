// The catalogue of words and the sources that use it: nothing is missing, nothing is left over.
#include "report/words.h"

#include "farm/treatment.h"
#include "kinetics/organism.h"
#include "kinetics/reference_table.h"
#include "sizing/fuel.h"
#include "substrate/material.h"
#include "tables/languages.h"
#include "tables/table.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <set>
#include <utility>

using namespace coldbag;

namespace {

constexpr std::array<ColumnRule, 2> rules{{{"key", CellKind::text, true}, {"text", CellKind::text, true}}};

// Keys that are put together: the source holds what stands after the family's name, or the whole key.
constexpr std::array families{"basis_",      "block_",          "caution_",
                              "cell_",       "clock_",          "closure_",
                              "criterion_",  "event_",          "evidence_",
                              "fault_",      "fault_effect_",   "fault_name_",
                              "form_",       "ledger_kind_",    "ledger_meaning_",
                              "side_",       "full_effect_",    "help_command_",
                              "choice_",     "field_",          "help_says_record_",
                              "help_group_", "help_option_",    "help_option_setup_",
                              "metal_",      "neighbours_",     "next_",
                              "origin_",     "role_",           "setup_ask_log_",
                              "u_",          "treatment_note_", "why_not_"};

std::string file_text(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

std::vector<std::filesystem::path> sources() {
  std::vector<std::filesystem::path> paths;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(COLDBAG_SOURCE_DIR "/src"))
    if (entry.path().extension() == ".cpp" || entry.path().extension() == ".h") paths.push_back(entry.path());
  return paths;
}

struct Literal {
  std::string text;
  std::size_t at = 0; ///< of the quote that opens it
};

// Comments are cut at "//"; no source of ours holds those two in a literal before one that matters here.
std::vector<Literal> literals(const std::string& source) {
  std::vector<Literal> found;
  for (std::size_t at = 0; at < source.size(); ++at) {
    if (source.compare(at, 2, "//") == 0) at = std::min(source.find('\n', at), source.size());
    if (source.compare(at, 3, "'\"'") == 0) at += 3;
    if (at >= source.size() || source[at] != '"') continue;
    Literal literal{"", at};
    for (++at; at < source.size() && source[at] != '"' && source[at] != '\n'; ++at) {
      if (source[at] == '\\') ++at;
      if (at < source.size()) literal.text += source[at];
    }
    found.push_back(literal);
  }
  return found;
}

bool is_key(const std::string& text) {
  return !text.empty() && text.find('_') != std::string::npos &&
         text.find_first_not_of("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ_0123456789") ==
             std::string::npos;
}

bool begins_with(const std::string& text, std::string_view begin) {
  return text.compare(0, begin.size(), begin) == 0;
}

// The end of the arguments that open at `at`.
std::size_t closing(const std::string& source, std::size_t at) {
  int depth = 0;
  for (; at < source.size(); ++at) {
    if (source[at] == '(') ++depth;
    if (source[at] == ')' && --depth == 0) return at;
  }
  return at;
}

// Keys asked for by name: words.text(... "key" ...), but not the names of values, which follow a brace.
std::set<std::string> keys_asked_for() {
  std::set<std::string> keys;
  for (const std::filesystem::path& path : sources()) {
    if (path.parent_path().filename() == "records") continue; // its word() is one of a file
    const std::string source = file_text(path);
    const std::vector<Literal> all = literals(source);
    for (const std::string_view call : {"words.text(", "words.has(", "words_.text(", "word("})
      for (std::size_t at = source.find(call); at != std::string::npos; at = source.find(call, at + 1)) {
        const std::size_t opens = at + call.size() - 1;
        const std::size_t ends = closing(source, opens);
        for (const Literal& literal : all)
          if (literal.at > opens && literal.at < ends && source[literal.at - 1] != '{' &&
              is_key(literal.text))
            keys.insert(literal.text);
      }
  }
  return keys;
}

// Keys that the engine puts into a report: a whole literal of one of these families.
std::set<std::string> keys_said() {
  std::set<std::string> keys;
  for (const std::filesystem::path& path : sources()) {
    const auto folder = path.parent_path().filename();
    if (folder != "run" && folder != "heatup" && folder != "sizing" && folder != "farm") continue;
    for (const Literal& literal : literals(file_text(path)))
      for (const std::string_view family :
           {"block_", "caution_", "lag_assumed_", "lag_caution_", "lag_stretched_", "next_", "setup_says_",
            "sheet_", "size_", "why_not_"})
        if ((folder != "farm" || family == "setup_says_") && begins_with(literal.text, family) &&
            literal.text.size() > family.size() && is_key(literal.text))
          keys.insert(literal.text);
  }
  return keys;
}

// Every word of a table.
std::set<std::string> words_of_table(const std::filesystem::path& path) {
  std::set<std::string> words;
  std::string word;
  for (const char c : file_text(path) + "\n") {
    if ((c >= 'a' && c <= 'z') || c == '_') {
      word += c;
    } else {
      words.insert(std::exchange(word, ""));
    }
  }
  return words;
}

// Every literal of the sources and of the treatments, and the fields and choices of entries.
std::set<std::string> words_of_tree() {
  std::vector<std::filesystem::path> paths = sources();
  paths.emplace_back(COLDBAG_SOURCE_DIR "/shared/treatments.toml");
  std::set<std::string> found = words_of_table(COLDBAG_SOURCE_DIR "/shared/record-fields.csv");
  for (const std::filesystem::path& path : paths)
    for (const Literal& literal : literals(file_text(path)))
      found.insert(literal.text);
  return found;
}

// The last word of a sentence about a log, but for the "s" of many, stands in a source that makes such
// sentences.
bool is_made(const std::string& english, const std::set<std::string>& tree) {
  const auto is_letter = [](char c) { return std::isalpha(static_cast<unsigned char>(c)) != 0; };
  std::string last;
  bool in_place = false;
  for (std::size_t at = 0; at < english.size(); ++at) {
    if (english[at] == '{' || english[at] == '}') in_place = english[at] == '{';
    if (in_place || !is_letter(english[at])) continue;
    const std::size_t from = at;
    while (at < english.size() && is_letter(english[at]))
      ++at;
    last = english.substr(from, at - from);
    --at;
  }
  if (last.size() > 3 && last.ends_with('s')) last.pop_back();
  return std::ranges::any_of(
      tree, [&](const std::string& literal) { return literal.find(last) != std::string::npos; });
}

bool is_used(const std::string& key, const std::set<std::string>& tree) {
  if (tree.count(key) > 0) return true;
  for (const std::string_view family : families) {
    if (!begins_with(key, family)) continue;
    const std::string rest = key.substr(family.size());
    if (tree.count(rest) > 0) return true;
    // A kind of fault with a variant behind it.
    for (std::size_t at = rest.find('_'); at != std::string::npos; at = rest.find('_', at + 1))
      if (tree.count(rest.substr(0, at)) > 0 && tree.count(rest.substr(at + 1)) > 0) return true;
    // "common practice" is the word, basis_common_practice its key; "--in-bag" the option of
    // help_option_in_bag.
    for (const char between : {' ', '-'}) {
      std::string word = rest;
      std::replace(word.begin(), word.end(), '_', between);
      if (tree.count(word) > 0) return true;
    }
  }
  return false;
}

Table catalogue(std::string_view language = "en") {
  const TableFiles tables = TableFiles::open("");
  const std::string name = "words-" + std::string(language) + ".csv";
  return Table::read(name, tables.bytes(name), rules);
}

/// The names that the tables hold and a report shows, by their keys.
std::map<std::string, std::string> names_of_tables() {
  const TableFiles tables = TableFiles::open("");
  std::map<std::string, std::string> names;
  const auto add = [&](std::string_view family, const std::string& name) {
    names[key_of_name(family, name)] = name;
  };
  for (const char* metal : {"aluminium", "concrete", "stainless", "steel"}) // as a vessel is described
    add("metal", metal);
  for (const Organism& organism : read_organisms(tables))
    add("organism", organism.name);
  for (const Fuel& fuel : read_fuels(tables))
    add("fuel", fuel.name);
  for (const NamedReference& reference : read_references(tables))
    add("reference", reference.reference.name);
  for (const Treatment& treatment : read_treatments("treatments.toml", tables.bytes("treatments.toml"))) {
    add("treatment", treatment.name);
    add("reference", treatment.reference.name);
  }
  for (const Material& material : read_materials(tables)) {
    add("substrate", material.name);
    std::string key = material.key; // bags are described by it
    std::replace(key.begin(), key.end(), '-', ' ');
    add("substrate", key);
  }
  return names;
}

} // namespace

TEST_CASE("every key of words that the sources ask for stands in the catalogue") {
  const Table words = catalogue();
  const std::set<std::string> asked = keys_asked_for();
  CHECK(asked.size() > 50);
  for (const std::string& key : asked)
    CHECK_MESSAGE(words.find(key) != nullptr, key);
}

TEST_CASE("every block, caution and advice that the engine gives has its words") {
  const Table words = catalogue();
  const std::set<std::string> said = keys_said();
  CHECK(said.size() > 20);
  for (const std::string& key : said)
    CHECK_MESSAGE(words.find(key) != nullptr, key);
}

TEST_CASE("a block has its words of advice too") {
  const Table words = catalogue();
  for (const TableRow& row : words.rows())
    if (begins_with(row.key(), "block_"))
      CHECK_MESSAGE(words.find("next_" + row.key()) != nullptr, row.key());
}

TEST_CASE("every key of the catalogue is used by some source or table") {
  const std::set<std::string> tree = words_of_tree();
  const Table words = catalogue();
  const auto names = names_of_tables();
  for (const TableRow& row : words.rows())
    CHECK_MESSAGE((is_used(row.key(), tree) || names.contains(row.key()) ||
                   (begins_with(row.key(), "found_by_") && is_made(row.text("text"), tree))),
                  row.key());
}

TEST_CASE("every name of a table that a report shows has its words, in English the table's own") {
  const Table words = catalogue();
  for (const auto& [key, name] : names_of_tables()) {
    const TableRow* row = words.find(key);
    CHECK_MESSAGE((row != nullptr && row->text("text") == name), key);
  }
}

TEST_CASE("a name of a site's own is shown as it is") {
  const Words spanish = Words::read(TableFiles::built_in(), "es");
  CHECK(named(spanish, "treatment", "atmospheric steam") == "vapor a presión atmosférica");
  CHECK(named(spanish, "treatment", "atmospheric steam of ours") == "atmospheric steam of ours");
}

TEST_CASE("every built-in criterion has a name, and its words where a miss is a caution") {
  const TableFiles tables = TableFiles::open("");
  const Table words = catalogue();
  for (const Treatment& treatment : read_treatments("treatments.toml", tables.bytes("treatments.toml"))) {
    for (const std::string& note : treatment.notes)
      CHECK_MESSAGE(words.find(note) != nullptr, note);
    for (const TreatmentCriterion& criterion : treatment.criteria) {
      CHECK_MESSAGE(words.find("criterion_" + criterion.name) != nullptr, criterion.name);
      // Above the boiling point the danger has words of its own.
      if (!criterion.fails && criterion.measure != Measure::over_boiling)
        CHECK_MESSAGE(words.find("caution_" + criterion.name) != nullptr, criterion.name);
    }
  }
}

TEST_CASE("every figure of a caution is named on the page of the JSON") {
  const std::string page = file_text(COLDBAG_SOURCE_DIR "/docs/formats/check-json.md");
  const Table words = catalogue();
  std::size_t figures = 0;
  for (const TableRow& row : words.rows()) {
    const std::string text = row.text("text");
    if (!begins_with(row.key(), "caution_")) continue;
    for (std::size_t at = text.find('{'); at != std::string::npos; at = text.find('{', at + 1)) {
      const std::string figure = text.substr(at + 1, text.find('}', at) - at - 1);
      const bool is_of_criterion = begins_with(figure, "delivered_") || begins_with(figure, "required_");
      CHECK_MESSAGE((is_of_criterion || page.find('`' + figure + '`') != std::string::npos), figure);
      ++figures;
    }
  }
  CHECK(figures > 80);
}

TEST_CASE("a catalogue stands in the order of its keys") {
  for (const std::string_view language : languages) {
    const Table words = catalogue(language);
    for (std::size_t i = 1; i < words.rows().size(); ++i)
      CHECK(words.rows()[i - 1].key() < words.rows()[i].key());
  }
}
