// Pieces that follow one another down the page, put on as many pages as they take.
#pragma once

#include "report/drawing.h"

#include <cstddef>
#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace coldbag {

/// What a piece is part of, for whoever has the file read aloud. Pieces of one number on one page are one
/// element.
struct Element {
  std::string tag; ///< of the PDF standard: "P", "H1", "Table"
  std::size_t number = 0;
  bool operator==(const Element&) const = default;
};

/// Stands on one page as a whole.
struct Piece {
  double height_pt = 0;
  double space_pt = 0;         ///< above it, save at the head of a page
  bool keeps_next = false;     ///< never the last on its page, where the page takes both
  std::vector<Element> within; ///< the outermost first
  std::function<void(Drawing&, double top_pt)> draw;
  std::shared_ptr<const Piece> head; ///< stands once more where a page begins with this piece
};

using Pieces = std::vector<Piece>;

void append(Pieces& to, Pieces more);

/// A piece for each line; no line of a text is alone on a page. `space_pt` above the first.
[[nodiscard]] Pieces text_pieces(const LaidText& laid, double left_pt, const std::vector<Element>& within,
                                 double space_pt);

struct PlacedPiece {
  Piece piece;
  double top_pt = 0;
};

using PlacedPage = std::vector<PlacedPiece>;

/// What stands from `top_pt` down is at most `height_pt` high on each page, unless one piece alone is higher.
[[nodiscard]] std::vector<PlacedPage> pages_of(const Pieces& pieces, double top_pt, double height_pt);

void draw_page(Drawing& drawing, const PlacedPage& page);

} // namespace coldbag
