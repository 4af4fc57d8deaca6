// Wall time of sweeps and of each part of a design's figures: bench_choose [rows along each axis] [design.toml].
#include "tymbal/files/read_design.h"
#include "tymbal/files/read_materials.h"
#include "tymbal/film/cell_memo.h"
#include "tymbal/task/sweep.h"

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <functional>
#include <string>

using namespace tymbal;

namespace {

struct Spent {
    double wall = 0.0, processor = 0.0;  ///< s
};

Spent spent(const std::function<void()>& work) {
    const auto start = std::chrono::steady_clock::now();
    const std::clock_t ticks = std::clock();
    work();
    return {std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count(),
            static_cast<double>(std::clock() - ticks) / CLOCKS_PER_SEC};
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

double print_sweep(const DesignAt& at, const Materials& materials, const SweepGrid& grid, unsigned threads) {
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

}  // namespace

int main(int argc, char** argv) {
    const int count = argc > 1 ? std::atoi(argv[1]) : 10;
    const std::string file = argc > 2 ? argv[2] : TYMBAL_SOURCE_DIR "/examples/perforated-square.toml";
    const Materials materials = read_materials(TYMBAL_SOURCE_DIR "/materials");
    const DesignAt as_written = vary_design(file, materials);
    const DesignAt at = [&](Changes changes) {
        changes.push_back({"solve.modes", 4.0});
        changes.push_back({"solve.accuracy", 1e-3});
        return as_written(changes);
    };
    const SweepGrid grid = fill_by_size(count);
    const double one = print_sweep(at, materials, grid, 1), two = print_sweep(at, materials, grid, 2);
    std::printf("two threads are %.2f times as fast as one\n", one / two);
}
