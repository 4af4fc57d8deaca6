// Multigrid on spline grids: bench_spline factors | sizes [threads].
#include "stopwatch.h"

#include "spline/conjugate.h"
#include "spline/film_modes.h"
#include "spline/levels.h"
#include "spline/modes.h"
#include "spline/multigrid.h"
#include "spline/nested_modes.h"
#include "spline/plane.h"
#include "spline/plate.h"
#include "spline/strips.h"

#include "tymbal/geometry/boundary.h"

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <string>
#include <utility>
#include <vector>

using namespace tymbal;
using namespace tymbal::spline;

namespace {

double now_s() {
    return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

double processor_s() {
    return static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
}

/// A square of side 1 with `holes` by `holes` round ones, turned by an angle.
struct Field {
    int holes = 8;
    double fill = 0.5, cells_a_pitch = 6.0, angle = 0.0;
    [[nodiscard]] double pitch() const { return 1.0 / holes; }
    [[nodiscard]] double diameter() const { return pitch() * std::sqrt(4.0 * fill / 3.14159265358979); }
    [[nodiscard]] double spacing() const { return pitch() / cells_a_pitch; }
};

Region region_of(const Field& f) {
    std::vector<Figure> openings;
    const double c = std::cos(f.angle), s = std::sin(f.angle);
    for (int j = 0; j < f.holes; ++j)
        for (int i = 0; i < f.holes; ++i) {
            const double x = (i + 0.5) * f.pitch() - 0.5, y = (j + 0.5) * f.pitch() - 0.5;
            openings.push_back(circle_figure({c * x - s * y, s * x + c * y}, f.diameter()));
        }
    return film_region(rectangle_figure({0.0, 0.0}, {1.0, 1.0}, f.angle, 0.0), openings, f.spacing());
}

/// Error of A x = 0 left by the last of some cycles, in the energy.
double factor_of(const Rows& a, const Multigrid& grid) {
    constexpr int cycles = 16;
    const int lanes = a.fields;
    const auto rows = static_cast<std::size_t>(a.pattern->rows());
    const std::size_t numbers = rows * static_cast<std::size_t>(lanes);
    std::vector<double> x(numbers), ax(numbers);
    std::vector<float> r(numbers), w(numbers);
    Multigrid::Work work(grid, lanes);
    std::srand(1);
    for (double& v : x) v = std::rand() / static_cast<double>(RAND_MAX) - 0.5;
    double before = 0.0, factor = 0.0;
    for (int k = 0; k <= cycles; ++k) {
        product(a, x.data(), lanes, {0, rows}, ax.data());
        double energy = 0.0;
        for (std::size_t n = 0; n < numbers; ++n) energy += x[n] * ax[n];
        if (k > 0) factor = std::sqrt(std::abs(energy) / before);
        const double scale = 1.0 / std::sqrt(energy);
        for (std::size_t n = 0; n < numbers; ++n) {
            x[n] *= scale;
            r[n] = static_cast<float>(ax[n] * scale);
        }
        before = 1.0;
        grid.cycle(r.data(), work, w.data());
        for (std::size_t n = 0; n < numbers; ++n) x[n] -= static_cast<double>(w[n]);
    }
    return factor;
}

struct Carried {
    Levels levels;
    std::vector<Rows> matrices;
    std::vector<const Rows*> pointers() const {
        std::vector<const Rows*> out;
        for (const Rows& m : matrices) out.push_back(&m);
        return out;
    }
};

void carry(Carried& c, Rows finest, unsigned threads) {
    c.matrices.clear();
    c.matrices.push_back(std::move(finest));
    for (std::size_t k = 1; k < c.levels.size(); ++k)
        c.matrices.push_back(galerkin(c.matrices.back(), c.levels[k], threads));
}

void factors(const Field& field, unsigned threads) {
    const Region region = region_of(field);
    const Cells cells = cut_cells(region, frame_of(region, field.spacing(), 16));
    const Space space = make_space(cells);
    const auto pattern = std::make_shared<const Pattern>(pattern_of(cells, space));
    Carried c{make_levels(cells, space, pattern, 300), {}};
    const Sheet sheet{1.0 * 250.0, 0.23, 0.0, 1.0, 1.0};
    PlaneSystem plane = plane_system(cells, space, sheet, pattern, threads);
    carry(c, std::move(plane.stiffness), threads);
    double in_plane;
    {
        const Multigrid grid(c.levels, c.pointers(), threads);
        in_plane = factor_of(c.matrices.front(), grid);
    }
    std::printf(
        "%2d x %2d holes, fill %.2f, %4.1f cells a pitch (%.1f a bridge), turned %.1f: %7d unknowns, %zu levels, "
        "pattern %.1f  in-plane %.3f  plate",
        field.holes, field.holes, field.fill, field.cells_a_pitch, (field.pitch() - field.diameter()) / field.spacing(),
        field.angle, space.size, c.levels.size(), static_cast<double>(pattern->column.size()) / space.size, in_plane);
    const Plane relaxed = relax(cells, space, sheet);
    for (const double ratio : {0.02, 0.1, 0.5, 1.0, 4.0, 16.0}) {
        Plane film = relaxed;
        film.sheet.bending = std::pow(ratio * cells.frame.hx, 2) * mean_tension(cells, space, relaxed);
        PlateRows plate = plate_rows(cells, space, film, pattern, threads);
        carry(c, std::move(plate.stiffness), threads);
        const Multigrid grid(c.levels, c.pointers(), threads);
        std::printf(" %.3f", factor_of(c.matrices.front(), grid));
        std::fflush(stdout);
    }
    std::printf("\n");
}

/// One grid: stress and 22 modes by multigrid, beside the direct route up to a size.
void sizes(const Field& field, double bending_over_spacing, unsigned threads, int direct_up_to) {
    constexpr int count = 22;
    const auto told = [](const SolveStep& step) {
        if (step.stage == SolveStage::modes)
            std::printf("      %8zu unknowns, step %d: change %.1e\n", step.unknowns, step.step, step.residual);
    };
    const SolveEffort effort{threads, told, nullptr, 0, {}};
    const auto lap = [last = now_s(), cpu = processor_s()](const char* what) mutable {
        const double now = now_s(), was = std::exchange(last, now), busy = processor_s(),
                     before = std::exchange(cpu, busy);
        std::printf("   %-28s %7.2f s wall %7.2f s processor  %5ld MiB\n", what, now - was, busy - before, peak_mib());
    };
    auto mark = lap;
    const Region region = region_of(field);
    mark("region");
    const Cells cells = cut_cells(region, frame_of(region, field.spacing(), 16));
    const Space space = make_space(cells);
    std::printf("%d x %d holes, %.1f cells a pitch: %d unknowns\n", field.holes, field.holes, field.cells_a_pitch,
                space.size);
    mark("cells and space");
    const auto pattern = std::make_shared<const Pattern>(pattern_of(cells, space));
    mark("pattern");
    const Sheet sheet{250.0, 0.23, std::pow(bending_over_spacing * cells.frame.hx, 2), 1.0, 1.0};
    const Levels plane_levels = make_levels(cells, space, pattern, 15000);
    mark("levels");
    Plane film{sheet, {}};
    {
        PlaneSystem plane = plane_system(cells, space, sheet, pattern, threads);
        mark("in-plane assembly");
        Carried c{plane_levels, {}};
        carry(c, std::move(plane.stiffness), threads);
        mark("in-plane Galerkin");
        const Multigrid grid(c.levels, c.pointers(), threads);
        mark("in-plane smoothers, factor");
        Solution s = conjugate_gradients(c.matrices.front(), grid, plane.load, 1e-7, effort);
        std::printf("   in-plane steps %d on %zu levels, residual %.1e\n", s.steps, c.levels.size(), s.residual);
        film.displacement = std::move(s.x);
        mark("in-plane solution");
    }
    Vector values;
    {
        PlateRows plate = plate_rows(cells, space, film, pattern, threads);
        mark("plate assembly");
        const Levels levels = make_levels(cells, space, pattern, 3000);
        const LevelMatrices m = level_matrices(levels, std::move(plate.stiffness), std::move(plate.mass), threads);
        mark("plate levels, Galerkin");
        std::vector<const Rows*> all;
        for (const Rows& r : m.stiffness) all.push_back(&r);
        const Multigrid grid(levels, all, threads);
        mark("plate smoothers, factor");
        const NestedModes found = nested_modes(levels, m, grid, {count - 2, count}, effort);
        std::printf("   %d block steps on the finest of %zu levels\n", found.steps, levels.size());
        mark("modes");
        values = found.pairs.values;
    }
    if (space.size > direct_up_to) return;
    const Plane direct = relax(cells, space, sheet);
    std::printf("   displacement apart %.1e\n",
                (direct.displacement - film.displacement).norm() / direct.displacement.norm());
    mark("direct stress");
    const Plate matrices = plate(cells, space, film);
    mark("direct plate assembly");
    const Eigenpairs pairs = nearest_modes(matrices, space, count, 0.0);
    mark("direct modes");
    std::printf("   values apart %.1e\n",
                (values.array() / pairs.values.array() - 1.0).head(count - 2).abs().maxCoeff());
}

/// A silicon nitride square of 50 nm with round holes of half the pitch, as `predict` solves it on splines.
void whole_film(int holes, int modes, unsigned threads) {
    constexpr double pitch = 5e-6, thickness = 50e-9, modulus = 250e9, poisson = 0.23;
    const double side = holes * pitch + 2e-6;
    FilmProblem film;
    film.rim = rectangle_figure({0.0, 0.0}, {side, side}, 0.0, 0.0);
    for (int k = 0; k < holes * holes; ++k)
        film.openings.push_back(circle_figure(
            {(k % holes - 0.5 * (holes - 1)) * pitch, (k / holes - 0.5 * (holes - 1)) * pitch}, 0.5 * pitch));
    film.sheet = {modulus * thickness, poisson, modulus * std::pow(thickness, 3) / (12.0 * (1.0 - poisson * poisson)),
                  3100.0 * thickness, 1e9 * thickness};
    film.narrowest = 0.5 * pitch;
    film.count = modes;
    film.most_unknowns = 1'500'000;
    double last = now_s(), cpu = processor_s();
    const auto told = [&](const SolveStep& step) {
        const double now = now_s(), busy = processor_s();
        std::printf("   %s %8zu unknowns, step %d: %.1e  %6.2f s wall %6.2f s processor, %ld MiB\n",
                    step.stage == SolveStage::modes ? "modes " : "stress", step.unknowns, step.step, step.residual,
                    now - std::exchange(last, now), busy - std::exchange(cpu, busy), peak_mib());
    };
    const double start = now_s(), start_cpu = processor_s();
    const FilmModes found = film_modes(film, {threads, told, nullptr, 0, {}});
    std::printf("%d x %d holes, %d modes: %.2f s wall, %.2f s processor, %ld MiB\n", holes, holes, modes,
                now_s() - start, processor_s() - start_cpu, peak_mib());
    for (std::size_t g = 0; g < found.spacing.size(); ++g)
        std::printf("   h %.3e m: omega_1^2 %.8e\n", found.spacing[g], found.squares[g][0]);
    for (const FilmMode& m : found.modes)
        std::printf("   omega^2 %.6e +- %.1e  R_b %.4e +- %.1e\n", m.square.value, m.square.error / m.square.value,
                    m.bending_share.value, m.bending_share.error / m.bending_share.value);
}

}  // namespace

int main(int argc, char** argv) {
    const std::string what = argc > 1 ? argv[1] : "factors";
    const unsigned threads = argc > 2 ? static_cast<unsigned>(std::atoi(argv[2])) : 2;
    if (what == "film") whole_film(argc > 3 ? std::atoi(argv[3]) : 61, argc > 4 ? std::atoi(argv[4]) : 6, threads);
    if (what == "sizes") {
        const int direct = argc > 3 ? std::atoi(argv[3]) : 150000;
        for (const int holes : {20, 37, 64, 116})
            if (argc <= 4 || std::atoi(argv[4]) >= holes) sizes({holes, 0.2, 10.0, 0.0}, 0.15, threads, direct);
    }
    if (what == "factors") {
        for (const double angle : {0.0, 0.3})
            for (const double fill : {0.2, 0.5, 0.65})
                for (const double cells : {8.0}) factors({8, fill, cells, angle}, threads);
        factors({32, 0.5, 8.0, 0.0}, threads);
        factors({32, 0.65, 12.0, 0.0}, threads);
    }
}
