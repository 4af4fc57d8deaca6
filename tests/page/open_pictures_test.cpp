// Openings of the film in report, quick look and fields: drawn, cut out of every picture, unknown in the files.
#include "support/designs.h"

#include "page/contours.h"

#include "tymbal/page/write_quick_look.h"
#include "tymbal/page/write_report.h"
#include "tymbal/print/write_fields.h"
#include "tymbal/task/report.h"

#include <doctest/doctest.h>

#include <cmath>
#include <sstream>

using namespace tymbal;

namespace {

constexpr double radius = 20e-6;

/// A round opening in the middle, another across the right side, a hole from a list.
const Report& sample_report() {
    static const Report r = report(
        sample::design(sample::film("50 nm") + sample::square("100 um") +
                       "[holes]\nlattice = \"list\"\ndiameter = \"10 um\"\ncentres = [[\"-35 um\", \"-35 um\"]]\n"
                       "[[openings]]\nshape = \"circle\"\ndiameter = \"40 um\"\ncentre = [\"0 um\", \"0 um\"]\n"
                       "[[openings]]\nshape = \"rectangle\"\nwidth = \"20 um\"\nheight = \"16 um\"\n"
                       "centre = [\"50 um\", \"0 um\"]\n[solve]\nmodes = 2\naccuracy = 5e-2\n"),
        sample::table());
    return r;
}

std::size_t count(const std::string& text, const std::string& what) {
    std::size_t n = 0;
    for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) ++n;
    return n;
}

/// Distance from the middle of the round opening.
double from_middle(double x0, double dx, int i, double y0, double dy, int j) {
    return std::hypot(x0 + i * dx, y0 + j * dy);
}

}  // namespace

TEST_SUITE("invariant") {
    TEST_CASE("a report draws openings and cuts all that is open out of drawing, shapes and stress") {
        const Report& r = sample_report();
        CHECK(r.drawing.openings.size() == 8);  // four quarter circles, four sides
        CHECK(r.drawing.holes_resolved);
        std::ostringstream page;
        write_report(page, r);
        const std::string text = page.str();
        CHECK(count(text, "<mask id=\"inside\"") == 1);
        CHECK(count(text, "<path id=\"openings\" d=\"M") == 1);
        CHECK(count(text, "<path id=\"holes\" d=\"m") == 1);
        // The drawing, two shapes, the stress map: colours and edges each.
        CHECK(count(text, "<g mask=\"url(#inside)\" ") == 8);
        CHECK(text.find("2 single openings") != std::string::npos);
        std::ostringstream picture;
        write_quick_look(picture, r.design, r.drawing, r.prediction);
        CHECK(count(picture.str(), "<g mask=\"url(#inside)\" ") == 4);
    }

    TEST_CASE("where the film is open shapes and stress are unknown, and nowhere else inside") {
        const Report& r = sample_report();
        const Raster shape = raster_of(r.prediction.modes.front().mode.shape);
        REQUIRE(shape.columns > 10);
        const double cell = std::hypot(shape.dx, shape.dy);
        int unknown = 0;
        for (int j = 0; j < shape.rows; ++j)
            for (int i = 0; i < shape.columns; ++i) {
                const double away = from_middle(shape.x0, shape.dx, i, shape.y0, shape.dy, j);
                if (away < radius - cell) CHECK(std::isnan(shape.at(i, j)));
                if (away > radius && away < 28e-6) CHECK_FALSE(std::isnan(shape.at(i, j)));
                unknown += std::isnan(shape.at(i, j)) ? 1 : 0;
            }
        const Raster stress = raster_of_largest(r.stress);
        for (int j = 0; j < stress.rows; ++j)
            for (int i = 0; i < stress.columns; ++i) {
                const double away = from_middle(stress.x0, stress.dx, i, stress.y0, stress.dy, j);
                if (away < radius - cell) CHECK(std::isnan(stress.at(i, j)));
                if (away > radius + cell && away < 28e-6) CHECK_FALSE(std::isnan(stress.at(i, j)));
            }
        std::ostringstream table;
        write_modes_csv(table, r.prediction);
        CHECK(count(table.str(), "\n") == 1U + shape.values.size() - static_cast<std::size_t>(unknown));
        CHECK(count(table.str(), "nan") == 0);
    }

    TEST_CASE("no cell of a resolved stress map lies above the peak by more than the peak's own error") {
        const Report& r = sample_report();
        CHECK(r.stress.peak_pa == r.prediction.film.stress_peak_von_mises_pa);
        // Corners of the opening and where it crosses the rim: stress has no limit there, and the peak leaves them out.
        const auto at_corner = [](double x, double y) {
            const double off = std::min(std::abs(x - 40e-6), std::abs(x - 50e-6));
            return std::hypot(off, std::abs(y) - 8e-6) < 4e-6;
        };
        double most = 0.0;
        for (std::size_t c = 0; c < r.stress.largest.size(); ++c) {
            const auto i = static_cast<int>(c) % r.stress.columns, j = static_cast<int>(c) / r.stress.columns;
            if (std::isnan(r.stress.largest[c]) ||
                at_corner(r.stress.x0 + i * r.stress.dx, r.stress.y0 + j * r.stress.dy))
                continue;
            most = std::max(most, r.stress.largest[c]);
        }
        CHECK(most > 0.5 * r.stress.peak_pa);
        CHECK(most <= r.stress.peak_pa + r.prediction.film.stress_peak_error_pa);
    }

    TEST_CASE("bands reach the film's true edge: what is unknown continues what lies beside it") {
        Raster raster{4, 1, 0.0, 0.0, 1.0, 1.0, {0.5, 0.7, std::nan(""), std::nan("")}};
        const Raster all = covering(raster, 100);
        CHECK(all.values == std::vector<double>{0.5, 0.7, 0.7, 0.7});
    }
}
