// What months and weekdays are called in the languages that logs are written in.
#pragma once

#include <string>
#include <string_view>

namespace coldbag {

/// "English, Spanish, ...": the languages of the words below, for messages.
inline constexpr std::string_view calendar_languages =
    "English, Spanish, German, French, Italian, Portuguese, Dutch, Polish, Swedish, Danish and Norwegian";

/// The month that a word names, whole or shortened, without its dot: "March", "MÄRZ", "févr", "marca"; 0
/// where it names none. No word names two months in these languages. Names as in the locale data of the GNU C
/// library 2.36, with the shorter forms in common use (no source).
[[nodiscard]] int month_named(std::string_view word);

/// Whether a word is a weekday, whole or cut to two letters or more: "Thursday", "Do", "jeu".
[[nodiscard]] bool names_a_weekday(std::string_view word);

/// Letters of Latin script in lower case without their accents, and combining accents left out: "MÄRZ" is
/// "marz". Other characters stay.
[[nodiscard]] std::string plain_letters(std::string_view word);

} // namespace coldbag
