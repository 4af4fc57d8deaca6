#include "tymbal/fit/line_model.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

/// Two lines that unequal stress mixes: omega^2 as eigenvalues of the pair's 2 x 2 matrix, each given to the line it
/// began as.
void mix(double& a, double& b, double coupling) {
    const double mean = 0.5 * (a + b), half = 0.5 * (a - b);
    const double root = std::sqrt(half * half + coupling * coupling);
    a = half >= 0.0 ? mean + root : mean - root;
    b = 2.0 * mean - a;
}

/// Length over which growth counts, against its value in the design; an edge cannot move past the middle.
double room(const Line& line, double growth_m) {
    return std::max(1.0 - line.growth * growth_m, 0.02);
}

/// By how much the inputs that stretch one axis lengthen it.
double stretch(const LineModel& model, const Shift& shift, Axis axis) {
    double sum = 0.0;
    for (Eigen::Index j = 0; j < shift.inputs.size(); ++j)
        if (model.inputs[static_cast<std::size_t>(j)].axis == axis) sum += shift.inputs[j];
    return std::exp(sum);
}

}  // namespace

Eigen::VectorXd log_frequencies(const LineModel& model, const Shift& shift) {
    const auto count = static_cast<Eigen::Index>(model.lines.size());
    const double s = std::exp(shift.stress + shift.across), root = std::sqrt(s);
    const double x = stretch(model, shift, Axis::x), y = stretch(model, shift, Axis::y);
    const double along_x = s * (1.0 + shift.tilt) / (x * x), along_y = s * (1.0 - shift.tilt) / (y * y);
    const double layer = root / std::pow(x * y, 1.5), bend = 1.0 / (x * x * y * y);
    const double mean = 0.5 * (along_x + along_y), uneven = 0.5 * (along_x - along_y);
    Eigen::VectorXd squares(count);
    for (Eigen::Index k = 0; k < count; ++k) {
        const Line& line = model.lines[static_cast<std::size_t>(k)];
        const double parts = mean * line.pull + uneven * line.tilt + layer * line.layer + bend * line.bend;
        squares[k] = line.frequency_hz * line.frequency_hz * std::max(parts, 1e-6);
    }
    for (Eigen::Index k = 0; k < count && uneven != 0.0; ++k) {
        const Line& line = model.lines[static_cast<std::size_t>(k)];
        if (line.neighbour <= k) continue;
        const double product = line.frequency_hz * model.lines[static_cast<std::size_t>(line.neighbour)].frequency_hz;
        mix(squares[k], squares[line.neighbour], uneven * line.mixing * product);
    }
    Eigen::VectorXd logs = 0.5 * squares.array().log();
    for (Eigen::Index k = 0; k < count; ++k) {
        const Line& line = model.lines[static_cast<std::size_t>(k)];
        logs[k] -= std::log(room(line, shift.growth_m));
        if (shift.inputs.size() > 0)
            logs[k] += shift.inputs.dot(Eigen::Map<const Eigen::VectorXd>(line.weights.data(), shift.inputs.size()));
    }
    return logs;
}

double growth_slope(const Line& line, double growth_m) {
    return line.growth / room(line, growth_m);
}

}  // namespace tymbal
