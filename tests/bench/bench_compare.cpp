// Wall time of the parts of a comparison: naming and fitting a peak list, finding lines, reading a long table.
#include "stopwatch.h"

#include "support/designs.h"
#include "support/synthetic.h"
#include "tymbal/fit/assign.h"
#include "tymbal/fit/find_peaks.h"
#include "tymbal/read/read_measured.h"
#include "tymbal/task/compare.h"
#include "tymbal/task/predicted_lines.h"
#include "tymbal/task/solved.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

using namespace tymbal;

namespace {

double seconds(const std::function<void()>& work) {
    const auto start = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

Device design(int modes) {
    std::string text = sample::film("100 nm");
    text.append(sample::square("200 +- 1 um")).append("[solve]\nmodes = ");
    return sample::design(text.append(std::to_string(modes)).append("\n"));
}

/// Forty peaks, a quarter of them foreign.
Measured list() {
    synthetic::Dice dice(4);
    synthetic::Device device;
    device.stress_x = device.stress_y = 1.2e9;
    Measured m;
    while (m.peaks.size() != 40)
        m.peaks = synthetic::measure(device, {.modes = 36, .seen = 0.85, .foreign = 0.4}, dice).peaks;
    return m;
}

void time_list() {
    const Device d = design(60);
    const Measured m = list();
    SolvedDesign solved;
    std::printf("60 modes solved                        %7.3f s\n", seconds([&] { solved = solve(d); }));
    const LineModel lines = predicted_lines(d, solved);
    std::size_t pairs = 0;
    std::printf("40 peaks against 60 modes, assignment  %7.3f s",
                seconds([&] { pairs = assign(m.peaks, lines, {}).pairs.size(); }));
    std::printf("  (%zu pairs)\n", pairs);
    const double whole = seconds([&] { (void)compare({{d, m}}, sample::table(), {.modes = 60}); });
    std::printf("the same, whole comparison             %7.3f s  (two solutions, two assignments, fits)\n", whole);
}

/// A field of holes that the etch sets free from below, as the chip's other fields.
Device front(double side_um, const std::string& stress, const std::string& undercut) {
    const std::string side = std::to_string(side_um) + " um";
    return sample::design(sample::film("100 +- 1 nm", stress) +
                          "[outline]\nshape = \"hole-field\"\n[release]\ngap = \"2 um\"\nundercut = \"" + undercut +
                          "\"\n[holes]\nlattice = \"square\"\ndiameter = \"1.5 um\"\npitch = \"4 um\"\nfield = [\"" +
                          side + "\", \"" + side + "\"]\n[solve]\nmodel = \"averaged\"\nmodes = 10\n");
}

/// Twelve etch fronts of one chip, ten lines each: a rough and an exact solution of every one.
void time_fronts() {
    synthetic::Dice dice(7);
    std::vector<DeviceInput> devices;
    for (int k = 0; k < 12; ++k) {
        const double side_um = 50.0 + 16.0 * k;
        Measured m;
        m.file = "made.csv";
        for (const Mode& mode : solve(front(side_um, "0.98 GPa", "3.9 um")).set.modes) {
            m.peaks.emplace_back();
            m.peaks.back().frequency_hz = mode.frequency_hz * (1.0 + 2e-4 * dice.normal());
            m.peaks.back().deviation_hz = 2e-4 * mode.frequency_hz;
        }
        std::sort(m.peaks.begin(), m.peaks.end(),
                  [](const Peak& a, const Peak& b) { return a.frequency_hz < b.frequency_hz; });
        devices.push_back({front(side_um, "1.00 +- 0.05 GPa", "3.5 +- 1.0 um"), m, std::to_string(k)});
    }
    for (const unsigned threads : {1U, 2U})
        std::printf("12 etch fronts, 10 lines each, %u threads %7.3f s\n", threads,
                    seconds([&] { (void)compare(devices, sample::table(), {.threads = threads}); }));
}

/// Thermal lines of nineteen modes, gamma noise of four averages.
Spectrum spectrum(std::size_t points) {
    synthetic::Dice dice(9);
    Spectrum s;
    s.frequency_hz.resize(points);
    s.power.assign(points, 1.0);
    for (std::size_t i = 0; i < points; ++i)
        s.frequency_hz[i] = 1e6 + 7e6 * static_cast<double>(i) / static_cast<double>(points);
    for (int m = 1; m <= 5; ++m)
        for (int n = 1; m * m + n * n <= 29; ++n) {
            const double f0 = synthetic::frequency({}, m, n) * (1.0 + 1e-3 * (m - n)), w = f0 / 2e4;
            for (std::size_t i = 0; i < points; ++i) {
                const double d = f0 * f0 - s.frequency_hz[i] * s.frequency_hz[i];
                s.power[i] += 300.0 * std::pow(f0 * w, 2) / (d * d + std::pow(s.frequency_hz[i] * w, 2));
            }
        }
    for (double& power : s.power) {
        double scatter = 0.0;
        for (int k = 0; k < 4; ++k) scatter -= 0.25 * std::log(1.0 - dice.uniform(0.0, 1.0));
        power *= scatter;
    }
    return s;
}

void write_rows(const std::string& path, const Spectrum& s, std::size_t rows) {
    std::FILE* out = std::fopen(path.c_str(), "w");
    if (out == nullptr) return;
    std::fputs("frequency (Hz),psd (m^2/Hz)\n", out);
    for (std::size_t i = 0; i < rows; ++i)
        std::fprintf(out, "%.3f,%.4e\n", 1e5 + 0.7 * static_cast<double>(i), s.power[i % s.power.size()]);
    std::fclose(out);
}

void time_spectrum() {
    const Spectrum s = spectrum(1'000'000);
    FoundPeaks found;
    std::printf("spectrum of 1e6 points, lines found    %7.3f s", seconds([&] { found = find_peaks(s); }));
    std::printf("  (%zu of 19)\n", found.peaks.size());
    const std::string path = (std::filesystem::temp_directory_path() / "tymbal-bench.csv").string();
    for (const std::size_t rows : {std::size_t{1'000'000}, std::size_t{10'000'000}}) {
        write_rows(path, s, rows);
        const double time = seconds([&] { (void)read_measured(path, {}); });
        std::printf("table of %8zu rows read             %7.3f s  (peak of the process %ld MiB)\n", rows, time,
                    peak_mib());
    }
    std::filesystem::remove(path);
}

}  // namespace

int main() {
    time_list();
    time_fronts();
    time_spectrum();
}
