// Light on hole lattices: processor time of one wavelength, a spectrum of 1000 points, lines, slopes and a spot.
#include "tymbal/light/lines.h"
#include "tymbal/light/spot.h"

#include <algorithm>
#include <cstdio>
#include <ctime>

using namespace tymbal;

namespace {

/// Processor time of the fastest of some runs, ms.
template <class Work>
double milliseconds(int runs, Work work) {
    double best = 1e300;
    for (int run = 0; run < runs; ++run) {
        const std::clock_t start = std::clock();
        work();
        best = std::min(best, 1e3 * static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC);
    }
    return best;
}

void measure(const char* name, const HoleLattice& holes, double index) {
    const LayeredFilm film{{{index, 0.2 * holes.pitch_m}}};
    const LayeredFilmAt at = [&](double) { return film; };
    const double limit = diffraction_limit_m(holes);
    const WavelengthRange range{limit, 1.5 * limit};
    int solutions = 0;
    const double whole = milliseconds(3, [&] { solutions = spectrum(holes, at, range, 1000).solutions; });
    const double alone = milliseconds(3, [&] { (void)respond(holes, film, 1.2 * limit); });
    std::vector<ResonanceLine> lines;
    const double search = milliseconds(1, [&] { lines = find_lines(holes, at, range); });
    const double slopes = milliseconds(1, [&] { (void)line_slopes(holes, at, range, lines); });
    const double spot = milliseconds(1, [&] { (void)respond_to_spot(holes, film, 1.2 * limit, 100.0 * limit); });
    std::printf(
        "%-28s spectrum %4.0f ms (%d solutions at each of two truncations: %.1f ms a wavelength), one wavelength "
        "alone %3.0f ms, %zu lines %4.0f ms, slopes %4.0f ms, spot %4.0f ms\n",
        name, whole, solutions, whole / solutions, alone, lines.size(), search, slopes, spot);
}

}  // namespace

int main() {
    constexpr double um = 1e-6;
    measure("circles, square lattice", {Lattice::square, HoleShape::circle, um, 0.6 * um}, 2.0);
    measure("circles, triangular lattice", {Lattice::triangular, HoleShape::circle, um, 0.6 * um}, 2.0);
    measure("hexagons, triangular lattice", {Lattice::triangular, HoleShape::hexagon, um, 0.6 * um}, 2.0);
    measure("squares, square lattice", {Lattice::square, HoleShape::square, um, 0.6 * um}, 2.0);
}
