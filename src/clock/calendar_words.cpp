#include "clock/calendar_words.h"

#include <algorithm>
#include <array>
#include <utility>

namespace coldbag {

namespace {

using MonthWord = std::pair<std::string_view, int>;

/// In plain letters, sorted.
constexpr std::array<MonthWord, 148> month_words{
    {{"abr", 4},       {"abril", 4},        {"ago", 8},           {"agosto", 8},     {"aout", 8},
     {"apr", 4},       {"april", 4},        {"aprile", 4},        {"aug", 8},        {"august", 8},
     {"augusti", 8},   {"augustus", 8},     {"avr", 4},           {"avril", 4},      {"cze", 6},
     {"czerw", 6},     {"czerwca", 6},      {"czerwiec", 6},      {"dec", 12},       {"december", 12},
     {"decembre", 12}, {"des", 12},         {"desember", 12},     {"dez", 12},       {"dezember", 12},
     {"dezembro", 12}, {"dic", 12},         {"dicembre", 12},     {"diciembre", 12}, {"ene", 1},
     {"enero", 1},     {"feb", 2},          {"febbraio", 2},      {"feber", 2},      {"febr", 2},
     {"febrero", 2},   {"februar", 2},      {"februari", 2},      {"february", 2},   {"fev", 2},
     {"fevereiro", 2}, {"fevr", 2},         {"fevrier", 2},       {"gen", 1},        {"gennaio", 1},
     {"giu", 6},       {"giugno", 6},       {"gru", 12},          {"grudnia", 12},   {"grudz", 12},
     {"grudzien", 12}, {"jan", 1},          {"janeiro", 1},       {"janner", 1},     {"januar", 1},
     {"januari", 1},   {"january", 1},      {"janv", 1},          {"janvier", 1},    {"juil", 7},
     {"juillet", 7},   {"juin", 6},         {"jul", 7},           {"julho", 7},      {"juli", 7},
     {"julio", 7},     {"july", 7},         {"jun", 6},           {"june", 6},       {"junho", 6},
     {"juni", 6},      {"junio", 6},        {"kwi", 4},           {"kwiec", 4},      {"kwiecien", 4},
     {"kwietnia", 4},  {"lip", 7},          {"lipca", 7},         {"lipiec", 7},     {"lis", 11},
     {"listopad", 11}, {"listopada", 11},   {"lug", 7},           {"luglio", 7},     {"lut", 2},
     {"lutego", 2},    {"luty", 2},         {"maart", 3},         {"maerz", 3},      {"mag", 5},
     {"maggio", 5},    {"mai", 5},          {"maio", 5},          {"maj", 5},        {"maja", 5},
     {"mar", 3},       {"marca", 3},        {"march", 3},         {"marco", 3},      {"mars", 3},
     {"marts", 3},     {"marz", 3},         {"marzec", 3},        {"marzo", 3},      {"may", 5},
     {"mayo", 5},      {"mei", 5},          {"mrt", 3},           {"mrz", 3},        {"nov", 11},
     {"november", 11}, {"novembre", 11},    {"novembro", 11},     {"noviembre", 11}, {"oct", 10},
     {"october", 10},  {"octobre", 10},     {"octubre", 10},      {"okt", 10},       {"oktober", 10},
     {"ott", 10},      {"ottobre", 10},     {"out", 10},          {"outubro", 10},   {"paz", 10},
     {"pazdz", 10},    {"pazdziernik", 10}, {"pazdziernika", 10}, {"sep", 9},        {"sept", 9},
     {"september", 9}, {"septembre", 9},    {"septiembre", 9},    {"set", 9},        {"setembro", 9},
     {"setiembre", 9}, {"settembre", 9},    {"sie", 8},           {"sierp", 8},      {"sierpien", 8},
     {"sierpnia", 8},  {"sty", 1},          {"styczen", 1},       {"stycznia", 1},   {"wrz", 9},
     {"wrzes", 9},     {"wrzesien", 9},     {"wrzesnia", 9}}};

bool stands_before(const MonthWord& known, std::string_view word) {
  return known.first < word;
}

constexpr std::array<std::string_view, 65> weekdays{
    "monday",       "tuesday",    "wednesday", "thursday", "friday",    "saturday", "sunday",    "lunes",
    "martes",       "miercoles",  "jueves",    "viernes",  "sabado",    "domingo",  "montag",    "dienstag",
    "mittwoch",     "donnerstag", "freitag",   "samstag",  "sonnabend", "sonntag",  "lundi",     "mardi",
    "mercredi",     "jeudi",      "vendredi",  "samedi",   "dimanche",  "lunedi",   "martedi",   "mercoledi",
    "giovedi",      "venerdi",    "sabato",    "domenica", "segunda",   "terca",    "quarta",    "quinta",
    "sexta",        "maandag",    "dinsdag",   "woensdag", "donderdag", "vrijdag",  "zaterdag",  "zondag",
    "poniedzialek", "wtorek",     "sroda",     "czwartek", "piatek",    "sobota",   "niedziela", "pt",
    "ndz",          "mandag",     "tisdag",    "onsdag",   "torsdag",   "fredag",   "lordag",    "sondag",
    "tirsdag"};

/// The letter of U+00C0 to U+017F without its accent, '_' where it is no letter with one.
char plain_letter(unsigned code) {
  constexpr std::string_view letters = "aaaaaa_ceeeeiiii_nooooo_ouuuuy__aaaaaa_ceeeeiiii_nooooo_ouuuuy_y"
                                       "aaaaaaccccccccddddeeeeeeeeeegggggggghh__iiiiiiiii___jjkk_llllll_"
                                       "_llnnnnnn___oooooo__rrrrrrsssssssstttt__uuuuuuuuuuuuwwyyyzzzzzz_";
  return letters[code - 0xC0U];
}

/// The code point of two bytes of UTF-8.
unsigned code_of(char lead, char next) {
  return ((static_cast<unsigned char>(lead) & 0x1FU) << 6U) | (static_cast<unsigned char>(next) & 0x3FU);
}

} // namespace

std::string plain_letters(std::string_view word) {
  constexpr unsigned first_letter = 0xC0U, last_letter = 0x17FU;
  constexpr unsigned first_accent = 0x300U, last_accent = 0x36FU;
  std::string plain;
  for (std::size_t at = 0; at < word.size(); ++at) {
    const char c = word[at];
    const bool is_pair = (static_cast<unsigned char>(c) & 0xE0U) == 0xC0U && at + 1 < word.size();
    const unsigned code = is_pair ? code_of(c, word[at + 1]) : 0;
    const char letter = code >= first_letter && code <= last_letter ? plain_letter(code) : '_';
    const bool is_accent = code >= first_accent && code <= last_accent;
    if (letter != '_')
      plain += letter;
    else if (!is_pair)
      plain += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    else if (!is_accent)
      plain += word.substr(at, 2);
    if (is_pair) ++at;
  }
  return plain;
}

int month_named(std::string_view word) {
  const std::string plain = plain_letters(word);
  const auto* const found =
      std::lower_bound(month_words.begin(), month_words.end(), std::string_view(plain), stands_before);
  return found != month_words.end() && found->first == plain ? found->second : 0;
}

bool names_a_weekday(std::string_view word) {
  const std::string plain = plain_letters(word);
  return plain.size() >= 2 && std::any_of(weekdays.begin(), weekdays.end(), [&](std::string_view weekday) {
           return weekday.starts_with(plain);
         });
}

} // namespace coldbag
