// A drawing as a GDSII stream file: what mask writers and layout programs read.
#pragma once

#include "tymbal/pattern/drawing.h"

#include <array>
#include <ostream>
#include <string>

namespace tymbal {

/// Where a kind of figure goes in the file.
struct LayerNumber {
    int layer = 0;
    int datatype = 0;
    bool operator==(const LayerNumber&) const = default;
};

/// In the order of Layer.
using LayerNumbers = std::array<LayerNumber, 6>;
inline constexpr std::array<const char*, 6> layer_names{"holes", "openings", "witnesses", "marks", "label", "frame"};
inline constexpr LayerNumbers usual_layers{{{1, 0}, {5, 0}, {2, 0}, {3, 0}, {3, 0}, {4, 0}}};

/// A TOML file with a line such as `holes = [12, 0]` (layer, datatype) for any of the names; the others stay as usual.
/// @throws InputError naming file, line and key
[[nodiscard]] LayerNumbers read_layers(const std::string& path);

/// Cells stay cells and arrays stay arrays. The user unit is 1 um; dates are zero, so that the same drawing gives the
/// same bytes.
void write_gdsii(std::ostream& out, const Drawing& drawing, const LayerNumbers& layers = usual_layers);

}  // namespace tymbal
