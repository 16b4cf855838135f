#include "farm/fit.h"
#include "farm/load.h"
#include "farm/run_file.h"
#include "farm/site.h"

#include "file_text.h"

#include <doctest/doctest.h>

#include <string>

using namespace coldbag;

namespace {

/// The first block of this kind on a page.
std::string example(const std::string& page, const std::string& kind) {
  const std::string text = test::source_file_text("docs/formats/" + page);
  const std::string fence = "```" + kind + "\n";
  const std::size_t begin = text.find(fence);
  REQUIRE(begin != std::string::npos);
  return text.substr(begin + fence.size(), text.find("```", begin + fence.size()) - begin - fence.size());
}

} // namespace

TEST_CASE("the examples on the pages of the formats are taken, and fit each other") {
  const Site site = read_site("site.toml", example("site-file.md", "toml"));
  CHECK(unanswered(site).size() == 1);
  const RunFile run = read_run_file("run.toml", example("run-file.md", "toml"));
  CHECK(run.load->bag_count() == 24);
  const Load load = read_load_csv("load.csv", example("run-file.md", "csv"));
  CHECK(load.bag_count() == 120);
  check_fit(site, run, load);
}
