#include "report/sheet_text.h"

#include "errors/our_fault.h"
#include "report/layout.h"
#include "report/sheet_grid.h"
#include "report/sheet_lines.h"
#include "report/sheet_parts.h"

#include <algorithm>
#include <array>
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

constexpr std::array widths_of_parts{columns_of_sheet, half_of_sheet, third_of_sheet};

std::string field_of(const SheetField& field, std::size_t width) {
  return sheet_field(field.label, field.value, width, field.unit);
}

std::string line_of(const SheetFields& line) {
  const std::size_t width = widths_of_parts[line.parts - 1];
  std::string text;
  for (const SheetField& field : line.fields)
    text += (text.empty() ? "" : " ") + padded(field_of(field, width), width);
  return without_blanks_at_end(text);
}

PrintedLines list(const std::vector<std::string>& texts) {
  PrintedLines out;
  for (const std::string& text : texts)
    append_lines(out, sheet_item(text));
  return out;
}

/// The parts of a sheet that stand before and behind its readings, in lines of text.
class SheetPages {
 public:
  SheetPages(const RunSheet& sheet, const Words& words)
      : sheet_(sheet), words_(words), parts_(sheet, words) {}

  /// What stands on the front, in its order; a block stays together.
  [[nodiscard]] Blocks front() const {
    PrintedLines head{"", run_and_date(), ""};
    append_lines(head, vessel());
    append_lines(head, treatment());
    for (const SheetBags& bags : sheet_.bags)
      for (const SheetFields& line : parts_.bags(bags))
        append_lines(head, {"", line_of(line)});
    return {std::move(head), list(parts_.said(sheet_.cautions)), events(), places(),
            sheet_paragraph(words_.text("sheet_how_to_write"))};
  }

  [[nodiscard]] Blocks back() const {
    PrintedLines what_to_do{"", run_and_date(), "", words_.text("sheet_heading_what_to_do")};
    append_lines(what_to_do, list(parts_.said(sheet_.if_it_happens)));
    return {std::move(what_to_do), disposition(), signature(parts_.operator_signature()),
            signature(parts_.reviewer_signature()), typing()};
  }

  [[nodiscard]] PrintedLines reminders() const { return sheet_paragraph(parts_.reminders()); }

  [[nodiscard]] std::string run_and_date() const { return line_of(parts_.run_and_date()); }

  [[nodiscard]] std::string title(std::size_t page, std::size_t pages) const {
    const std::string number = parts_.page(page, pages);
    const std::size_t room = columns_of_sheet - screen_length(number) - 1;
    const SheetField field = parts_.title();
    const std::string name = field.value.empty() ? field_of(field, room) : field.value;
    return padded(cut(name, room), room) + " " + number;
  }

 private:
  [[nodiscard]] PrintedLines vessel() const {
    PrintedLines out{line_of(parts_.vessel())};
    append_lines(out, sheet_paragraph(parts_.vessel_text()));
    for (const SheetFields& line : parts_.vessel_asked())
      append_lines(out, {"", line_of(line)});
    return out;
  }

  [[nodiscard]] PrintedLines treatment() const {
    PrintedLines out;
    for (const SheetFields& line : parts_.treatment_asked())
      append_lines(out, {"", line_of(line)});
    if (!out.empty()) return out;
    out.emplace_back();
    append_lines(out, sheet_paragraph(parts_.treatment_text(), 2));
    append_lines(out, list(parts_.said(sheet_.requirements)));
    return out;
  }

  /// Two columns of what happens in a run, each with room for date, time and initials.
  [[nodiscard]] PrintedLines events() const {
    const std::vector<std::string> names = parts_.events();
    const auto entry = [&](std::size_t i) {
      return (i < names.size() ? padded(names[i], event_name) : std::string(event_name, '_')) +
             " _______ _______ ____";
    };
    const std::string asked = padded(words_.text("sheet_event_date"), 8) +
                              padded(words_.text("sheet_event_time"), 8) +
                              words_.text("sheet_event_initials");
    PrintedLines out{side_by_side(padded(words_.text("sheet_heading_events"), event_name + 1) + asked,
                                  padded("", event_name + 1) + asked)};
    const std::size_t left = (names.size() + 1) / 2;
    for (std::size_t i = 0; i < left; ++i)
      append_lines(out, {"", side_by_side(entry(i), entry(left + i))});
    return out;
  }

  /// Where each probe sits; what nobody said is asked, two to a line.
  [[nodiscard]] PrintedLines places() const {
    PrintedLines out{words_.text("sheet_heading_places")};
    SheetFields asked{{}, 2};
    const auto ask = [&] {
      append_lines(out, {"", line_of(asked)});
      asked.fields.clear();
    };
    for (const SheetProbe& probe : sheet_.probes) {
      const std::string place = parts_.place_name(probe);
      if (!probe.position.empty())
        out.push_back(cut("- " + place + ": " + clean(probe.position), columns_of_sheet));
    }
    for (const SheetProbe& probe : sheet_.probes) {
      if (!probe.position.empty()) continue;
      asked.fields.push_back({cut(parts_.place_name(probe), half_of_sheet - 12), "", ""});
      if (asked.fields.size() == asked.parts) ask();
    }
    if (!asked.fields.empty()) ask();
    return out;
  }

  [[nodiscard]] PrintedLines disposition() const {
    PrintedLines out = sheet_paragraph(words_.text("sheet_heading_disposition"));
    const std::vector<SheetField> counts = parts_.dispositions();
    for (std::size_t i = 0; i < counts.size(); i += 3)
      append_lines(
          out, {"", line_of({{counts.begin() + static_cast<std::ptrdiff_t>(i),
                              counts.begin() + static_cast<std::ptrdiff_t>(std::min(i + 3, counts.size()))},
                             3})});
    append_lines(out, {"", sheet_field(words_.text("sheet_field_verdict"), "", columns_of_sheet), "",
                       sheet_field(words_.text("sheet_field_corrective"), "", columns_of_sheet), "",
                       std::string(columns_of_sheet, '_')});
    return out;
  }

  static PrintedLines signature(const SheetSignature& signature) {
    PrintedLines out = sheet_paragraph(signature.means);
    append_lines(out, {"", line_of(signature.fields)});
    return out;
  }

  [[nodiscard]] PrintedLines typing() const {
    PrintedLines out = sheet_paragraph(words_.text("sheet_how_to_type"));
    append_lines(out, lines_of_text(command_lines(parts_.typing())));
    return out;
  }

  const RunSheet& sheet_;
  const Words& words_;
  SheetParts parts_;
};

} // namespace

std::string sheet_text(const RunSheet& sheet, const Words& words) {
  constexpr std::size_t room = lines_of_sheet_page - 1; // the title stands above each page
  const SheetPages parts(sheet, words);
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
    out += parts.title(i + 1, pages.size()) + "\n";
    for (const std::string& line : pages[i])
      out += line + "\n";
  }
  return out;
}

std::size_t pages_of_sheet(const std::string& text) {
  return static_cast<std::size_t>(std::ranges::count(text, '\f')) + 1;
}

} // namespace coldbag
