// What a chip carries besides its holes: frame, alignment crosses and a label made of rectangles.
#pragma once

#include "tymbal/pattern/drawing.h"

#include <string>
#include <vector>

namespace tymbal {

/// Upright cross about the origin; its edges lie on the grid when `length` and `width` are even multiples of it.
[[nodiscard]] DrawnFigure cross(Layer layer, int length, int width);

/// Four strips of `width` along the inside of a box.
[[nodiscard]] std::vector<DrawnFigure> frame(Layer layer, const DrawnBox& box, int width);

/// Four angles round the corners of a box, inside it.
[[nodiscard]] std::vector<DrawnFigure> corner_angles(Layer layer, const DrawnBox& box, int length, int width);

/// A text as the lettering can draw it: capitals, digits, blanks and .,:-+=/_(), anything else one blank a character
/// (UTF-8).
[[nodiscard]] std::string drawable(const std::string& text);

/// The first character that the lettering cannot draw (UTF-8); empty when it can draw all.
[[nodiscard]] std::string letter_without_strokes(const std::string& text);
/// For messages.
[[nodiscard]] std::string letters_with_strokes();

/// Letters of 5 x 7 squares, one column apart, from the origin to the right and up.
[[nodiscard]] std::vector<DrawnFigure> lettering(Layer layer, const std::string& text, int square);

/// Width and height of a lettering, in squares.
[[nodiscard]] int lettering_columns(const std::string& text);
inline constexpr int lettering_rows = 7;

}  // namespace tymbal
