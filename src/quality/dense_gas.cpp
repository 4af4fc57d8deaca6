#include "tymbal/quality/dense_gas.h"

#include "tymbal/base/constants.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <cstddef>

namespace tymbal {

GasLoad stokes_load(double density, double viscosity, double omega, double wave_number) {
    using Complex = std::complex<double>;
    const Complex inertia(0.0, -omega * density / viscosity);  // m^2 - k^2
    const Complex m = std::sqrt(wave_number * wave_number + inertia);
    // 1/(m - k) = (m + k)/(m^2 - k^2): without cancellation where the gas hardly has inertia.
    const Complex impedance = viscosity * m * (m + wave_number) / wave_number;
    return {impedance.real(), -impedance.imag() / omega};
}

double sound_drag(double density, double sound_speed, double omega, double wave_number, double area) {
    const double plane = density * sound_speed, slower = wave_number * sound_speed / omega;
    if (slower < 1.0) return plane / std::max(0.5, std::sqrt(1.0 - slower * slower));
    // Point source in a baffle: resistance rho omega^2/(2 pi c) times volume flow squared; a (1,1) mode's mean squared
    // over its mean square is (4/pi^2)^2/(1/4).
    const double net = 64.0 / std::pow(constants::pi, 4), k = omega / sound_speed;
    return plane * std::min(1.0, net * k * k * area / (2.0 * constants::pi));
}

double wave_number(const ShapeRaster& shape) {
    double slopes = 0.0, squares = 0.0;
    const auto at = [&](int i, int j) { return shape.w[static_cast<std::size_t>(i + shape.columns * j)]; };
    for (int j = 0; j < shape.rows; ++j)
        for (int i = 0; i < shape.columns; ++i) {
            squares += at(i, j) * at(i, j);
            if (i > 0) slopes += std::pow((at(i, j) - at(i - 1, j)) / shape.dx, 2);
            if (j > 0) slopes += std::pow((at(i, j) - at(i, j - 1)) / shape.dy, 2);
        }
    return squares > 0.0 ? std::sqrt(slopes / squares) : 0.0;
}

}  // namespace tymbal
