#include "cli/vessel_options.h"

#include "cli/options.h"
#include "steam/atmosphere.h"

#include <boost/program_options.hpp>

#include <fmt/format.h>

namespace coldbag {

namespace po = boost::program_options;

void add_vessel_options(po::options_description& described) {
  const auto text = [] { return po::value<std::string>(); };
  described.add_options()("altitude", text(), "\"1150 m\"")("pressure-at-site", text(),
                                                            "barometer as it stands: \"88.2 kPa\"")(
      "vented", "the vessel is open to the air")("rated", text(), "it is pressure-rated: \"15 psi gauge\"");
}

VesselOptions read_vessel_options(const Given& given) {
  VesselOptions options;
  if (given.has("altitude")) options.altitude_m = altitude_option(given.text("altitude"));
  if (given.has("pressure-at-site")) {
    options.site_pressure_Pa =
        quantity_option("pressure-at-site", given.text("pressure-at-site"), Dimension::pressure);
    if (!is_site_pressure(*options.site_pressure_Pa))
      refuse_option("pressure-at-site", fmt::format("not {}", site_pressure_words),
                    "write the barometer's absolute reading, for example \"88.2 kPa\"");
  }
  if (given.has("vented") && given.has("rated"))
    throw UserError(
        usage("--vented and --rated contradict each other", "say which of the two the vessel is"));
  if (given.has("vented")) options.kind = VesselKind::vented;
  if (given.has("rated")) {
    options.kind = VesselKind::pressure_rated;
    const ParsedPressure rating = parse_pressure(given.text("rated"));
    if (!rating.parsed.value) refuse_option("rated", rating.parsed.problem, rating.parsed.remedy);
    if (rating.kind != PressureKind::gauge)
      throw UserError(
          usage("--rated: a rating is a gauge pressure", "write for example --rated \"15 psi gauge\""));
    options.rating_gauge_Pa = rating.parsed.value;
  }
  return options;
}

} // namespace coldbag
