// Runs brought from another ledger, with what that ledger proves of them.
#pragma once

#include "records/entry.h"
#include "records/import_json.h"
#include "records/ledger.h"
#include "records/store.h"

#include <cstdint>
#include <string>
#include <vector>

namespace coldbag {

/// A run of another ledger.
struct ForeignRun {
  std::string leaf;
  std::vector<KeptFile> files;
  InclusionProof proof;
  Signature signature;
  PublicKey key;
};

/// The run of an export's files ("entry.json", "proof.txt", "head.json", "head.sig", "key.pem",
/// "files/log.csv"). Throws UserError where one is missing or what they show does not hold.
[[nodiscard]] ForeignRun foreign_run(const std::vector<KeptFile>& exported);

/// Runs of a ledger and how many others were there already.
struct Imported {
  std::uint64_t added = 0;
  std::uint64_t there = 0;
};

/// Adds every run of `from` that `to` does not have, each as an entry of kind "import" with its files, the
/// foreign entry itself and its proof. `by`: who and when; its kind, content, files and time of the event are
/// set. Nothing of `from` is verified here. A break in between leaves whole entries, to be gone on with.
[[nodiscard]] Imported import_ledger(const Store& from, Store& to, const SigningKey& key, const Entry& by);

/// The same of one run.
[[nodiscard]] Imported import_run(const ForeignRun& run, Store& to, const SigningKey& key, const Entry& by);

/// The leaf of a run's entry: its own, or of an imported one the foreign one, whose hash is looked at.
[[nodiscard]] std::string run_leaf(const Store& store, const LedgerRow& row);

/// What does not hold of an imported entry, "" where all does: its proof, the signature, the foreign entry
/// and that its files are kept, and that it is listed as what it is.
[[nodiscard]] std::string wrong_with_import(const Store& store, const Entry& entry);

} // namespace coldbag
