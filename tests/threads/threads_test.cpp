// Everything that runs on several threads, at once: a sweep's workers with their shared memory of cells, the grids of
// one solution beside each other, a front in parts. The thread sanitizer watches; the numbers are those of one thread.
#include "tymbal/film/cell_memo.h"
#include "tymbal/geometry/boundary.h"
#include "tymbal/geometry/front.h"
#include "tymbal/modes/find_modes.h"

#include "base/in_parallel.h"
#include "support/films.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <mutex>
#include <stdexcept>

using namespace tymbal;

namespace {

CellProblem cell(double size) {
    return {Lattice::square, HoleShape::circle, size, 0.23, 0.02, 0.02};
}

/// One row of a sweep: a film with holes from the shared memory, solved on its grids side by side.
double row(std::size_t k, const CellMemo& memo) {
    PaintedFilm film = simple::nitride(100e-9, 1e9 + 1e8 * static_cast<double>(k));
    film.cell = memo(cell(k % 2 == 0 ? 0.4 : 0.5));
    film.field = {{{-20e-6, -20e-6}, {20e-6, -20e-6}, {20e-6, 20e-6}, {-20e-6, 20e-6}}};
    return find_modes({simple::rectangle(60e-6, 60e-6), film, 1, 0.05}).modes.front().frequency_hz;
}

std::vector<double> rows(unsigned threads) {
    const CellMemo memo;
    std::mutex guard;
    std::vector<double> out(4);
    in_parallel(out.size(), threads, [&](std::size_t k) {
        const double hz = row(k, memo);
        const std::lock_guard lock(guard);
        out[k] = hz;
    });
    CHECK(memo.size() == 2);
    return out;
}

}  // namespace

TEST_CASE("rows on one, two and four threads are the same numbers") {
    const std::vector<double> alone = rows(1);
    CHECK(rows(2) == alone);
    CHECK(rows(4) == alone);
}

TEST_CASE("a failure on one thread ends the others and passes through") {
    CHECK_THROWS_AS(in_parallel(100, 4,
                                [](std::size_t k) {
                                    if (k == 17) throw std::runtime_error("seventeen");
                                }),
                    std::runtime_error);
}

TEST_CASE("a front drawn in parts is one rim") {
    PlacedHoles holes{HoleShape::circle, 2.0, 0.0, {}};
    for (int j = 0; j < 70; ++j)
        for (int i = 0; i < 70; ++i) holes.centres.push_back({3.0 * i, 3.0 * j});
    const Boundary rim = front(holes, 1.3);
    CHECK(loops(rim).size() == 1);
}
