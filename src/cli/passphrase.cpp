#include "cli/passphrase.h"

#include "errors/user_error.h"

#include <fcntl.h>
#include <termios.h>
#include <unistd.h>

#include <algorithm>

namespace coldbag {

namespace {

/// The terminal, silent until the end.
class SilentTerminal {
 public:
  SilentTerminal() : file_(::open("/dev/tty", O_RDWR | O_CLOEXEC)) {
    if (file_ < 0 || ::tcgetattr(file_, &before_) != 0) {
      Complaint complaint;
      complaint.trouble = Trouble::no_input;
      complaint.problem = "a passphrase is needed, and there is no terminal to ask at";
      complaint.remedy = "run it at a terminal";
      throw UserError(std::move(complaint));
    }
    termios silent = before_;
    silent.c_lflag &= ~static_cast<tcflag_t>(ECHO);
    ::tcsetattr(file_, TCSAFLUSH, &silent);
  }
  ~SilentTerminal() {
    ::tcsetattr(file_, TCSAFLUSH, &before_);
    ::close(file_);
  }
  SilentTerminal(const SilentTerminal&) = delete;
  SilentTerminal& operator=(const SilentTerminal&) = delete;
  SilentTerminal(SilentTerminal&&) = delete;
  SilentTerminal& operator=(SilentTerminal&&) = delete;

  void say(const std::string& text) const {
    if (::write(file_, text.data(), text.size()) < 0) return; // the question is still waited for
  }
  [[nodiscard]] Secret line() const {
    constexpr std::size_t most = 1024;
    std::string typed;
    typed.reserve(most); // so that no copy stays behind
    for (char c = 0; typed.size() < most && ::read(file_, &c, 1) == 1 && c != '\n';)
      typed += c;
    say("\n");
    return Secret::taken_from(typed);
  }

 private:
  int file_;
  termios before_{};
};

} // namespace

Secret asked_passphrase(const std::string& prompt) {
  const SilentTerminal terminal;
  terminal.say(prompt + " ");
  return terminal.line();
}

Secret new_passphrase(const Words& words) {
  Secret first = asked_passphrase(words.text("record_new_passphrase"));
  const Secret second = asked_passphrase(words.text("record_again_passphrase"));
  if (first.text() != second.text())
    throw UserError(usage("the two passphrases differ", "type the same one twice"));
  return first;
}

} // namespace coldbag
