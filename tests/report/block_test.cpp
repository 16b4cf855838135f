// Lists of blocks put together.
#include "report/block.h"

#include <doctest/doctest.h>

using namespace coldbag;

TEST_CASE("a heading over nothing is left out") {
  CHECK(under(Heading{"Cautions"}, {}).empty());
  CHECK(under(Heading{"Cautions"}, {Item{"a"}}) == Blocks{Heading{"Cautions"}, Item{"a"}});
}

TEST_CASE("what is put behind keeps its order") {
  Blocks blocks{Item{"a"}};
  append(blocks, {Space{}, Item{"b"}});
  append(blocks, {});
  CHECK(blocks == Blocks{Item{"a"}, Space{}, Item{"b"}});
}
