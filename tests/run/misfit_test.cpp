// What the files of a run say against each other is refused on the way in, all of it at once.
#include "made_run.h"

#include <doctest/doctest.h>

using namespace coldbag;
using namespace coldbag::test;

namespace {

// Invented.
const char* const site_toml = R"toml([site]
altitude = "1150 m"
[vessels.north]
kind = "vented"
[bags.brick]
)toml";

std::string complaint_of(const std::string& run_keys, RunOptions options = {}) {
  RunRequest request;
  request.options = std::move(options);
  request.site = NamedText{"site.toml", site_toml};
  request.run_file = NamedText{"run.toml", "[run]\n" + run_keys + "\n[[log]]\nfile = \"made.csv\"\n"};
  request.logs.push_back(Source::memory("made.csv", made_log_text(3)));
  try {
    (void)open_run(std::move(request), TableFiles::built_in());
  } catch (const UserError& error) {
    return error.what();
  }
  return "";
}

} // namespace

TEST_CASE("a run that fits its site is opened") {
  CHECK(
      complaint_of("vessel = \"north\"\ntreatment = \"sterilize\"\npressure_at_site = \"88.2 kPa\"").empty());
}

TEST_CASE("a vessel and a treatment that are not there are refused together, the nearest named") {
  const std::string message = complaint_of("vessel = \"noth\"\ntreatment = \"sterilise\"");
  CHECK(message.find("no treatment \"sterilise\"; did you mean sterilize?") != std::string::npos);
  CHECK(message.find("called \"noth\"; did you mean north?") != std::string::npos);
}

TEST_CASE("a treatment of the command line goes before that of the run file, known or not") {
  RunOptions options;
  options.treatment = "nothing_like_it";
  const std::string message = complaint_of("treatment = \"sterilize\"", options);
  CHECK(message.find("there is no treatment \"nothing_like_it\"") != std::string::npos);
  CHECK(message.find("compost") != std::string::npos); // all of them are named
}

TEST_CASE("a barometer is held against the altitude that counts, be it the site's or the command line's") {
  CHECK(complaint_of("pressure_at_site = \"101.3 kPa\"").find("does not fit the altitude") !=
        std::string::npos);
  RunOptions options;
  options.altitude_m = 0;
  CHECK(complaint_of("pressure_at_site = \"101.3 kPa\"", options).empty());
  options.site_pressure_Pa = 88200;
  CHECK(complaint_of("", options).find("88.2 kPa does not fit the altitude") != std::string::npos);
}
