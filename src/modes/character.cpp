#include "character.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace tymbal {

namespace {

/// How cross-sections move: height of their middle and slope across, and what of w^2 each explains.
struct Sections {
    std::vector<double> height, slope;
    double lifted = 0.0, turned = 0.0, all = 0.0;
};

Sections sections_of(const ShapeRaster& shape) {
    Sections out;
    for (int i = 0; i < shape.columns; ++i) {
        double n = 0.0, w = 0.0, wy = 0.0, yy = 0.0;
        for (int j = 0; j < shape.rows; ++j) {
            const auto at =
                static_cast<std::size_t>(j) * static_cast<std::size_t>(shape.columns) + static_cast<std::size_t>(i);
            if (shape.w[at] == 0.0) continue;  // no film, or held
            const double y = shape.y0 + j * shape.dy;
            n += 1.0;
            w += shape.w[at];
            wy += shape.w[at] * y;
            yy += y * y;
            out.all += shape.w[at] * shape.w[at];
        }
        out.height.push_back(n > 0.0 ? w / n : 0.0);
        out.slope.push_back(yy > 0.0 ? wy / yy : 0.0);
        out.lifted += n * out.height.back() * out.height.back();
        out.turned += yy * out.slope.back() * out.slope.back();
    }
    return out;
}

/// Parts of one sign, leaving out what is too small to have one.
int half_waves(const std::vector<double>& along) {
    constexpr double faint = 0.05;
    double top = 0.0;
    for (const double v : along) top = std::max(top, std::abs(v));
    int waves = 0;
    double last = 0.0;
    for (const double v : along) {
        if (std::abs(v) < faint * top) continue;
        if (v * last <= 0.0) ++waves;
        last = v;
    }
    return waves;
}

}  // namespace

std::string strip_character(const ShapeRaster& shape) {
    constexpr double most = 0.9;
    const Sections s = sections_of(shape);
    if (s.lifted > most * s.all) return std::string("flexure ").append(std::to_string(half_waves(s.height)));
    if (s.turned > most * s.all) return std::string("torsion ").append(std::to_string(half_waves(s.slope)));
    return "";
}

}  // namespace tymbal
