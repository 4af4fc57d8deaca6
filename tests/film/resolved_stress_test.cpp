#include "tymbal/film/resolved_stress.h"
#include "support/approx.h"
#include "tymbal/film/slack_film.h"

#include "tymbal/grid/held_film.h"

#include "support/films.h"

#include <doctest/doctest.h>

#include <cmath>
#include <utility>

using namespace tymbal;

namespace {

struct Found {
    Grid grid;
    FilmMap map;
    ResolvedStress stress;
};

Found relaxed(const PaintedFilm& film, const Outline& outline, int cells_x, int cells_y) {
    Grid whole = make_grid(boundary(outline), cells_x, cells_y);
    FilmMap map = paint(film, whole, FieldBending::tension_driven);
    HeldFilm held = held_film(std::move(whole), map.film);
    ResolvedStress stress = relax_resolved(film, held.grid, map);
    return {std::move(held.grid), std::move(map), std::move(stress)};
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("film that is taut everywhere is left as the balance has it, however holes cut the cells") {
        PaintedFilm film = simple::nitride(50e-9, 1e9);
        film.openings = {circle_figure({3e-6, -7e-6}, 47e-6)};
        for (const int cells : {30, 47, 64})
            CHECK(relaxed(film, simple::rectangle(100e-6, 100e-6), cells, cells).stress.raised.empty());
    }

    TEST_CASE("raising all leaves no principal tension below a thousandth of the deposited, and says by how much") {
        PaintedFilm film = simple::nitride(50e-9, 1e9);
        film.openings = {circle_figure({3e-6, -7e-6}, 47e-6)};
        Found found = relaxed(film, simple::rectangle(100e-6, 100e-6), 47, 47);
        const CornerTensor before = found.stress.corners;
        raise_all(film, found.grid, found.map, found.stress.corners, found.stress.raised);
        REQUIRE(found.stress.raised.size() == before.size());
        bool any = false;
        for (std::size_t c = 0; c < before.size(); ++c) {
            const auto& n = found.stress.corners[c];
            const Quadrant q = quadrant(found.grid, static_cast<int>(c / 4), c % 4 / 2, 2 + c % 2);
            const double least = 1e-3 * film.stress * film.thickness * found.map.film[q.cell];
            CHECK(0.5 * (n[0] + n[1]) - std::hypot(0.5 * (n[0] - n[1]), n[2]) >= least - 1e-9);
            for (std::size_t r = 0; r < 3; ++r)
                CHECK(n[r] == sample::Approx(before[c][r] + found.stress.raised[c][r]).epsilon(1e-12).scale(1.0));
            any = any || found.stress.raised[c][0] > 0.0;
        }
        CHECK(any);
    }
}
