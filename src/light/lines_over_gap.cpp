#include "lattice_poles.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

using namespace fourier;

constexpr Truncation few_orders{4.0, 5.0};  // of a difference, in which most of what is cut off goes out

/// Where to look for the pole of a line: three widths of it to either side, a hundredth of the wavelength at least.
WavelengthRange around(const ResonanceLine& line) {
    const double reach = std::min(0.5 * line.wavelength_m, std::max(3.0 * line.width_m, 0.01 * line.wavelength_m));
    return {line.wavelength_m - reach, line.wavelength_m + reach};
}

/// The pole of the line itself at this truncation, which moves narrow ones by many widths.
std::optional<Complex> own_pole(const std::vector<LatticePole>& poles, const ResonanceLine& line, Complex expected) {
    constexpr double same_line = 0.02;
    std::optional<Complex> out;
    double least = same_line * expected.real();
    for (const LatticePole& pole : poles) {
        const double apart = std::abs(pole.wavenumber - expected);
        if (pole.function != (line.even.value_or(true) ? 0U : 1U) || apart > least) continue;
        least = apart;
        out = pole.wavenumber;
    }
    return out;
}

/// What became of it: the nearest pole within two widths that is not ten times as broad.
std::optional<Complex> heir(const std::vector<LatticePole>& poles, Complex of) {
    constexpr double reach = 2.0, broadest = 10.0;
    std::optional<Complex> out;
    for (const LatticePole& pole : poles) {
        const double width = 2.0 * std::abs(pole.wavenumber.imag()), before = 2.0 * std::abs(of.imag());
        const double apart = std::abs(pole.wavenumber - of);
        if (width > broadest * before || apart > reach * std::max(width, before)) continue;
        if (!out || apart < std::abs(*out - of)) out = pole.wavenumber;
    }
    return out;
}

/// Wavelength and width over the pitch.
struct Place {
    double at = 0.0, width = 0.0;
};

Place place_of(Complex wavenumber) {
    return {1.0 / wavenumber.real(), 1.0 / (wavenumber.real() * q_of(wavenumber))};
}

/// What the substrate does to one line at one truncation.
struct Change {
    double moved = 0.0, widened = 0.0;  ///< over the pitch
};

std::optional<Change> change_of(const ResonanceLine& line, const HoleLattice& holes, const LayeredFilmAt& stack,
                                const CellMatrices& cell) {
    const LayeredFilmAt alone = [&](double wavelength_m) { return LayeredFilm{stack(wavelength_m).layers}; };
    const WavelengthRange range = around(line);
    const double nu = holes.pitch_m / line.wavelength_m;
    const std::optional<Complex> free =
        own_pole(poles_between({holes, alone, line.field}, cell, range), line, {nu, -0.5 * nu / line.q});
    if (!free) return std::nullopt;
    const std::optional<Complex> over = heir(poles_between({holes, stack, line.field}, cell, range), *free);
    if (!over) return std::nullopt;
    const Place from = place_of(*free), to = place_of(*over);
    return Change{to.at - from.at, to.width - from.width};
}

}  // namespace

std::vector<std::optional<LineOverGap>> lines_over_gap(const HoleLattice& holes, const LayeredFilmAt& stack,
                                                       const std::vector<ResonanceLine>& lines) {
    const Cell unit = scaled_cell(holes);
    std::vector<std::optional<LineOverGap>> out(lines.size());
    for (std::size_t k = 0; k < lines.size(); ++k) {
        const Parity parity = parity_of(lines[k].field);
        const CellMatrices few = expand(unit, few_orders.coarse, parity), more = expand(unit, few_orders.fine, parity);
        const auto coarse = change_of(lines[k], holes, stack, few), fine = change_of(lines[k], holes, stack, more);
        if (!coarse || !fine) continue;
        const double step = step_to_limit(few, more), pitch = holes.pitch_m;
        const double moved = fine->moved - coarse->moved, widened = fine->widened - coarse->widened;
        out[k] = LineOverGap{pitch * (fine->moved + step * moved),
                             std::max(0.0, lines[k].width_m + pitch * (fine->widened + step * widened)),
                             doubt * step * pitch * std::max(std::abs(moved), std::abs(widened))};
    }
    return out;
}

}  // namespace tymbal
