#include "report/block.h"

#include <iterator>
#include <utility>

namespace coldbag {

void append(Blocks& to, Blocks more) {
  to.insert(to.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
}

Blocks under(Heading heading, Blocks blocks) {
  if (blocks.empty()) return {};
  Blocks out{std::move(heading)};
  append(out, std::move(blocks));
  return out;
}

} // namespace coldbag
