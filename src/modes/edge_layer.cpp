#include "tymbal/modes/edge_layer.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

// d = delta - delta^3 (5 k^2 + q^2)/6 with q^2 = k^2/4.
constexpr double third_order_share = 5.25 / 6.0;
// q^2 between 0 and k^2/2 moves that by up to 0.25/5.25.
constexpr double third_order_spread = 0.25 / 5.25;

double normal_pull(const std::array<double, 3>& n, Point normal) {
    return n[0] * normal.x * normal.x + n[1] * normal.y * normal.y + 2.0 * n[2] * normal.x * normal.y;
}

}  // namespace

double layer_model_error(double k_delta, double third) {
    return 0.12 * std::pow(k_delta, 4) + third_order_spread * std::abs(third);
}

double rim_tension(const TensionField& field) {
    double sum = 0.0;
    double length = 0.0;
    const Vector flat = Vector::Ones(static_cast<Eigen::Index>(field.grid.nodes.size()));
    for (const RimTouch& touch : rim_touches(field.grid, flat)) {
        const double weight = touch.along_x ? std::abs(touch.normal.x) * field.grid.dy : std::abs(touch.normal.y) * field.grid.dx;
        sum += weight * normal_pull(field.at(touch.place), touch.normal);
        length += weight;
    }
    return sum / length;
}

EdgeLayer edge_layer(const Grid& grid, const Vector& w, double lambda, double shift, const TensionField& field,
                     const FilmMap& map, double areal_density_at_rim) {
    EdgeLayer layer;
    double worst_k_delta = 0.0;
    for (const RimTouch& touch : rim_touches(grid, w)) {
        const double pull = normal_pull(field.at(touch.place), touch.normal);
        if (pull <= 0.0) continue;
        const double delta = std::sqrt(map.rim_bending / pull);
        const double k2 = lambda * areal_density_at_rim / pull;
        const double energy = pull * delta * touch.slope2_ds;
        layer.energy += energy;
        if (touch.along_x) layer.energy_x += energy;
        if (touch.loop == 1) layer.energy_inner += energy;
        layer.uneven += pull * (delta - shift) * touch.slope2_ds;
        layer.third_order -= pull * delta * delta * delta * third_order_share * k2 * touch.slope2_ds;
        worst_k_delta = std::max(worst_k_delta, std::sqrt(k2) * delta);
    }
    layer.model_error = layer_model_error(worst_k_delta, 0.5 * layer.third_order / lambda);
    return layer;
}

}  // namespace tymbal
