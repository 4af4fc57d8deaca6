#include "tymbal/task/seen_film.h"

#include "../base/plain.h"

#include "tymbal/base/error.h"
#include "tymbal/film/unit_cell.h"
#include "tymbal/light/fitted_film.h"
#include "tymbal/readout/refractive_index.h"

#include <algorithm>

namespace tymbal {

namespace {

constexpr double fine_pitch = 0.04;  // of the wavelength
constexpr double wide_pitch = 4.0;

bool has_cell(const Device& device) {
    return device.holes && device.holes->lattice != Lattice::list;
}

double open_share(const HoleLattice& holes) {
    return hole_area(holes.shape, holes.size_m / holes.pitch_m) / cell_area(holes.lattice);
}

HoleLattice moved_lattice(HoleLattice holes, const FilmMove& by) {
    holes.pitch_m += by.pitch_m;
    holes.size_m += by.size_m;
    return holes;
}

std::vector<OpticalLayer> moved_layers(std::vector<OpticalLayer> layers, const FilmMove& by) {
    layers.back().thickness_m += by.thickness_m;
    layers.back().index += by.index;
    return layers;
}

std::vector<OpticalLayer> averaged(std::vector<OpticalLayer> layers, double open) {
    for (OpticalLayer& layer : layers) layer.index = perforated_index(layer.index, open);
    return layers;
}

double thickness_of(const std::vector<OpticalLayer>& layers) {
    double sum = 0.0;
    for (const OpticalLayer& layer : layers) sum += layer.thickness_m;
    return sum;
}

/// What the limits leave out, as found beside the solved cell for films of 50 to 200 nm and holes of 0.4 to 0.7
/// pitches: at a fine pitch a surface effect of up to 0.027 pitches per wavelength, at a wide one what the edges of
/// holes scatter, up to 0.9 of half the thickness over the pitch (tests/light/limits_test.cpp).
double limit_error(SeenAs as, double pitch, double thickness_m, double wavelength_m) {
    if (as == SeenAs::averaged) return pitch < fine_pitch * wavelength_m ? 0.03 * pitch / wavelength_m : 1.0;
    return 0.5 * thickness_m / pitch;
}

SeenFilm see(SeenAs as, const LatticeLight& lit, const LatticeSolver& solve) {
    if (as == SeenAs::lattice) return solve(lit);
    const double open = open_share(lit.holes);
    SeenFilm out = as == SeenAs::averaged ? see_layers(averaged(lit.layers, open), lit.wavelength_m)
                                          : see_wide_holes(lit.layers, open, lit.wavelength_m);
    out.error = std::min(1.0, limit_error(as, lit.holes.pitch_m, thickness_of(lit.layers), lit.wavelength_m));
    return out;
}

}  // namespace

std::vector<OpticalLayer> solid_layers(const Film& film, double wavelength_m) {
    std::vector<OpticalLayer> layers;
    for (auto layer = film.layers.rbegin(); layer != film.layers.rend(); ++layer) {
        if (!layer->properties.index) return {};
        const IndexAt at = index_at(*layer->properties.index, wavelength_m);
        const double tabled = layer->properties.extinction ? layer->properties.extinction->si() : at.extinction;
        layers.push_back({{at.n, tabled}, layer->thickness.si()});
    }
    const IndexAt at = index_at(film.index, wavelength_m);
    const double own = film.layers.empty() ? film.thickness.si() : film.own_thickness.si();
    layers.push_back({{at.n, film.extinction.si()}, own});
    return layers;
}

ComplexIndex substrate_index(const Device& device, const Materials& materials, double wavelength_m) {
    if (device.readout->below == "none") return 1.0;
    const Solid& row = materials.solids.at(device.readout->below);
    if (!row.index) throw NoAnswer("the material row '" + row.row + "' under the gap has no refractive index");
    const IndexAt at = index_at(*row.index, wavelength_m);
    return {at.n, at.extinction};
}

HoleLattice lattice_of(const HolePattern& holes) {
    return {holes.lattice, holes.shape, holes.pitch.si(), holes.size.si()};
}

SeenAs seen_as(const Device& device, double wavelength_m) {
    if (!has_cell(device)) return SeenAs::plain;
    const double pitch = device.holes->pitch.si() / wavelength_m;
    if (device.solve.light == LightModel::averaged || pitch < fine_pitch) return SeenAs::averaged;
    return pitch > wide_pitch ? SeenAs::wide_holes : SeenAs::lattice;
}

LatticeLight lattice_light(const Device& device, double wavelength_m, const FilmMove& moved) {
    return {moved_lattice(lattice_of(*device.holes), moved),
            moved_layers(solid_layers(device.film, wavelength_m), moved), wavelength_m};
}

std::optional<LitFilm> see_film(const Device& device, double wavelength_m, const LatticeSolver& solve,
                                const FilmMove& moved) {
    const std::vector<OpticalLayer> solid = solid_layers(device.film, wavelength_m);
    if (solid.empty()) return std::nullopt;
    const SeenAs as = seen_as(device, wavelength_m);
    if (as == SeenAs::plain) return LitFilm{see_layers(moved_layers(solid, moved), wavelength_m)};
    const LatticeLight lit = lattice_light(device, wavelength_m, moved);
    return LitFilm{see(as, lit, solve), as, wavelength_m < diffraction_limit_m(lit.holes)};
}

std::function<SeenFilm(double)> see_film_between(const Device& device, double from_m, double to_m) {
    const bool solved = seen_as(device, from_m) == SeenAs::lattice && seen_as(device, to_m) == SeenAs::lattice;
    if (!solved) return [&device](double wavelength_m) { return see_film(device, wavelength_m)->seen; };
    return fit_film(lattice_of(*device.holes),
                    [&device](double wavelength_m) { return LayeredFilm{solid_layers(device.film, wavelength_m)}; },
                    {from_m, to_m});
}

void warn_of_light(const Device& device, const LitFilm& film, Warnings& out) {
    if (film.diffracts)
        out.push_back({"diffracts",
                       "the hole pitch is near or above the wavelength: reflectivity and transmission are those of the "
                       "zero order, " +
                           plain(100.0 * film.seen.diffracted, 2) + " % of the light leaves the film aslant"});
    if (film.as == SeenAs::averaged && device.solve.light == LightModel::averaged &&
        device.holes->pitch.si() > fine_pitch * device.readout->wavelength.si())
        out.push_back({"averaged-light",
                       "light sees an index averaged over the holes, as asked: at this pitch the reflectivity can be "
                       "wrong by a factor; leave out the averaged light (solve.light)"});
    if (device.holes && device.holes->lattice == Lattice::list)
        out.push_back(
            {"listed-holes",
             "holes listed one by one have no unit cell: light sees the film between them, as if it had none"});
}

ComplexIndex seen_index(const Device& device, double wavelength_m) {
    const std::vector<OpticalLayer> layers = solid_layers(device.film, wavelength_m);
    const ComplexIndex own = layers.back().index;
    return seen_as(device, wavelength_m) == SeenAs::averaged
               ? perforated_index(own, open_share(lattice_of(*device.holes)))
               : own;
}

}  // namespace tymbal
