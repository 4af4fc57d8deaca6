#include "tymbal/task/released_film.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/boundary.h"
#include "tymbal/geometry/lattice.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <limits>

namespace tymbal {

namespace {

constexpr double much = 0.25;  // of the film, when the etch takes more it is worth a warning

/// How far a hole reaches from its centre along x and y.
Point reach_of(const HolePattern& holes) {
    const double half = 0.5 * holes.size.si();
    if (holes.shape == HoleShape::circle) return {half, half};
    Point reach{};
    const double c = std::cos(holes.angle_rad), s = std::sin(holes.angle_rad);
    for (const Point p : figure(holes.shape, holes.size.si()))
        reach = {std::max(reach.x, c * p.x - s * p.y), std::max(reach.y, s * p.x + c * p.y)};
    return reach;
}

/// One side of the field. @param places  coordinates along it of the holes of a field that is some pitches longer
FieldSide side_of(double asked, double reach, const std::vector<double>& places) {
    const double slack = 1e-9 * reach;  // as place_holes has it
    double low = 0.0, high = 0.0, most = 0.0, less = -1.0, more = std::numeric_limits<double>::infinity();
    for (const double x : places) {
        const double half = std::abs(x) + reach;
        if (half > 0.5 * asked + slack) {
            more = std::min(more, half);
            continue;
        }
        low = std::min(low, x - reach);
        high = std::max(high, x + reach);
        most = std::max(most, half);
    }
    for (const double x : places)
        if (const double half = std::abs(x) + reach; half < most - slack) less = std::max(less, half);
    return {asked, high - low, less > 0.0 ? std::optional<double>(2.0 * less) : std::nullopt, 2.0 * more};
}

std::vector<double> places_along(const HolePattern& holes, std::size_t side) {
    constexpr double pitches = 4.0;  // no lattice has its next row farther
    HolePattern longer = holes;
    (*longer.field)[side] = Length::from_si((*holes.field)[side].si() + pitches * holes.pitch.si());
    std::vector<double> places;
    for (const Hole& hole : place_holes(longer)) places.push_back(side == 0 ? hole.centre.x : hole.centre.y);
    return places;
}

}  // namespace

std::optional<FieldFit> field_fit(const Device& device) {
    if (!device.holes || !device.holes->field || device.holes->lattice == Lattice::list) return std::nullopt;
    const HolePattern& holes = *device.holes;
    const Point reach = reach_of(holes);
    try {
        return FieldFit{side_of((*holes.field)[0].si(), reach.x, places_along(holes, 0)),
                        side_of((*holes.field)[1].si(), reach.y, places_along(holes, 1))};
    } catch (const NoAnswer&) {
        return std::nullopt;  // a longer field would have too many holes
    }
}

ReleasedFilm released_film(const Device& device) {
    ReleasedFilm out;
    out.thickness_m = device.film.thickness.si();
    out.thickness_std_m = device.film.thickness.deviation_si();
    out.taken = device.film_loss;
    out.deposited_m = out.thickness_m + (out.taken ? out.taken->mean() : 0.0);
    const Box box = bounding_box(boundary(device.outline));
    out.width_m = box.high.x - box.low.x;
    out.height_m = box.high.y - box.low.y;
    out.set_free = std::holds_alternative<Released>(device.outline);
    out.field = field_fit(device);
    return out;
}

Warnings thinning_warnings(const ReleasedFilm& film) {
    Warnings out;
    if (!film.taken) return out;
    const double at_holes = film.deposited_m - film.taken->above - film.taken->below_at_holes;
    char text[400];
    if (at_holes <= 0.0) {
        std::snprintf(text, sizeof text,
                      "the etch takes %.3g nm from each face at the edges of the holes, more than the film's %.3g nm: "
                      "nothing is left there, the holes come out larger than the design has them and no figure here "
                      "counts that; take a shorter etch, a denser lattice or a thicker film",
                      1e9 * film.taken->above, 1e9 * film.deposited_m);
        out.push_back({"eaten-through", text});
    }
    if (film.taken->mean() < much * film.deposited_m) return out;
    char scatter[40] = "";
    if (film.thickness_std_m > 0.0) std::snprintf(scatter, sizeof scatter, " +- %.2g", 1e9 * film.thickness_std_m);
    std::snprintf(text, sizeof text,
                  "the etch takes %.2g %% of the film: of %.3g nm deposited %.3g%s nm are left in the mean, and "
                  "tension, mass and loss follow that; the rate on the film is what to measure first",
                  100.0 * film.taken->mean() / film.deposited_m, 1e9 * film.deposited_m, 1e9 * film.thickness_m,
                  scatter);
    out.push_back({"much-film-taken", text});
    return out;
}

}  // namespace tymbal
