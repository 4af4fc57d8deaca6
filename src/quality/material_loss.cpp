#include "tymbal/quality/material_loss.h"

#include <algorithm>

namespace tymbal {

namespace {

// A value uncertain by most of itself must keep a positive low end; a sixth of it is already beyond two sigma here.
constexpr double least_share = 1.0 / 6.0;

double lower(double value, double deviation) {
    return std::max(value - deviation, least_share * value);
}

double joined(double volume, double surface) {
    return 1.0 / (1.0 / volume + 1.0 / surface);
}

}  // namespace

LossTerm intrinsic_loss(const Film& film) {
    const double h = film.thickness.si();
    const auto& volume = film.quality_volume;
    const auto& surface = film.quality_surface;
    LossTerm term;
    term.name = "intrinsic";
    term.quality =
        QualityBand{joined(volume.si(), surface.si() * h),
                    joined(lower(volume.si(), volume.deviation_si()), lower(surface.si(), surface.deviation_si()) * h),
                    joined(volume.si() + volume.deviation_si(), (surface.si() + surface.deviation_si()) * h)};
    term.trust = Trust::estimated;
    term.formula = "1/Q = 1/Q_volume + 1/(beta h)";
    term.source = "Villanueva and Schmid, Phys. Rev. Lett. 113, 227201 (2014), arXiv 1405.6115";
    term.note =
        "at room temperature; films differ, and very thin high-stress films have been reported to depart from this law "
        "(Benga et al., arXiv 2606.20354, abstract)";
    return term;
}

Dilution dilution(const ModeIntegrals& mode) {
    const auto over = [&](double bending) { return bending > 0.0 ? std::max(1.0, mode.stiffness / bending) : 1.0; };
    const double factor = over(mode.bending_interior + mode.bending_edge);
    if (!(mode.bending_high > 0.0)) return {factor, factor, factor, false};
    return {factor, over(mode.bending_high), over(mode.bending_low), mode.bending_rough};
}

LossTerm diluted_loss(const Film& film, const Dilution& dilution) {
    LossTerm term = intrinsic_loss(film);
    term.name = "diluted";
    term.quality = QualityBand{term.quality->value * dilution.factor, term.quality->low * dilution.low,
                               term.quality->high * dilution.high};
    term.formula = "Q = Q_intrinsic W_total / W_bending; W_bending = interior + 1/4 contour sqrt(D N) (dw/dn)^2";
    term.source =
        "Fedorov et al., Phys. Rev. B 99, 054107 (2019); Yu, Purdy and Regal, Phys. Rev. Lett. 108, 083603 (2012); "
        "Villanueva and Schmid (2014) for Q_intrinsic";
    term.note = "the dilution is computed from the mode's own energies; the intrinsic quality is the estimate in it";
    if (!dilution.rough) return term;
    term.trust = Trust::order_of_magnitude;
    term.note =
        "the dilution is an order of magnitude: the clamped layer meets corners or free edges, or film bends at free "
        "corners, where thin-layer theory and grid leave its share open; the band has what it may be";
    return term;
}

}  // namespace tymbal
