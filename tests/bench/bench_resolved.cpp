// Wall time and memory of a perforated square with every hole on the grid: bench_resolved [-p cells a pitch] [-o]
// [cells a side ...]. -o: only our own solver, no direct ones.
#include "stopwatch.h"

#include "support/perforated.h"
#include "tymbal/film/lattice_relax.h"
#include "tymbal/grid/lattice_modes.h"

#include <cstdio>
#include <cstdlib>
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

struct Watch {
    double last = 0.0;
    std::chrono::steady_clock::time_point start = std::chrono::steady_clock::now();
    double lap() {
        const double now = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
        const double spent = now - last;
        last = now;
        return spent;
    }
};

LatticeFilm relaxed_film(int cells, int pitch, unsigned threads) {
    std::vector<double> share = perforated::film_share(cells, cells, cells / pitch, cells / pitch, fill);
    const RectangleCells square{cells, cells, side / cells, side / cells};
    Watch watch;
    const Relaxed relaxed = relax(square, share, nitride(), {}, {threads, {}, nullptr});
    std::printf("  in-plane      %8.2f s  %3d steps, residual %.1e, %.2f GiB\n", watch.lap(), relaxed.steps,
                relaxed.residual, static_cast<double>(relaxed.bytes) / 1073741824.0);
    for (double& s : share) s *= density * thickness;
    LatticeFilm film = lattice_film(square, relaxed.tension, share, threads);
    std::printf("  matrices      %8.2f s\n", watch.lap());
    return film;
}

void measure(int cells, int pitch, unsigned threads) {
    const LatticeFilm film = relaxed_film(cells, pitch, threads);
    const double unknowns = static_cast<double>(film.unknowns());
    Watch watch;
    std::size_t level = 0;
    double of_level = 0.0, total = 0.0;
    const auto progress = [&](const SolveStep& s) {
        if (s.unknowns != level && level != 0) {
            std::printf("    level %9zu  %8.2f s\n", level, of_level);
            of_level = 0.0;
        }
        level = s.unknowns;
        const double lap = watch.lap();
        of_level += lap;
        total += lap;
        std::printf("      step %2d  residual %.1e  %.2f s\n", s.step, s.residual, lap);
    };
    LatticeModeOptions options;
    options.count = wanted;
    const LatticeModes modes = lattice_modes(film, options, {threads, progress, nullptr});
    std::printf("    level %9zu  %8.2f s\n", level, of_level);
    total += watch.lap();
    std::printf("  %.0f unknowns, %d modes  %8.2f s  residual %.1e  %.2f GiB (%.2f a million)  peak %ld MiB\n",
                unknowns, wanted, total, modes.worst_residual, static_cast<double>(modes.bytes) / 1073741824.0,
                static_cast<double>(modes.bytes) / 1073.741824 / unknowns, peak_mib());
    std::printf("  lowest %.9e, highest %.9e\n", modes.values[0], modes.values[wanted - 1]);
}

}  // namespace

int main(int argc, char** argv) {
    int pitch = 10;
    unsigned threads = std::max(1U, std::thread::hardware_concurrency());
    std::vector<int> sizes;
    for (int k = 1; k < argc; ++k) {
        const std::string word = argv[k];
        if (word == "-p" && k + 1 < argc)
            pitch = std::atoi(argv[++k]);
        else if (word == "-t" && k + 1 < argc)
            threads = static_cast<unsigned>(std::atoi(argv[++k]));
        else
            sizes.push_back(std::atoi(argv[k]));
    }
    if (sizes.empty()) sizes = {320, 1000, 2000, 4000};
    for (const int cells : sizes) {
        std::printf("%d x %d cells, %d a pitch, %u threads\n", cells, cells, pitch, threads);
        measure(cells, pitch, threads);
    }
}
