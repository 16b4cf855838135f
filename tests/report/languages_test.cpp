// The catalogues of all languages beside each other: the same keys and places, nothing promised, titles that
// fit.
#include "report/words.h"

#include "report/layout.h"
#include "tables/languages.h"
#include "tables/table.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <map>
#include <set>
#include <string>
#include <vector>

using namespace coldbag;

namespace {

constexpr std::array<ColumnRule, 2> rules{{{"key", CellKind::text, true}, {"text", CellKind::text, true}}};

/// Texts that are the same in Spanish: signs, units, names.
const std::set<std::string> alike_in_spanish{"band_between",
                                             "choice_no",
                                             "ledger_field",
                                             "record_event_at",
                                             "trail_run",
                                             "criterion_lethality",
                                             "full_reference",
                                             "lag_not_fitted",
                                             "ledger_file",
                                             "organism_listeria_monocytogenes",
                                             "reference_a0",
                                             "reference_f0",
                                             "reference_f70",
                                             "sheet_place",
                                             "sheet_unit_celsius",
                                             "sheet_unit_fahrenheit",
                                             "sheet_unit_feet",
                                             "sheet_unit_kilograms",
                                             "sheet_unit_kpa_gauge",
                                             "sheet_unit_metres",
                                             "sheet_unit_minutes",
                                             "sheet_unit_pounds",
                                             "sheet_unit_psi_gauge",
                                             "size_days_later",
                                             "size_over_refused",
                                             "substrate_compost",
                                             "table_lethality",
                                             "treatment_compost_40_cfr_503_pfrp"};

/// A table column's title, or a word of its cells, and the columns of the screen it has with the blank behind
/// it.
struct Fits {
  const char* key;
  std::size_t columns;
};

constexpr std::array fits{
    // the probes of a run; what was not judged
    Fits{"table_first_hot", 17}, Fits{"table_hold", 13}, Fits{"table_top", 8}, Fits{"table_lethality", 11},
    Fits{"table_lethality_at_least", 21}, Fits{"table_would_need", 18},
    // organisms
    Fits{"table_log_reductions", 46}, Fits{"table_estimate", 9}, Fits{"table_at_least", 9},
    Fits{"table_z_one_less", 15},
    // how cores lagged, and how they would
    Fits{"lag_head_probe", 16}, Fits{"lag_head_seen", 12}, Fits{"lag_head_fitted", 12},
    Fits{"lag_head_expected", 41}, Fits{"lag_not_seen", 12}, Fits{"lag_core_at", 38}, Fits{"lag_good", 14},
    Fits{"lag_likely", 14}, Fits{"lag_slow", 14},
    // a plan, and many beside each other
    Fits{"size_from_steam_on", 34}, Fits{"size_by_the_clock", 34}, Fits{"size_steam_on", 34},
    Fits{"size_at_the_latest", 31}, Fits{"size_step_enough", 34}, Fits{"size_step_first_steam", 34},
    Fits{"size_step_off", 34}, Fits{"size_col_steam", 13}, Fits{"size_col_come_up", 13},
    Fits{"size_col_day", 13}, Fits{"size_col_fuel", 13}, Fits{"size_col_cost", 13},
    // how a log was understood
    Fits{"understood_encoding", 16}, Fits{"understood_delimiter", 16}, Fits{"understood_decimal", 16},
    Fits{"understood_lines", 16}, Fits{"understood_date_order", 16}, Fits{"understood_date", 16},
    Fits{"understood_times", 16}, Fits{"understood_zone", 16}, Fits{"understood_readings", 16},
    // a check of a probe
    Fits{"probe_reads", 12}, Fits{"probe_is", 12}, Fits{"probe_correction", 12}, Fits{"probe_in_ice", 16},
    Fits{"probe_at_boil", 16}, Fits{"probe_low_point", 16}, Fits{"probe_high_point", 16},
    // trends and outcomes
    Fits{"trend_column_figure", 22}, Fits{"trend_core_lag", 22}, Fits{"trend_come_up", 22},
    Fits{"trend_margin", 22}, Fits{"trend_hold_margin", 22}, Fits{"trend_plateau", 22},
    Fits{"trend_column_runs", 7}, Fits{"trend_column_centre", 11}, Fits{"trend_column_usual", 21},
    Fits{"trend_column_step", 10}, Fits{"outcome_column_run", 14}, Fits{"outcome_column_date", 11},
    Fits{"outcome_column_day", 4}, Fits{"outcome_column_bags_short", 5}, Fits{"outcome_column_bad_short", 5},
    Fits{"outcome_column_share", 20}, Fits{"outcome_column_heat", 7}, Fits{"outcome_column_name", 30},
    Fits{"outcome_column_bags", 14}, Fits{"outcome_column_bad", 14}, Fits{"outcome_column_looked_at", 14},
    // a run sheet on paper
    Fits{"sheet_column_time", 7}, Fits{"sheet_column_elapsed", 8}, Fits{"sheet_column_clock", 7},
    Fits{"sheet_column_gauge", 7}, Fits{"sheet_column_initials", 4}, Fits{"sheet_column_remark", 13},
    Fits{"sheet_event_date", 8}, Fits{"sheet_event_time", 8}, Fits{"sheet_event_initials", 5},
    Fits{"sheet_heading_events", 15}, Fits{"event_steam_on", 15}, Fits{"event_vent_closed", 15},
    Fits{"event_water_added", 15}, Fits{"event_power_cut", 15}, Fits{"event_fuel_changed", 15},
    Fits{"event_probe_moved", 15}, Fits{"event_probe_replaced", 15}, Fits{"event_bag_burst", 15},
    Fits{"event_steam_off", 15}, Fits{"event_vent_opened", 15}, Fits{"event_opened", 15},
    Fits{"event_unloaded", 15}, Fits{"event_loaded", 15}, Fits{"event_door_opened", 15},
    Fits{"event_cooled", 15}, Fits{"event_inoculated", 15}, Fits{"event_remark", 15},
    Fits{"event_wetted", 15}, Fits{"event_filled", 15}};

std::map<std::string, std::string> texts_of(std::string_view language) {
  const TableFiles tables = TableFiles::built_in();
  const std::string name = "words-" + std::string(language) + ".csv";
  std::map<std::string, std::string> texts;
  const Table table = Table::read(name, tables.bytes(name), rules);
  for (const TableRow& row : table.rows())
    texts[row.key()] = row.text("text");
  return texts;
}

/// "{probe}", "{over_K}", each once.
std::set<std::string> places_of(const std::string& text) {
  std::set<std::string> places;
  for (std::size_t at = text.find('{'); at != std::string::npos; at = text.find('{', at + 1))
    places.insert(text.substr(at, text.find('}', at) + 1 - at));
  return places;
}

/// The numbers of a text in their order: "12", "121.1".
std::vector<std::string> numbers_of(const std::string& text) {
  std::vector<std::string> numbers;
  const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
  for (std::size_t at = 0; at < text.size(); ++at) {
    if (!is_digit(text[at])) continue;
    std::size_t end = at;
    while (end < text.size() &&
           (is_digit(text[end]) || (text[end] == '.' && end + 1 < text.size() && is_digit(text[end + 1]))))
      ++end;
    numbers.push_back(text.substr(at, end - at));
    at = end;
  }
  return numbers;
}

/// In small letters, those with an accent too, with blanks for signs such as the one that opens a question.
std::string lower_text(std::string text) {
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto byte = static_cast<unsigned char>(text[i]);
    if (i > 0 && text[i - 1] == '\xC2')
      text[i - 1] = text[i] = ' ';
    else if (i > 0 && text[i - 1] == '\xC3' && byte >= 0x80 && byte <= 0x9E)
      text[i] = static_cast<char>(byte + 0x20);
    else
      text[i] = static_cast<char>(std::tolower(byte));
  }
  return text;
}

/// A whole word of a text, whatever its case; letters beyond ASCII are part of a word.
bool has_word(const std::string& text, std::string_view word) {
  const auto is_letter = [](char c) {
    return std::isalpha(static_cast<unsigned char>(c)) != 0 || (c & 0x80) != 0;
  };
  const std::string lower = lower_text(text);
  for (std::size_t at = lower.find(word); at != std::string::npos; at = lower.find(word, at + 1))
    if ((at == 0 || !is_letter(lower[at - 1])) &&
        (at + word.size() == lower.size() || !is_letter(lower[at + word.size()])))
      return true;
  return false;
}

// A safety valve is called so, and in Spanish has none of these words.
constexpr std::array promises{"sterile", "safe", "killed", "guaranteed", "validated"};
constexpr std::array promises_in_spanish{
    "estéril",     "estériles",    "esterilidad",  "seguro",    "segura",     "seguros",    "seguras",
    "inocuo",      "inocua",       "inocuos",      "inocuas",   "inocuidad",  "muerto",     "muerta",
    "muertos",     "muertas",      "eliminado",    "eliminada", "eliminados", "eliminadas", "destruido",
    "destruida",   "destruidos",   "destruidas",   "garantía",  "garantiza",  "garantizan", "garantizado",
    "garantizada", "garantizados", "garantizadas", "asegura",   "aseguran",   "asegurado",  "asegurada",
    "asegurados",  "aseguradas",   "validado",     "validada",  "validados",  "validadas",  "validación"};

} // namespace

TEST_CASE("every language has the keys of English, each with a text and the same places and numbers") {
  const auto english = texts_of("en");
  CHECK(english.size() > 800);
  for (const std::string_view language : languages) {
    const auto texts = texts_of(language);
    for (const auto& [key, text] : texts)
      CHECK_MESSAGE(english.contains(key), language, ": ", key);
    for (const auto& [key, text] : english) {
      const auto found = texts.find(key);
      REQUIRE_MESSAGE(found != texts.end(), language, ": ", key);
      CHECK_MESSAGE(!found->second.empty(), language, ": ", key);
      CHECK_MESSAGE(places_of(found->second) == places_of(text), language, ": ", key);
      CHECK_MESSAGE(numbers_of(found->second) == numbers_of(text), language, ": ", key);
    }
  }
}

TEST_CASE("no language promises what heat alone cannot") {
  for (const char* word : promises)
    for (const auto& [key, text] : texts_of("en"))
      CHECK_MESSAGE((!has_word(text, word) || has_word(text, "safety valve")), key, ": ", word);
  for (const char* word : promises_in_spanish)
    for (const auto& [key, text] : texts_of("es"))
      CHECK_MESSAGE(!has_word(text, word), key, ": ", word);
  const std::string complaints(TableFiles::built_in().bytes("errors-es.csv"));
  for (const char* word : promises)
    CHECK_MESSAGE(!has_word(complaints, word), word);
  for (const char* word : promises_in_spanish)
    CHECK_MESSAGE(!has_word(complaints, word), word);
}

TEST_CASE("a word that promises is found in any case and behind any sign") {
  CHECK(has_word("¿Está ESTÉRIL?", "estéril"));
  CHECK(has_word("¿Seguro?", "seguro"));
  CHECK(has_word("Safe.", "safe"));
  CHECK_FALSE(has_word("válvula de seguridad", "segur"));
  CHECK_FALSE(has_word("esterilizar", "estéril"));
}

TEST_CASE("every text is told in Spanish, but for signs, units and names") {
  const auto english = texts_of("en");
  for (const auto& [key, text] : texts_of("es"))
    CHECK_MESSAGE((text == english.at(key)) == alike_in_spanish.contains(key), key);
}

TEST_CASE("the verdicts have fixed words in each language") {
  const auto spanish = texts_of("es");
  CHECK(spanish.at("verdict_pass") == "CUMPLE");
  CHECK(spanish.at("verdict_fail") == "NO CUMPLE");
  CHECK(spanish.at("verdict_unproven") == "SIN DEMOSTRAR");
}

TEST_CASE("titles and words of tables fit their columns in every language") {
  for (const std::string_view language : languages) {
    const auto texts = texts_of(language);
    for (const Fits& each : fits)
      CHECK_MESSAGE(screen_length(texts.at(each.key)) < each.columns, language, ": ", each.key);
  }
}
