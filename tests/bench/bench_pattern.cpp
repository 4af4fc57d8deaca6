// Prints how long a pattern of many holes takes to draw, write and read back, lattices and holes of a file that fit no
// array: bench_pattern [holes a side].
#include "stopwatch.h"

#include "tymbal/mask/hole_file.h"
#include "tymbal/print/write_pattern.h"
#include "tymbal/read/design.h"
#include "tymbal/task/pattern.h"

#include "support/designs.h"

#include <unistd.h>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <optional>
#include <random>
#include <sstream>
#include <string>

using namespace tymbal;

namespace {

void measure(const std::string& lattice, const std::string& angle, int side) {
    const std::string um = std::to_string(5 * side) + " um";
    const Device device = sample::design(sample::film("100 nm") + sample::square(um) + "[holes]\nlattice = \"" +
                                         lattice + "\"\ndiameter = \"2 um\"\npitch = \"5 um\"\nangle = \"" + angle +
                                         "\"\n[process]\nlithography_bias = \"0.1 um\"\naddress_grid = \"50 nm\"\n");
    Pattern pattern;
    const double drawn = seconds([&] { pattern = draw_pattern(device, {}); });
    std::printf("%-11s %6s %8ld holes %7zu references  drawn %6.3f s", lattice.c_str(), angle.c_str(),
                pattern.hole_count, pattern.placements, drawn);
    for (const PatternFormat format : {PatternFormat::gdsii, PatternFormat::svg, PatternFormat::csv}) {
        std::ostringstream out;
        const double written = seconds([&] { write_pattern(out, pattern, format); });
        const char* const name = format == PatternFormat::gdsii ? "gds" : format == PatternFormat::svg ? "svg" : "csv";
        std::printf("  %s %5.3f s %7.3f MB", name, written, 1e-6 * static_cast<double>(out.str().size()));
        double read = 0.0;
        if (format == PatternFormat::gdsii)
            read = seconds([&] { (void)parse_hole_gdsii(out.str(), "bench.gds", HoleShape::circle, 0.0); });
        if (format == PatternFormat::csv)
            read = seconds([&] { (void)parse_hole_csv(out.str(), "bench.csv", HoleShape::circle); });
        if (read > 0.0) std::printf(" read %5.3f s", read);
    }
    std::printf("  peak %ld MiB\n", peak_mib());
}

/// Holes that lie as they like, each a reference of its own.
void measure_scattered(int side) {
    namespace fs = std::filesystem;
    const fs::path folder = fs::temp_directory_path() / ("tymbal-bench-" + std::to_string(::getpid()));
    fs::create_directories(folder);
    std::mt19937 random(5);
    std::ofstream holes(folder / "holes.csv");
    holes << "x (um),y (um)\n";
    for (int j = 0; j < side; ++j)
        for (int i = 0; i < side; ++i)
            holes << 5.0 * (i - 0.5 * side) + 1e-3 * static_cast<double>(random() % 1600) << ','
                  << 5.0 * (j - 0.5 * side) + 1e-3 * static_cast<double>(random() % 1600) << '\n';
    holes.close();
    const std::string um = std::to_string(5 * side + 20) + " um";
    std::ofstream(folder / "design.toml") << sample::film("100 nm") << sample::square(um)
                                          << "[holes]\nlattice = \"file\"\nfile = \"holes.csv\"\ndiameter = \"2 um\"\n"
                                             "[process]\nlithography_bias = \"0.1 um\"\naddress_grid = \"5 nm\"\n";
    std::optional<Device> device;
    Pattern pattern;
    const double read = seconds([&] {
        device = as_released(read_design((folder / "design.toml").string()), sample::table(), {1'000'000, ""});
    });
    const double drawn = seconds([&] { pattern = draw_pattern(*device, {}); });
    std::ofstream out(folder / "holes.gds", std::ios::binary);
    const double written = seconds([&] { write_pattern(out, pattern, PatternFormat::gdsii); });
    std::printf("scattered %15ld holes %7zu references  read %6.3f s  drawn %6.3f s  gds %5.3f s  peak %ld MiB\n",
                pattern.hole_count, pattern.placements, read, drawn, written, peak_mib());
    fs::remove_all(folder);
}

}  // namespace

int main(int argc, char** argv) {
    const int side = argc > 1 ? std::atoi(argv[1]) : 320;
    measure_scattered(argc > 1 ? side : 1000);
    measure("square", "0 deg", side);
    measure("triangular", "0 deg", side);
    measure("honeycomb", "0 deg", side);
    measure("triangular", "7 deg", side);
}
