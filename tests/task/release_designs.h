// Designs whose membrane hangs where the etch has been, for the tests of what the release makes of them.
#pragma once

#include "support/designs.h"

#include "tymbal/task/release_report.h"

#include <algorithm>
#include <string>

namespace tymbal::sample {

inline const std::string hole_field = "[outline]\nshape = \"hole-field\"\n";

inline std::string holes(const std::string& field, const std::string& lattice = "triangular") {
    return "[holes]\nlattice = \"" + lattice + "\"\ndiameter = \"2 um\"\npitch = \"5 um\"\nfield = [\"" + field +
           "\", \"" + field + "\"]\n";
}

inline std::string etched(const std::string& how) {
    return "[release]\nsacrificial = \"oxide-thermal\"\ngap = \"2 um\"\netchant = \"buffered-hf-5to1\"\n" + how + "\n";
}

inline ReleaseReport report(const std::string& text) {
    return tymbal::release(design(text), table());
}

inline bool warns(const Warnings& warnings, const std::string& code) {
    return std::any_of(warnings.begin(), warnings.end(), [&](const Warning& w) { return w.code == code; });
}

}  // namespace tymbal::sample
