// The Debian package python3-gdspy as an independent reader and writer of GDSII files.
#pragma once

#include <string>
#include <vector>

namespace tymbal::outside {

/// A polygon as the outside reader sees it, all references followed, um.
struct Figure {
    int layer = 0;
    double x = 0.0;  ///< centroid
    double y = 0.0;
    double area = 0.0;
    int corners = 0;
    bool operator==(const Figure&) const = default;
};

/// All figures below the top cell, sorted by layer, y (to 1e-4 um), x. Fails the test when the package is missing.
[[nodiscard]] std::vector<Figure> figures(const std::string& gdsii_file);

/// Runs a Python script that may import gdspy and numpy, with arguments. Fails the test when it fails.
void run_python(const std::string& script, const std::string& arguments);

}  // namespace tymbal::outside
