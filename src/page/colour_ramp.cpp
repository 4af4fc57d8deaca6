#include "colour_ramp.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace tymbal {

namespace {

using Matrix = std::array<std::array<double, 3>, 3>;

constexpr Matrix lms_of_rgb{{{0.4122214708, 0.5363325363, 0.0514459929},
                             {0.2119034982, 0.6806995451, 0.1073969566},
                             {0.0883024619, 0.2817188376, 0.6299787005}}};
constexpr Matrix rgb_of_lms{{{4.0767416621, -3.3077115913, 0.2309699292},
                             {-1.2684380046, 2.6097574011, -0.3413193965},
                             {-0.0041960863, -0.7034186147, 1.7076147010}}};
constexpr Matrix lab_of_root{{{0.2104542553, 0.7936177850, -0.0040720468},
                              {1.9779984951, -2.4285922050, 0.4505937099},
                              {0.0259040371, 0.7827717662, -0.8086757660}}};
constexpr Matrix root_of_lab{
    {{1.0, 0.3963377774, 0.2158037573}, {1.0, -0.1055613458, -0.0638541728}, {1.0, -0.0894841775, -1.2914855480}}};

Rgb times(const Matrix& m, const Rgb& v) {
    Rgb out{};
    for (std::size_t r = 0; r < 3; ++r) out[r] = m[r][0] * v[0] + m[r][1] * v[1] + m[r][2] * v[2];
    return out;
}

/// The transfer curve of IEC 61966-2-1.
double shown(double linear) {
    return linear <= 0.0031308 ? 12.92 * linear : 1.055 * std::pow(linear, 1.0 / 2.4) - 0.055;
}
double linear(double as_shown) {
    return as_shown <= 0.04045 ? as_shown / 12.92 : std::pow((as_shown + 0.055) / 1.055, 2.4);
}

Oklab polar(double lightness, double chroma, double hue_degrees) {
    const double hue = hue_degrees * std::acos(-1.0) / 180.0;
    return {lightness, chroma * std::cos(hue), chroma * std::sin(hue)};
}

double between(double from, double to, double t) {
    return from + (to - from) * t;
}

}  // namespace

Rgb to_rgb(const Oklab& colour) {
    Rgb lms = times(root_of_lab, {colour.lightness, colour.a, colour.b});
    for (double& v : lms) v = v * v * v;
    Rgb rgb = times(rgb_of_lms, lms);
    for (double& v : rgb) v = shown(v);
    return rgb;
}

Oklab to_oklab(const Rgb& colour) {
    Rgb rgb = colour;
    for (double& v : rgb) v = linear(v);
    Rgb lms = times(lms_of_rgb, rgb);
    for (double& v : lms) v = std::cbrt(v);
    const Rgb lab = times(lab_of_root, lms);
    return {lab[0], lab[1], lab[2]};
}

std::string hex(const Rgb& colour) {
    char text[8];
    const auto byte = [&](std::size_t k) {
        return static_cast<unsigned>(std::lround(255.0 * std::clamp(colour[k], 0.0, 1.0)));
    };
    std::snprintf(text, sizeof text, "#%02x%02x%02x", byte(0), byte(1), byte(2));
    return text;
}

std::vector<Rgb> diverging_ramp(int steps, Page page) {
    constexpr double below = 250.0, above = 55.0, most_chroma = 0.105;  // hues in degrees: blue, orange
    const double middle = page == Page::light ? 0.955 : 0.25, end = page == Page::light ? 0.44 : 0.79;
    std::vector<Rgb> ramp;
    for (int k = 0; k < steps; ++k) {
        const double t = steps > 1 ? 2.0 * k / (steps - 1) - 1.0 : 0.0, away = std::abs(t);
        ramp.push_back(to_rgb(polar(between(middle, end, away), most_chroma * away, t < 0.0 ? below : above)));
    }
    return ramp;
}

std::vector<Rgb> sequential_ramp(int steps, Page page) {
    constexpr double blue = 275.0, yellow = 105.0, dark = 0.29, bright = 0.94;
    std::vector<Rgb> ramp;
    for (int k = 0; k < steps; ++k) {
        const double t = steps > 1 ? static_cast<double>(k) / (steps - 1) : 0.0;
        const double light = page == Page::light ? 1.0 - t : t;
        const double chroma = 0.065 + 0.06 * light;  // what the screen can show at both ends
        ramp.push_back(to_rgb(polar(between(dark, bright, light), chroma, between(blue, yellow, light))));
    }
    return ramp;
}

}  // namespace tymbal
