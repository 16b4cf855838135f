// Where questions are asked and answered: by a person at a terminal, or through a pipe.
#pragma once

#include "report/error_words.h"

#include <functional>
#include <optional>
#include <string>

namespace coldbag {

/// Why an answer is none, and what would be right.
struct Objection {
  std::string problem;
  std::string remedy;
};

/// Takes an answer, or says why not.
using Take = std::function<std::optional<Objection>(const std::string& answer)>;

/// Lines from a person or from a pipe. What a person mistypes is asked again; in a pipe nobody is there to
/// ask, and the lines behind a bad one would be taken for something else, so it ends.
class Desk {
 public:
  /// Tells what is wrong in these words.
  explicit Desk(ErrorWords errors);
  [[nodiscard]] bool is_person() const { return is_person_; }
  /// The next line without the blanks around it; none at the end of the input. Only a person sees the prompt.
  [[nodiscard]] std::optional<std::string> ask(const std::string& prompt);
  /// Something only a person is told.
  void tell(const std::string& text) const;
  /// What is wrong with the line just taken. Throws UserError (bad_data, with the line) where it is a pipe.
  void object(const Objection& objection) const;
  /// The same error in the words of this desk.
  [[nodiscard]] UserError told(const UserError& error) const { return retold(error, errors_); }

 private:
  bool is_person_ = false;
  int line_ = 0;
  ErrorWords errors_;
};

/// Asks until an answer is taken. False where it was left empty or the input ended.
bool ask_until_taken(Desk& desk, const std::string& question, const Take& take);

} // namespace coldbag
