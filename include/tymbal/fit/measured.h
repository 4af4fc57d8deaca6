// What an instrument delivered, as plain data: lines, a spectrum or a decay, and the conditions they were taken under.
#pragma once

#include "tymbal/base/warning.h"

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

/// One resonance line.
struct Peak {
    double frequency_hz = 0.0;
    double deviation_hz = 0.0;  ///< one sigma; 0: not known
    std::optional<double> quality;
    std::optional<double> quality_deviation;
    std::optional<double> height;       ///< in the unit of the file, for comparison within it only
    std::optional<double> drive;        ///< drive level in the unit of the file
    std::optional<double> drive_order;  ///< power of the drive with which the height rises, from several levels
    std::optional<double> detuning_hz;  ///< laser less cavity, of a list that is one mode's lines under light
    bool resolution_limited = false;    ///< not wider than the instrument resolves: `quality` is a lower bound
    int line = 0;                       ///< of the file; 0: found in a spectrum
};

/// Rows of one peak at several drive levels (equal frequency within 3 sigma and 1e-5) as one peak: the row of the
/// lowest drive, with the order of its rise.
[[nodiscard]] std::vector<Peak> merge_drive_levels(const std::vector<Peak>& peaks);

/// Power (any unit that is linear in it) on rising frequencies.
struct Spectrum {
    std::vector<double> frequency_hz;
    std::vector<double> power;
    double resolution_hz = 0.0;  ///< bandwidth of the instrument, full width; 0: not known
};

/// Power of one mode after the drive has gone, on rising times.
struct Decay {
    std::vector<double> time_s;
    std::vector<double> power;
    double frequency_hz = 0.0;  ///< of the mode; 0: not known
    bool in_metres = false;     ///< power is the square of the film's amplitude, m^2
};

/// Circumstances of a measurement, as far as the file records them.
struct Conditions {
    std::optional<std::string> date, mount, spot;
    std::optional<double> pressure_pa, temperature_k, power_w;
};

enum class MeasuredKind { peaks, spectrum, ringdown };

struct Measured {
    std::string file;
    MeasuredKind kind = MeasuredKind::peaks;
    std::vector<Peak> peaks;  ///< by rising frequency; as in the file where they have detunings
    Spectrum spectrum;
    Decay decay;
    Conditions conditions;
    std::vector<std::string> notes;  ///< how the file was understood: columns, units, conventions
};

/// What was measured of one device of a chip.
struct MeasuredDevice {
    std::string name;
    Measured measured;
};

}  // namespace tymbal
