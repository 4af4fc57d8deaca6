// Resonance lines of a spectrum: found above a robust background, each fitted as a damped oscillator.
//
// A power spectrum of noise scatters about its mean like a gamma variable of k averages (k = 1: a single periodogram,
// exponential). Background: medians of blocks, smoothed, as fine as 80 points and ever coarser up to a straight line;
// the coarser ones are renewed under the lines by turns with the fit, and the likelihood less its parameters (Schwarz)
// decides: a fine background follows what drifts, a coarse one leaves wide lines whole. k: from the quartiles of the
// spectrum over the finest background.
// Lines are sought in moving means of 1, 3, 9, ... points, with a threshold that noise alone passes once in a thousand
// spectra, strongest first, what is found divided out; lines closer than their widths are fitted together. Fits
// maximise the gamma likelihood, sum k (P/M + ln M), by Fisher scoring, which also gives the uncertainties. [derived]
#pragma once

#include "tymbal/fit/measured.h"

#include <vector>

namespace tymbal {

struct FoundPeaks {
    std::vector<Peak> peaks;   ///< by rising frequency; `height`: over the background
    double averages = 1.0;     ///< k of the noise
    double resolution_hz = 0;  ///< bandwidth or spacing, whichever is wider
};

/// Widths are full widths at half maximum of power. A line narrower than 1.5 times the resolution is marked
/// `resolution_limited`, its Q is a lower bound. Where only the finest background explains the spectrum, lines wider
/// than a sixteenth of what it is taken over have no Q: it bends under them.
/// @throws NoAnswer  fewer than 32 points, a constant spectrum, no line above the noise, or only lines wider than a
/// fifth of the span
[[nodiscard]] FoundPeaks find_peaks(const Spectrum& spectrum);

}  // namespace tymbal
