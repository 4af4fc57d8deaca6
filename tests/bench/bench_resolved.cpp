// Time and memory of a perforated square with every hole on the grid, beside general libraries on the same matrices:
// bench_resolved [-p cells a pitch] [-t threads] [-d unknowns up to which direct solvers run too] [-e file to export
// the matrices to, for beside.py] [-w 1: one whole level as `predict` solves it instead] [cells a side ...].
#include "factored_modes.h"
#include "stopwatch.h"

#include "support/films.h"
#include "support/perforated.h"
#include "tymbal/base/constants.h"
#include "tymbal/film/lattice_relax.h"
#include "tymbal/grid/lattice_modes.h"
#include "tymbal/modes/find_modes.h"

#include <Eigen/SparseCholesky>
#ifdef TYMBAL_CHOLMOD
#include <Eigen/CholmodSupport>
#endif

#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <memory>
#include <string>
#include <thread>
#include <vector>

using namespace tymbal;

namespace {

constexpr double side = 1e-3, thickness = 50e-9, modulus = 250e9, poisson = 0.23, stress = 1e9, density = 3100.0;
constexpr double fill = 0.2;
constexpr int wanted = 20;

StretchedFilm nitride() {
    const double c = modulus * thickness / (1.0 - poisson * poisson);
    return {{{{c, poisson * c, 0.0}, {poisson * c, c, 0.0}, {0.0, 0.0, 0.5 * (1.0 - poisson) * c}}},
            stress * (1.0 - poisson) / modulus};
}

double now_s() {
    return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}
double processor_s() {
    return static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
}

/// Wall and processor time since the last look: the machine may be shared.
struct Watch {
    double wall = now_s(), processor = processor_s();
    double last_wall = 0.0, last_processor = 0.0;
    double lap() {
        last_wall = now_s() - wall;
        last_processor = processor_s() - processor;
        wall += last_wall;
        processor += last_processor;
        return last_wall;
    }
};

LatticeFilm relaxed_film(int cells, int pitch, unsigned threads) {
    std::vector<double> share = perforated::film_share(cells, cells, cells / pitch, cells / pitch, fill);
    const RectangleCells square{cells, cells, side / cells, side / cells};
    Watch watch;
    const Relaxed relaxed = relax(square, share, nitride(), {}, {threads, {}, nullptr});
    watch.lap();
    std::printf("  in-plane      %8.2f s wall %8.2f s processor  %3d steps, residual %.1e, %.2f GiB\n", watch.last_wall,
                watch.last_processor, relaxed.steps, relaxed.residual,
                static_cast<double>(relaxed.bytes) / 1073741824.0);
    for (double& s : share) s *= density * thickness;
    LatticeFilm film = lattice_film(square, relaxed.tension, share, threads);
    std::printf("  matrices      %8.2f s\n", watch.lap());
    return film;
}

template <class Factor>
void print_factored(const char* name, const SparseFilm& film, const Vector& ours, double our_wall,
                    double our_processor) {
    Watch watch;
    const FactoredModes found =
        factored_modes<Factor>(film, wanted, 1e-7, ours[0], [](const auto& work) { return seconds(work); });
    watch.lap();
    double apart = 0.0;
    for (Eigen::Index k = 0; found.converged && k < wanted; ++k)
        apart = std::max(apart, std::abs(ours[k] / found.values[k] - 1.0));
    std::printf("  %-10s %8.2f s wall (%.2f factor, %.2f for %ld solves) %8.2f s processor  residual %.1e%s\n", name,
                watch.last_wall, found.factored_s, found.iterated_s, found.solves, watch.last_processor,
                found.worst_residual, found.converged ? "" : "  NOT CONVERGED");
    std::printf("             ours is %.1f times as fast by wall, %.1f by processor; values apart %.1e\n",
                watch.last_wall / our_wall, watch.last_processor / our_processor, apart);
}

struct Settings {
    int pitch = 10;
    unsigned threads = std::max(1U, std::thread::hardware_concurrency());
    double direct_up_to = 1.1e6;
    std::string export_to;
    bool whole = false;
};

/// Stress, modes, peak stress and bending energy of one level, exact open shares included.
void measure_whole(int cells, const Settings& settings) {
    const int holes = cells / settings.pitch;
    const double pitch = side / holes, diameter = pitch * std::sqrt(4.0 * fill / constants::pi);
    ModeProblem problem{simple::rectangle(side, side), simple::nitride(thickness, stress), wanted};
    for (int k = 0; k < holes * holes; ++k)
        problem.film.openings.push_back(circle_figure(
            {(k % holes - 0.5 * (holes - 1)) * pitch, (k / holes - 0.5 * (holes - 1)) * pitch}, diameter));
    problem.film.narrowest = pitch - diameter;
    problem.effort.threads = settings.threads;
    Watch watch;
    const Level level = solve_level(problem, cells, cells, RimTreatment::thin_layer);
    watch.lap();
    std::printf(
        "  whole level: %zu unknowns, %d modes, stress and dilution: %.2f s wall %.2f s processor, peak of the "
        "process %ld MiB\n",
        level.grid.nodes.size(), wanted, watch.last_wall, watch.last_processor, peak_mib());
}

/// Coordinate rows for other programs: size; then row, column, stiffness; then masses.
void write_matrices(const std::string& file, const SparseFilm& film) {
    std::FILE* const out = std::fopen(file.c_str(), "w");
    if (out == nullptr) return;
    std::fprintf(out, "%ld %ld\n", static_cast<long>(film.stiffness.rows()),
                 static_cast<long>(film.stiffness.nonZeros()));
    for (Eigen::Index k = 0; k < film.stiffness.outerSize(); ++k)
        for (SparseMatrix::InnerIterator e(film.stiffness, k); e; ++e)
            std::fprintf(out, "%ld %ld %.17g\n", static_cast<long>(e.row()), static_cast<long>(e.col()), e.value());
    for (const double m : film.mass) std::fprintf(out, "%.17g\n", m);
    std::fclose(out);
}

void measure(int cells, const Settings& settings) {
    const LatticeFilm film = relaxed_film(cells, settings.pitch, settings.threads);
    const auto unknowns = static_cast<double>(film.unknowns());
    Watch watch, lap;
    const auto progress = [&](const SolveStep& s) {
        lap.lap();
        std::printf("    level %9zu  step %2d  residual %.1e  %6.2f s wall %6.2f s processor\n", s.unknowns, s.step,
                    s.residual, lap.last_wall, lap.last_processor);
    };
    LatticeModeOptions options;
    options.count = wanted;
    LatticeModes modes = lattice_modes(film, options, {settings.threads, progress, nullptr});
    watch.lap();
    const double wall = watch.last_wall, processor = watch.last_processor;
    std::printf(
        "  %.0f unknowns, %d modes: %.2f s wall %.2f s processor  residual %.1e  %.2f GiB (%.2f a million; "
        "announced %.2f GiB)  peak of the process %ld MiB\n",
        unknowns, wanted, wall, processor, modes.worst_residual, static_cast<double>(modes.bytes) / 1073741824.0,
        static_cast<double>(modes.bytes) / 1073.741824 / unknowns,
        static_cast<double>(lattice_modes_bytes(cells - 1, cells - 1, wanted)) / 1073741824.0, peak_mib());
    modes.vectors = {};
    if (unknowns > settings.direct_up_to && settings.export_to.empty()) return;
    const SparseFilm sparse = to_sparse(film);
    if (!settings.export_to.empty()) write_matrices(settings.export_to, sparse);
    if (unknowns > settings.direct_up_to) return;
#ifdef TYMBAL_CHOLMOD
    print_factored<Eigen::CholmodSupernodalLLT<SparseMatrix>>("CHOLMOD", sparse, modes.values, wall, processor);
#endif
    if (unknowns < 3e5)
        print_factored<Eigen::SimplicialLDLT<SparseMatrix>>("Eigen LDLT", sparse, modes.values, wall, processor);
}

}  // namespace

int main(int argc, char** argv) {
    std::setvbuf(stdout, nullptr, _IOLBF, 0);
    Settings settings;
    std::vector<int> sizes;
    for (int k = 1; k < argc; ++k) {
        const std::string word = argv[k];
        if (word[0] != '-' || k + 1 == argc)
            sizes.push_back(std::atoi(argv[k]));
        else if (word == "-p")
            settings.pitch = std::atoi(argv[++k]);
        else if (word == "-t")
            settings.threads = static_cast<unsigned>(std::atoi(argv[++k]));
        else if (word == "-d")
            settings.direct_up_to = std::atof(argv[++k]);
        else if (word == "-e")
            settings.export_to = argv[++k];
        else if (word == "-w")
            settings.whole = std::atoi(argv[++k]) != 0;
    }
    if (sizes.empty()) sizes = {320, 1000, 2000, 4000};
    for (const int cells : sizes) {
        std::printf("%d x %d cells, %d a pitch, %u threads\n", cells, cells, settings.pitch, settings.threads);
        if (settings.whole)
            measure_whole(cells, settings);
        else
            measure(cells, settings);
    }
}
