// Any bytes as a measurement, read in each way the first byte says: refused, or rows of finite numbers.
#include "fuzz.h"

#include "tymbal/read/read_measured.h"

#include <cmath>

using namespace tymbal;

namespace {

ReadingChoice choice_of(unsigned bits) {
    ReadingChoice choice;
    if ((bits & 3U) == 1U) choice.kind = MeasuredKind::peaks;
    if ((bits & 3U) == 2U) choice.kind = MeasuredKind::spectrum;
    if ((bits & 3U) == 3U) choice.kind = MeasuredKind::ringdown;
    if ((bits & 4U) != 0U) choice.signal = SignalScale::power;
    if ((bits & 8U) != 0U) choice.signal = SignalScale::amplitude;
    if ((bits & 16U) != 0U) choice.decimal = ',';
    return choice;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0) return 0;
    static const fuzz::MemoryFile file;
    file.hold(fuzz::text_of(data + 1, size - 1));
    fuzz::may_refuse([&] {
        const Measured measured = read_measured(file.path(), choice_of(data[0]));
        for (const Peak& peak : measured.peaks)
            fuzz::require(peak.frequency_hz > 0.0 && std::isfinite(peak.frequency_hz), "a peak has a frequency");
        for (const double hz : measured.spectrum.frequency_hz)
            fuzz::require(hz > 0.0 && std::isfinite(hz), "a spectrum has frequencies");
        for (const double power : measured.spectrum.power) fuzz::require(power >= 0.0, "no power is negative");
        for (const double s : measured.decay.time_s) fuzz::require(std::isfinite(s), "a decay has finite times");
    });
    return 0;
}
