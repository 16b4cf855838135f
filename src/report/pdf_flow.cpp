#include "report/pdf_flow.h"

#include <algorithm>
#include <iterator>
#include <utility>

namespace coldbag {

namespace {

/// Puts groups of pieces on pages.
class Pager {
 public:
  Pager(double top_pt, double height_pt) : top_pt_(top_pt), height_pt_(height_pt), down_pt_(top_pt) {
    pages_.emplace_back();
  }

  /// Together on this page or on the next; broken only where no page takes all.
  void put(const Piece* begin, const Piece* end) {
    if (!pages_.back().empty() && !fits(begin, end)) turn(*begin);
    for (const Piece* piece = begin; piece != end; ++piece) {
      if (piece != begin && !fits(piece, piece + 1)) turn(*piece);
      place(*piece);
    }
  }

  std::vector<PlacedPage> pages() && { return std::move(pages_); }

 private:
  [[nodiscard]] bool fits(const Piece* begin, const Piece* end) const {
    double down_pt = down_pt_;
    bool is_first = pages_.back().empty();
    for (const Piece* piece = begin; piece != end; ++piece) {
      down_pt += (is_first ? 0 : piece->space_pt) + piece->height_pt;
      is_first = false;
    }
    constexpr double slack_pt = 0.01;
    return down_pt <= top_pt_ + height_pt_ + slack_pt;
  }

  void turn(const Piece& next) {
    pages_.emplace_back();
    down_pt_ = top_pt_;
    if (next.head) place(*next.head);
  }

  void place(const Piece& piece) {
    if (!pages_.back().empty()) down_pt_ += piece.space_pt;
    pages_.back().push_back({piece, down_pt_});
    down_pt_ += piece.height_pt;
  }

  double top_pt_, height_pt_, down_pt_;
  std::vector<PlacedPage> pages_;
};

/// Ends what the next piece is no part of, the innermost first.
void leave(Drawing& drawing, std::vector<Element>& open, std::size_t depth) {
  while (open.size() > depth) {
    drawing.end_element(open.back().tag);
    open.pop_back();
  }
}

void enter(Drawing& drawing, std::vector<Element>& open, const std::vector<Element>& within) {
  const auto parts = std::ranges::mismatch(open, within);
  leave(drawing, open, static_cast<std::size_t>(parts.in1 - open.begin()));
  for (auto element = within.begin() + static_cast<std::ptrdiff_t>(open.size()); element != within.end();
       ++element) {
    drawing.begin_element(element->tag);
    open.push_back(*element);
  }
}

} // namespace

void append(Pieces& to, Pieces more) {
  to.insert(to.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
}

Pieces text_pieces(const LaidText& laid, double left_pt, const std::vector<Element>& within,
                   double space_pt) {
  Pieces lines;
  for (std::size_t i = 0; i < laid.lines(); ++i) {
    Piece line;
    line.height_pt = laid.height_pt(i, i + 1);
    line.keeps_next = i + 1 < laid.lines() && (i == 0 || i + 2 == laid.lines());
    line.within = within;
    line.draw = [laid, i, left_pt](Drawing& drawing, double top_pt) {
      drawing.text(laid, left_pt, top_pt, i, i + 1);
    };
    lines.push_back(std::move(line));
  }
  lines.front().space_pt = space_pt;
  return lines;
}

std::vector<PlacedPage> pages_of(const Pieces& pieces, double top_pt, double height_pt) {
  Pager pager(top_pt, height_pt);
  const Piece* const end = pieces.data() + pieces.size();
  for (const Piece* begin = pieces.data(); begin != end;) {
    const Piece* next = begin;
    while (next + 1 != end && next->keeps_next)
      ++next;
    pager.put(begin, next + 1);
    begin = next + 1;
  }
  return std::move(pager).pages();
}

void draw_page(Drawing& drawing, const PlacedPage& page) {
  std::vector<Element> open;
  for (const PlacedPiece& placed : page) {
    enter(drawing, open, placed.piece.within);
    if (placed.piece.draw) placed.piece.draw(drawing, placed.top_pt);
  }
  leave(drawing, open, 0);
}

} // namespace coldbag
