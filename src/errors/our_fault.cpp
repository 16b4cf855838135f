#include "errors/our_fault.h"

#include <string>

namespace coldbag {

void report_our_fault(const char* claim, CodePlace where) {
  const std::string file = where.file;
  const std::size_t from = file.rfind("src/");
  throw OurFault(std::string(claim) + " (" + (from == std::string::npos ? file : file.substr(from)) + ":" +
                 std::to_string(where.line) + ")");
}

} // namespace coldbag
