// Prints how long the release of many holes takes, stage by stage: bench_release [holes a side].
#include "stopwatch.h"

#include "tymbal/task/release_report.h"

#include "support/designs.h"

#include <cstdio>
#include <cstdlib>
#include <optional>
#include <string>

using namespace tymbal;

namespace {

void measure(int side) {
    const std::string um = std::to_string(5 * (side - 1) + 2) + " um";
    const std::string text =
        sample::film("100 nm") +
        "[outline]\nshape = \"hole-field\"\n[holes]\nlattice = \"square\"\ndiameter = \"2 um\"\npitch "
        "= \"5 um\"\nfield = [\"" +
        um + "\", \"" + um +
        "\"]\n[release]\nsacrificial = \"oxide-thermal\"\ngap = \"2 um\"\netchant = "
        "\"buffered-hf-5to1\"\nundercut = \"2.8 um\"\ndrying = \"critical-point\"\n"
        "[limits]\nlargest_film_loss = \"45 nm\"\n";
    std::optional<Device> device;
    const double read = seconds([&] { device = sample::design(text); });
    long holes = 0;
    double clears = 0.0;
    const double all = seconds([&] {
        const ReleaseReport report = release(*device, sample::table());
        holes = static_cast<long>(side) * side;
        clears = report.front.value().clears_at_m;
    });
    std::printf("%8ld holes  read (front, film loss) %6.2f s  report %6.2f s  clears at %.4f um  peak %ld MiB\n", holes,
                read, all, 1e6 * clears, peak_mib());
}

}  // namespace

int main(int argc, char** argv) {
    if (argc > 1) {
        measure(std::atoi(argv[1]));
        return 0;
    }
    for (const int side : {33, 101, 317}) measure(side);
}
