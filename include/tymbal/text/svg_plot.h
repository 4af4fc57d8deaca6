// Curves over one axis as a small, plain SVG picture: panels above each other, axes with units, labels at the curves.
#pragma once

#include <ostream>
#include <string>
#include <vector>

namespace tymbal {

/// One line; points that are not finite break it.
struct PlotCurve {
    std::string label;  ///< written at its end; may be empty
    std::vector<double> x, y;
};

struct PlotPanel {
    std::string title;  ///< what is plotted, with its unit, e.g. "frequency (MHz)"
    std::vector<PlotCurve> curves;
    bool logarithmic = false;  ///< y
};

struct Plot {
    std::string title;
    std::string x_title;  ///< with its unit
    bool x_logarithmic = false;
    std::vector<PlotPanel> panels;
};

void write_svg(std::ostream& out, const Plot& plot);

}  // namespace tymbal
