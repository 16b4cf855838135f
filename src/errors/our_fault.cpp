#include "errors/our_fault.h"

#include <string>

namespace coldbag {

void report_our_fault(const char* claim, std::source_location where) {
  const std::string file = where.file_name();
  const std::size_t from = file.rfind("src/");
  throw OurFault(std::string(claim) + " (" + (from == std::string::npos ? file : file.substr(from)) + ":" +
                 std::to_string(where.line()) + ")");
}

} // namespace coldbag
