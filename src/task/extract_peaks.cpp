#include "extract_peaks.h"

#include "tymbal/fit/find_peaks.h"

#include <algorithm>
#include <array>
#include <cstdio>

namespace tymbal {

namespace {

template <class... Values>
void note(Measured& m, const char* format, Values... values) {
    std::array<char, 160> text{};
    std::snprintf(text.data(), text.size(), format, values...);
    m.notes.emplace_back(text.data());
}

void extract_lines(Measured& m) {
    FoundPeaks found = find_peaks(m.spectrum);
    m.peaks = std::move(found.peaks);
    note(m, "noise of %.3g averages, resolution %.3g Hz, %zu lines found", found.averages, found.resolution_hz,
         m.peaks.size());
    const auto without = std::count_if(m.peaks.begin(), m.peaks.end(), [](const Peak& p) { return !p.quality; });
    if (without > 0)
        note(m,
             "%td lines have no Q: they are as wide as the waves of the background. Record each over 30 widths, more "
             "finely",
             without);
    m.spectrum = {};
}

Ringdown extract_decay(Measured& m) {
    const Ringdown r = fit_ringdown(m.decay);
    note(m, "decay of power %.4g +- %.1g per second over %.2g e-folds, floor %.1g", r.rate, r.deviation, r.folds,
         r.floor);
    if (r.left_out > 0.0) note(m, "the first %.3g s are not exponential and were left out", r.left_out);
    Peak peak;
    peak.frequency_hz = m.decay.frequency_hz;
    peak.quality = r.quality;
    peak.quality_deviation = r.quality_deviation;
    m.peaks = {peak};
    m.decay.time_s = {};
    m.decay.power = {};
    return r;
}

}  // namespace

std::optional<Ringdown> extract_peaks(Measured& m) {
    std::optional<Ringdown> decay;
    if (m.kind == MeasuredKind::spectrum) extract_lines(m);
    if (m.kind == MeasuredKind::ringdown) decay = extract_decay(m);
    m.peaks = merge_drive_levels(m.peaks);
    return decay;
}

}  // namespace tymbal
