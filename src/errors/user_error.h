// What a user did wrong and can mend: place, problem, remedy.
#pragma once

#include <exception>
#include <string>
#include <vector>

namespace coldbag {

/// Kind of trouble; the value is the exit status of the program (sysexits names).
enum class Trouble : int { usage = 64, bad_data = 65, no_input = 66, cannot_write = 73, io = 74 };

/// Where in the user's input a thing stands. Empty or zero means not known; lines and columns count from 1.
struct Place {
  std::string source_name;
  int line = 0;
  int column = 0;
  std::string key_path; ///< for example "vessels.north.volume", or a column's name in a log
  bool operator==(const Place&) const = default;
};

/// One thing to mend.
struct Complaint {
  Trouble trouble = Trouble::bad_data;
  Place place;
  std::string problem; ///< what is wrong, with the value found; lower case, no full stop
  std::string remedy;  ///< what would be right, with an example
  bool operator==(const Complaint&) const = default;
};

/// A complaint about the command line.
[[nodiscard]] Complaint usage(std::string problem, std::string remedy);
/// A complaint about what was read, where no place in it can be named.
[[nodiscard]] Complaint bad_data(std::string problem, std::string remedy);

/// Thrown when the user must mend something. Holds every complaint found, not only the first; never empty.
class UserError : public std::exception {
 public:
  explicit UserError(Complaint complaint);
  explicit UserError(std::vector<Complaint> complaints);
  [[nodiscard]] const std::vector<Complaint>& complaints() const noexcept { return complaints_; }
  [[nodiscard]] Trouble trouble() const noexcept { return complaints_.front().trouble; }
  /// All complaints, a line each, as to_text writes them.
  [[nodiscard]] const char* what() const noexcept override { return text_.c_str(); }

 private:
  std::vector<Complaint> complaints_;
  std::string text_;
};

/// "farm.toml:12:8: vessels.north.volume: 3 has no unit; write for example volume = \"2 m3\"".
[[nodiscard]] std::string to_text(const Complaint& complaint);

} // namespace coldbag
