#include "report/tags.h"

#include "report/layout.h"
#include "report/pdf_field.h"

#include <algorithm>
#include <array>
#include <functional>
#include <utility>

namespace coldbag {

namespace {

constexpr double outer_margin_pt = 15 * pt_per_mm;
constexpr double cut_margin_pt = 5.5 * pt_per_mm;
constexpr std::size_t tags_across = 2;
constexpr std::size_t tags_on_page = 4;
constexpr double heavy_pt = 2.4;
constexpr double tick_box_pt = 4.2 * pt_per_mm;
constexpr double widest_gap_pt = 12;
constexpr double count_box_pt = 9 * pt_per_mm;

constexpr TextStyle small{.size_pt = 7.6, .ink = Ink::grey};
constexpr TextStyle ticked{.size_pt = 8.8};

/// Part of a tag; the parts stand one under another.
struct Part {
  double height_pt;
  std::function<void(double top_pt)> draw;
};

class TagDrawer {
 public:
  TagDrawer(Drawing& drawing, const Words& words, const std::vector<int>& days, double left_pt,
            double width_pt)
      : drawing_(drawing), words_(words), days_(days), left_pt_(left_pt), width_pt_(width_pt) {}

  /// What room is left goes between the parts.
  void draw(const RackTag& tag, double top_pt, double height_pt) {
    const std::array parts{run(tag),         untreated(),    fields(where(tag)),   fields(what(tag)),
                           fields(how(tag)), dispositions(), fields(inoculated()), counts()};
    double used = 0;
    for (const Part& part : parts)
      used += part.height_pt;
    const double gap = std::min(widest_gap_pt, (height_pt - used) / static_cast<double>(parts.size() - 1));
    for (const Part& part : parts) {
      drawing_.begin_element("P");
      part.draw(top_pt);
      drawing_.end_element("P");
      top_pt += part.height_pt + gap;
    }
  }

 private:
  [[nodiscard]] SheetField asked(const char* key) const { return {words_.text(key), "", ""}; }

  /// Read from across the room.
  Part run(const RackTag& tag) {
    constexpr double height_pt = 32;
    return {height_pt, [this, name = tag.run_name](double top_pt) {
              const double foot = top_pt + height_pt;
              const LaidText label =
                  drawing_.lay(words_.text("sheet_field_run"), {.size_pt = 13, .ink = Ink::grey});
              stand(drawing_, label, left_pt_, foot);
              const double begin = left_pt_ + label.width_pt() + 7;
              if (name.empty())
                return drawing_.rule(begin, foot - 2, left_pt_ + width_pt_, foot - 2, 1, Ink::black);
              stand(drawing_, largest(name, left_pt_ + width_pt_ - begin), begin, foot + 3);
            }};
  }

  /// The largest letters in which a name fits; shortened where none do.
  [[nodiscard]] LaidText largest(const std::string& name, double width_pt) const {
    constexpr double smallest_pt = 12;
    for (double size_pt = 26; size_pt > smallest_pt; size_pt -= 2)
      if (LaidText laid = drawing_.lay(name, {.size_pt = size_pt, .is_bold = true});
          laid.width_pt() <= width_pt)
        return laid;
    return drawing_.lay_shortened(name, {.size_pt = smallest_pt, .is_bold = true}, width_pt);
  }

  /// A heavy frame: racks before and after steam look alike.
  Part untreated() {
    constexpr double inside_pt = 6;
    const double width = width_pt_ - 2 * inside_pt;
    const LaidText title = shortened("tag_untreated", {.size_pt = 14.5, .is_bold = true}, width);
    const LaidText means = drawing_.lay(words_.text("tag_sign_means"), small, width);
    const double height = 2 * inside_pt + title.height_pt() + means.height_pt() + written_line_pt;
    return {height, [=, this](double top_pt) {
              drawing_.box(left_pt_ + heavy_pt / 2, top_pt + heavy_pt / 2, width_pt_ - heavy_pt,
                           height - heavy_pt, heavy_pt, Ink::black);
              double down = top_pt + inside_pt - 1;
              drawing_.text(title, left_pt_ + inside_pt, down);
              down += title.height_pt();
              drawing_.text(means, left_pt_ + inside_pt, down);
              draw_fields(drawing_, {{asked("sheet_sign_signature"), asked("sheet_sign_when")}, 2},
                          left_pt_ + inside_pt, width, top_pt + height - inside_pt);
            }};
  }

  [[nodiscard]] LaidText shortened(const char* key, const TextStyle& style, double width_pt) const {
    return drawing_.lay_shortened(words_.text(key), style, width_pt);
  }

  Part fields(SheetFields line) {
    const double height = fields_height_pt(line);
    return {height, [this, height, fields = std::move(line)](double top_pt) {
              draw_fields(drawing_, fields, left_pt_, width_pt_, top_pt + height);
            }};
  }

  [[nodiscard]] SheetFields where(const RackTag& tag) const {
    return {{{words_.text("tag_rack"), tag.rack, ""}, {words_.text("sheet_field_vessel"), tag.vessel, ""}},
            2};
  }
  [[nodiscard]] SheetFields what(const RackTag& tag) const {
    const std::string all =
        tag.bags_in_run ? words_.text("tag_of_bags", {{"count", std::to_string(*tag.bags_in_run)}}) : "";
    return {{{words_.text("tag_bags"), tag.bag_kind, ""}, {words_.text("tag_bags_here"), "", all}}, 2};
  }
  [[nodiscard]] SheetFields how(const RackTag& tag) const {
    return {{{words_.text("sheet_field_treatment"), tag.treatment, ""}}, 1};
  }
  [[nodiscard]] SheetFields inoculated() const {
    return {{asked("tag_inoculated_on"), asked("tag_spawn_lot")}, 2};
  }

  /// A box for each, and a line for who ticked it and when.
  Part dispositions() {
    constexpr double line = tick_box_pt + 4;
    const std::array keys{"sheet_disposition_held", "sheet_disposition_released", "sheet_disposition_trial",
                          "sheet_disposition_resteamed", "sheet_disposition_discarded"};
    const LaidText title = shortened("tag_disposition", {.size_pt = 8.8, .is_bold = true}, width_pt_);
    const std::size_t lines = keys.size() / 2 + 1;
    return {title.height_pt() + 2 + line * static_cast<double>(lines), [=, this](double top_pt) {
              drawing_.text(title, left_pt_, top_pt);
              const double half = (width_pt_ - field_gap_pt) / 2;
              for (std::size_t i = 0; i <= keys.size(); ++i) {
                const double left = left_pt_ + (i / lines == 0 ? 0 : half + field_gap_pt);
                const double down = top_pt + title.height_pt() + 2 + line * static_cast<double>(i % lines);
                if (i < keys.size())
                  draw_choice(shortened(keys[i], ticked, half - tick_box_pt - 5), left, down);
                else
                  draw_field(drawing_, asked("tag_ticked_by"), left, half, down + tick_box_pt + 3);
              }
            }};
  }

  void draw_choice(const LaidText& word, double left_pt, double top_pt) {
    drawing_.box(left_pt, top_pt, tick_box_pt, tick_box_pt, 0.9, Ink::black);
    drawing_.text(word, left_pt + tick_box_pt + 5, top_pt + (tick_box_pt - word.height_pt()) / 2);
  }

  /// A box to write a number in for each day that bags are counted on.
  Part counts() {
    const LaidText title = shortened("tag_found", {.size_pt = 8.8, .is_bold = true}, width_pt_);
    std::vector<LaidText> days;
    days.reserve(days_.size());
    for (const int day : days_)
      days.push_back(drawing_.lay(words_.text("tag_day", {{"number", std::to_string(day)}}), small));
    const double day_height = days.empty() ? 0 : days.front().height_pt();
    return {title.height_pt() + day_height + 2 + count_box_pt, [=, this](double top_pt) {
              drawing_.text(title, left_pt_, top_pt);
              const double width = width_pt_ / static_cast<double>(days.size());
              double left = left_pt_;
              for (const LaidText& day : days) {
                const double down = top_pt + title.height_pt();
                drawing_.text(day, left + 2, down + 1);
                drawing_.box(left + 0.3, down + day_height + 2, width - 0.6, count_box_pt - 0.6, 0.6,
                             Ink::black);
                left += width;
              }
            }};
  }

  Drawing& drawing_;
  const Words& words_;
  const std::vector<int>& days_;
  double left_pt_, width_pt_;
};

void draw_cuts(Drawing& drawing) {
  const auto [width, height] = drawing.size();
  constexpr double printed_from_pt = 5 * pt_per_mm;
  drawing.dashes(width / 2, printed_from_pt, width / 2, height - printed_from_pt, 0.5, Ink::grey);
  drawing.dashes(printed_from_pt, height / 2, width - printed_from_pt, height / 2, 0.5, Ink::grey);
}

} // namespace

std::vector<RackTag> rack_tags(const RunSheet& sheet, const Words& words, std::optional<int> racks) {
  RackTag tag{clean(sheet.run_name), "", clean(sheet.vessel), "", {}, clean(sheet.treatment)};
  if (sheet.bags.size() == 1) {
    tag.bag_kind = clean(sheet.bags.front().kind);
    tag.bags_in_run = sheet.bags.front().count;
  }
  if (!racks) return std::vector<RackTag>(tags_on_page, tag);
  std::vector<RackTag> tags;
  for (int rack = 1; rack <= *racks; ++rack) {
    tag.rack = words.text("tag_rack_of", {{"rack", std::to_string(rack)}, {"racks", std::to_string(*racks)}});
    tags.push_back(tag);
  }
  return tags;
}

PrintedPdf tags_pdf(const std::vector<RackTag>& tags, const std::vector<int>& days, const Words& words,
                    Paper paper) {
  PdfAbout about;
  about.title = words.text("tag_title");
  Drawing drawing(paper, about);
  const auto [page_width, page_height] = drawing.size();
  const double width = page_width / 2 - outer_margin_pt - cut_margin_pt;
  const double height = page_height / 2 - outer_margin_pt - cut_margin_pt;
  for (std::size_t i = 0; i < tags.size(); ++i) {
    const std::size_t on_page = i % tags_on_page;
    if (on_page == 0) {
      if (i > 0) drawing.next_page();
      draw_cuts(drawing);
    }
    const double left = on_page % tags_across == 0 ? outer_margin_pt : page_width / 2 + cut_margin_pt;
    const double top = on_page / tags_across == 0 ? outer_margin_pt : page_height / 2 + cut_margin_pt;
    TagDrawer(drawing, words, days, left, width).draw(tags[i], top, height);
  }
  return {drawing.finish(), (tags.size() + tags_on_page - 1) / tags_on_page};
}

} // namespace coldbag
