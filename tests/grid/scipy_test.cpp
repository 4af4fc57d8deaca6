#include "support/approx.h"
#include "tymbal/grid/eigenpairs.h"

#include "support/films.h"

#include <doctest/doctest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iomanip>
#include <string>

using namespace tymbal;

namespace {

// SciPy's eigsh (ARPACK in shift-invert mode on SuperLU) is an independent factorisation and an independent iteration.
constexpr const char* script = R"(
import sys
import numpy
from scipy.sparse import csc_matrix, diags
from scipy.sparse.linalg import eigsh
folder = sys.argv[1]
row, column, value = numpy.loadtxt(folder + "/stiffness.txt", unpack=True)
mass = numpy.loadtxt(folder + "/mass.txt")
n = len(mass)
stiffness = csc_matrix((value, (row.astype(int), column.astype(int))), shape=(n, n))
values = eigsh(stiffness, k=8, M=diags(mass).tocsc(), sigma=0.0, which="LM", return_eigenvectors=False, tol=1e-13)
numpy.savetxt(folder + "/values.txt", numpy.sort(values), fmt="%.17g")
)";

std::vector<double> by_scipy(const SparseMatrix& stiffness, const Vector& mass, const std::string& name) {
    const auto folder = std::filesystem::temp_directory_path() / ("tymbal-scipy-" + name);
    std::filesystem::create_directories(folder);
    std::ofstream(folder / "solve.py") << script;
    {
        std::ofstream entries(folder / "stiffness.txt"), masses(folder / "mass.txt");
        entries << std::setprecision(17);
        masses << std::setprecision(17);
        for (Eigen::Index c = 0; c < stiffness.outerSize(); ++c)
            for (SparseMatrix::InnerIterator it(stiffness, c); it; ++it)
                entries << it.row() << ' ' << it.col() << ' ' << it.value() << '\n';
        for (Eigen::Index k = 0; k < mass.size(); ++k) masses << mass[k] << '\n';
    }
    const std::string command = "/usr/bin/python3 '" + (folder / "solve.py").string() + "' '" + folder.string() + "'";
    REQUIRE_MESSAGE(std::system(command.c_str()) == 0, "needs the Debian package python3-scipy (tests/packages.txt)");
    std::vector<double> values;
    std::ifstream in(folder / "values.txt");
    for (double value; in >> value;) values.push_back(value);
    std::filesystem::remove_all(folder);
    return values;
}

void compare(const Outline& outline, double bending, RimBending rim, const std::string& name) {
    const Grid grid = make_grid(boundary(outline), 40, 40);
    const auto cells = static_cast<std::size_t>(grid.cell_count());
    const SparseMatrix stiffness =
        tension_matrix(grid, CellTensor(cells, {1.0, 0.9, 0.2})) + bending_matrix(grid, bending, {}, rim);
    const Vector mass = mass_vector(grid, std::vector<double>(cells, 1.0));
    const auto theirs = by_scipy(stiffness, mass, name);
    const Eigenpairs ours = lowest_eigenpairs(stiffness, mass, 8);
    REQUIRE(theirs.size() == 8);
    for (std::size_t k = 0; k < 8; ++k)
        CHECK(ours.values[static_cast<Eigen::Index>(k)] == sample::Approx(theirs[k]).epsilon(1e-8));
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("SciPy finds the same eigenvalues of the same disc to 1e-8") {
        compare(simple::disc(2), 0.01, RimBending::clamped, "disc");
    }
    TEST_CASE("SciPy finds the same eigenvalues of the same L-shaped film to 1e-8") {
        compare(Polygon{{{0, 0}, {2, 0}, {2, 1}, {1, 1}, {1, 2}, {0, 2}}}, 1e-6, RimBending::free_slope, "l-shape");
    }
}
