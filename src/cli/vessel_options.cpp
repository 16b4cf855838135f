#include "cli/vessel_options.h"

#include "cli/options.h"

#include <boost/program_options.hpp>

namespace coldbag {

namespace po = boost::program_options;

void add_vessel_options(po::options_description& described) {
  const auto text = [] { return po::value<std::string>(); };
  described.add_options()("altitude", text(), "\"1150 m\"")("pressure-at-site", text(),
                                                            "barometer as it stands: \"88.2 kPa\"")(
      "vented", "the vessel is open to the air")("rated", text(), "it is pressure-rated: \"15 psi gauge\"");
}

VesselOptions read_vessel_options(const po::variables_map& given) {
  VesselOptions options;
  const auto text = [&](const char* name) { return given[name].as<std::string>(); };
  if (given.count("altitude")) {
    const Parsed height = parse_quantity(text("altitude"), Dimension::length);
    if (!height.value)
      throw UserError(usage("--altitude: " + height.problem, "write for example --altitude \"1150 m\""));
    options.altitude_m = height.value;
    if (*options.altitude_m < -500 || *options.altitude_m > 9000)
      throw UserError(
          usage("--altitude: outside -500 to 9,000 m", "write for example --altitude \"1150 m\""));
  }
  if (given.count("pressure-at-site")) {
    options.site_pressure_Pa =
        quantity_option("pressure-at-site", text("pressure-at-site"), Dimension::pressure);
    if (*options.site_pressure_Pa < 30000 || *options.site_pressure_Pa > 120000)
      throw UserError(usage("--pressure-at-site: outside 30 to 120 kPa",
                            "write the barometer's absolute reading, for example \"88.2 kPa\""));
  }
  if (given.count("vented") && given.count("rated"))
    throw UserError(
        usage("--vented and --rated contradict each other", "say which of the two the vessel is"));
  if (given.count("vented")) options.kind = VesselKind::vented;
  if (given.count("rated")) {
    options.kind = VesselKind::pressure_rated;
    const ParsedPressure rating = parse_pressure(text("rated"));
    if (!rating.parsed.value)
      throw UserError(usage("--rated: " + rating.parsed.problem, rating.parsed.remedy));
    if (rating.kind != PressureKind::gauge)
      throw UserError(
          usage("--rated: a rating is a gauge pressure", "write for example --rated \"15 psi gauge\""));
    options.rating_gauge_Pa = rating.parsed.value;
  }
  return options;
}

} // namespace coldbag
