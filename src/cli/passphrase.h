// A passphrase, typed where nobody can read it off the screen.
#pragma once

#include "records/secret.h"
#include "report/words.h"

#include <string>

namespace coldbag {

/// Asks at the terminal itself, whatever standard input is, without showing what is typed. Throws UserError
/// (no_input) where there is no terminal.
[[nodiscard]] Secret asked_passphrase(const std::string& prompt);

/// The same twice. Throws UserError (usage) where the two differ.
[[nodiscard]] Secret new_passphrase(const Words& words);

} // namespace coldbag
