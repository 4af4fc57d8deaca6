// Prints how long the devices of a chip take, solved, in one bath and drawn: bench_chip [devices a side of the field].
#include "stopwatch.h"

#include "tymbal/read/read_chip.h"
#include "tymbal/task/chip_pattern.h"
#include "tymbal/task/predict_chip.h"
#include "tymbal/task/release_chip.h"

#include "support/chip_folder.h"

#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <optional>
#include <string>
#include <thread>

using namespace tymbal;

namespace {

const unsigned threads = std::max(1U, std::thread::hardware_concurrency());

/// Processor time of all threads so far, s.
double worked() {
    return static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
}

template <class Work>
void measure(const char* what, Work work) {
    const double before = worked(), wall = seconds(work);
    std::printf("  %s %6.2f s (%6.2f s of processors)", what, wall, worked() - before);
}

/// Films of their own etch front, or windows of the same size.
std::string drum(bool fronts) {
    return std::string("[outline]\nshape = ") +
           (fronts ? "\"hole-field\"\n" : "\"rectangle\"\nwidth = \"120 um\"\nheight = \"116 um\"\n") +
           "[holes]\nlattice = \"triangular\"\ndiameter = \"2 um\"\npitch = \"5 um\"\n" +
           (fronts ? "field = [\"116 um\", \"112 um\"]\n" : "");
}

/// @param sizes  of the field, by so many hole widths
std::string chip(bool fronts, int sizes, int widths) {
    const std::string size = fronts ? "holes.field=76um..176um:" : "outline.width=80um..180um:";
    return std::string(
               "title = \"bench\"\n[chip]\nwidth = \"20 mm\"\nlength = \"20 mm\"\nthickness = \"525 um\"\n[film]\n"
               "material = \"nitride-stoichiometric\"\nthickness = \"100 +- 2 nm\"\nstress = \"1.00 +- 0.03 GPa\"\n"
               "[release]\nsacrificial = \"oxide-thermal\"\ngap = \"2 um\"\netchant = \"buffered-hf-5to1\"\n"
               "undercut = \"2.2 um\"\ndrying = \"critical-point\"\n[process]\nlithography_bias = \"0.1 um\"\n"
               "[solve]\nmodel = \"averaged\"\nmodes = 12\n[[array]]\nname = \"S\"\ndesign = \"drum.toml\"\n"
               "position = [\"-9 mm\", \"-9 mm\"]\nstep = [\"0.7 mm\", \"0.7 mm\"]\nvary_x = \"")
        .append(size)
        .append(std::to_string(sizes))
        .append("\"\nvary_y = \"holes.diameter=1.8um..2.2um:")
        .append(std::to_string(widths))
        .append("\"\n");
}

void solve_forty(bool fronts) {
    const sample_chip::Folder folder;
    std::optional<ChipDesign> read;
    std::printf("40 %s, 12 modes each:", fronts ? "etch fronts" : "windows    ");
    measure("read", [&] { read = folder.read(chip(fronts, 8, 5), drum(fronts)); });
    measure("solved", [&] { (void)predict_chip(*read, sample::table(), {threads, 1e3}); });
    std::printf("  peak %ld MiB\n", peak_mib());
}

void work_on_field(int side) {
    const sample_chip::Folder folder;
    std::optional<ChipDesign> read;
    std::printf("%d etch fronts:", side * side);
    measure("read", [&] { read = folder.read(chip(true, side, side), drum(true)); });
    measure("drawn", [&] { (void)draw_chip(*read, {}); });
    measure("in the bath", [&] { (void)release_chip(*read, sample::table(), threads); });
    std::printf("  peak %ld MiB\n", peak_mib());
}

}  // namespace

int main(int argc, char** argv) {
    solve_forty(false);
    solve_forty(true);
    work_on_field(argc > 1 ? std::atoi(argv[1]) : 25);
}
