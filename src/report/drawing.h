// A PDF that is being drawn: text laid out by pango, rules and shapes on cairo.
#pragma once

#include <cstddef>
#include <memory>
#include <string>

struct _cairo;
struct _PangoLayout;

namespace coldbag {

enum class Paper { a4, letter };

struct PaperSize {
  double width_pt;
  double height_pt;
};

[[nodiscard]] PaperSize paper_size(Paper paper);

inline constexpr double pt_per_mm = 72 / 25.4;

/// What a PDF says of itself.
struct PdfAbout {
  std::string title;
  std::string run_name; ///< stands on every page
  std::string author;
  std::string subject;
  std::string language; ///< "en"
  std::string made_at;  ///< ISO 8601 with its zone, or "": then the file says no time at all
};

enum class Ink { black, grey, hairline, accent };
enum class Side { left, right };

struct TextStyle {
  double size_pt = 9.5;
  bool is_bold = false;
  std::size_t bold_bytes = 0; ///< so much of the text's beginning is bold anyway
  bool is_mono = false;
  Ink ink = Ink::black;
  Side side = Side::left;
};

/// UTF-8 that can be drawn: what is no UTF-8 and control characters become U+FFFD, line ends and tabs blanks;
/// characters that turn the direction of writing are left out.
[[nodiscard]] std::string printable(const std::string& text);

/// A text laid out in lines; drawn by the Drawing that laid it out.
class LaidText {
 public:
  explicit LaidText(std::shared_ptr<_PangoLayout> layout, TextStyle style);
  [[nodiscard]] std::size_t lines() const;
  /// Of the lines from `from` up to `to`.
  [[nodiscard]] double height_pt(std::size_t from, std::size_t to) const;
  [[nodiscard]] double height_pt() const { return height_pt(0, lines()); }
  /// Of its longest line.
  [[nodiscard]] double width_pt() const;

 private:
  friend class Drawing;
  struct Lines;
  std::shared_ptr<_PangoLayout> layout_;
  std::shared_ptr<const Lines> lines_;
  TextStyle style_;
};

/// Points from the upper left corner of the page. The same calls give the same bytes.
class Drawing {
 public:
  Drawing(Paper paper, const PdfAbout& about);
  ~Drawing();
  Drawing(const Drawing&) = delete;
  Drawing& operator=(const Drawing&) = delete;
  Drawing(Drawing&&) = delete;
  Drawing& operator=(Drawing&&) = delete;

  [[nodiscard]] PaperSize size() const { return size_; }

  /// As long as it comes, on one line.
  [[nodiscard]] LaidText lay(const std::string& text, const TextStyle& style) const;
  /// Wrapped at blanks, and within a word that is longer than a line.
  [[nodiscard]] LaidText lay(const std::string& text, const TextStyle& style, double width_pt) const;
  /// One line; an ellipsis ends what is longer.
  [[nodiscard]] LaidText lay_shortened(const std::string& text, const TextStyle& style,
                                       double width_pt) const;

  void text(const LaidText& laid, double left_pt, double top_pt);
  /// The lines from `from` up to `to`, the first of them at the top.
  void text(const LaidText& laid, double left_pt, double top_pt, std::size_t from, std::size_t to);

  void rule(double left_pt, double top_pt, double right_pt, double bottom_pt, double width_pt, Ink ink);
  void dashes(double left_pt, double top_pt, double right_pt, double bottom_pt, double width_pt, Ink ink);
  void box(double left_pt, double top_pt, double width_pt, double height_pt, double line_pt, Ink ink);
  void disc(double middle_pt, double middle_down_pt, double radius_pt, Ink ink);
  void half_filled_ring(double middle_pt, double middle_down_pt, double radius_pt, Ink ink);
  void cross(double middle_pt, double middle_down_pt, double radius_pt, Ink ink);

  /// What is drawn up to end_element() is such an element of the document: "P", "H1", "Table".
  void begin_element(const std::string& tag);
  void end_element(const std::string& tag);
  /// An entry of the outline that leads here; level 1 the highest.
  void bookmark(const std::string& text, int level, double top_pt);

  void next_page();
  /// For what draws by itself.
  [[nodiscard]] _cairo* cairo() const;
  /// The whole file; nothing is drawn afterwards.
  [[nodiscard]] std::string finish();

 private:
  struct Inside;
  PaperSize size_;
  std::unique_ptr<Inside> inside_;
};

} // namespace coldbag
