#include "cli/command.h"

int main(int argc, char** argv) {
  return coldbag::run_program({argv + 1, argv + (argc > 0 ? argc : 1)});
}
