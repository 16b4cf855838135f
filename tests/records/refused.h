// What a call complains of, as text; "" where it complains of nothing.
#pragma once

#include "errors/user_error.h"

#include <string>

namespace coldbag::test {

template <class Call>
[[nodiscard]] std::string refused(const Call& call) {
  try {
    (void)call();
  } catch (const UserError& error) {
    return error.what();
  }
  return "";
}

[[nodiscard]] inline bool says(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

} // namespace coldbag::test
