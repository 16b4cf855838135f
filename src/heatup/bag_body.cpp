#include "heatup/bag_body.h"

#include "errors/our_fault.h"
#include "quantity/print.h"
#include "substrate/conductivity.h"
#include "substrate/packing.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string_view>
#include <utility>

namespace coldbag {

HeatingTables read_heating_tables(const TableFiles& tables) {
  std::vector<Edition> editions = tables.editions();
  std::erase_if(editions, [](const Edition& edition) {
    return edition.name != "bag-heating.csv" && edition.name != "substrates.csv";
  });
  return {read_heating_figures(tables), read_materials(tables), VapourTable(), std::move(editions)};
}

namespace {

struct Shape {
  BagForm form = BagForm::brick;
  std::array<double, 3> half_m{};
  double volume_m3 = 0;
};

double brick_volume_m3(const std::array<double, 3>& half_m) {
  return 8 * half_m[0] * half_m[1] * half_m[2];
}

double column_volume_m3(const std::array<double, 3>& half_m) {
  return std::numbers::pi * half_m[0] * half_m[0] * 2 * half_m[1];
}

class Describer {
 public:
  Describer(const Bag& bag, std::optional<double> mass_kg, std::optional<double> moisture_wb,
            const HeatingTables& tables)
      : bag_(bag), tables_(tables), mass_kg_(mass_kg ? mass_kg : bag.mass_kg.value),
        moisture_wb_(moisture_wb ? moisture_wb : bag.moisture_wb.value),
        known_(material_of(tables.materials, bag.substrate.value.value_or(""))) {}

  DescribedBag describe() {
    check_given();
    if (!complaints_.empty()) throw UserError(std::move(complaints_));
    const Material& material = *known_.material;
    if (known_.is_assumed) assume("lag_assumed_substrate", {{"name", material.name}});
    if (!moisture_wb_) {
      moisture_wb_ = material.usual_moisture_wb;
      assume("lag_assumed_moisture", {{"moisture_fraction", *moisture_wb_}});
    }
    const Shape shape = shape_of();
    const Packing packing = pack(material, *mass_kg_, shape.volume_m3, *moisture_wb_);
    check_density(shape, packing);
    if (!complaints_.empty()) throw UserError(std::move(complaints_));
    if (moisture_is_stretched(material, *moisture_wb_))
      assume("lag_stretched_moisture", {{"moisture_fraction", *moisture_wb_},
                                        {"lowest_fraction", material.lowest_moisture_wb},
                                        {"highest_fraction", material.highest_moisture_wb}});
    if (density_is_stretched(material, packing))
      assume("lag_stretched_density", {{"dry_kg_per_m3", packing.dry_kg_per_m3},
                                       {"lowest_kg_per_m3", material.lowest_dry_kg_per_m3},
                                       {"highest_kg_per_m3", material.highest_dry_kg_per_m3}});
    const Closure closure = closure_of();
    DescribedBag out{.body = {.form = shape.form,
                              .half_m = shape.half_m,
                              .density_kg_per_m3 = *mass_kg_ / shape.volume_m3,
                              .mass_kg = *mass_kg_,
                              .enthalpy = Enthalpy(material, tables_.figures.water, *moisture_wb_),
                              .conductivity_W_per_mK = base_conductivity_W_per_mK(material, packing),
                              .vapour_share = vapour_share(packing, closure, tables_.figures.pores),
                              .film_W_per_m2K = films(shape.form),
                              .air_kept = tables_.figures.air_kept_in_pores,
                              .is_breathing = closure != Closure::sealed},
                     .packing = packing,
                     .material = material.key,
                     .description = fmt::format("{} of {}, {}, {}", form_text(shape.form), material.key,
                                                bag_.closure.value.value_or("breathing"),
                                                bag_.neighbours.value.value_or("apart")),
                     .assumptions = {}};
    out.assumptions = std::move(assumptions_);
    return out;
  }

 private:
  void assume(std::string key, SaidValues values) {
    assumptions_.push_back({std::move(key), std::move(values)});
  }
  void complain(const Place& place, std::string problem, std::string remedy) {
    complaints_.push_back({Trouble::bad_data, place, std::move(problem), std::move(remedy)});
  }
  /// As a site file or, where the bag stands in none, the command line has it.
  [[nodiscard]] std::string example(std::string_view key, std::string_view value) const {
    return bag_.place.source_name.empty() ? fmt::format("write for example --{} \"{}\"", key, value)
                                          : fmt::format("write for example {} = \"{}\"", key, value);
  }
  [[nodiscard]] const Place& mass_place() const {
    return bag_.mass_kg.known() ? bag_.mass_kg.place : bag_.place;
  }

  /// A side that the form does not have is a mistake in one of the two.
  void check_sides() {
    const bool is_round = bag_.form.value == "column" || (!bag_.form.known() && bag_.diameter_m.known());
    if (!is_round && bag_.diameter_m.known())
      complain(bag_.diameter_m.place, fmt::format("the form \"{}\" has no diameter", *bag_.form.value),
               "leave it out, or make the form \"column\"");
    for (const Stated<double>* side : {&bag_.length_m, &bag_.width_m})
      if (is_round && side->known())
        complain(side->place, "a column has a diameter and a height, no length and no width",
                 "leave it out, or make the form \"brick\" and leave out the diameter");
  }

  void check_given() {
    check_sides();
    if (bag_.form.value == "loose")
      complain(bag_.form.place, "steam passes through loose substrate; how a bag heats says nothing about it",
               R"(put a probe in its middle; form = "brick", "column" or "slab" are reckoned)");
    if (!mass_kg_)
      complain(mass_place(), "nobody said how heavy the bag is", example("mass", "2.3 kg"));
    else if (!(*mass_kg_ > 0))
      complain(mass_place(), fmt::format("a mass of {} kg is no bag", *mass_kg_), "above zero");
    if (moisture_wb_ && !(*moisture_wb_ >= 0 && *moisture_wb_ < 1))
      complain(bag_.moisture_wb.place, fmt::format("moisture of {} leaves nothing dry", *moisture_wb_),
               "water / moist mass, at least 0 and below 1, for example \"62 %\"");
  }

  void check_density(const Shape& shape, const Packing& packing) {
    const Material& material = *known_.material;
    const std::string told =
        fmt::format("{} kg at {} % moisture in {} litres", print_fixed(*mass_kg_, 2),
                    print_fixed(100 * *moisture_wb_, 0), print_fixed(1000 * shape.volume_m3, 2));
    if (packing.air_share < 0)
      complain(mass_place(), told + " is denser than its solids and water allow",
               fmt::format("at most {} kg fits: check mass, moisture and sides",
                           print_fixed(most_mass_kg(material, shape.volume_m3, *moisture_wb_), 2)));
    else if (packing.dry_kg_per_m3 < material.lowest_dry_kg_per_m3 / 2)
      complain(mass_place(), told + " is far lighter than any \"" + material.key + '"',
               fmt::format("at least {} kg of dry matter in a cubic metre: check mass, moisture and sides",
                           print_fixed(material.lowest_dry_kg_per_m3 / 2, 0)));
  }

  [[nodiscard]] Shape shape_of() {
    const bool has_sides = bag_.length_m.known() && bag_.width_m.known() && bag_.height_m.known();
    const std::string form = bag_.form.value.value_or(bag_.diameter_m.known() ? "column" : "brick");
    if (!bag_.form.known() && !bag_.diameter_m.known() && !has_sides)
      assume("lag_assumed_form", {{"form", form}});
    const double usual_m3 = *mass_kg_ / known_.material->usual_kg_per_m3;
    if (form == "column") return column(usual_m3);
    if (form == "slab") return slab(usual_m3);
    return brick(usual_m3, has_sides);
  }

  Shape brick(double usual_m3, bool has_sides) {
    const std::array<std::optional<double>, 3> given{bag_.length_m.value, bag_.width_m.value,
                                                     bag_.height_m.value};
    std::array<double, 3> half_m{};
    for (std::size_t i = 0; i < 3; ++i)
      half_m[i] = given[i].value_or(tables_.figures.usual_sides_m[i]) / 2;
    if (!has_sides) {
      // The sides that nobody measured share what the usual density leaves them.
      const auto unknown = std::ranges::count_if(given, [](const auto& side) { return !side.has_value(); });
      const double scale = std::pow(usual_m3 / brick_volume_m3(half_m), 1 / static_cast<double>(unknown));
      for (std::size_t i = 0; i < 3; ++i)
        if (!given[i]) half_m[i] *= scale;
      tell_sides(half_m);
    }
    return {BagForm::brick, half_m, brick_volume_m3(half_m)};
  }

  Shape column(double usual_m3) {
    const double usual_slenderness = tables_.figures.usual_slenderness;
    std::array<double, 3> half_m{};
    if (bag_.diameter_m.known()) {
      half_m[0] = *bag_.diameter_m.value / 2;
      const double area = std::numbers::pi * half_m[0] * half_m[0];
      half_m[1] = bag_.height_m.known() ? *bag_.height_m.value / 2 : usual_m3 / area / 2;
      if (!bag_.height_m.known())
        assume("lag_assumed_height",
               {{"height_m", 2 * half_m[1]}, {"kg_per_m3", known_.material->usual_kg_per_m3}});
    } else {
      half_m[1] = bag_.height_m.value.value_or(0) / 2;
      half_m[0] = bag_.height_m.known() ? std::sqrt(usual_m3 / (2 * std::numbers::pi * half_m[1]))
                                        : std::cbrt(usual_m3 / (2 * std::numbers::pi * usual_slenderness));
      if (!bag_.height_m.known()) half_m[1] = usual_slenderness * half_m[0];
      assume("lag_assumed_diameter", {{"diameter_m", 2 * half_m[0]},
                                      {"height_m", 2 * half_m[1]},
                                      {"kg_per_m3", known_.material->usual_kg_per_m3}});
    }
    return {BagForm::column, half_m, column_volume_m3(half_m)};
  }

  Shape slab(double usual_m3) {
    const double area = bag_.length_m.value.value_or(0) * bag_.width_m.value.value_or(0);
    std::array<double, 3> half_m{};
    if (bag_.height_m.known()) half_m[0] = *bag_.height_m.value / 2;
    if (half_m[0] > 0 && area > 0) return {BagForm::slab, half_m, 2 * half_m[0] * area};
    if (half_m[0] > 0) {
      assume("lag_assumed_density", {{"kg_per_m3", known_.material->usual_kg_per_m3}});
      return {BagForm::slab, half_m, usual_m3};
    }
    complain(bag_.form.place, "a slab needs its thickness", example("height", "15 cm"));
    throw UserError(std::move(complaints_));
  }

  void tell_sides(const std::array<double, 3>& half_m) {
    assume("lag_assumed_sides", {{"length_m", 2 * half_m[0]},
                                 {"width_m", 2 * half_m[1]},
                                 {"height_m", 2 * half_m[2]},
                                 {"kg_per_m3", known_.material->usual_kg_per_m3}});
  }

  [[nodiscard]] Closure closure_of() {
    if (!bag_.closure.known()) {
      assume("lag_assumed_closure", {});
      return Closure::breathing;
    }
    if (*bag_.closure.value == "sealed") return Closure::sealed;
    return *bag_.closure.value == "open" ? Closure::open : Closure::breathing;
  }

  /// Length and width (a column: round about) touch the neighbours at the sides, height those of the next
  /// layer.
  [[nodiscard]] std::array<double, 3> films(BagForm form) {
    const double free = tables_.figures.film_W_per_m2K;
    const double touching = tables_.figures.film_touching_W_per_m2K;
    const std::string near = bag_.neighbours.value.value_or("apart");
    if (!bag_.neighbours.known()) assume("lag_assumed_apart", {});
    if (near == "all") return {touching, touching, touching};
    if (near != "sides" || form == BagForm::slab) return {free, free, free};
    return form == BagForm::column ? std::array{touching, free, free} : std::array{touching, touching, free};
  }

  const Bag& bag_;
  const HeatingTables& tables_;
  std::optional<double> mass_kg_;
  std::optional<double> moisture_wb_;
  KnownMaterial known_;
  std::vector<Said> assumptions_;
  std::vector<Complaint> complaints_;
};

} // namespace

DescribedBag describe_bag(const Bag& bag, std::optional<double> mass_kg, std::optional<double> moisture_wb,
                          const HeatingTables& tables) {
  return Describer(bag, mass_kg, moisture_wb, tables).describe();
}

BagBody heavier(const BagBody& body, double mass_kg) {
  our_check(mass_kg > 0, "a bag has a mass");
  BagBody out = body;
  out.mass_kg = mass_kg;
  if (body.form == BagForm::slab) return out;
  const double scale = std::cbrt(mass_kg / body.mass_kg);
  for (double& half : out.half_m)
    half *= scale;
  return out;
}

} // namespace coldbag
