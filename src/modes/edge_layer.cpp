#include "tymbal/modes/edge_layer.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

// d = delta - delta^3 (5 k^2 + q^2)/6 with q^2 = k^2/4.
constexpr double third_order_share = 5.25 / 6.0;
// q^2 between 0 and k^2/2 moves that by up to 0.25/5.25.
constexpr double third_order_spread = 0.25 / 5.25;
// Curvature c of the rim: d = delta (1 + (delta c)^2/24 - (delta c)^3/12 + ...).
constexpr double bent_correction = 1.0 / 24.0;
constexpr double bent_share = 1.0 / 12.0;

double normal_pull(const std::array<double, 3>& n, Point normal) {
    return n[0] * normal.x * normal.x + n[1] * normal.y * normal.y + 2.0 * n[2] * normal.x * normal.y;
}

}  // namespace

double layer_model_error(double k_delta, double third, double bent) {
    return 0.12 * std::pow(k_delta, 4) + third_order_spread * std::abs(third) + bent_share * bent;
}

double rim_tension(const TensionField& field) {
    double sum = 0.0;
    double length = 0.0;
    const Vector flat = Vector::Ones(static_cast<Eigen::Index>(field.grid.nodes.size()));
    for (const RimTouch& touch : rim_touches(field.grid, flat)) {
        const double weight =
            touch.along_x ? std::abs(touch.normal.x) * field.grid.dy : std::abs(touch.normal.y) * field.grid.dx;
        sum += weight * normal_pull(field.at(touch.place), touch.normal);
        length += weight;
    }
    return sum / length;
}

EdgeLayer edge_layer(const Grid& grid, const Eigen::Ref<const Vector>& w, double lambda, const LayerRim& rim,
                     const TensionField& field, const FilmMap& map) {
    EdgeLayer layer;
    double worst_k_delta = 0.0, bent = 0.0, straight_third = 0.0;
    const std::vector<RimTouch> touches = rim_touches(grid, w);
    for (std::size_t t = 0; t < touches.size(); ++t) {
        const RimTouch& touch = touches[t];
        const double pull = normal_pull(field.at(touch.place), touch.normal);
        if (pull <= 0.0) continue;
        const double delta = std::sqrt(map.rim_bending / pull);
        const double k2 = lambda * rim.areal_density / pull;
        const double energy = pull * delta * touch.slope2_ds;
        layer.energy += energy;
        if (touch.along_x) layer.energy_x += energy;
        if (!rim.doubtful.empty() && rim.doubtful[t]) layer.doubtful += energy;
        layer.uneven += pull * (delta - rim.shift) * touch.slope2_ds;
        const double turn = delta * std::abs(touch.curvature);
        straight_third += energy * third_order_share * k2 * delta * delta;
        layer.third_order += energy * (bent_correction * turn * turn - third_order_share * k2 * delta * delta);
        bent += energy * turn * turn * turn;
        worst_k_delta = std::max(worst_k_delta, std::sqrt(k2) * delta);
    }
    layer.model_error = layer_model_error(worst_k_delta, 0.5 * straight_third / lambda, 0.5 * bent / lambda);
    return layer;
}

}  // namespace tymbal
