// A ledger of invented runs, small and always the same.
#pragma once

#include "records/ledger.h"
#include "records/made_entry.h"
#include "records/made_keys.h"
#include "records/verify.h"

#include <optional>
#include <string>
#include <vector>

namespace coldbag::test {

[[nodiscard]] inline Entry first_entry() {
  Entry entry = made_entry();
  entry.content = R"({"site":"an invented farm"})";
  entry.refers_to.clear();
  return entry;
}

/// The n-th run; invented.
[[nodiscard]] inline Entry run_entry(int n) {
  Entry entry = first_entry();
  entry.content = R"({"run":"invented-)" + std::to_string(n) +
                  R"(","treatment":"sterilize","verdict":"PASS","vessel":"room"})";
  entry.event_at.at += std::chrono::hours(24 * n);
  entry.entered_at.at += std::chrono::hours(24 * n);
  return entry;
}

[[nodiscard]] inline std::vector<KeptFile> files_of(int n) {
  return {{"log.csv", "time,core\n00:00,2" + std::to_string(n) + "\n"}, {"farm.toml", "[site]\n"}};
}

inline Store made_ledger(const std::string& where, int runs) {
  const SigningKey key = key_of_letter('k');
  Store store = Store::make(where);
  begin_ledger(store, key, first_entry());
  for (int n = 1; n <= runs; ++n)
    add_entry(store, key, run_entry(n), files_of(n));
  return store;
}

[[nodiscard]] inline std::optional<LedgerFault> fault_of(const Store& store,
                                                         const std::vector<TreeHead>& seals = {}) {
  return verify_ledger(store, seals).fault;
}

} // namespace coldbag::test
