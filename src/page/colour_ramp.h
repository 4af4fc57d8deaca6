// Colour maps computed in a perceptually even space, for light and for dark pages, safe for colour-blind readers.
#pragma once

#include <array>
#include <string>
#include <vector>

namespace tymbal {

/// Lightness 0..1 and two opponent axes (a: green-red, b: blue-yellow). Bjoern Ottosson, "A perceptual color space for
/// image processing" (2020); matrices from memory, checked against its round trip and white point in tests/files.
struct Oklab {
    double lightness = 0.0, a = 0.0, b = 0.0;
};

using Rgb = std::array<double, 3>;  ///< sRGB as shown, 0..1

[[nodiscard]] Rgb to_rgb(const Oklab& colour);  ///< not clipped: outside 0..1 no screen shows it
[[nodiscard]] Oklab to_oklab(const Rgb& colour);
[[nodiscard]] std::string hex(const Rgb& colour);  ///< "#1b5e8c", clipped

enum class Page { light, dark };

/// Colours for -1 to 1, `steps` (odd) of them: the middle is close to the page, lightness moves by equal steps to both
/// ends, blue below and orange above: hues that all common kinds of colour blindness tell apart.
[[nodiscard]] std::vector<Rgb> diverging_ramp(int steps, Page page);

/// Colours from least to largest in equal steps of lightness, hue turning from blue over green to yellow. The largest
/// stands out most from the page: dark on a light one, light on a dark one.
[[nodiscard]] std::vector<Rgb> sequential_ramp(int steps, Page page);

}  // namespace tymbal
