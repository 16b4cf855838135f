#include "records/zip.h"

#include "errors/user_error.h"

#include <archive.h>
#include <archive_entry.h>

#include <chrono>
#include <memory>
#include <utility>

namespace coldbag {

namespace {

struct Closes {
  void operator()(archive* of) const { archive_write_free(of); }
  void operator()(archive_entry* of) const { archive_entry_free(of); }
};

using Archive = std::unique_ptr<archive, Closes>;

[[noreturn]] void refuse(archive* of) {
  const char* error = archive_error_string(of);
  const std::string why = error == nullptr ? std::string() : error;
  Complaint complaint;
  complaint.trouble = Trouble::io;
  complaint.problem = "the zip could not be made: \"" + why + "\"";
  complaint.remedy = "name a folder instead";
  throw UserError(std::move(complaint));
}

la_ssize_t put(archive*, void* out, const void* bytes, std::size_t size) {
  static_cast<std::string*>(out)->append(static_cast<const char*>(bytes), size);
  return static_cast<la_ssize_t>(size);
}

void add(archive* to, const std::string& name, const std::string& bytes, Instant at) {
  constexpr unsigned everyone_reads = 0644;
  const std::unique_ptr<archive_entry, Closes> entry(archive_entry_new());
  archive_entry_set_pathname_utf8(entry.get(), name.c_str());
  archive_entry_set_filetype(entry.get(), AE_IFREG);
  archive_entry_set_perm(entry.get(), everyone_reads);
  archive_entry_set_size(entry.get(), static_cast<la_int64_t>(bytes.size()));
  archive_entry_set_mtime(entry.get(),
                          std::chrono::duration_cast<std::chrono::seconds>(at.time_since_epoch()).count(), 0);
  if (archive_write_header(to, entry.get()) != ARCHIVE_OK) refuse(to);
  if (archive_write_data(to, bytes.data(), bytes.size()) != static_cast<la_ssize_t>(bytes.size())) refuse(to);
}

} // namespace

std::string zip_bytes(const std::string& folder, const std::vector<KeptFile>& files, Instant at) {
  std::string out;
  const Archive to(archive_write_new());
  if (archive_write_set_format_zip(to.get()) != ARCHIVE_OK ||
      archive_write_set_options(to.get(), "zip:hdrcharset=UTF-8") != ARCHIVE_OK ||
      archive_write_set_bytes_in_last_block(to.get(), 1) != ARCHIVE_OK ||
      archive_write_open(to.get(), &out, nullptr, put, nullptr) != ARCHIVE_OK)
    refuse(to.get());
  for (const KeptFile& file : files)
    add(to.get(), folder + "/" + file.name, file.bytes, at);
  if (archive_write_close(to.get()) != ARCHIVE_OK) refuse(to.get());
  return out;
}

} // namespace coldbag
