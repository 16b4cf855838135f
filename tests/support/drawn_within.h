// What is drawn into a room, however far out it goes.
#pragma once

#include "report/chart_file.h"

#include <cairo.h>
#include <doctest/doctest.h>

namespace coldbag::test {

/// Something is drawn, and nothing of it leaves the room.
inline void check_within(const ChartSize& size, const DrawInRoom& draw) {
  cairo_surface_t* surface = cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, nullptr);
  cairo_t* cairo = cairo_create(surface);
  draw(cairo, size);
  double left = 0, top = 0, width = 0, height = 0;
  cairo_recording_surface_ink_extents(surface, &left, &top, &width, &height);
  CHECK(cairo_status(cairo) == CAIRO_STATUS_SUCCESS);
  cairo_destroy(cairo);
  cairo_surface_destroy(surface);
  CAPTURE(size.width_pt);
  CHECK(width > size.width_pt / 2);
  CHECK(height > size.height_pt / 2);
  CHECK(left >= 0);
  CHECK(top >= 0);
  CHECK(left + width <= size.width_pt);
  CHECK(top + height <= size.height_pt);
}

} // namespace coldbag::test
