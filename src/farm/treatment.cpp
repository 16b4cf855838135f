#include "farm/treatment.h"

#include "farm/keyed.h"
#include "farm/treatment_tables.h"

#include <algorithm>
#include <array>
#include <set>
#include <utility>

namespace coldbag {

namespace {

constexpr std::array<std::pair<Basis, std::string_view>, 5> bases{
    {{Basis::published, "published"},
     {Basis::common_practice, "common practice"},
     {Basis::from_memory, "from memory"},
     {Basis::assumed, "assumed"},
     {Basis::site, "site"}}};

constexpr std::array<std::pair<Measure, std::string_view>, 9> measures{
    {{Measure::F, "F"},
     {Measure::hold, "hold"},
     {Measure::all_hot, "all_hot"},
     {Measure::minutes_at_or_above, "minutes_at_or_above"},
     {Measure::top, "top"},
     {Measure::over_boiling, "over_boiling"},
     {Measure::under_saturation, "under_saturation"},
     {Measure::moisture, "moisture"},
     {Measure::log_reduction, "log_reduction"}}};

constexpr double seconds_a_minute = 60;

template <class Pairs>
std::vector<std::string> words_of(const Pairs& pairs) {
  std::vector<std::string> words;
  words.reserve(pairs.size());
  for (const auto& pair : pairs)
    words.emplace_back(pair.second);
  return words;
}

Basis read_basis(KeyedTable& table) {
  const Stated<std::string> written = table.choice("basis", words_of(bases));
  if (written.asked) table.note_asked(written.place);
  return written.value ? *find_basis(*written.value) : Basis::site;
}

/// What a criterion's figures are written in.
std::optional<Dimension> dimension_of(Measure measure) {
  switch (measure) {
  case Measure::F:
  case Measure::hold:
  case Measure::all_hot:
  case Measure::minutes_at_or_above:
    return Dimension::duration;
  case Measure::top:
    return Dimension::temperature;
  case Measure::over_boiling:
  case Measure::under_saturation:
    return Dimension::temperature_difference;
  case Measure::moisture:
    return Dimension::fraction;
  case Measure::log_reduction:
    return {};
  }
  return {};
}

Bounds bounds_of(Measure measure) {
  if (measure == Measure::top) return {};
  return measure == Measure::moisture ? zero_to_one : above_zero;
}

/// A criterion's figure in the unit of its measure; "?" is refused, for nothing could be judged by it.
std::optional<double> read_figure(KeyedTable& table, std::string_view key, Measure measure) {
  const std::optional<Dimension> dimension = dimension_of(measure);
  const Stated<double> read =
      dimension ? table.quantity(key, *dimension, bounds_of(measure)) : table.number(key, bounds_of(measure));
  if (read.asked) table.complain(key, "a limit cannot be \"?\"", "state it, or leave the criterion out");
  if (!read.value) return {};
  return dimension == Dimension::duration ? *read.value / seconds_a_minute : *read.value;
}

Stated<double> required_quantity(KeyedTable& table, std::string_view key, Dimension dimension,
                                 const Bounds& bounds, const std::string& remedy) {
  Stated<double> read = table.quantity(key, dimension, bounds);
  if (read.asked)
    table.complain(key, std::string(key) + " cannot be \"?\"", remedy);
  else if (!table.has(key))
    table.complain(key, std::string(key) + " is missing", remedy);
  return read;
}

std::optional<Reference> read_reference(KeyedTable& above) {
  const bool there = above.has("reference");
  KeyedTable table = above.table("reference");
  if (!there || !above.is_table("reference")) return {};
  Reference reference;
  const auto at =
      required_quantity(table, "at", Dimension::temperature, {}, "write for example at = \"121.1 C\"");
  const auto z = required_quantity(table, "z", Dimension::temperature_difference, above_zero,
                                   "write for example z = \"10 K\"");
  reference.name = table.plain_text("name");
  if (reference.name.empty()) reference.name = "F";
  if (at.value) reference.at_degC = *at.value;
  if (z.value) reference.z_K = *z.value;
  table.finish();
  return reference;
}

/// A temperature that is written plainly ("88 C") or as a table with its basis.
struct Figure {
  std::optional<double> degC;
  std::optional<double> under_boiling_K;
  TreatmentFigure told;
};

Figure read_temperature_figure(KeyedTable& above, std::string_view key) {
  Figure figure;
  figure.told.name = key;
  figure.told.basis = Basis::site;
  if (!above.is_table(key)) {
    const Stated<double> plain = above.quantity(key, Dimension::temperature);
    if (plain.asked)
      above.complain(key, std::string(key) + " cannot be \"?\"",
                     "write for example " + std::string(key) + " = \"88 C\"");
    figure.degC = plain.value;
    return figure;
  }
  KeyedTable table = above.table(key);
  figure.degC =
      required_quantity(table, "value", Dimension::temperature, {}, "write for example value = \"88 C\"")
          .value;
  const bool may_follow_boiling = key == "setpoint";
  if (may_follow_boiling) {
    const Stated<double> under =
        table.quantity("under_boiling", Dimension::temperature_difference, zero_or_more);
    if (under.asked) table.note_asked(under.place);
    figure.under_boiling_K = under.value;
  }
  figure.told.basis = read_basis(table);
  figure.told.source = table.plain_text("source");
  figure.told.locator = table.plain_text("locator");
  table.finish();
  return figure;
}

/// The one limit that stands at a criterion.
void read_limit(KeyedTable& table, TreatmentCriterion& criterion) {
  const auto at_least = read_figure(table, "at_least", criterion.measure);
  const auto at_most = read_figure(table, "at_most", criterion.measure);
  const auto below = read_figure(table, "below", criterion.measure);
  std::optional<std::pair<double, double>> between;
  if (criterion.measure == Measure::moisture)
    between = table.quantity_band("between", Dimension::fraction, zero_to_one);
  else
    table.refuse("between", "only moisture has a band", "write two criteria, one at_least and one at_most");
  const int stated = int{table.has("at_least")} + int{table.has("at_most")} + int{table.has("below")} +
                     int{table.has("between")};
  if (stated != 1)
    table.complain("measure",
                   stated == 0 ? "the criterion has no limit" : "the criterion has more than one limit",
                   "give one of at_least, at_most, below or, for moisture, between");
  criterion.sense = at_least || between ? Sense::at_least : at_most ? Sense::at_most : Sense::below;
  criterion.required = at_least.value_or(at_most.value_or(below.value_or(0)));
  if (!between) return;
  criterion.required = between->first;
  criterion.required_to = between->second;
}

std::optional<HeavierBags> read_heavier(KeyedTable& above, Measure measure) {
  if (!above.has("heavier")) return {};
  KeyedTable table = above.table("heavier");
  if (!above.is_table("heavier")) return {};
  HeavierBags heavier;
  heavier.than_kg =
      required_quantity(table, "than", Dimension::mass, above_zero, "write for example than = \"3 kg\"")
          .value.value_or(0);
  const auto at_least = read_figure(table, "at_least", measure);
  if (!table.has("at_least"))
    table.complain("at_least", "at_least is missing", "write for example at_least = \"16 h\"");
  heavier.required = at_least.value_or(0);
  heavier.basis = read_basis(table);
  table.finish();
  return heavier;
}

/// Keys that only some measures have: read where they belong, refused elsewhere.
void read_particulars(KeyedTable& table, TreatmentCriterion& criterion) {
  const bool counts_level = criterion.measure == Measure::minutes_at_or_above;
  if (counts_level)
    criterion.level_degC =
        required_quantity(table, "level", Dimension::temperature, {}, "write for example level = \"118 C\"")
            .value;
  else
    table.refuse("level", "only minutes_at_or_above has a level",
                 "leave it out; the hold is counted from setpoint");
  if (criterion.measure == Measure::over_boiling || criterion.measure == Measure::under_saturation) {
    const Stated<double> held = table.quantity("for", Dimension::duration, zero_or_more);
    if (held.asked) table.note_asked(held.place);
    criterion.for_s = held.value;
  } else {
    table.refuse("for", "only over_boiling and under_saturation have \"for\"",
                 "write the time as the limit itself");
  }
  if (criterion.measure == Measure::log_reduction)
    criterion.organism = table.required_text("organism", "bacillus-cereus");
  else
    table.refuse("organism", "only log_reduction has an organism",
                 "leave it out, or write measure = \"log_reduction\"");
  if (criterion.measure == Measure::F)
    criterion.reference = read_reference(table);
  else
    table.refuse("reference", "only F has a reference", "leave it out");
  if (criterion.sense == Sense::at_least && !criterion.required_to)
    criterion.heavier = read_heavier(table, criterion.measure);
  else
    table.refuse("heavier", "only at_least may differ for heavier bags", "leave it out");
}

std::optional<TreatmentCriterion> read_criterion(KeyedTable& table) {
  TreatmentCriterion criterion;
  criterion.place = table.place();
  criterion.name = table.required_text("name", "hold");
  if (!table.has("measure"))
    table.complain("measure", "measure is missing", "write for example measure = \"hold\"");
  const Stated<std::string> measure = table.choice("measure", words_of(measures));
  const std::array<std::string, 2> on_miss_words{"fail", "caution"};
  const Stated<std::string> on_miss = table.choice("on_miss", on_miss_words);
  if (on_miss.asked) table.note_asked(on_miss.place);
  criterion.fails = on_miss.value != "caution";
  criterion.basis = read_basis(table);
  criterion.source = table.plain_text("source");
  criterion.locator = table.plain_text("locator");
  criterion.note = table.plain_text("note");
  // Without its measure nothing is known of the unit of the rest.
  if (!measure.value) {
    if (measure.asked)
      table.complain("measure", "measure cannot be \"?\"", "write for example measure = \"hold\"");
    return {};
  }
  criterion.measure = *find_measure(*measure.value);
  read_limit(table, criterion);
  read_particulars(table, criterion);
  table.finish();
  return criterion;
}

void read_criteria(KeyedTable& table, Treatment& treatment, bool has_reference) {
  std::set<std::string> names;
  bool wants_reference = false;
  std::vector<KeyedTable> tables = table.tables("criterion");
  if (tables.empty())
    table.complain("criterion", "the treatment has no criterion",
                   "add [[treatment.criterion]] with name, measure and a limit");
  for (KeyedTable& each : tables) {
    std::optional<TreatmentCriterion> criterion = read_criterion(each);
    if (!criterion) continue;
    if (!criterion->name.empty() && !names.insert(criterion->name).second)
      each.complain("name", "the treatment has two criteria \"" + criterion->name + '"',
                    "give each a name of its own");
    wants_reference = wants_reference || (criterion->measure == Measure::F && !criterion->reference);
    treatment.criteria.push_back(std::move(*criterion));
  }
  if (wants_reference && !has_reference)
    table.complain("reference", "F is asked, but reference is missing",
                   R"(write for example reference = { name = "F0", at = "121.1 C", z = "10 K" })");
}

void read_temperatures(KeyedTable& table, Treatment& treatment) {
  if (table.has("counts_from")) {
    Figure from = read_temperature_figure(table, "counts_from");
    treatment.counts_from_degC = from.degC;
    treatment.figures.push_back(std::move(from.told));
  } else {
    (void)table.text("counts_from");
  }
  if (!table.has("setpoint"))
    table.complain("setpoint", "setpoint is missing", "write for example setpoint = \"88 C\"");
  Figure setpoint = read_temperature_figure(table, "setpoint");
  treatment.setpoint_degC = setpoint.degC.value_or(0);
  treatment.setpoint_under_boiling_K = setpoint.under_boiling_K;
  treatment.figures.push_back(std::move(setpoint.told));
}

double span_or(KeyedTable& table, std::string_view key, double usual_s) {
  const Stated<double> read = table.quantity(key, Dimension::duration, zero_or_more);
  if (read.asked) table.note_asked(read.place);
  return read.value.value_or(usual_s);
}

void read_vessel_kinds(KeyedTable& table, Treatment& treatment) {
  treatment.vessel_kinds = table.texts("vessel_kinds");
  for (const std::string& kind : treatment.vessel_kinds)
    if (kind != "vented" && kind != "pressure-rated")
      table.complain("vessel_kinds", '"' + kind + "\" is no kind of vessel",
                     R"(write "vented", "pressure-rated" or both)");
  if (treatment.vessel_kinds.empty()) treatment.vessel_kinds = {"vented", "pressure-rated"};
}

std::string name_from_key(std::string key) {
  std::replace(key.begin(), key.end(), '_', ' ');
  return key;
}

Treatment read_treatment(KeyedTable& table) {
  Treatment treatment;
  treatment.place = table.place();
  treatment.key = table.required_text("key", "long_steam");
  treatment.name = table.plain_text("name");
  if (treatment.name.empty()) treatment.name = name_from_key(treatment.key);
  read_vessel_kinds(table, treatment);
  const std::optional<Reference> reference = read_reference(table);
  treatment.reference = reference.value_or(Reference{});
  read_temperatures(table, treatment);
  treatment.strict_hold = table.flag("strict_hold");
  treatment.join_s = span_or(table, "join", treatment.join_s);
  treatment.gap_s = span_or(table, "gap", treatment.gap_s);
  treatment.gap_by_hand_s = span_or(table, "gap_by_hand", treatment.gap_by_hand_s);
  treatment.needs_moist_wood_note = table.flag("needs_moist_wood_note");
  treatment.notes = table.texts("notes");
  read_criteria(table, treatment, reference.has_value());
  table.finish();
  return treatment;
}

} // namespace

std::string_view basis_text(Basis basis) {
  const auto* const found =
      std::find_if(bases.begin(), bases.end(), [&](const auto& pair) { return pair.first == basis; });
  return found == bases.end() ? std::string_view() : found->second;
}

std::optional<Basis> find_basis(std::string_view text) {
  const auto* const found =
      std::find_if(bases.begin(), bases.end(), [&](const auto& pair) { return pair.second == text; });
  if (found == bases.end()) return {};
  return found->first;
}

std::string_view measure_text(Measure measure) {
  const auto* const found =
      std::find_if(measures.begin(), measures.end(), [&](const auto& pair) { return pair.first == measure; });
  return found == measures.end() ? std::string_view() : found->second;
}

std::optional<Measure> find_measure(std::string_view text) {
  const auto* const found =
      std::find_if(measures.begin(), measures.end(), [&](const auto& pair) { return pair.second == text; });
  if (found == measures.end()) return {};
  return found->first;
}

std::vector<Treatment> read_treatment_tables(KeyedTable& root) {
  std::vector<Treatment> treatments;
  std::set<std::string> keys;
  for (KeyedTable& table : root.tables("treatment")) {
    treatments.push_back(read_treatment(table));
    const std::string& key = treatments.back().key;
    if (!key.empty() && !keys.insert(key).second)
      table.complain("key", "two treatments have the key \"" + key + '"', "give each a key of its own");
  }
  return treatments;
}

std::vector<Treatment> read_treatments(std::string_view source_name, std::string_view toml) {
  KeyedDocument document(source_name, toml);
  KeyedTable root = document.root();
  std::vector<Treatment> treatments = read_treatment_tables(root);
  root.finish();
  document.throw_complaints();
  return treatments;
}

const Treatment* find_treatment(const std::vector<Treatment>& treatments, std::string_view key) {
  const auto found = std::find_if(treatments.begin(), treatments.end(),
                                  [&](const Treatment& each) { return each.key == key; });
  return found == treatments.end() ? nullptr : &*found;
}

} // namespace coldbag
