#include "records/copy.h"

#include "errors/user_error.h"
#include "records/ledger.h"

#include <set>
#include <utility>
#include <vector>

namespace coldbag {

namespace {

// One transaction; each waits for the disk.
constexpr std::size_t most_rows = 100;
constexpr std::size_t most_bytes = 33554432;

UserError is_another() {
  return UserError(bad_data("the ledger that is copied to is not how the other one begins",
                            "copy to a new one; and look which of the two is whole"));
}

/// Whether every row of `to` is the row of `from` with its number; how many there are, and the last.
std::optional<LedgerRow> checked_last(const Store& from, const Store& to) {
  std::optional<LedgerRow> last;
  to.each_row(0, [&](const LedgerRow& row, const RowSubject&) {
    if (from.row(row.number) != row) throw is_another();
    last = row;
  });
  return last;
}

class Copier {
 public:
  Copier(const Store& from, Store& to, std::optional<LedgerRow> last)
      : from_(from), to_(to), last_(std::move(last)) {}

  void take(const LedgerRow& row, const RowSubject& subject) {
    NewRow made{row, subject, {}};
    for (const Attachment& attachment : entry_of(row).attachments) {
      if (!seen_.insert(attachment.sha256).second) continue;
      std::optional<StoredFile> file = from_.file(attachment.sha256);
      if (!file)
        throw UserError(bad_data("the file \"" + attachment.name + "\" is not in the ledger",
                                 "take a copy of the ledger that is whole"));
      bytes_ += file->packed.size();
      made.files.push_back(std::move(*file));
    }
    bytes_ += row.leaf.size();
    rows_.push_back(std::move(made));
    if (rows_.size() >= most_rows || bytes_ >= most_bytes) put();
  }

  void put() {
    if (rows_.empty()) return;
    to_.append([&](const std::optional<LedgerRow>& last) {
      if (last != last_)
        throw UserError(
            bad_data("another program adds to the ledger that is copied to", "copy when nobody else does"));
      return rows_;
    });
    last_ = rows_.back().row;
    added_ += rows_.size();
    rows_.clear();
    bytes_ = 0;
  }

  [[nodiscard]] std::uint64_t added() const { return added_; }

 private:
  const Store& from_;
  Store& to_;
  std::optional<LedgerRow> last_;
  std::vector<NewRow> rows_;
  std::size_t bytes_ = 0;
  std::uint64_t added_ = 0;
  std::set<Sha256> seen_;
};

} // namespace

Copied copy_ledger(const Store& from, Store& to) {
  const std::optional<LedgerRow> last = checked_last(from, to);
  Copied out;
  out.there = last ? last->number + 1 : 0;
  Copier copier(from, to, last);
  from.each_row(out.there,
                [&](const LedgerRow& row, const RowSubject& subject) { copier.take(row, subject); });
  copier.put();
  out.added = copier.added();
  return out;
}

} // namespace coldbag
