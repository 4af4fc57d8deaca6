#include "pad.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace tymbal {

namespace {

constexpr double disc = 0.6;                 // of the largest inscribed circle
constexpr double wider = 3.0;                // than the narrowest part
constexpr double all_pad = 0.9;              // of the film: then it has no narrow parts
constexpr double moves = 0.2, rests = 0.05;  // mean of w^2 over the pad

/// Distances on a raster by steps to the eight neighbours, which overrate a length by a twelfth at most (Borgefors,
/// Comput. Vis. Graph. Image Process. 34, 344 (1986), from memory).
class Distances {
public:
    explicit Distances(const Grid& grid)
        : columns_(grid.columns), rows_(grid.rows), dx_(grid.dx), dy_(grid.dy), diagonal_(std::hypot(dx_, dy_)) {}

    /// Of every point from the nearest one that is set; what lies beyond the raster counts as set with `beyond`.
    [[nodiscard]] std::vector<double> from(const std::vector<bool>& set, bool beyond) const {
        constexpr double far = std::numeric_limits<double>::infinity();
        std::vector<double> out(set.size());
        for (std::size_t p = 0; p < set.size(); ++p) out[p] = set[p] ? 0.0 : far;
        const auto relax = [&](int i, int j, int sign) {
            double& here = out[at(i, j)];
            const std::array<std::array<int, 2>, 4> steps{{{-sign, 0}, {0, -sign}, {-sign, -sign}, {sign, -sign}}};
            const std::array<double, 4> lengths{dx_, dy_, diagonal_, diagonal_};
            for (std::size_t s = 0; s < 4; ++s) {
                const int x = i + steps[s][0], y = j + steps[s][1];
                const bool inside = x >= 0 && x < columns_ && y >= 0 && y < rows_;
                if (inside) here = std::min(here, out[at(x, y)] + lengths[s]);
                if (!inside && beyond) here = std::min(here, lengths[s]);
            }
        };
        for (int j = 0; j < rows_; ++j)
            for (int i = 0; i < columns_; ++i) relax(i, j, 1);
        for (int j = rows_ - 1; j >= 0; --j)
            for (int i = columns_ - 1; i >= 0; --i) relax(i, j, -1);
        return out;
    }

private:
    [[nodiscard]] std::size_t at(int i, int j) const { return static_cast<std::size_t>(i + columns_ * j); }

    int columns_, rows_;
    double dx_, dy_, diagonal_;
};

}  // namespace

std::vector<bool> pad_points(const Level& level, double narrowest) {
    const Grid& grid = level.grid;
    std::vector<bool> none(grid.number.size());
    for (std::size_t p = 0; p < none.size(); ++p) {
        const int n = grid.number[p];
        none[p] = n < 0 || (!level.depth.empty() && level.depth[static_cast<std::size_t>(n)] > 0.0F);
    }
    const Distances distances(grid);
    const std::vector<double> inside = distances.from(none, true);
    const double largest = *std::max_element(inside.begin(), inside.end());
    if (2.0 * largest < wider * narrowest) return {};
    const double radius = disc * largest;
    std::vector<bool> middle(none.size());
    for (std::size_t p = 0; p < none.size(); ++p) middle[p] = inside[p] >= radius;
    const std::vector<double> off = distances.from(middle, false);
    std::vector<bool> pad(none.size());
    std::size_t film = 0, wide = 0;
    for (std::size_t p = 0; p < none.size(); ++p) {
        pad[p] = !none[p] && off[p] <= radius;
        film += none[p] ? 0 : 1;
        wide += pad[p] ? 1 : 0;
    }
    if (static_cast<double>(wide) > all_pad * static_cast<double>(film)) return {};
    return pad;
}

std::string pad_character(const ShapeRaster& shape, const std::vector<bool>& pad) {
    if (pad.empty()) return "";
    double sum = 0.0, points = 0.0;
    for (std::size_t p = 0; p < pad.size(); ++p) {
        if (!pad[p]) continue;
        sum += shape.w[p] * shape.w[p];
        points += 1.0;
    }
    if (sum >= moves * points) return "pad";
    return sum <= rests * points ? "tether" : "";
}

}  // namespace tymbal
