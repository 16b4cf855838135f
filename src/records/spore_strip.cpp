#include "records/spore_strip.h"

#include "kinetics/survivors.h"
#include "records/logistic.h"
#include "records/run_outcome.h"

namespace coldbag {

StripResult strip_result(const FieldTexts& fields, const OrganismResult* organism,
                         const TrendFigures& figures) {
  StripResult out;
  out.organism = out.organism_name = field_text(fields, "organism");
  out.where = field_text(fields, "where");
  out.strips = field_count(fields, "strips");
  out.grown = field_count(fields, "grown");
  out.control_strips = field_count(fields, "control_strips");
  out.control_grown = field_count(fields, "control_grown");
  const int population = field_count(fields, "population");
  if (organism != nullptr) {
    out.organism_name = organism->name;
    out.beyond_range = organism->beyond_range;
  }
  if (organism != nullptr && population > 0) {
    out.left_on_each = survivors(population, organism->decades);
    out.most_left_on_each = survivors(population, organism->decades_lower);
    out.expected_grown = out.strips * chance_of_any(*out.left_on_each);
    out.most_expected_grown = out.strips * chance_of_any(*out.most_left_on_each);
  }
  using enum StripResult::Says;
  if (out.control_grown == 0)
    out.says = nothing;
  else if (out.control_grown < out.control_strips)
    out.says = little;
  else if (out.grown == 0)
    out.says = clean;
  else if (!out.most_left_on_each)
    out.says = grew_unknown;
  else
    out.says =
        chance_of_at_least(out.grown, out.strips, chance_of_any(*out.most_left_on_each)) < figures.strip_doubt
            ? beyond
            : as_foretold;
  return out;
}

} // namespace coldbag
