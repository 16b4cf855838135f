#include "cli/progress.h"

#include <chrono>
#include <condition_variable>
#include <cstdio>
#include <mutex>
#include <thread>
#include <unistd.h>

namespace coldbag {

class Progress::Shown {
 public:
  Shown(const Words& words, std::size_t total)
      : words_(words), total_(total), thread_([this] { show_until_over(); }) {}

  Shown(const Shown&) = delete;
  Shown& operator=(const Shown&) = delete;
  Shown(Shown&&) = delete;
  Shown& operator=(Shown&&) = delete;

  ~Shown() {
    {
      const std::lock_guard lock(mutex_);
      is_over_ = true;
    }
    changed_.notify_one();
    thread_.join();
  }

  void add_one() {
    const std::lock_guard lock(mutex_);
    ++done_;
  }

 private:
  void show_until_over() {
    using namespace std::chrono_literals;
    const auto is_over = [this] { return is_over_; };
    std::unique_lock lock(mutex_);
    if (changed_.wait_for(lock, 1s, is_over)) return;
    do
      show();
    while (!changed_.wait_for(lock, 500ms, is_over));
    std::fputs("\r\x1b[K", stderr);
    std::fflush(stderr);
  }

  void show() {
    const auto so_far = std::chrono::steady_clock::now() - start_;
    const auto seconds = std::chrono::duration_cast<std::chrono::seconds>(so_far).count();
    const std::string line =
        words_.text("progress", {{"done", std::to_string(done_)},
                                 {"total", std::to_string(total_)},
                                 {"elapsed", print_duration(static_cast<double>(seconds))}});
    std::fprintf(stderr, "\r%s\x1b[K", line.c_str());
    std::fflush(stderr);
  }

  const Words& words_;
  std::size_t total_;
  std::size_t done_ = 0;
  bool is_over_ = false;
  std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
  std::mutex mutex_;
  std::condition_variable changed_;
  std::thread thread_; // last: it uses all that stands above
};

Progress::Progress(const Words& words, std::size_t total) {
  if (isatty(STDERR_FILENO) != 0) shown_ = std::make_unique<Shown>(words, total);
}

Progress::~Progress() = default;

void Progress::add_one() {
  if (shown_) shown_->add_one();
}

} // namespace coldbag
