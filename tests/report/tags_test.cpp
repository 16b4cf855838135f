// Tags for racks: all that must be told of a rack, within its own part of the paper.
#include "report/tags.h"

#include "run/follow_up.h"
#include "support/pdf_read.h"

#include <doctest/doctest.h>

#include <algorithm>

using namespace coldbag;
using namespace coldbag::test;

namespace {

const Words& catalogue() {
  static const Words words = Words::read(TableFiles::built_in(), "en");
  return words;
}

std::vector<int> follow_up_days() {
  return read_follow_up_days(TableFiles::built_in());
}

// Invented.
RunSheet made_sheet() {
  RunSheet sheet;
  sheet.run_name = "invented-7";
  sheet.vessel = "room";
  sheet.treatment = "atmospheric steam";
  sheet.bags = {{.kind = "brick", .count = 240, .mass_kg = {}, .moisture_wb = {}, .lot = ""}};
  return sheet;
}

std::size_t count_of(const std::string& text, const std::string& part) {
  std::size_t count = 0;
  for (std::size_t at = 0; (at = text.find(part, at)) != std::string::npos; at += part.size())
    ++count;
  return count;
}

/// Every word stands in one quarter of the page, away from its edges and from the cuts.
void check_within_quarters(const std::string& bytes, Paper paper) {
  constexpr double edge_pt = 15 * pt_per_mm, cut_pt = 5 * pt_per_mm;
  const auto [width, height] = paper_size(paper);
  for (const WordBox& box : boxes_of_words(bytes)) {
    const bool is_left = box.left < width / 2, is_above = box.top < height / 2;
    const double left = is_left ? edge_pt : width / 2 + cut_pt,
                 top = is_above ? edge_pt : height / 2 + cut_pt;
    const double right = is_left ? width / 2 - cut_pt : width - edge_pt;
    const double bottom = is_above ? height / 2 - cut_pt : height - edge_pt;
    constexpr double rounded_pt = 0.01; // as the boxes are printed
    if (box.left < left - rounded_pt || box.right > right + rounded_pt || box.top < top - rounded_pt ||
        box.bottom > bottom + rounded_pt)
      FAIL_CHECK(box.page << " " << box.text << " " << box.left << " " << box.top << " " << box.right << " "
                          << box.bottom);
  }
}

} // namespace

TEST_CASE("a tag tells run, rack, vessel, bags and treatment, and is untreated until it is signed") {
  const PrintedPdf pdf =
      tags_pdf(rack_tags(made_sheet(), catalogue(), 6), follow_up_days(), catalogue(), Paper::a4);
  const auto pages = texts_of_pages(pdf.bytes);
  REQUIRE(pages.size() == 2);
  CHECK(pdf.pages == 2);
  for (const char* part : {"Run invented-7",
                           "UNTREATED until signed",
                           "keep them apart",
                           "Signature",
                           "Vessel room",
                           "Bags brick",
                           "of 240",
                           "Treatment: atmospheric steam",
                           "held",
                           "released as a trial",
                           "re-steamed",
                           "discarded",
                           "Inoculated on",
                           "Spawn lot",
                           "Contaminated bags found",
                           "day 3",
                           "day 7",
                           "day 14",
                           "day 21",
                           "day 28"}) {
    CHECK_MESSAGE(count_of(pages[0], part) == 4, part);
    CHECK_MESSAGE(count_of(pages[1], part) == 2, part);
  }
  for (const char* rack : {"1 of 6", "2 of 6", "3 of 6", "4 of 6"})
    CHECK(count_of(pages[0], rack) == 1);
  CHECK(count_of(pages[1], "6 of 6") == 1);
}

TEST_CASE("without a number of racks there is a page of tags whose rack is to be written") {
  const auto tags = rack_tags(made_sheet(), catalogue(), std::nullopt);
  CHECK(tags.size() == 4);
  CHECK(std::ranges::all_of(tags, [](const RackTag& tag) { return tag.rack.empty(); }));
  CHECK(texts_of_pages(tags_pdf(tags, follow_up_days(), catalogue(), Paper::letter).bytes).size() == 1);
}

TEST_CASE("of several kinds of bags a tag prints none") {
  RunSheet sheet = made_sheet();
  sheet.bags.push_back(sheet.bags.front());
  for (const RackTag& tag : rack_tags(sheet, catalogue(), 2)) {
    CHECK(tag.bag_kind.empty());
    CHECK_FALSE(tag.bags_in_run);
  }
}

TEST_CASE("each tag stays in its part of the paper, whatever the names") {
  RunSheet hostile = made_sheet();
  hostile.run_name = std::string(300, 'w');
  hostile.vessel = hostile.treatment = "\xFF\xF0\x9F\x8D\x84 <b> " + std::string(300, 'v');
  hostile.bags.front().kind = "\x01\n" + std::string(300, 'k');
  hostile.bags.front().count = 1000000;
  RunSheet blank;
  blank.bags = {{}};
  for (const Paper paper : {Paper::a4, Paper::letter})
    for (const RunSheet& sheet : {made_sheet(), hostile, blank})
      check_within_quarters(
          tags_pdf(rack_tags(sheet, catalogue(), 5), follow_up_days(), catalogue(), paper).bytes, paper);
}

TEST_CASE("tags of a site that speaks Spanish tell the treatment so, each in its part of the paper") {
  const Words spanish = Words::read(TableFiles::built_in(), "es");
  const std::string bytes =
      tags_pdf(rack_tags(made_sheet(), spanish, 4), follow_up_days(), spanish, Paper::letter).bytes;
  CHECK(count_of(texts_of_pages(bytes).front(), "Tratamiento: vapor a presión atmosférica") == 4);
  check_within_quarters(bytes, Paper::letter);
}

TEST_CASE("the same tags give the same bytes") {
  const auto tags = rack_tags(made_sheet(), catalogue(), 3);
  CHECK(tags_pdf(tags, follow_up_days(), catalogue(), Paper::a4).bytes ==
        tags_pdf(tags, follow_up_days(), catalogue(), Paper::a4).bytes);
}
