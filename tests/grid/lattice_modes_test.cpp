#include "tymbal/grid/lattice_modes.h"

#include "tymbal/base/error.h"
#include "tymbal/grid/eigenpairs.h"

#include "support/films.h"
#include "support/perforated.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace tymbal;

namespace {

/// A perforated rectangle under uniform tension per film.
LatticeFilm perforated_film(int cells_x, int cells_y, int holes_x, int holes_y, double fill) {
    const std::vector<double> share = perforated::film_share(cells_x, cells_y, holes_x, holes_y, fill);
    CellTensor tension(share.size());
    for (std::size_t c = 0; c < share.size(); ++c) tension[c] = {share[c], share[c], 0.0};
    return lattice_film(RectangleCells{cells_x, cells_y, 1.0 / cells_x, 1.0 / cells_x}, tension, share);
}

void check_against_direct(const LatticeFilm& film, const LatticeModeOptions& options) {
    const SparseFilm sparse = to_sparse(film);
    const Eigenpairs direct = lowest_eigenpairs(sparse.stiffness, sparse.mass, options.count);
    const LatticeModes found = lattice_modes(film, options, {2, {}, nullptr});
    for (Eigen::Index k = 0; k < options.count; ++k) {
        CAPTURE(k);
        CHECK(found.values[k] == doctest::Approx(direct.values[k]).epsilon(1e-7));
    }
    CHECK(found.worst_residual <= options.residual);
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("the block eigensolver agrees with the direct one: plain, perforated, odd sizes, oblong, curved rim") {
        check_against_direct(perforated_film(64, 64, 1, 1, 0.0), {10, 1e-4, 40, 500});
        check_against_direct(perforated_film(200, 200, 20, 20, 0.2), {20, 1e-4, 40, 3000});
        check_against_direct(perforated_film(151, 97, 10, 6, 0.4), {8, 1e-5, 40, 500});
        check_against_direct(perforated_film(400, 31, 40, 3, 0.3), {6, 1e-4, 40, 500});
        const Grid grid = make_grid(boundary(plain::disc(1)), 101, 103);
        const auto cells = static_cast<std::size_t>(grid.cell_count());
        check_against_direct(lattice_film(grid, CellTensor(cells, {1.0, 1.1, 0.1}), std::vector<double>(cells, 1.0)),
                             {12, 1e-4, 40, 600});
    }
}
