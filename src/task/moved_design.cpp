#include "moved_design.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/boundary.h"

#include "holes_in_place.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

template <class Q>
void multiply(Sourced<Q>& value, double factor) {
    value = Sourced<Q>(Q::from_si(value.si() * factor), Q::from_si(value.deviation_si() * factor), value.source());
}

/// A length that grows by `more`. @throws NoAnswer when nothing is left of it
void lengthen(Sourced<Length>& length, double more) {
    if (!(length.si() + more > 0.0))
        throw NoAnswer("the lines ask for an outline that has no area left; check unit and range of the frequencies");
    multiply(length, 1.0 + more / length.si());
}

/// The film pulls with so much more everywhere, below layers over a part of it too.
void move_stress(Device& device, double factor) {
    const double more = (factor - 1.0) * device.film.stress.si() * device.film.thickness.si();
    multiply(device.film.stress, factor);
    for (FilmPatch& patch : device.patches) {
        Sourced<Stress>& there = patch.film.stress;
        there = {Stress::from_si(there.si() + more / patch.film.thickness.si()), there.deviation(), there.source()};
    }
}

void move_input(Device& device, const std::string& name, double factor) {
    if (name == "film.density") multiply(device.film.density, factor);
    if (name == "film.thickness") multiply(device.film.thickness, factor);
    if (name == "film.youngs_modulus") multiply(device.film.youngs_modulus, factor);
    if (name == "film.poisson_ratio") multiply(device.film.poisson_ratio, factor);
    if (name == "holes.size" && device.holes) multiply(device.holes->size, factor);
    if (name == "holes.pitch" && device.holes) multiply(device.holes->pitch, factor);
    if (auto* r = std::get_if<Rectangle>(&device.outline)) {
        if (name == "outline.width") multiply(r->width, factor);
        if (name == "outline.height") multiply(r->height, factor);
    }
    if (auto* s = std::get_if<Strip>(&device.outline)) {
        if (name == "outline.length") multiply(s->length, factor);
        if (name == "outline.width") multiply(s->width, factor);
    }
    if (auto* d = std::get_if<Disc>(&device.outline))
        if (name == "outline.diameter") multiply(d->diameter, factor);
    if (auto* a = std::get_if<Ring>(&device.outline)) {
        if (name == "outline.outer_diameter") multiply(a->outer_diameter, factor);
        if (name == "outline.inner_diameter") multiply(a->inner_diameter, factor);
    }
}

/// A polygon grows as a whole about its box's centre, by what its perimeter times the growth adds to its area.
void grow(Polygon& polygon, double growth) {
    const Boundary rim = boundary(polygon);
    const double factor = 1.0 + 0.5 * growth * perimeter(rim) / area(rim);
    const Box box = bounding_box(rim);
    const Point centre{0.5 * (box.low.x + box.high.x), 0.5 * (box.low.y + box.high.y)};
    if (!(factor > 0.0)) throw NoAnswer("the lines ask for an outline that has no area left");
    for (Point& p : polygon.vertices) p = {centre.x + factor * (p.x - centre.x), centre.y + factor * (p.y - centre.y)};
}

void move_edges(Device& device, double growth) {
    if (auto* r = std::get_if<Rectangle>(&device.outline)) {
        lengthen(r->width, 2.0 * growth);
        lengthen(r->height, 2.0 * growth);
        const double most = 0.5 * std::min(r->width.si(), r->height.si());
        r->corner_radius = Length::from_si(std::min(r->corner_radius.si(), most));
    } else if (auto* d = std::get_if<Disc>(&device.outline)) {
        lengthen(d->diameter, 2.0 * growth);
    } else if (auto* a = std::get_if<Ring>(&device.outline)) {
        lengthen(a->outer_diameter, 2.0 * growth);
        lengthen(a->inner_diameter, -2.0 * growth);
    } else if (auto* s = std::get_if<Strip>(&device.outline)) {
        lengthen(s->length, 2.0 * growth);
        lengthen(s->width, 2.0 * growth);
    } else if (auto* p = std::get_if<Polygon>(&device.outline)) {
        grow(*p, growth);
    }
}

/// The extent of a field whose holes grow and part while the lattice keeps its sites.
void move_field(HolePattern& holes, const HolePattern& was) {
    if (!holes.field) return;
    const double apart = holes.pitch.si() / was.pitch.si();
    for (Length& side : *holes.field) side = Length::from_si((side.si() - was.size.si()) * apart + holes.size.si());
}

/// The front lies the undercut away from the holes as they are now.
void draw_front_again(Device& device, double growth) {
    auto* released = std::get_if<Released>(&device.outline);
    if (released == nullptr || !device.holes) return;
    lengthen(released->undercut, growth);
    *released = set_free(holes_in_place(device), released->undercut);
}

}  // namespace

bool can_move(const std::string& parameter) {
    return parameter != "film.tilt" && parameter != "film.layer" && parameter != "numerics" &&
           parameter.rfind("film.stress_gradient", 0) != 0;
}

void keep_holes(Device& device, std::size_t count) {
    HolePattern& holes = *device.holes;
    if (holes.lattice == Lattice::list || std::holds_alternative<Released>(device.outline)) return;
    const auto more_than_wanted = [&](double margin) {
        holes.margin = Length::from_si(margin);
        try {
            const std::size_t here = place(holes, device.outline).size();
            return here == count ? 0 : here > count ? 1 : -1;
        } catch (const NoAnswer&) {
            return -1;  // not one hole fits
        }
    };
    const double margin = holes.margin.si();
    double low = std::max(0.0, margin - holes.pitch.si()), high = margin + holes.pitch.si();
    int sign = more_than_wanted(margin);
    for (int step = 0; step < 40 && sign != 0; ++step) {
        (sign > 0 ? low : high) = holes.margin.si();
        sign = more_than_wanted(0.5 * (low + high));
    }
    if (sign != 0) holes.margin = Length::from_si(margin);
}

Device moved(Device device, const LineModel& model, const Shift& shift) {
    const std::optional<HolePattern> was = device.holes;
    const std::size_t count = was ? place(*was, device.outline).size() : 0;
    move_stress(device, std::exp(shift.stress));
    for (std::size_t j = 0; j < model.inputs.size(); ++j)
        move_input(device, model.inputs[j].name, std::exp(shift.inputs[static_cast<Eigen::Index>(j)]));
    move_edges(device, shift.growth_m);
    if (was) {
        move_field(*device.holes, *was);
        keep_holes(device, count);
    }
    draw_front_again(device, shift.growth_m);
    return device;
}

}  // namespace tymbal
