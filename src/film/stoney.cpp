#include "tymbal/film/stoney.h"

#include "tymbal/base/error.h"

#include <algorithm>
#include <cmath>
#include <functional>

namespace tymbal {

namespace {

double net_thickness(Faces faces, double front, double back) {
    return front * net_faces(faces, back / front);
}

/// The plain numbers of the relation, so that each can be moved by its deviation.
struct Numbers {
    double wafer = 0.0, modulus = 0.0, before = 0.0, after = 0.0, front = 0.0, back = 0.0, others = 0.0;
};

double film_change(const WaferBend& bend, const Numbers& n) {
    return net_thickness(bend.films_after, n.front, n.back) - net_thickness(bend.films_before, n.front, n.back);
}

double stress(const WaferBend& bend, const Numbers& n) {
    const double moment = n.modulus * n.wafer * n.wafer * (n.after - n.before) / 6.0;
    return (moment - n.others) / film_change(bend, n);
}

double other_tension(const OtherLayer& layer) {
    return layer.stress.si() * layer.thickness.si() * (net_faces(layer.after, 1.0) - net_faces(layer.before, 1.0));
}

void require_difference(const WaferBend& bend, const Numbers& n) {
    if (bend.films_before == bend.films_after)
        throw NoAnswer(
            "the same faces carried film at both shapes, so their difference says nothing of it; give a shape before "
            "deposition or one after a face has been stripped");
    const double change = film_change(bend, n);
    const double known = std::hypot(bend.film_front.deviation_si(), bend.film_back.deviation_si());
    if (std::abs(change) <= std::max(2.0 * known, 1e-3 * n.front))
        throw NoAnswer(
            "the films on the two faces cancel: the wafer bends by their difference only, which the thicknesses do not "
            "tell; measure again after one face has been stripped");
}

}  // namespace

double net_faces(Faces faces, double back_over_front) {
    switch (faces) {
        case Faces::none: return 0.0;
        case Faces::front: return 1.0;
        case Faces::back: return -back_over_front;
        case Faces::both: return 1.0 - back_over_front;
    }
    return 0.0;
}

StressResult stoney(const WaferBend& bend) {
    Numbers n{bend.wafer_thickness.si(),
              bend.biaxial_modulus,
              bend.before.si(),
              bend.after.si(),
              bend.film_front.si(),
              bend.film_back.si(),
              0.0};
    for (const OtherLayer& layer : bend.others) n.others += other_tension(layer);
    require_difference(bend, n);
    StressResult out;
    out.stress_pa = stress(bend, n);
    out.tension_n_per_m = out.stress_pa * n.front;
    double stress_variance = 0.0, tension_variance = 0.0;
    const auto add = [&](const std::string& input, double deviation,
                         const std::function<void(Numbers&, double)>& move) {
        if (deviation == 0.0) return;
        Numbers up = n, down = n;
        move(up, deviation);
        move(down, -deviation);
        const double change = 0.5 * (stress(bend, up) - stress(bend, down));
        const double tension = 0.5 * (stress(bend, up) * up.front - stress(bend, down) * down.front);
        out.shares.push_back({input, std::abs(change)});
        stress_variance += change * change;
        tension_variance += tension * tension;
    };
    add("wafer.thickness", bend.wafer_thickness.deviation_si(), [](Numbers& m, double d) { m.wafer += d; });
    add("biaxial modulus of the wafer", bend.biaxial_modulus_std, [](Numbers& m, double d) { m.modulus += d; });
    add("first shape", bend.before.deviation_si(), [](Numbers& m, double d) { m.before += d; });
    add("second shape", bend.after.deviation_si(), [](Numbers& m, double d) { m.after += d; });
    add("film.thickness", bend.film_front.deviation_si(), [](Numbers& m, double d) { m.front += d; });
    add("film.back_thickness", bend.film_back.deviation_si(), [](Numbers& m, double d) { m.back += d; });
    for (const OtherLayer& layer : bend.others) {
        const double relative = std::hypot(layer.stress.deviation_si() / std::max(1.0, std::abs(layer.stress.si())),
                                           layer.thickness.deviation_si() / layer.thickness.si());
        add("layer " + layer.name, std::abs(relative * other_tension(layer)),
            [](Numbers& m, double d) { m.others += d; });
    }
    out.stress_std_pa = std::sqrt(stress_variance);
    out.tension_std_n_per_m = std::sqrt(tension_variance);
    std::stable_sort(out.shares.begin(), out.shares.end(),
                     [](const StressShare& a, const StressShare& b) { return a.stress_pa > b.stress_pa; });
    return out;
}

Biaxial biaxial_modulus(const Solid& solid, bool surface_111) {
    if (!solid.crystal) {
        if (!solid.youngs_modulus || !solid.poisson_ratio)
            throw NoAnswer("the material row '" + solid.row +
                           "' has no elastic constants, and a bend tells no stress without those of wafer and film; "
                           "give it youngs_modulus and poisson_ratio");
        const double e = solid.youngs_modulus->si(), nu = solid.poisson_ratio->si();
        const double m = e / (1.0 - nu);
        return {m, std::hypot(m * solid.youngs_modulus->deviation_si() / e,
                              m * solid.poisson_ratio->deviation_si() / (1.0 - nu))};
    }
    const auto modulus = [&](double c11, double c12, double c44) {
        if (!surface_111) return c11 + c12 - 2.0 * c12 * c12 / c11;
        return 6.0 * c44 * (c11 + 2.0 * c12) / (c11 + 2.0 * c12 + 4.0 * c44);
    };
    const Crystal& c = *solid.crystal;
    const double here = modulus(c.c11.si(), c.c12.si(), c.c44.si());
    const double a = modulus(c.c11.si() + c.c11.deviation_si(), c.c12.si(), c.c44.si()) - here;
    const double b = modulus(c.c11.si(), c.c12.si() + c.c12.deviation_si(), c.c44.si()) - here;
    const double d = modulus(c.c11.si(), c.c12.si(), c.c44.si() + c.c44.deviation_si()) - here;
    return {here, std::sqrt(a * a + b * b + d * d)};
}

Sourced<InverseLength> curvature_of_bow(const Sourced<Length>& bow, const Sourced<Length>& scan) {
    const double per_bow = 8.0 / (scan.si() * scan.si());
    const double k = per_bow * bow.si();
    return {InverseLength::from_si(k),
            InverseLength::from_si(std::hypot(per_bow * bow.deviation_si(), 2.0 * k * scan.deviation_si() / scan.si())),
            bow.source()};
}

Sourced<InverseLength> curvature_of_radius(const Sourced<Length>& radius) {
    const double k = 1.0 / radius.si();
    return {InverseLength::from_si(k), InverseLength::from_si(k * k * radius.deviation_si()), radius.source()};
}

}  // namespace tymbal
