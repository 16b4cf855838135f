// The rows of a ledger in a database: SQLite in a file, or PostgreSQL. SQL stands here alone.
#pragma once

#include "tables/sha256.h"

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace coldbag {

/// What is signed and hashed of an entry, beside each other: the leaf alone is in the tree.
struct LedgerRow {
  std::uint64_t number = 0; ///< from 0: where its leaf stands in the tree
  std::string leaf;         ///< entry_leaf
  std::string id;           ///< leaf_hash of it, hexadecimal
  std::string root;         ///< of the tree with it, hexadecimal
  std::string frontier;     ///< Frontier::text after it
  std::string signature;    ///< signature_text of the tree's head
  std::string key;          ///< public_key_text of who signed
  bool operator==(const LedgerRow&) const = default;
};

/// What entries are looked for by; each can be worked out from the leaf, and is when a ledger is verified.
struct RowSubject {
  std::string kind;
  std::string run; ///< "" where it is about none
  std::string vessel;
  std::string treatment;
  std::string verdict;
  std::int64_t event_us = 0;
  std::int64_t entered_us = 0;
  bool operator==(const RowSubject&) const = default;
};

struct ListedRow {
  std::uint64_t number = 0;
  RowSubject subject;
  bool operator==(const ListedRow&) const = default;
};

/// A file kept with entries, once whatever their number.
struct StoredFile {
  Sha256 sha256{};
  std::uint64_t size_bytes = 0;
  std::string packed; ///< Zstandard, in base64
  Sha256 packed_sha256{};
  bool operator==(const StoredFile&) const = default;
};

struct NewRow {
  LedgerRow row;
  RowSubject subject;
  std::vector<StoredFile> files;
};

/// Empty members leave all; times are those of the event.
struct RowFilter {
  std::string kind, run, vessel, treatment, verdict;
  std::optional<std::int64_t> from_us, before_us;
};

/// A part of work that programs share.
struct SharedWork {
  std::uint64_t number = 0;
  std::optional<std::string> said;
  bool operator==(const SharedWork&) const = default;
};

/// An open ledger. Every function throws UserError (no_input, cannot_write, io, bad_data) with the words of
/// the database; nothing is half written then. Rows are only ever added: the database itself refuses to
/// change or remove one. One thread at a time.
class Store {
 public:
  /// A new one, empty: a file that is not there yet, or a PostgreSQL database (postgresql://) without a
  /// ledger.
  [[nodiscard]] static Store make(const std::string& where);
  /// One that is there.
  [[nodiscard]] static Store open(const std::string& where);
  ~Store();
  Store(Store&&) noexcept;
  Store& operator=(Store&&) noexcept;
  Store(const Store&) = delete;
  Store& operator=(const Store&) = delete;

  /// Adds what `make` makes of the last row (none in an empty ledger), all or nothing, while no other writer
  /// can: on the disk when it returns.
  void append(const std::function<std::vector<NewRow>(const std::optional<LedgerRow>& last)>& make);

  [[nodiscard]] std::uint64_t size() const;
  [[nodiscard]] std::optional<LedgerRow> row(std::uint64_t number) const;
  /// The number of the entry whose id this is.
  [[nodiscard]] std::optional<std::uint64_t> number_of(const std::string& id) const;
  /// Every row from `from` on, in order.
  void each_row(std::uint64_t from,
                const std::function<void(const LedgerRow&, const RowSubject&)>& visit) const;
  /// What `work` reads of the ledger is all of one moment, whatever others write meanwhile. `work` adds
  /// nothing.
  void at_one_moment(const std::function<void()>& work) const;
  /// Numbers and subjects of what the filter leaves, in order.
  [[nodiscard]] std::vector<ListedRow> list(const RowFilter& filter) const;
  [[nodiscard]] std::optional<StoredFile> file(const Sha256& sha256) const;
  /// Hashes of all files, in order.
  [[nodiscard]] std::vector<Sha256> file_hashes() const;

  /// Whether several programs can share work on this ledger: PostgreSQL alone.
  [[nodiscard]] bool can_share() const;
  /// Begins work of this name on these numbers, beside the ledger; where it is begun already it stays as it
  /// is.
  void begin_share(const std::string& name, const std::vector<std::uint64_t>& numbers);
  /// Takes a number that no other program has (by the lock of its row), does it and keeps what `work` says of
  /// it; false where none is to be had. What a program that died had is to be had again.
  bool take_share(const std::string& name, const std::function<std::string(std::uint64_t number)>& work);
  /// What was said of each number, in order; nothing yet of those that are being worked on.
  [[nodiscard]] std::vector<SharedWork> share(const std::string& name) const;

 private:
  struct Inside;
  explicit Store(std::unique_ptr<Inside> inside);
  std::unique_ptr<Inside> inside_;
};

} // namespace coldbag
