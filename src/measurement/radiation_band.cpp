#include "tymbal/measurement/radiation_band.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

using constants::pi;
constexpr double best_chip = 1e4;  // quality of the chip's own modes
constexpr double usual_chip = 1e3;
constexpr double lossy_chip = 1e2;
constexpr double least_net_force = 1e-3;  // of a rigid film's, as in quality/radiation.h
constexpr int most_modes = 60;

/// Where the shear correction of a mode's frequency has grown to the distance of neighbours.
double reach(const PlateProblem& plate, double spacing, double thickness) {
    const double share_per_hz = pi * std::sqrt(plate.areal_density / mean_stiffness(plate.stiffness)) * thickness *
                                thickness / 12.0 * (1.0 + 2.8 * 1.2);
    return std::sqrt(spacing / share_per_hz);
}

}  // namespace

ChipModel chip_model(const Chip& chip, const Solid& solid, double highest) {
    if (!solid.density)
        throw NoAnswer("the material row '" + solid.row +
                       "' of the chip has no density; give it one, or name another in chip.material");
    const double h = chip.thickness.si();
    ChipModel model;
    model.plate = {chip.width.si(),
                   chip.length.si(),
                   solid.density->si() * h,
                   plate_stiffness(solid, h, chip.along_110),
                   chip.held,
                   0};
    model.spacing_hz = mode_spacing_hz(model.plate);
    model.reach_hz = reach(model.plate, model.spacing_hz, h);
    const double until = std::min(1.2 * highest, model.reach_hz);
    model.plate.count = std::clamp(static_cast<int>(until / model.spacing_hz) + 8, 8, most_modes);
    model.modes = plate_modes(model.plate, chip.position.x, chip.position.y, h);
    return model;
}

MobilityBand mobility_band(const ChipModel& chip, double f, double deviation) {
    if (f > std::min(chip.reach_hz, chip.modes.back().frequency_hz)) {
        const double endless = endless_mobility(chip.plate.stiffness, chip.plate.areal_density);
        const double overlap = 0.5 * pi * f / (best_chip * chip.spacing_hz);
        return {endless * std::tanh(overlap), endless, endless / std::tanh(overlap)};
    }
    constexpr int steps = 200;
    const double open = 2.0 * deviation + 0.02 * f;  // membrane, and size and thickness of the chip
    MobilityBand band{1e300, mobility(chip.modes, f, usual_chip), 0.0};
    for (int k = 0; k <= steps; ++k) {
        const double at = f + open * (2.0 * k / steps - 1.0);
        // Between resonances a lossy chip takes more, on them a good one.
        const double good = mobility(chip.modes, at, best_chip), lossy = mobility(chip.modes, at, lossy_chip);
        band.low = std::min({band.low, good, lossy});
        band.high = std::max({band.high, good, lossy});
    }
    for (const PlateMode& m : chip.modes)  // peaks are narrower than the steps
        if (std::abs(m.frequency_hz - f) < open)
            band.high = std::max(band.high, mobility(chip.modes, m.frequency_hz, best_chip));
    band.middle = std::clamp(band.middle, band.low, band.high);
    return band;
}

std::optional<QualityBand> chip_radiation(const Mode& mode, double film_mass, const MobilityBand& band) {
    const double net = std::abs(mode.integrals.net_mass);
    if (net < least_net_force * std::sqrt(mode.integrals.mass * film_mass)) return std::nullopt;
    const double omega = 2.0 * pi * mode.frequency_hz;
    const double force = omega * omega * net;
    const auto quality = [&](double y) { return omega * mode.integrals.stiffness / (force * force * y); };
    return QualityBand{quality(band.middle), quality(band.high), quality(band.low)};
}

}  // namespace tymbal
