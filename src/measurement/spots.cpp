#include "tymbal/measurement/spots.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

/// Weight of each raster point for a spot on each other one along an axis: exact for functions straight between points.
std::vector<std::vector<double>> weights(int points, double spacing, double radius) {
    const double scale = std::sqrt(2.0) / radius;
    const auto steep = [&](double x) {  // second antiderivative of the spot's profile along the axis
        const double z = x * scale;
        return 0.5 * (z * std::erf(z) + std::exp(-z * z) / std::sqrt(std::acos(-1.0))) / scale;
    };
    std::vector<double> by_distance;
    for (int d = 0; d < points; ++d)
        by_distance.push_back((steep((d + 1) * spacing) - 2.0 * steep(d * spacing) + steep((d - 1) * spacing)) /
                              spacing);
    std::vector<std::vector<double>> all;
    for (int a = 0; a < points; ++a) {
        std::vector<double> row;
        for (int b = 0; b < points; ++b) row.push_back(by_distance[static_cast<std::size_t>(std::abs(a - b))]);
        all.push_back(std::move(row));
    }
    return all;
}

constexpr double equal = 1e-6;  // places whose overlaps agree to this are mirror images of each other

}  // namespace

std::vector<double> overlap_map(const ShapeRaster& shape, double radius) {
    const auto columns = static_cast<std::size_t>(shape.columns), rows = static_cast<std::size_t>(shape.rows);
    const auto along_x = weights(shape.columns, shape.dx, radius), along_y = weights(shape.rows, shape.dy, radius);
    std::vector<double> half(shape.w.size(), 0.0), map(shape.w.size(), 0.0);
    for (std::size_t j = 0; j < rows; ++j)
        for (std::size_t i = 0; i < columns; ++i)
            for (std::size_t k = 0; k < columns; ++k) half[i + columns * j] += along_x[i][k] * shape.w[k + columns * j];
    for (std::size_t j = 0; j < rows; ++j)
        for (std::size_t k = 0; k < rows; ++k)
            for (std::size_t i = 0; i < columns; ++i) map[i + columns * j] += along_y[j][k] * half[i + columns * k];
    return map;
}

SpotChoice best_spot(const ShapeRaster& frame, const std::vector<const std::vector<double>*>& maps) {
    SpotChoice best;
    for (int j = 0; j < frame.rows; ++j) {
        for (int i = 0; i < frame.columns; ++i) {
            const auto n = static_cast<std::size_t>(i + frame.columns * j);
            double least = std::abs((*maps.front())[n]);
            for (const auto* map : maps) least = std::min(least, std::abs((*map)[n]));
            if (least <= best.overlap * (1.0 + equal)) continue;
            best = {{frame.x0 + i * frame.dx, frame.y0 + j * frame.dy}, least};
        }
    }
    return best;
}

}  // namespace tymbal
