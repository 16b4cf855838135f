#include "report/error_words.h"

#include "tables/csv_line.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <utility>

namespace coldbag {

namespace {

// Sentences in sentences; a list of columns, each with its reason, nests as deep as it is long.
constexpr int deepest = 32;
constexpr std::string_view words_mark = ":words";
constexpr std::string_view standard_input = "standard input";

} // namespace

std::vector<ErrorWords::Piece> ErrorWords::pieces_of(std::string_view pattern) {
  std::vector<Piece> pieces(1);
  while (!pattern.empty()) {
    const std::size_t open = pattern.find('{');
    pieces.back().text += pattern.substr(0, open);
    if (open == std::string_view::npos) break;
    const std::size_t close = pattern.find('}', open);
    std::size_t number = 0;
    const char* const digits = pattern.data() + open + 1;
    const auto [end, error] = std::from_chars(digits, pattern.data() + pattern.size(), number);
    const std::string_view rest(end, pattern.data() + std::min(close, pattern.size()));
    // Braces that hold no place are text, as in an example of TOML.
    if (error != std::errc{} || number == 0 || close == std::string_view::npos ||
        (!rest.empty() && rest != words_mark)) {
      pieces.back().text += '{';
      pattern.remove_prefix(open + 1);
      continue;
    }
    pieces.back().place = number;
    pieces.back().holds_words = !rest.empty();
    pieces.emplace_back();
    pattern.remove_prefix(close + 1);
  }
  return pieces;
}

ErrorWords ErrorWords::read(const TableFiles& tables, std::string_view language) {
  const std::string file = fmt::format("errors-{}.csv", language);
  const std::vector<Edition> editions = tables.editions();
  if (std::ranges::find(editions, file, &Edition::name) == editions.end()) return {};
  return read(tables.source_name(file), tables.bytes(file));
}

/// Whether the English has its places in order from 1, with text between, and the other sentence the same
/// ones.
bool ErrorWords::has_same_places(const Sentence& sentence) {
  std::vector<std::size_t> others;
  for (const Piece& piece : sentence.other)
    if (piece.place > 0) others.push_back(piece.place);
  std::ranges::sort(others);
  if (others.size() + 1 != sentence.english.size()) return false;
  for (std::size_t i = 0; i < others.size(); ++i)
    if (others[i] != i + 1 || sentence.english[i].place != i + 1 ||
        (i > 0 && sentence.english[i].text.empty()))
      return false;
  return true;
}

ErrorWords ErrorWords::read(std::string_view source_name, std::string_view csv) {
  ErrorWords words;
  std::vector<Complaint> complaints;
  Place place{std::string(source_name), 0, 1, ""};
  const auto complain = [&](std::string problem, std::string remedy) {
    complaints.push_back({Trouble::bad_data, place, std::move(problem), std::move(remedy)});
  };
  while (!csv.empty()) {
    const std::string_view line = csv.substr(0, csv.find('\n'));
    csv.remove_prefix(std::min(line.size() + 1, csv.size()));
    if (++place.line == 1) continue; // names the columns
    const auto cells = split_csv_line(line, ',', place, complaints);
    if (!cells) continue;
    if (cells->size() != 2 || (*cells)[0].text.empty() || (*cells)[1].text.empty()) {
      complain("this row is not a pair of sentences", "write the English and the other sentence");
      continue;
    }
    Sentence sentence{pieces_of((*cells)[0].text), pieces_of((*cells)[1].text), 0};
    if (!has_same_places(sentence))
      complain("the places of the two sentences do not agree",
               "number them from 1 as the English has them, with text between");
    for (const Piece& piece : sentence.english)
      sentence.letters += piece.text.size();
    words.sentences_.push_back(std::move(sentence));
  }
  if (!complaints.empty()) throw UserError(std::move(complaints));
  std::ranges::stable_sort(words.sentences_, std::ranges::greater{}, &Sentence::letters);
  return words;
}

/// A user's own text in quotes may be nothing.
bool ErrorWords::may_be_empty(const Piece& before, const Piece& behind) {
  return before.text.ends_with('"') && behind.text.starts_with('"');
}

/// What stands in the places, nothing where the text was not made of the sentence; of a sentence without
/// places the text itself.
std::vector<std::string_view> ErrorWords::places_in(const Sentence& sentence, std::string_view text) {
  const std::vector<Piece>& pieces = sentence.english;
  const std::string& last = pieces.back().text;
  if (pieces.size() == 1) return text == last ? std::vector{text} : std::vector<std::string_view>{};
  const std::string& first = pieces.front().text;
  if (text.size() < sentence.letters || !text.starts_with(first) || !text.ends_with(last)) return {};
  const std::size_t end = text.size() - last.size();
  std::vector<std::string_view> places;
  std::size_t from = first.size();
  for (std::size_t i = 0; i + 1 < pieces.size(); ++i) {
    const std::size_t least = may_be_empty(pieces[i], pieces[i + 1]) ? 0 : 1;
    const std::size_t to =
        i + 2 == pieces.size() ? end : text.substr(0, end).find(pieces[i + 1].text, from + least);
    if (to == std::string_view::npos || to < from + least) return {};
    places.push_back(text.substr(from, to - from));
    from = to + pieces[i + 1].text.size();
  }
  return places;
}

/// One text as it is told again, and what may still be read for that.
class ErrorWords::Telling {
 public:
  Telling(const std::vector<Sentence>& sentences, std::size_t bytes)
      : sentences_(sentences), left_(least_read + most_readings * bytes) {}

  struct Told {
    std::string text;
    std::size_t letters = 0; ///< of the sentences that it was made of
  };
  Told tell(std::string_view english, int depth) {
    Told best{std::string(english), 0};
    const std::size_t cost = english.size() + 1;
    if (depth == 0 || cost > left_) return best;
    left_ -= cost;
    for (const Sentence& sentence : sentences_) {
      const std::vector<std::string_view> places = places_in(sentence, english);
      if (places.empty() || most_letters(sentence, places) <= best.letters) continue;
      Told told = tell_by(sentence, places, depth);
      if (told.letters > best.letters) best = std::move(told);
    }
    return best;
  }

 private:
  // Ordinary messages need far less; a hostile one stops here and stays English.
  static constexpr std::size_t least_read = 100000;
  static constexpr std::size_t most_readings = 20;

  static std::size_t most_letters(const Sentence& sentence, const std::vector<std::string_view>& places) {
    std::size_t letters = sentence.letters;
    for (std::size_t i = 0; i + 1 < sentence.english.size(); ++i)
      if (sentence.english[i].holds_words) letters += places[i].size();
    return letters;
  }

  Told tell_by(const Sentence& sentence, const std::vector<std::string_view>& places, int depth) {
    std::vector<Told> held;
    Told told{"", sentence.letters};
    for (std::size_t i = 0; i + 1 < sentence.english.size(); ++i) {
      held.push_back(sentence.english[i].holds_words ? tell(places[i], depth - 1)
                                                     : Told{std::string(places[i]), 0});
      told.letters += held.back().letters;
    }
    for (const Piece& piece : sentence.other) {
      told.text += piece.text;
      if (piece.place > 0) told.text += held[piece.place - 1].text;
    }
    return told;
  }

  const std::vector<Sentence>& sentences_;
  std::size_t left_;
};

std::string ErrorWords::retold(std::string_view english) const {
  return Telling(sentences_, english.size()).tell(english, deepest).text;
}

Complaint retold(Complaint complaint, const ErrorWords& words) {
  if (complaint.place.source_name == standard_input)
    complaint.place.source_name = words.retold(standard_input);
  complaint.problem = words.retold(complaint.problem);
  complaint.remedy = words.retold(complaint.remedy);
  return complaint;
}

UserError retold(const UserError& error, const ErrorWords& words) {
  std::vector<Complaint> complaints;
  for (const Complaint& complaint : error.complaints())
    complaints.push_back(retold(complaint, words));
  return UserError(std::move(complaints));
}

std::string complaint_text(const Complaint& complaint, const ErrorWords* words) {
  return to_text(words == nullptr ? complaint : retold(complaint, *words));
}

} // namespace coldbag
