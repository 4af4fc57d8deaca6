#include <tymbal/tymbal.h>

#include <cmath>
#include <cstdio>

// Reads the installed material table and a design, predicts, and fails unless the lowest mode is where a plain
// tensioned square has it: sqrt(stress/density)/(sqrt(2) L) (Rayleigh, Theory of Sound), within the edge layer's per
// cent.
int main(int argc, char** argv) {
    if (argc < 2) return 2;
    const tymbal::Materials materials = tymbal::read_materials(argv[1]);
    const tymbal::Design design = tymbal::parse_design(
        "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"50 nm\"\nstress = \"1 GPa\"\ndensity = \"3100 "
        "kg/m^3\"\n"
        "[outline]\nshape = \"rectangle\"\nwidth = \"1 mm\"\nheight = \"1 mm\"\n[solve]\nmodes = 2\n",
        "inline.toml");
    const tymbal::Device device = tymbal::as_released(design, materials);
    const double f = tymbal::predict(device, materials).modes.front().mode.frequency_hz;
    const double expected = std::sqrt(1e9 / 3100.0) / (std::sqrt(2.0) * 1e-3);
    std::printf("%.1f Hz against %.1f Hz\n", f, expected);
    return std::abs(f / expected - 1.0) < 0.01 ? 0 : 1;
}
