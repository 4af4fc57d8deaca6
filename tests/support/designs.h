// Designs for tests, from text, with the project's own material table.
#pragma once

#include "support/parse_device.h"
#include "support/places.h"
#include "tymbal/read/read_materials.h"
#include "tymbal/task/predict.h"

#include <string>

namespace tymbal::sample {

inline const Materials& table() {
    static const Materials materials = read_materials(places::source_dir() + "/materials");
    return materials;
}

/// Film of fixed constants, so that no table value moves a check: E 250 GPa, nu 0.25, 3100 kg/m^3, 1 GPa.
inline std::string film(const std::string& thickness, const std::string& stress = "1 GPa") {
    return "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"" + thickness + "\"\nstress = \"" + stress +
           "\"\nyoungs_modulus = \"250 GPa\"\npoisson_ratio = 0.25\ndensity = \"3100 kg/m^3\"\n";
}

inline std::string square(const std::string& side) {
    return "[outline]\nshape = \"rectangle\"\nwidth = \"" + side + "\"\nheight = \"" + side + "\"\n";
}

inline Device design(const std::string& text) {
    return parse_device(text, "test.toml", table());
}
inline Prediction predict(const std::string& text) {
    return tymbal::predict(design(text), table());
}

}  // namespace tymbal::sample
