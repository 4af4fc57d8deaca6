#include "tymbal/film/film_map.h"

#include "tymbal/grid/open_share.h"

#include "../base/in_parallel.h"
#include "../grid/cells_under.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

using Matrix3 = Eigen::Matrix3d;

Matrix3 to_matrix(const Voigt& v) {
    Matrix3 m;
    for (int r = 0; r < 3; ++r)
        for (int c = 0; c < 3; ++c) m(r, c) = v[static_cast<std::size_t>(r)][static_cast<std::size_t>(c)];
    return m;
}

Voigt to_voigt(const Matrix3& m) {
    Voigt v{};
    for (int r = 0; r < 3; ++r)
        for (int c = 0; c < 3; ++c) v[static_cast<std::size_t>(r)][static_cast<std::size_t>(c)] = m(r, c);
    return v;
}

Voigt scaled(const Voigt& v, double factor) {
    return to_voigt(factor * to_matrix(v));
}

/// Plane-stress stiffness of an isotropic film, per E h (or per D(1 - nu^2), the same matrix).
Voigt isotropic(double nu) {
    const double a = 1.0 / (1.0 - nu * nu);
    return {{{a, a * nu, 0.0}, {a * nu, a, 0.0}, {0.0, 0.0, 0.5 / (1.0 + nu)}}};
}

/// Exchanges tractions (xx, xy) and strains so that the mixed matrix averages linearly over layers normal to x:
/// (strain_xx, stress_yy, strain_xy) from (stress_xx, strain_yy, stress_xy).
Matrix3 exchanged(const Matrix3& c) {
    Eigen::Matrix2d across;
    across << c(0, 0), c(0, 2), c(2, 0), c(2, 2);
    const Eigen::Vector2d side(c(0, 1), c(2, 1));
    const Eigen::Matrix2d inverse = across.inverse();
    const Eigen::Vector2d lever = inverse * side;
    Matrix3 m;
    m << inverse(0, 0), -lever[0], inverse(0, 1), lever[0], c(1, 1) - side.dot(lever), lever[1], inverse(1, 0),
        -lever[1], inverse(1, 1);
    return m;
}

Matrix3 exchanged_back(const Matrix3& m) {
    Eigen::Matrix2d inverse;
    inverse << m(0, 0), m(0, 2), m(2, 0), m(2, 2);
    const Eigen::Matrix2d across = inverse.inverse();
    const Eigen::Vector2d lever(m(1, 0), m(1, 2));
    const Eigen::Vector2d side = across * lever;
    Matrix3 c;
    c << across(0, 0), side[0], across(0, 1), side[0], m(1, 1) + lever.dot(side), side[1], across(1, 0), side[1],
        across(1, 1);
    return c;
}

/// Adds the area of one convex polygon to the cells it covers.
void spread(const std::vector<Point>& polygon, const Grid& grid, std::vector<double>& field) {
    cells_under(polygon, grid, [&](std::size_t cell, double share) { field[cell] += share; });
}

/// Unit vector in which the field's share falls.
Point falling(const Grid& grid, const std::vector<double>& field, int i, int j) {
    const auto at = [&](int a, int b) {
        return field[static_cast<std::size_t>(
            grid.cell(std::clamp(a, 0, grid.columns - 2), std::clamp(b, 0, grid.rows - 2)))];
    };
    // Differences smoothed across (weights 1 2 1): the field's edge is ragged at the scale of the pitch.
    double gx = 0.0, gy = 0.0;
    for (int k = -1; k <= 1; ++k) {
        const double weight = k == 0 ? 2.0 : 1.0;
        gx += weight * (at(i - 1, j + k) - at(i + 1, j + k)) / grid.dx;
        gy += weight * (at(i + k, j - 1) - at(i + k, j + 1)) / grid.dy;
    }
    const double size = std::hypot(gx, gy);
    return size > 0.0 ? Point{gx / size, gy / size} : Point{1.0, 0.0};
}

/// Mass and stiffness of each cell are those of its film: what is open carries nothing.
void open_up(FilmMap& map, const PaintedFilm& film, const Grid& grid, unsigned threads) {
    map.film = open_share(film.openings, grid, threads);
    const std::size_t row = static_cast<std::size_t>(grid.columns) - 1;
    in_parallel(map.film.size() / row, threads, [&](std::size_t j) {
        for (std::size_t c = j * row; c < (j + 1) * row; ++c) {
            map.film[c] = 1.0 - map.film[c];
            map.areal_density[c] *= map.film[c];
            map.in_plane[c] = scaled(map.in_plane[c], map.film[c]);
        }
    });
}

/// Deposited tension of a mixed cell, P = P_a + (C - C_a)(C_b - C_a)^-1 (P_b - P_a); by area where the phases are
/// equally stiff.
std::array<double, 3> mixed_pull(const Matrix3& mixed, const Matrix3& a, const Matrix3& b, double pull_a, double pull_b,
                                 double share) {
    const Eigen::Vector3d step = (pull_b - pull_a) * Eigen::Vector3d(1.0, 1.0, 0.0);
    const Matrix3 contrast = b - a;
    const bool alike = std::abs(contrast.determinant()) < 1e-12 * std::abs(a.determinant());
    const Eigen::Vector3d moved = alike ? Eigen::Vector3d(share * step) : (mixed - a) * contrast.inverse() * step;
    return {pull_a + moved[0], pull_a + moved[1], moved[2]};
}

void add_patches(const PaintedFilm& film, const Grid& grid, FilmMap& map) {
    const auto cells = map.field.size();
    const Voigt bare = scaled(isotropic(film.poisson_ratio), film.modulus * film.thickness);
    const Voigt bare_bending =
        scaled(isotropic(film.poisson_ratio), film.bending() * (1.0 - film.poisson_ratio * film.poisson_ratio));
    const double pull = film.stress * film.thickness;
    map.bending_difference.assign(cells, Voigt{});
    map.pull.assign(cells, {pull, pull, 0.0});
    for (const PaintedPatch& patch : film.patches) {
        const double nu = patch.poisson_ratio;
        const Voigt covered_film = scaled(isotropic(nu), patch.modulus * patch.thickness);
        const Voigt extra =
            to_voigt(to_matrix(scaled(isotropic(nu), patch.bending() * (1.0 - nu * nu))) - to_matrix(bare_bending));
        std::vector<double> shares(cells, 0.0);
        spread(patch.area, grid, shares);
        for (int j = 0; j + 1 < grid.rows; ++j) {
            for (int i = 0; i + 1 < grid.columns; ++i) {
                const auto c = static_cast<std::size_t>(grid.cell(i, j));
                const double share = std::min(1.0, shares[c]);
                if (share <= 0.0) continue;
                map.areal_density[c] += share * (patch.density * patch.thickness - film.density * film.thickness);
                map.in_plane[c] =
                    share == 1.0 ? covered_film : laminate(bare, covered_film, share, falling(grid, shares, i, j));
                map.pull[c] = mixed_pull(to_matrix(map.in_plane[c]), to_matrix(bare), to_matrix(covered_film), pull,
                                         patch.stress * patch.thickness, share);
                map.bending_difference[c] = scaled(extra, share);
            }
        }
    }
}

}  // namespace

double PaintedPatch::bending() const {
    return modulus * thickness * thickness * thickness / (12.0 * (1.0 - poisson_ratio * poisson_ratio));
}

double PaintedFilm::bending() const {
    return modulus * thickness * thickness * thickness / (12.0 * (1.0 - poisson_ratio * poisson_ratio));
}

Voigt laminate(const Voigt& a, const Voigt& b, double share_of_b, Point normal) {
    const double angle = std::atan2(normal.y, normal.x);
    const Matrix3 mixed = (1.0 - share_of_b) * exchanged(to_matrix(rotated(a, -angle))) +
                          share_of_b * exchanged(to_matrix(rotated(b, -angle)));
    return rotated(to_voigt(exchanged_back(mixed)), angle);
}

FilmMap paint(const PaintedFilm& film, const Grid& grid, FieldBending bending, unsigned threads) {
    const auto cells = static_cast<std::size_t>(grid.cell_count());
    const Voigt solid = scaled(isotropic(film.poisson_ratio), film.modulus * film.thickness);
    FilmMap map{std::vector<double>(cells, 0.0),
                std::vector<double>(cells, film.density * film.thickness),
                CellStiffness(cells, solid),
                {},
                film.bending(),
                {},
                {}};
    if (!film.openings.empty()) open_up(map, film, grid, threads);
    if (!film.patches.empty()) add_patches(film, grid, map);
    if (!film.cell) return map;

    const Voigt field = scaled(rotated(film.cell->stiffness, film.angle_rad), film.modulus * film.thickness);
    const Voigt& bent = bending == FieldBending::plate ? film.cell->bending : film.cell->curvature_energy;
    const Voigt solid_bending = scaled(isotropic(film.poisson_ratio), 1.0 - film.poisson_ratio * film.poisson_ratio);
    const Voigt extra =
        to_voigt(film.bending() * (to_matrix(rotated(bent, film.angle_rad)) - to_matrix(solid_bending)));
    for (const auto& polygon : film.field) spread(polygon, grid, map.field);
    map.bending_difference.assign(cells, Voigt{});
    for (int j = 0; j + 1 < grid.rows; ++j) {
        for (int i = 0; i + 1 < grid.columns; ++i) {
            const auto c = static_cast<std::size_t>(grid.cell(i, j));
            map.field[c] = std::min(1.0, map.field[c]);
            const double share = map.field[c];
            if (share == 0.0) continue;
            map.areal_density[c] *= 1.0 - share * film.cell->open_fraction;
            map.in_plane[c] = share == 1.0 ? field : laminate(solid, field, share, falling(grid, map.field, i, j));
            map.bending_difference[c] = scaled(extra, share);
        }
    }
    return map;
}

}  // namespace tymbal
