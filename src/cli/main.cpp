#include "cli/command.h"

#include <csignal>

int main(int argc, char** argv) {
  // A file that may not grow is then told of like a full disk.
  std::signal(SIGXFSZ, SIG_IGN); // NOLINT(cert-err33-c): there is no other handler to keep
  return coldbag::run_program({argv + 1, argv + (argc > 0 ? argc : 1)});
}
