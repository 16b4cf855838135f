#include "report/sheet_text.h"

#include "errors/our_fault.h"
#include "quantity/print.h"
#include "report/figures.h"
#include "report/layout.h"
#include "report/sheet_grid.h"
#include "report/sheet_lines.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace coldbag {

namespace {

constexpr std::size_t third_of_sheet = 25;
constexpr std::size_t event_name = 14;

/// Lines that stay together on a page.
using Blocks = std::vector<PrintedLines>;

/// As many blocks as the room takes, out of `blocks`, with a blank line between two as far as there is room.
PrintedLines taken(Blocks& blocks, std::size_t room) {
  std::size_t used = 0, count = 0;
  while (count < blocks.size() && (count == 0 || used + blocks[count].size() <= room))
    used += blocks[count++].size();
  PrintedLines out;
  for (std::size_t i = 0; i < count; ++i) {
    if (i > 0 && used < room) {
      out.emplace_back();
      ++used;
    }
    append_lines(out, blocks[i]);
  }
  blocks.erase(blocks.begin(), blocks.begin() + static_cast<std::ptrdiff_t>(count));
  return out;
}

/// Two sentences, either of which may be empty.
std::string after(const std::string& first, const std::string& second) {
  return first + (first.empty() || second.empty() ? "" : " ") + second;
}

/// The parts of a sheet that stand before and behind its readings.
class SheetParts {
 public:
  SheetParts(const RunSheet& sheet, const Words& words) : sheet_(sheet), words_(words) {}

  /// What stands on the front, in its order; a block stays together.
  [[nodiscard]] Blocks front() const {
    PrintedLines head{"", run_and_date(), ""};
    append_lines(head, vessel());
    append_lines(head, treatment());
    for (const SheetBags& bags : sheet_.bags)
      append_lines(head, bags_of(bags));
    return {std::move(head), list(sheet_.cautions), events(), places(),
            sheet_paragraph(words_.text("sheet_how_to_write"))};
  }

  [[nodiscard]] Blocks back() const {
    PrintedLines what_to_do{"", run_and_date(), "", words_.text("sheet_heading_what_to_do")};
    append_lines(what_to_do, list(sheet_.if_it_happens));
    return {std::move(what_to_do), disposition(), signature("sheet_operator_means"),
            signature("sheet_reviewer_means"), typing()};
  }

  /// What is to be looked at with every reading, on a line or two.
  [[nodiscard]] PrintedLines reminders() const {
    std::string all;
    for (const Said& one : sheet_.reminders)
      all = after(all, said(one));
    return sheet_paragraph(all);
  }

  /// What tells of a page that lies alone to which run it belongs.
  [[nodiscard]] std::string run_and_date() const {
    return without_blanks_at_end(
        side_by_side(sheet_field(words_.text("sheet_field_run"), clean(sheet_.run_name), half_of_sheet),
                     sheet_field(words_.text("sheet_field_date"), date(), half_of_sheet)));
  }

 private:
  [[nodiscard]] bool is_us() const { return sheet_.units == UnitSystem::us; }

  [[nodiscard]] std::string date() const {
    if (!sheet_.start || !sheet_.start->has_date) return "";
    return print_iso_wall(sheet_.start->at).substr(0, 10);
  }

  [[nodiscard]] std::string said(const Said& one) const { return said_text(words_, sheet_.units, one); }

  [[nodiscard]] PrintedLines list(const std::vector<Said>& all) const {
    PrintedLines out;
    for (const Said& one : all)
      append_lines(out, sheet_item(said(one)));
    return out;
  }

  [[nodiscard]] std::string kind_text() const {
    if (!sheet_.vessel_kind) return "";
    if (*sheet_.vessel_kind == VesselKind::vented) return words_.text("sheet_vessel_vented");
    if (!sheet_.rating_gauge_Pa) return words_.text("sheet_vessel_pressure_rated");
    return words_.text("sheet_vessel_rated",
                       {{"rating", print_pressure(*sheet_.rating_gauge_Pa, sheet_.units)}});
  }

  [[nodiscard]] std::string boiling_text() const {
    if (!sheet_.altitude_m || !sheet_.boiling_degC) return "";
    return words_.text("boils_at_altitude",
                       {{"altitude_m", print_altitude(*sheet_.altitude_m, sheet_.units)},
                        {"boiling_degC", print_temperature(*sheet_.boiling_degC, sheet_.units)}});
  }

  /// The vessel and what must be known of it; asked where it is not.
  [[nodiscard]] PrintedLines vessel() const {
    PrintedLines out{without_blanks_at_end(side_by_side(
        sheet_field(words_.text("sheet_field_vessel"), clean(sheet_.vessel), half_of_sheet),
        sheet_field(words_.text("sheet_field_operator"), clean(sheet_.operator_name), half_of_sheet)))};
    append_lines(out, sheet_paragraph(after(kind_text(), boiling_text())));
    const std::string unit = words_.text(is_us() ? "sheet_unit_psi_gauge" : "sheet_unit_kpa_gauge");
    const bool lacks_rating = sheet_.vessel_kind == VesselKind::pressure_rated && !sheet_.rating_gauge_Pa;
    if (!sheet_.vessel_kind || lacks_rating)
      append_lines(out,
                   {"", sheet_field(words_.text(lacks_rating ? "sheet_field_rating" : "sheet_field_kind"), "",
                                    columns_of_sheet, unit)});
    if (!sheet_.altitude_m)
      append_lines(out, {"", sheet_field(words_.text("sheet_field_altitude"), "", half_of_sheet,
                                         words_.text(is_us() ? "sheet_unit_feet" : "sheet_unit_metres"))});
    return out;
  }

  [[nodiscard]] PrintedLines treatment() const {
    const std::string label = words_.text("sheet_field_treatment");
    if (sheet_.treatment.empty())
      return {"", sheet_field(label, "", columns_of_sheet), "",
              sheet_field(words_.text("sheet_field_required"), "", columns_of_sheet)};
    PrintedLines out{""};
    append_lines(out, sheet_paragraph(label + " " + named(words_, "treatment", clean(sheet_.treatment)), 2));
    append_lines(out, list(sheet_.requirements));
    return out;
  }

  [[nodiscard]] PrintedLines bags_of(const SheetBags& bags) const {
    const std::string count = bags.count ? std::to_string(*bags.count) : "";
    const std::string mass = bags.mass_kg ? print_mass(*bags.mass_kg, sheet_.units) : "";
    const std::string moisture = bags.moisture_wb ? fmt::format("{:.0f} %", 100 * *bags.moisture_wb) : "";
    const std::string unit = words_.text(is_us() ? "sheet_unit_pounds" : "sheet_unit_kilograms");
    return {"",
            without_blanks_at_end(
                side_by_side(sheet_field(words_.text("sheet_field_bags"), clean(bags.kind), half_of_sheet),
                             sheet_field(words_.text("sheet_field_lot"), clean(bags.lot), half_of_sheet))),
            "",
            without_blanks_at_end(
                sheet_field(words_.text("sheet_field_count"), count, third_of_sheet) + " " +
                sheet_field(words_.text("sheet_field_mass"), mass, third_of_sheet, unit) + " " +
                sheet_field(words_.text("sheet_field_moisture"), moisture, third_of_sheet, "%"))};
  }

  [[nodiscard]] std::string event_entry(std::size_t i) const {
    const std::string name =
        i < sheet_.events.size()
            ? padded(words_.text(fmt::format("event_{}", event_text(sheet_.events[i]))), event_name)
            : std::string(event_name, '_');
    return name + " _______ _______ ____";
  }

  /// Two columns of what happens in a run, each with room for date, time and initials.
  [[nodiscard]] PrintedLines events() const {
    const std::string asked = padded(words_.text("sheet_event_date"), 8) +
                              padded(words_.text("sheet_event_time"), 8) +
                              words_.text("sheet_event_initials");
    PrintedLines out{side_by_side(padded(words_.text("sheet_heading_events"), event_name + 1) + asked,
                                  padded("", event_name + 1) + asked)};
    const std::size_t left = (sheet_.events.size() + 1) / 2;
    for (std::size_t i = 0; i < left; ++i)
      append_lines(out, {"", side_by_side(event_entry(i), event_entry(left + i))});
    return out;
  }

  /// Where each probe sits; what nobody said is asked, two to a line.
  [[nodiscard]] PrintedLines places() const {
    PrintedLines out{words_.text("sheet_heading_places")};
    std::vector<std::string> asked;
    for (const SheetProbe& probe : sheet_.probes) {
      std::string place = clean(probe.column);
      if (probe.role != ProbeRole::unstated)
        place = words_.text("sheet_place", {{"probe", place}, {"role", role_name(words_, probe.role)}});
      if (!probe.position.empty())
        out.push_back(cut("- " + place + ": " + clean(probe.position), columns_of_sheet));
      else
        asked.push_back(sheet_field(cut(place, half_of_sheet - 12), "", half_of_sheet));
    }
    for (std::size_t i = 0; i < asked.size(); i += 2)
      append_lines(
          out, {"", without_blanks_at_end(side_by_side(asked[i], i + 1 < asked.size() ? asked[i + 1] : ""))});
    return out;
  }

  [[nodiscard]] PrintedLines disposition() const {
    PrintedLines out = sheet_paragraph(words_.text("sheet_heading_disposition"));
    const auto count = [&](const char* key) { return sheet_field(words_.text(key), "", third_of_sheet); };
    append_lines(out, {"",
                       count("sheet_disposition_held") + " " + count("sheet_disposition_released") + " " +
                           count("sheet_disposition_trial"),
                       "", count("sheet_disposition_resteamed") + " " + count("sheet_disposition_discarded"),
                       "", sheet_field(words_.text("sheet_field_verdict"), "", columns_of_sheet), "",
                       sheet_field(words_.text("sheet_field_corrective"), "", columns_of_sheet), "",
                       std::string(columns_of_sheet, '_')});
    return out;
  }

  [[nodiscard]] PrintedLines signature(const char* means) const {
    PrintedLines out = sheet_paragraph(words_.text(means));
    append_lines(out, {"", sheet_field(words_.text("sheet_sign_name"), "", third_of_sheet) + " " +
                               sheet_field(words_.text("sheet_sign_signature"), "", third_of_sheet) + " " +
                               sheet_field(words_.text("sheet_sign_when"), "", third_of_sheet)});
    return out;
  }

  /// The command that reads this sheet, with its own columns.
  [[nodiscard]] PrintedLines typing() const {
    std::vector<std::string> parts{"coldbag type sheet.csv"};
    // A shell takes a quoted list up again behind a backslash, and the blanks before a name go.
    for (std::size_t i = 0; i < sheet_.probes.size(); ++i)
      parts.emplace_back((i == 0 ? "--probes \"" : "") + clean(sheet_.probes[i].column) +
                         (i + 1 < sheet_.probes.size() ? "," : "\""));
    parts.emplace_back(is_us() ? "--unit F" : "--unit C");
    if (!date().empty()) parts.push_back("--date " + date());
    if (sheet_.start) parts.push_back("--first " + print_iso_wall(sheet_.start->at).substr(11, 5));
    parts.push_back(fmt::format("--every \"{}\"", print_duration(sheet_.every_s)));
    PrintedLines out = sheet_paragraph(words_.text("sheet_how_to_type"));
    append_lines(out, lines_of_text(command_lines(parts)));
    return out;
  }

  const RunSheet& sheet_;
  const Words& words_;
};

std::string title(const RunSheet& sheet, const Words& words, std::size_t page, std::size_t pages) {
  const std::string number =
      words.text("sheet_page", {{"page", std::to_string(page)}, {"pages", std::to_string(pages)}});
  const std::size_t room = columns_of_sheet - screen_length(number) - 1;
  const std::string name = sheet.site_name.empty()
                               ? sheet_field(words.text("sheet_field_farm"), "", room)
                               : words.text("sheet_title", {{"site", clean(sheet.site_name)}});
  return padded(cut(name, room), room) + " " + number;
}

} // namespace

std::string sheet_text(const RunSheet& sheet, const Words& words) {
  constexpr std::size_t room = lines_of_sheet_page - 1; // the title stands above each page
  const SheetParts parts(sheet, words);
  SheetGrid grid(sheet, words);
  const auto readings = [&](std::size_t room_left) {
    PrintedLines out = parts.reminders();
    const PrintedLines rows = grid.page(room_left - std::min(room_left, out.size()));
    append_lines(out, rows);
    return rows.empty() ? rows : out;
  };
  Blocks front = parts.front(), back = parts.back();
  std::vector<PrintedLines> pages{taken(front, room - 1), taken(back, room)};
  const std::size_t used = std::min(room - 1, pages[0].size());
  const PrintedLines first = front.empty() ? readings(room - 1 - used) : PrintedLines{};
  append_lines(pages[0], first);
  pages[0].push_back(words.text(first.empty()    ? "sheet_readings_on"
                                : grid.is_done() ? "sheet_see_back"
                                                 : "sheet_goes_on"));
  while (!front.empty() || !back.empty() || !grid.is_done()) {
    PrintedLines page{"", parts.run_and_date(), ""};
    const std::size_t head = page.size();
    append_lines(page, taken(back.empty() ? front : back, room - head));
    if (front.empty() && back.empty()) append_lines(page, readings(room - std::min(room, page.size())));
    our_check(page.size() > head, "a page of a sheet takes something");
    pages.push_back(std::move(page));
  }
  std::string out;
  for (std::size_t i = 0; i < pages.size(); ++i) {
    if (i > 0) out += '\f';
    out += title(sheet, words, i + 1, pages.size()) + "\n";
    for (const std::string& line : pages[i])
      out += line + "\n";
  }
  return out;
}

std::size_t pages_of_sheet(const std::string& text) {
  return static_cast<std::size_t>(std::ranges::count(text, '\f')) + 1;
}

} // namespace coldbag
