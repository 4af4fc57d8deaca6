// Wall time of the measurement plan with forty modes: bench_plan [design.toml ...].
#include "stopwatch.h"

#include "support/places.h"
#include "tymbal/read/design.h"
#include "tymbal/read/read_materials.h"
#include "tymbal/task/plan.h"

#include <algorithm>
#include <cstdio>
#include <ctime>
#include <string>
#include <vector>

using namespace tymbal;

int main(int argc, char** argv) {
    std::vector<std::string> files(argv + 1, argv + argc);
    if (files.empty())
        for (const char* name : {"plain-square", "perforated-square"})
            files.push_back((places::source_dir() + "/examples/").append(name).append(".toml"));
    const Materials materials = read_materials(places::source_dir() + "/materials");
    for (const std::string& file : files) {
        Device device = as_released(read_design(file), materials);
        device.solve.modes = 40;
        double wall = 1e300, processor = 1e300;
        for (int run = 0; run < 3; ++run) {
            const std::clock_t clock = std::clock();
            wall = std::min(wall, seconds([&] { (void)plan(device, materials, {}); }));
            processor = std::min(processor, static_cast<double>(std::clock() - clock) / CLOCKS_PER_SEC);
        }
        std::printf("%-60s %6.3f s wall, %6.3f s processor, best of three\n", file.c_str(), wall, processor);
    }
}
