#include "tymbal/film/unit_cell.h"

#include "cell_bending.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/geometry/overlap.h"

#include <algorithm>
#include <cmath>
#include <future>
#include <stdexcept>

namespace tymbal {

namespace {

constexpr double least_ligament = 0.02;  // of the pitch
constexpr double most_for_hole = 36.0;   // cells to a pitch that a small hole may ask for
constexpr double most_cells = 160.0;     // that a thin ligament may ask for

Voigt to_voigt(const Eigen::Matrix3d& m) {
    Voigt v{};
    for (int r = 0; r < 3; ++r)
        for (int c = 0; c < 3; ++c) v[static_cast<std::size_t>(r)][static_cast<std::size_t>(c)] = m(r, c);
    return v;
}

Eigen::Matrix3d to_matrix(const Voigt& v) {
    Eigen::Matrix3d m;
    for (int r = 0; r < 3; ++r)
        for (int c = 0; c < 3; ++c) m(r, c) = v[static_cast<std::size_t>(r)][static_cast<std::size_t>(c)];
    return m;
}

struct Solved {
    Eigen::Matrix3d stiffness, plate, curvature_energy;
    std::vector<Voigt3> edge;
};

Solved solve_once(const CellProblem& problem, int per_pitch) {
    const CellStress stress = solve_cell_stress(make_cell(problem, per_pitch), problem.poisson_ratio);
    const CellBending bending = solve_cell_bending(stress, problem.layer);
    return {stress.stiffness, bending.plate, bending.curvature_energy, edge_stress(stress)};
}

/// Cells to a pitch on the coarser grid: the error falls with their square, a hole and a ligament need a few each.
int choose_cells(const CellProblem& problem) {
    const double ligament = lattice_ligament(problem.lattice, problem.shape, problem.size);
    if (ligament < least_ligament)
        throw NoAnswer(
            "the ligament between holes is below 2 % of the pitch, too thin to compute; use smaller holes or a "
            "larger pitch");
    const double refined = std::sqrt(1e-3 / std::clamp(problem.accuracy, 2e-5, 1e-2));
    const double for_hole = std::min(most_for_hole, 7.0 * refined / problem.size);
    const double for_ligament = std::min(most_cells, 6.0 / ligament);
    return static_cast<int>(std::lround(std::max({12.0, for_hole, for_ligament})));
}

/// Order of the energies in the spacing: two past smooth edges; past a sharp corner the stress is singular and the
/// order is twice Williams' notch exponent for the film's angle there, 270 and 240 degrees (J. Appl. Mech. 19, 526
/// (1952); exponents 0.5445 and 0.6157 from memory, the observed order is checked in tests/film).
double energy_order(HoleShape shape) {
    switch (shape) {
        case HoleShape::circle: return 2.0;
        case HoleShape::square: return 1.089;
        case HoleShape::hexagon: return 1.231;
    }
    throw std::logic_error("energy_order: unhandled hole shape");
}

double largest_difference(const Eigen::Matrix3d& a, const Eigen::Matrix3d& b) {
    return (a - b).cwiseAbs().maxCoeff() / b.cwiseAbs().maxCoeff();
}

double largest_biaxial(const std::vector<Voigt3>& edge) {
    double most = 0.0;
    for (const Voigt3& row : edge) most = std::max(most, std::abs(row[0] + row[1]));
    return most;
}

/// Edge stress with the symmetry that the film has and the grid has not: turned by sixty degrees, a triangular lattice
/// of round or hexagonal holes is itself. The stress at a point under a tension is that at the turned point under the
/// turned tension; the mean of the six is taken.
/// @param edge  points at even steps round the hole, counter-clockwise, their number a multiple of six
std::vector<Voigt3> sixfold(const std::vector<Voigt3>& edge) {
    std::vector<Voigt3> out(edge.size(), Voigt3{});
    for (std::size_t turn = 0; turn < 6; ++turn) {
        const double angle = static_cast<double>(turn) * constants::pi / 3.0;
        const double cc = std::cos(angle) * std::cos(angle), ss = 1.0 - cc, cs = std::cos(angle) * std::sin(angle);
        for (std::size_t k = 0; k < edge.size(); ++k) {
            const Voigt3& r = edge[(k + turn * edge.size() / 6) % edge.size()];
            out[k][0] += (cc * r[0] + ss * r[1] + cs * r[2]) / 6.0;
            out[k][1] += (ss * r[0] + cc * r[1] - cs * r[2]) / 6.0;
            out[k][2] += (2.0 * cs * (r[1] - r[0]) + (cc - ss) * r[2]) / 6.0;
        }
    }
    return out;
}

/// A square cell with this hole is its own image when x and y are exchanged.
bool is_fourfold(const CellProblem& problem) {
    return problem.lattice == Lattice::square && problem.shape != HoleShape::hexagon;
}

/// Mean with the image under the exchange: the cell's triangles and rounding tell x from y by 1e-4 of the curvature.
Eigen::Matrix3d fourfold(const Eigen::Matrix3d& m) {
    Eigen::Matrix3d image = m;
    image.row(0).swap(image.row(1));
    image.col(0).swap(image.col(1));
    return 0.5 * (m + image);
}

bool is_sixfold(const CellProblem& problem) {
    return problem.lattice == Lattice::triangular && problem.shape != HoleShape::square;
}

}  // namespace

CellFilm solve_cell(const CellProblem& problem) {
    if (!(problem.size > 0.0 && problem.size < 1.0))
        throw std::invalid_argument("solve_cell: size must lie between 0 and 1");
    const int coarse_cells = choose_cells(problem);
    const int fine_cells = static_cast<int>(std::lround(1.5 * coarse_cells));
    auto beside = std::async(std::launch::async, solve_once, problem, coarse_cells);
    const Solved fine = solve_once(problem, fine_cells);
    const Solved coarse = beside.get();
    const double ratio = static_cast<double>(fine_cells) / coarse_cells;
    const double share = 1.0 / (std::pow(ratio, energy_order(problem.shape)) - 1.0);
    const double regular = 1.0 / (ratio * ratio - 1.0);  // stress is read off away from corners
    const bool sharp = problem.shape != HoleShape::circle;
    const auto limit = [&](const Eigen::Matrix3d& c, const Eigen::Matrix3d& f) -> Eigen::Matrix3d {
        const Eigen::Matrix3d m = f + share * (f - c);
        return is_fourfold(problem) ? fourfold(m) : m;
    };

    CellFilm out;
    out.open_fraction = hole_area(problem.shape, problem.size) / cell_area(problem.lattice);
    out.stiffness = to_voigt(limit(coarse.stiffness, fine.stiffness));
    out.bending = to_voigt(limit(coarse.plate, fine.plate));
    out.curvature_energy = to_voigt(limit(coarse.curvature_energy, fine.curvature_energy));
    for (std::size_t k = 0; k < fine.edge.size(); ++k) {
        Voigt3 row{};
        for (std::size_t m = 0; m < 3; ++m) row[m] = fine.edge[k][m] + regular * (fine.edge[k][m] - coarse.edge[k][m]);
        out.edge_stress.push_back(row);
    }
    if (is_sixfold(problem)) out.edge_stress = sixfold(out.edge_stress);
    // Of the extrapolated step, what the next order may still move; at sharp corners the way the grid meets the corner
    // too (tests/film).
    const double doubt = sharp ? 0.5 : 0.25;
    const auto bulk = [](const Eigen::Matrix3d& c) { return c(0, 0) + c(0, 1); };
    out.stiffness_error = doubt * share * largest_difference(coarse.stiffness, fine.stiffness);
    out.bulk_error = doubt * share * std::abs(bulk(coarse.stiffness) / bulk(fine.stiffness) - 1.0);
    out.bending_error = (sharp ? 1.5 : 0.5) * share *
                        std::max(largest_difference(coarse.plate, fine.plate),
                                 largest_difference(coarse.curvature_energy, fine.curvature_energy));
    const double peak = largest_biaxial(out.edge_stress);
    const double before = largest_biaxial(is_sixfold(problem) ? sixfold(fine.edge) : fine.edge);
    out.edge_stress_error = 0.75 * std::abs(before / peak - 1.0);
    return out;
}

double cell_area(Lattice lattice) {
    switch (lattice) {
        case Lattice::square: return 1.0;
        case Lattice::triangular: return 0.5 * std::sqrt(3.0);
        case Lattice::honeycomb: return 0.75 * std::sqrt(3.0);
        case Lattice::list: break;
    }
    throw std::logic_error("cell_area: a list of holes has no lattice cell");
}

double hole_area(HoleShape shape, double size) {
    switch (shape) {
        case HoleShape::circle: return 0.25 * std::acos(-1.0) * size * size;
        case HoleShape::square: return size * size;
        case HoleShape::hexagon: return 0.5 * std::sqrt(3.0) * size * size;
    }
    throw std::logic_error("hole_area: unhandled hole shape");
}

Voigt rotated(const Voigt& stiffness, double angle_rad) {
    const double c = std::cos(angle_rad), s = std::sin(angle_rad);
    Eigen::Matrix3d to_lattice;  // strains (xx, yy, gamma) of the new axes seen in the lattice's
    to_lattice << c * c, s * s, c * s, s * s, c * c, -c * s, -2.0 * c * s, 2.0 * c * s, c * c - s * s;
    return to_voigt(to_lattice.transpose() * to_matrix(stiffness) * to_lattice);
}

}  // namespace tymbal
