// A line on standard error for what takes long.
#pragma once

#include "report/words.h"

#include <cstddef>
#include <memory>

namespace coldbag {

/// While it lives, shows how many of `total` are done, once that has taken a second and every half second
/// after; wiped at its end. Silent where standard error is no terminal.
class Progress {
 public:
  Progress(const Words& words, std::size_t total);
  ~Progress();
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;
  Progress(Progress&&) = delete;
  Progress& operator=(Progress&&) = delete;

  /// One more is done; from any thread.
  void add_one();

 private:
  class Shown;
  std::unique_ptr<Shown> shown_; ///< nothing where it is silent
};

} // namespace coldbag
