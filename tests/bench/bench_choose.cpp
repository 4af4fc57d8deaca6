// Wall time of a sweep over fill factor and size and of a search, and how the errors of hole fields compare with a
// finer solution: bench_choose [rows along each axis] [design.toml] [random hole fields to check].
#include "stopwatch.h"

#include "support/places.h"
#include "tymbal/film/cell_memo.h"
#include "tymbal/read/design.h"
#include "tymbal/read/read_materials.h"
#include "tymbal/task/choose.h"
#include "tymbal/task/laid_film.h"
#include "tymbal/task/sweep.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <fstream>
#include <functional>
#include <iterator>
#include <random>
#include <string>

using namespace tymbal;

namespace {

struct Spent {
    double wall = 0.0, processor = 0.0;  ///< s
};

Spent spent(const std::function<void()>& work) {
    const std::clock_t ticks = std::clock();
    const double wall = seconds(work);
    return {wall, static_cast<double>(std::clock() - ticks) / CLOCKS_PER_SEC};
}

SweepGrid fill_by_size(int count) {
    SweepGrid grid{{{"holes.fill_factor", {}}, {"outline.scale", {}}}};
    for (int k = 0; k < count; ++k) {
        const double share = (k + 0.5) / count;
        grid.axes[0].values.emplace_back(0.02 + 0.4 * share);
        grid.axes[1].values.emplace_back(0.5 + 1.5 * share);
    }
    return grid;
}

double print_sweep(const DeviceAt& at, const Materials& materials, const SweepGrid& grid, unsigned threads) {
    std::size_t failed = 0;
    std::vector<std::size_t> all(grid.size());
    for (std::size_t k = 0; k < all.size(); ++k) all[k] = k;
    const Spent s = spent([&] {
        sweep({at, materials, grid, all, threads}, [&](const SweepRow& row) { failed += row.figures ? 0U : 1U; });
    });
    std::printf("%6zu designs, %u thread%s  %8.2f s wall, %8.2f s processor, %.1f ms processor each, %zu failed\n",
                grid.size(), threads, threads == 1 ? " " : "s", s.wall, s.processor,
                1e3 * s.processor / static_cast<double>(grid.size()), failed);
    return s.wall;
}

/// Random hole fields solved to 1e-3 and again to 2e-4: how many modes differ by less than both errors together.
void print_errors(const DeviceAt& at, int count) {
    const CellMemo cells;
    std::mt19937_64 engine(7);
    const auto uniform = [&] { return static_cast<double>(engine() >> 11U) / 9007199254740992.0; };
    int within = 0, modes = 0;
    double worst = 0.0;
    for (int k = 0; k < count; ++k) {
        Changes changes{{"outline.width", 1e-6 * (60.0 + 180.0 * uniform())},
                        {"outline.height", 1e-6 * (60.0 + 180.0 * uniform())},
                        {"holes.fill_factor", 0.03 + 0.4 * uniform()},
                        {"holes.margin", 1e-6 * (0.5 + 5.0 * uniform())},
                        {"holes.lattice", uniform() < 0.5 ? "square" : "triangular"}};
        const Device device = at(changes);
        const FilmOnOutline laid = lay_out(device, cells);
        const ModeSet coarse = find_modes({device.outline, laid.film, device.solve.modes, 1e-3});
        const ModeSet fine = find_modes({device.outline, laid.film, device.solve.modes, 2e-4});
        for (std::size_t m = 0; m < coarse.modes.size(); ++m, ++modes) {
            const Mode &a = coarse.modes[m], &b = fine.modes[m];
            const double apart = std::abs(a.frequency_hz - b.frequency_hz);
            within += apart <= a.discretisation_error_hz + b.discretisation_error_hz ? 1 : 0;
            worst = std::max(worst, apart / b.frequency_hz);
        }
    }
    std::printf("%d of %d modes of %d hole fields within their errors, largest difference %.1e\n", within, modes, count,
                worst);
}

/// The example with three free lengths, on two threads.
void print_choice(const Materials& materials) {
    const DeviceAt at = devices_of(read_design(places::source_dir() + "/examples/choose-drum.toml"), materials);
    std::size_t tried = 0;
    const Spent s = spent([&] { tried = choose({at, materials, 60, 2, false}).solved; });
    std::printf("choose, three free lengths, %zu designs and what limits cost: %.1f s wall, %.1f s processor\n", tried,
                s.wall, s.processor);
}

/// A mirror membrane whose films shall reflect in spite of their deviations: each design is seen 64 times over.
const char* const mirror = R"toml([film]
material  = "nitride-stoichiometric"
thickness = "190 +- 2 nm"
stress    = "1.00 +- 0.03 GPa"
[outline]
shape  = "rectangle"
width  = "150 um"
height = "150 um"
[holes]
lattice  = "square"
diameter = "0.80 +- 0.01 um"
pitch    = "1.295 um"
margin   = "4 um"
[readout]
wavelength  = "1550 nm"
spot_radius = "40 um"
below       = "none"
[target]
mode      = "(1,1)"
frequency = "2.27 MHz"
[free]
"holes.diameter" = ["0.6 um", "0.9 um"]
"holes.pitch"    = ["1.2 um", "1.4 um"]
"outline.width"  = ["100 um", "200 um"]
[limits]
least_reflectivity      = 0.05
least_chance_to_reflect = 0.5
[solve]
modes = 4
)toml";

/// How much longer a search takes that sees the lattice than the same one that sees an averaged index, cold.
void print_share_of_light(const char* name, const std::string& text, const Materials& materials) {
    const auto processor = [&](const std::string& design) {
        const DeviceAt at = devices_of(parse_design(design, "bench.toml"), materials);
        return spent([&] { (void)choose({at, materials, 16, 1, false}); }).processor;
    };
    const double seen = processor(text), plain = processor(text + "light = \"averaged\"\n");
    std::printf("choose, %s: %.1f s processor, %.1f s with light averaged, ratio %.2f\n", name, seen, plain,
                seen / plain);
}

std::string text_of(const std::string& path) {
    std::ifstream in(path);
    return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace

int main(int argc, char** argv) {
    const int count = argc > 1 ? std::atoi(argv[1]) : 10;
    const std::string file = argc > 2 ? argv[2] : places::source_dir() + "/examples/perforated-square.toml";
    const Materials materials = read_materials(places::source_dir() + "/materials");
    const DeviceAt as_written = devices_of(read_design(file), materials);
    const DeviceAt at = [&](Changes changes) {
        changes.push_back({"solve.modes", 4.0});
        changes.push_back({"solve.accuracy", 1e-3});
        return as_written(changes);
    };
    const SweepGrid grid = fill_by_size(count);
    const double one = print_sweep(at, materials, grid, 1), two = print_sweep(at, materials, grid, 2);
    std::printf("two threads are %.2f times as fast as one\n", one / two);
    print_choice(materials);
    print_share_of_light("choose-drum", text_of(places::source_dir() + "/examples/choose-drum.toml"), materials);
    print_share_of_light("a mirror with a chance to reflect", mirror, materials);
    if (argc > 3) print_errors(at, std::atoi(argv[3]));
}
