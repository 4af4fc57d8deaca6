#include "tymbal/film/laminate.h"

#include "tymbal/base/error.h"

#include <cmath>

namespace tymbal {

namespace {

/// The numbers of one layer.
struct Ply {
    std::string name;
    double h = 0.0, q = 0.0, nu = 0.0, stress = 0.0, density = 0.0, expansion = 0.0, conductivity = 0.0, heat = 0.0;
    double inverse_quality = 0.0, inverse_quality_std = 0.0;
    double h_std = 0.0, stress_std = 0.0;
    double z = 0.0;  ///< of its middle, above the film's lower face
};

Ply ply_of(const Film& f) {
    const double nu = f.poisson_ratio.si(), surface = f.quality_surface.si() * f.thickness.si();
    const double inverse = 1.0 / f.quality_volume.si() + 1.0 / surface;
    const double inverse_std = std::hypot(f.quality_volume.deviation_si() / std::pow(f.quality_volume.si(), 2),
                                          f.quality_surface.deviation_si() / f.quality_surface.si() / surface);
    return {f.material,
            f.thickness.si(),
            f.youngs_modulus.si() / (1.0 - nu * nu),
            nu,
            f.stress.si(),
            f.density.si(),
            f.thermal_expansion.si(),
            f.thermal_conductivity.si(),
            f.heat_capacity.si(),
            inverse,
            inverse_std,
            f.thickness.deviation_si(),
            f.stress.deviation_si(),
            0.5 * f.thickness.si()};
}

template <class Q>
double need(const std::optional<Sourced<Q>>& value, const FilmLayer& layer, const char* what) {
    if (!value) throw NoAnswer("the material row '" + layer.material + "' of a film layer has no " + what);
    return value->si();
}

Ply ply_of(const FilmLayer& layer, double below) {
    const Solid& s = layer.properties;
    const double nu = need(s.poisson_ratio, layer, "Poisson's ratio");
    const double quality = need(s.quality_volume, layer, "quality of its own (quality_volume)");
    return {layer.material,
            layer.thickness.si(),
            need(s.youngs_modulus, layer, "Young's modulus") / (1.0 - nu * nu),
            nu,
            layer.stress.si(),
            need(s.density, layer, "density"),
            need(s.thermal_expansion, layer, "thermal expansion"),
            need(s.thermal_conductivity, layer, "thermal conductivity"),
            need(s.heat_capacity, layer, "heat capacity"),
            1.0 / quality,
            s.quality_volume->deviation_si() / (quality * quality),
            layer.thickness.deviation_si(),
            layer.stress.deviation_si(),
            below + 0.5 * layer.thickness.si()};
}

std::vector<Ply> plies_of(const Film& film) {
    std::vector<Ply> plies{ply_of(film)};
    double top = film.thickness.si();
    for (const FilmLayer& layer : film.layers) {
        plies.push_back(ply_of(layer, top));
        top += layer.thickness.si();
    }
    return plies;
}

template <class Get>
double sum(const std::vector<Ply>& plies, Get get) {
    double total = 0.0;
    for (const Ply& p : plies) total += get(p);
    return total;
}

/// Sums over the layers that the equivalent film must have.
struct Sums {
    double stretch = 0.0, across = 0.0, neutral = 0.0, bending = 0.0, tension = 0.0, mass = 0.0;
};

double bending_of(const Ply& p, double neutral) {
    return p.q * (p.h * p.h * p.h / 12.0 + p.h * (p.z - neutral) * (p.z - neutral));
}

Sums sums_of(const std::vector<Ply>& plies) {
    Sums s;
    s.stretch = sum(plies, [](const Ply& p) { return p.q * p.h; });
    s.across = sum(plies, [](const Ply& p) { return p.nu * p.q * p.h; });
    s.neutral = sum(plies, [](const Ply& p) { return p.q * p.h * p.z; }) / s.stretch;
    s.bending = sum(plies, [&](const Ply& p) { return bending_of(p, s.neutral); });
    s.tension = sum(plies, [](const Ply& p) { return p.stress * p.h; });
    s.mass = sum(plies, [](const Ply& p) { return p.density * p.h; });
    return s;
}

/// Deviation of the equivalent stress: of each layer's stress, and of each thickness as far as tension and mass do not
/// move together.
double stress_deviation(const std::vector<Ply>& plies, const Sums& s, double thickness) {
    double variance = 0.0;
    for (const Ply& p : plies) {
        variance += std::pow(p.h * p.stress_std, 2);
        variance += std::pow(p.h_std * (p.stress - p.density * s.tension / s.mass), 2);
    }
    return std::sqrt(variance) / thickness;
}

template <class Q>
Sourced<Q> as(double value, double deviation) {
    return {Q::from_si(value), Q::from_si(deviation), {"all layers of the film together", Origin::derived}};
}

}  // namespace

Laminate laminate_of(const Film& film) {
    Laminate out{film, 0.5 * film.thickness.si(), 0.0, {}};
    if (film.layers.empty()) return out;
    const std::vector<Ply> plies = plies_of(film);
    const Sums s = sums_of(plies);
    const double h = std::sqrt(12.0 * s.bending / s.stretch), nu = s.across / s.stretch;
    const auto biaxial = [](const Ply& p) { return p.q * (1.0 + p.nu) * p.h; };
    const double pull = sum(plies, biaxial);
    double loss = 0.0, loss_std = 0.0;
    for (const Ply& p : plies) {
        const double share = bending_of(p, s.neutral) / s.bending;
        out.shares.push_back({p.name, s.tension != 0.0 ? p.stress * p.h / s.tension : 0.0, p.density * p.h / s.mass,
                              share, p.inverse_quality});
        loss += share * p.inverse_quality;
        loss_std = std::hypot(loss_std, share * p.inverse_quality_std);
    }
    out.neutral_m = s.neutral;
    out.moment_n = sum(plies, [&](const Ply& p) { return p.stress * p.h * (p.z - s.neutral); });
    Film& f = out.film;
    f.own_thickness = film.thickness.value();
    f.thickness = as<Length>(h, 0.0);
    f.stress = as<Stress>(s.tension / h, stress_deviation(plies, s, h));
    f.youngs_modulus =
        as<Stress>(s.stretch * (1.0 - nu * nu) / h,
                   film.youngs_modulus.deviation_si() / film.youngs_modulus.si() * s.stretch * (1.0 - nu * nu) / h);
    f.poisson_ratio = as<Ratio>(nu, film.poisson_ratio.deviation_si());
    f.density = as<Density>(s.mass / h, film.density.deviation_si() * film.thickness.si() / h);
    f.thermal_expansion =
        as<ThermalExpansion>(sum(plies, [&](const Ply& p) { return biaxial(p) * p.expansion; }) / pull,
                             film.thermal_expansion.deviation_si());
    f.thermal_conductivity =
        as<ThermalConductivity>(sum(plies, [](const Ply& p) { return p.conductivity * p.h; }) / h,
                                film.thermal_conductivity.deviation_si() * film.thickness.si() / h);
    f.heat_capacity = as<SpecificHeat>(sum(plies, [](const Ply& p) { return p.heat * p.density * p.h; }) / s.mass,
                                       film.heat_capacity.deviation_si());
    // The surfaces' share is already in each layer's own quality.
    f.quality_volume = as<Ratio>(1.0 / loss, loss_std / (loss * loss));
    f.quality_surface = as<InverseLength>(1e30, 0.0);
    return out;
}

}  // namespace tymbal
