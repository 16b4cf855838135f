// What a user can mend, said in another language: complaints are written in English where they arise, and
// told again by the sentence they were made of.
#pragma once

#include "errors/user_error.h"
#include "tables/edition.h"

#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// English sentences and the same in one other language, with numbered places: "\"{1}\" is not a unit of
/// {2:words}". A place marked "words" holds a sentence or part that has a row of its own and is told again as
/// well; any other holds what is a user's own or a figure, and stays as it is.
class ErrorWords {
 public:
  /// Reads errors-es.csv (or another language's). No sentences where there is no such table: that is English.
  /// Throws UserError where the table is not well formed.
  [[nodiscard]] static ErrorWords read(const TableFiles& tables, std::string_view language);
  [[nodiscard]] static ErrorWords read(std::string_view source_name, std::string_view csv);

  /// The text told again by the sentence that it can have been made of, of several the one that has most
  /// letters of the text, those of the sentences in its places counted too; as it is where it was made of
  /// none. A place takes as little as it can, and something where it does not stand in quotes. Time grows
  /// with the length of the text times the number of sentences, whatever stands in it.
  /// (tests/report/error_words_test.cpp)
  [[nodiscard]] std::string retold(std::string_view english) const;

 private:
  struct Piece {
    std::string text;
    std::size_t place = 0; ///< that follows the text, from 1; 0 behind the last
    bool holds_words = false;
  };
  struct Sentence {
    std::vector<Piece> english; ///< its places stand in their order
    std::vector<Piece> other;
    std::size_t letters = 0;
  };
  class Telling;
  static std::vector<Piece> pieces_of(std::string_view pattern);
  static bool has_same_places(const Sentence& sentence);
  static bool may_be_empty(const Piece& before, const Piece& behind);
  static std::vector<std::string_view> places_in(const Sentence& sentence, std::string_view text);

  std::vector<Sentence> sentences_; ///< most letters first
};

/// The same to mend, told again. Names, keys and options stay.
[[nodiscard]] Complaint retold(Complaint complaint, const ErrorWords& words);
[[nodiscard]] UserError retold(const UserError& error, const ErrorWords& words);

/// As to_text writes it; told again where words are given.
[[nodiscard]] std::string complaint_text(const Complaint& complaint, const ErrorWords* words);

} // namespace coldbag
