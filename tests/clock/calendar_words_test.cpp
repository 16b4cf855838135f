// Months and weekdays by name. The lists are the names of the locale data of the GNU C library 2.36 (Debian's
// package locales: mon, abmon, alt_mon, day, abday).
#include "clock/calendar_words.h"

#include <doctest/doctest.h>

#include <sstream>
#include <string>
#include <vector>

namespace coldbag {
namespace {

std::vector<std::string> words_of(const std::string& text) {
  std::istringstream in(text);
  std::vector<std::string> words;
  for (std::string word; in >> word;)
    words.push_back(word);
  return words;
}

} // namespace

TEST_CASE("months by name, whole and shortened, in every language said to be read") {
  for (const std::string text : {
           "January February March April May June July August September October November December",
           "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec",
           "enero febrero marzo abril mayo junio julio agosto septiembre octubre noviembre diciembre",
           "ene feb mar abr may jun jul ago sep oct nov dic",
           "Januar Februar März April Mai Juni Juli August September Oktober November Dezember",
           "Jan Feb Mär Apr Mai Jun Jul Aug Sep Okt Nov Dez",
           "Jänner Februar März April Mai Juni Juli August September Oktober November Dezember",
           "janvier février mars avril mai juin juillet août septembre octobre novembre décembre",
           "janv févr mars avril mai juin juil août sept oct nov déc",
           "gennaio febbraio marzo aprile maggio giugno luglio agosto settembre ottobre novembre dicembre",
           "gen feb mar apr mag giu lug ago set ott nov dic",
           "janeiro fevereiro março abril maio junho julho agosto setembro outubro novembro dezembro",
           "jan fev mar abr mai jun jul ago set out nov dez",
           "januari februari maart april mei juni juli augustus september oktober november december",
           "jan feb mrt apr mei jun jul aug sep okt nov dec",
           "stycznia lutego marca kwietnia maja czerwca lipca sierpnia września października listopada "
           "grudnia",
           "styczeń luty marzec kwiecień maj czerwiec lipiec sierpień wrzesień październik listopad grudzień",
           "sty lut mar kwi maj cze lip sie wrz paź lis gru",
           "januari februari mars april maj juni juli augusti september oktober november december",
           "januar februar marts april maj juni juli august september oktober november december",
           "jan feb mar apr maj jun jul aug sep okt nov dec",
           "januar februar mars april mai juni juli august september oktober november desember",
           "jan feb mars april mai juni juli aug sep okt nov des",
       }) {
    const auto words = words_of(text);
    REQUIRE(words.size() == 12);
    for (std::size_t i = 0; i < words.size(); ++i) {
      CAPTURE(words[i]);
      CHECK(month_named(words[i]) == static_cast<int>(i) + 1);
    }
  }
}

TEST_CASE("capitals and accents, whole or combining or left out, change no month") {
  for (const char* word : {"AOÛT", "Août", "aout", "aou\u0302t", "AOU\u0302T"})
    CHECK(month_named(word) == 8);
  for (const char* word : {"PAŹ", "paz", "PAŹDZIERNIKA"})
    CHECK(month_named(word) == 10);
}

TEST_CASE("a word that could be two months, or is none, names no month") {
  for (const char* word : {"jui", "ju", "ma", "m", "", "helmikuuta", "marchish", "12", "\xC3"}) {
    CAPTURE(word);
    CHECK(month_named(word) == 0);
  }
}

TEST_CASE("weekdays by name, whole and shortened") {
  for (const std::string text :
       {"Monday Thu", "Sonntag Montag Dienstag Mittwoch Donnerstag Freitag Samstag So Mo Di Mi Do Fr Sa",
        "dimanche lundi mardi mercredi jeudi vendredi samedi dim lun mar mer jeu ven sam",
        "domenica lunedì martedì mercoledì giovedì venerdì sabato dom lun mar mer gio ven sab",
        "domingo segunda terça quarta quinta sexta sábado dom seg ter qua qui sex sáb",
        "zondag maandag dinsdag woensdag donderdag vrijdag zaterdag zo ma di wo do vr za",
        "niedziela poniedziałek wtorek środa czwartek piątek sobota nie pon wto śro czw pią sob",
        "söndag måndag tisdag onsdag torsdag fredag lördag sön mån tis ons tor fre lör",
        "søndag mandag tirsdag onsdag torsdag fredag lørdag søn man tir ons tor fre lør"})
    for (const std::string& word : words_of(text)) {
      CAPTURE(word);
      CHECK(names_a_weekday(word));
    }
  for (const char* word : {"", "s", "probe", "mondays"})
    CHECK_FALSE(names_a_weekday(word));
}

} // namespace coldbag
