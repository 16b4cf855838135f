// Adds small invented entries to a ledger as fast as it takes them, and prints the number of each once it is
// added.
//
// usage: append_entries LEDGER COUNT SEED [make]
#include "errors/user_error.h"
#include "records/made_ledger.h"

#include <cstdlib>
#include <iostream>
#include <random>
#include <string>

namespace {

using namespace coldbag;
using namespace coldbag::test;

/// Noise, which nothing makes smaller: now and then a long one, so that a writer can be met in its midst.
std::string bytes_of(std::mt19937& random) {
  std::string bytes(random() % 8 == 0 ? random() % 400000 : random() % 400, '\0');
  for (char& byte : bytes)
    byte = static_cast<char>(random() & 0xFFU);
  return bytes;
}

void append(const std::string& where, int count, unsigned seed, bool makes) {
  const SigningKey key = key_of_letter('k');
  Store store = makes ? Store::make(where) : Store::open(where);
  if (makes) begin_ledger(store, key, first_entry());
  std::mt19937 random(seed);
  for (int n = 0; n < count; ++n) {
    const auto which = static_cast<int>(random() % 1000);
    const std::uint64_t number = add_entry(store, key, run_entry(which), {{"log.csv", bytes_of(random)}});
    std::cout << number << std::endl;
  }
}

} // namespace

int main(int count, char** arguments) {
  if (count < 4) return 64;
  try {
    append(arguments[1], std::atoi(arguments[2]), static_cast<unsigned>(std::atoi(arguments[3])), count > 4);
    return 0;
  } catch (const UserError& error) {
    std::cerr << error.what() << std::endl;
    return static_cast<int>(error.complaints().front().trouble);
  }
}
