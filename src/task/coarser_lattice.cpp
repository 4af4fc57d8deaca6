#include "coarser_lattice.h"

#include "device_figures.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/lattice.h"
#include "tymbal/geometry/pillars.h"
#include "tymbal/pattern/hole_sites.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

/// Nine pitches of the lattice round the origin: all gaps there are, at some roundings of the centres.
std::vector<Hole> patch_of(const HolePattern& lattice) {
    HolePattern patch = lattice;
    const Length side = Length::from_si(9.0 * lattice.pitch.si() + lattice.size.si());
    patch.field = {side, side};
    patch.omit.clear();
    return place_holes(patch);
}

/// The lattice `scale` times as coarse, as it would be drawn. Empty where it cannot be.
std::optional<PatternProposal> drawn_at(const Device& device, const PatternOptions& options, const Pattern& out,
                                        double scale) {
    HolePattern coarse = *device.holes;
    const double grid = std::max(out.grid * drawn_unit_m, 1e-8);  // figures for people: no finer than 10 nm
    const double pitch = std::ceil(scale * coarse.pitch.si() / grid - 1e-6) * grid;
    const double size = coarse.size.si() * pitch / coarse.pitch.si();
    const auto with = [](const Sourced<Length>& old, double metres) {
        return Sourced<Length>(Length::from_si(metres), Length{}, old.source());
    };
    const double growth = out.sizes.released.width - out.sizes.drawn.width;
    coarse.size = with(coarse.size, size);
    coarse.pitch = with(coarse.pitch, pitch);
    if (size <= growth) return std::nullopt;
    try {
        const HoleFigure figure =
            draw_hole({coarse.shape, size - growth, coarse.angle_rad, out.grid, options.most_corners});
        const DrawnSites sites = snap_sites(patch_of(coarse), figure, out.grid);
        const PlacedHoles holes = placed(coarse, patch_of(coarse));
        const auto spots = clearing(holes).spots;
        return PatternProposal{size, pitch, figure.least_width_m, least_gap_m(figure, sites.sites),
                               spots.empty() ? 0.0 : spots.front().clears_at};
    } catch (const NoAnswer&) {
        return std::nullopt;
    }
}

}  // namespace

std::optional<PatternProposal> coarser_lattice(const Device& device, const PatternOptions& options,
                                               const Pattern& out) {
    if (device.holes->lattice == Lattice::list) return std::nullopt;
    const double least = least_feature_m(device) * (1.0 - 1e-6);
    for (double scale = 1.0; scale < 30.0; scale *= 1.01) {
        const auto tried = drawn_at(device, options, out, scale);
        if (tried && tried->least_width_m >= least && tried->least_gap_m >= least) return tried;
    }
    return std::nullopt;
}

}  // namespace tymbal
