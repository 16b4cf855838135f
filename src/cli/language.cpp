#include "cli/language.h"

#include "report/layout.h"

namespace coldbag {

Words program_words(const TableFiles& tables) {
  return Words::read(tables, "en");
}

std::string language_remark(const Site& site, const Words& words) {
  if (site.language == "en") return "";
  return wrapped(
      words.text("remark_language", {{"file", clean(site.source_name)}, {"language", clean(site.language)}}),
      2);
}

} // namespace coldbag
