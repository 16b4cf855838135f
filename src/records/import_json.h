// What an entry holds that was brought from another ledger: how that ledger proved it.
#pragma once

#include "records/keys.h"
#include "records/proof_text.h"

#include <string>
#include <string_view>

namespace coldbag {

/// The run's name, vessel, treatment and verdict are those of the foreign entry, so that it is found.
struct ImportContent {
  std::string run;
  std::string vessel;
  std::string treatment;
  std::string verdict;
  std::string leaf;     ///< name of the attachment that is the foreign entry, byte for byte
  InclusionProof proof; ///< of that entry in its ledger
  Signature signature;  ///< of that ledger's head
  PublicKey key;        ///< which signed it
  bool operator==(const ImportContent&) const = default;
};

/// In canonical JSON.
[[nodiscard]] std::string import_content_json(const ImportContent& content);
/// What import_content_json wrote. Throws UserError where it is anything else, or its proof does not hold.
[[nodiscard]] ImportContent read_import_content(std::string_view source_name, std::string_view json);

} // namespace coldbag
