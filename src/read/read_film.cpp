#include "read_film.h"

#include "find_row.h"
#include "read_figure.h"

#include "tymbal/film/laminate.h"
#include "tymbal/film/thermal_stress.h"
#include "tymbal/geometry/boundary.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace tymbal {

namespace {

constexpr double room_k = 295.0;

/// The design's override, else the row's value, else an error that says what to do.
template <class Q>
Sourced<Q> property(const DesignSection& s, const char* key, const Range& range, const std::optional<Sourced<Q>>& row) {
    if (s.has(key)) return s.sourced<Q>(key, range);
    if (!row) s.table().missing(key, "a value: the material row has none");
    return *row;
}

Dispersion index_of(const DesignSection& s, const Solid& row) {
    if (s.has("index")) {
        const Sourced<Ratio> n = s.sourced<Ratio>("index", ranges::index);
        return {{}, n.si(), n.deviation_si(), 0.0, 0.0, n.source()};
    }
    if (row.index) return *row.index;
    return {{}, 1.0, 1.0, 0.0, 0.0, {"no index in the material row", Origin::fallback}};
}

/// Temperatures for which stresses are stated and at which the device works, K.
struct Temperatures {
    double stated = room_k;
    double device = room_k;
};

FilmLayer read_layer(const DesignSection& s, const Materials& materials, const Solid& frame, const Temperatures& t) {
    const Solid& row = find_row(s, "material", materials.solids);
    if (!row.youngs_modulus || !row.poisson_ratio || !row.density || !row.thermal_expansion)
        s.table().refuse("material", "is '" + row.row +
                                         "', a row without modulus, Poisson's ratio, density or expansion; choose "
                                         "another, or add what is missing to the material table");
    const Sourced<Stress> stress = property(s, "stress", ranges::stress, row.film_stress);
    return {row.row, s.sourced<Length>("thickness", ranges::thickness),
            t.device == t.stated ? stress
                                 : stress_at(stress, t.stated, t.device, *row.youngs_modulus, *row.poisson_ratio,
                                             *row.thermal_expansion, *frame.thermal_expansion),
            row};
}

/// A layer and the polygon it covers; empty: everywhere.
struct PlacedLayer {
    TomlTable table;
    FilmLayer layer;
    std::vector<Point> area;
};

bool same_area(const std::vector<Point>& a, const std::vector<Point>& b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                      [](Point p, Point q) { return p.x == q.x && p.y == q.y; });
}

/// One patch for each area that layers name; layers of the whole film lie there too, all in the order of the file.
void add_patches(const Film& bare, const std::vector<PlacedLayer>& layers, ReadFilm& into) {
    std::vector<FilmPatch>& patches = into.patches;
    for (const PlacedLayer& named : layers) {
        const auto known = std::find_if(patches.begin(), patches.end(),
                                        [&](const FilmPatch& p) { return same_area(p.area, named.area); });
        if (named.area.empty() || known != patches.end()) continue;
        Film film = bare;
        FilmPatch patch{named.area, bare, {}, 0.0};
        for (const PlacedLayer& l : layers) {
            const bool here = same_area(l.area, named.area);
            if (here || l.area.empty()) film.layers.push_back(l.layer);
            if (here) patch.layers.push_back(l.layer);
        }
        const Laminate all = laminate_of(film);
        patch.film = all.film;
        patch.moment_n = all.moment_n;
        patches.push_back(std::move(patch));
        into.named.push_back(named.table);
    }
}

std::vector<PlacedLayer> read_layers(const DesignSection& s, const Materials& materials, const Solid& frame,
                                     const Temperatures& temperatures) {
    std::vector<PlacedLayer> layers;
    if (!s.has("layer")) return layers;
    for (const TomlTable& table : s.table().tables("layer")) {
        const DesignSection layer(table, "film.layer");
        layers.push_back({table, read_layer(layer, materials, frame, temperatures),
                          layer.has("area") ? read_area(layer, "area") : std::vector<Point>{}});
    }
    return layers;
}

}  // namespace

ReadFilm read_film(const DesignSection& s, const Materials& materials, const Solid& frame) {
    const Solid& row = find_row(s, "material", materials.solids);
    const Sourced<Stress> modulus = property(s, "youngs_modulus", ranges::positive, row.youngs_modulus);
    const Sourced<Ratio> poisson = property(s, "poisson_ratio", ranges::poisson, row.poisson_ratio);
    const Sourced<ThermalExpansion> expansion = property(s, "thermal_expansion", ranges::any, row.thermal_expansion);
    const Sourced<Stress> stated = property(s, "stress", ranges::stress, row.film_stress);
    const Sourced<Temperature> device =
        s.has("temperature")
            ? s.sourced<Temperature>("temperature", ranges::temperature)
            : Sourced<Temperature>(Temperature::from_si(room_k), Temperature{}, {"room temperature", Origin::fallback});
    const double stated_k =
        s.has("stress_temperature") ? s.plain<Temperature>("stress_temperature", ranges::temperature).si() : room_k;
    if (device.si() != stated_k && !frame.thermal_expansion)
        s.table().refuse(s.has("temperature") ? "temperature" : "stress_temperature",
                         "needs the chip's thermal expansion, which its material row has not: film.temperature and "
                         "film.stress_temperature differ (295 K where not given); make them equal or name another "
                         "chip.material");
    const Sourced<Stress> stress = device.si() == stated_k ? stated
                                                           : stress_at(stated, stated_k, device.si(), modulus, poisson,
                                                                       expansion, *frame.thermal_expansion);
    const Sourced<Ratio> clear(Ratio{}, Ratio{},
                               {"no extinction in the material row: taken as transparent", Origin::fallback});
    Film film{
        row.row,
        s.sourced<Length>("thickness", ranges::thickness),
        stress,
        device,
        modulus,
        poisson,
        property(s, "density", ranges::positive, row.density),
        expansion,
        property(s, "thermal_conductivity", ranges::positive, row.thermal_conductivity),
        property(s, "heat_capacity", ranges::positive, row.heat_capacity),
        property(s, "strength", ranges::positive, row.strength),
        property(s, "quality_volume", ranges::positive, row.quality_volume),
        property(s, "quality_surface", ranges::positive, row.quality_surface),
        s.has("extinction") || row.extinction ? property(s, "extinction", ranges::not_negative, row.extinction) : clear,
        index_of(s, row)};
    const std::vector<PlacedLayer> layers = read_layers(s, materials, frame, {stated_k, device.si()});
    ReadFilm read{film, {}, {}};
    add_patches(film, layers, read);
    for (const PlacedLayer& placed : layers)
        if (placed.area.empty()) film.layers.push_back(placed.layer);
    read.film = laminate_of(film).film;
    return read;
}

void require_room(const ReadFilm& film, const Outline& outline, bool holes) {
    if (film.patches.empty()) return;
    if (holes || std::holds_alternative<Strip>(outline))
        film.named.front().refuse("area",
                                  "lies on a strip, or a film with [holes] or [[openings]]: what free edges do under a "
                                  "patch is not part of this version; leave them or the area out");
    const Boundary rim = boundary(outline);
    const double slack = 1e-9 * std::sqrt(area(rim));
    for (std::size_t a = 0; a < film.patches.size(); ++a) {
        for (const Point p : film.patches[a].area)
            if (signed_distance(rim, p) < -slack)
                film.named[a].refuse("area", "reaches beyond the outline; keep it inside");
        const Box mine = bounding_box(film.patches[a].area);
        for (std::size_t b = 0; b < a; ++b) {
            const Box other = bounding_box(film.patches[b].area);
            if (mine.low.x < other.high.x && other.low.x < mine.high.x && mine.low.y < other.high.y &&
                other.low.y < mine.high.y)
                film.named[a].refuse("area", "and that of line " + std::to_string(film.named[b].place("area").line) +
                                                 " have boxes that overlap; give layers that lie on each other the "
                                                 "same area, others apart");
        }
    }
}

}  // namespace tymbal
