// From drawn holes to the membrane that hangs free, end to end.
#include "release_designs.h"
#include "support/approx.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/boundary.h"
#include "tymbal/geometry/lattice.h"
#include "tymbal/modes/find_modes.h"
#include "tymbal/print/write_release.h"
#include "tymbal/print/write_table.h"
#include "tymbal/task/laid_film.h"
#include "tymbal/task/release_report.h"
#include "tymbal/task/released_film.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <sstream>

using namespace tymbal;
using sample::Approx;
using sample::etched;
using sample::hole_field;
using sample::holes;
using sample::report;
using sample::warns;

namespace {

double lowest(const std::string& text) {
    return sample::predict(text + "[solve]\nmodes = 1\naccuracy = 1e-2\n").modes[0].mode.frequency_hz;
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("the report names closed geometry, rates and times") {
        const ReleaseReport r =
            report(sample::film("100 nm") + hole_field + holes("61 um") + etched("undercut = \"2.2 um\""));
        CHECK(r.front->clears_at_m == Approx(5e-6 / std::sqrt(3.0) - 1e-6));  // pitch / sqrt(3) - radius
        CHECK(r.front->merges_at_m == Approx(1.5e-6));                        // half the ligament of 3 um
        CHECK(r.front->regions == 1);
        CHECK(r.front->pillars.empty());
        // Rates of the table: oxide 100, film 0.9 nm/min; the edge recedes while the front creeps.
        REQUIRE(r.etch.has_value());
        CHECK(r.etch->time_s / 60.0 == Approx(2200.0 / 99.1).epsilon(1e-6));
        CHECK(r.etch->loss->above == Approx(0.9e-9 * 2200.0 / 99.1).epsilon(1e-6));
        CHECK(r.etch->loss->below_mean < r.etch->loss->above);
        CHECK(r.holes->etched.width == Approx(2e-6 - 2.0 * r.etch->loss->above));
        CHECK(r.etch->mean_m == Approx(100e-9 - r.etch->loss->mean()));
    }

    TEST_CASE("a weaker acid may cost more film") {
        const ReleaseReport r =
            report(sample::film("100 nm") + hole_field + holes("41 um") + etched("undercut = \"2.2 um\""));
        const auto loss = [&](const std::string& row) {
            for (const AcidRow& a : r.acids)
                if (a.row == row) return a.loss_per_face_m.value();
            return -1.0;
        };
        // oxide : film 2300/14, 100/0.9 and 23/1.1 in the table.
        CHECK(loss("hf-49") < loss("buffered-hf-5to1"));
        CHECK(loss("buffered-hf-5to1") < 0.3 * loss("hf-10to1"));
    }

    TEST_CASE("water over a gap of 2 um just spares a 100 um square of 1 GPa") {
        // 4.454 N g^2/L^2 over 2 gamma: margin 1.22 for N = 100 N/m and 72.86 mN/m [computed]; the clamped layer of
        // 0.47 um stiffens it by (1 - 2 delta/L)^-2, two per cent. Holes of 0.2 um in 100 um^2 take nothing off.
        const std::string text =
            sample::film("100 nm") + sample::square("100 um") +
            "[holes]\nlattice = \"square\"\ndiameter = \"0.2 um\"\npitch = \"10 um\"\nmargin = \"5 "
            "um\"\n[release]\ngap = \"2 um\"\ndrying = \"water\"\n";
        const ReleaseReport r = report(text);
        for (const DryingRow& d : r.drying) {
            if (d.row == "water") CHECK(d.margin.value() == Approx(1.222 * 1.019).epsilon(0.01));
            if (d.row == "isopropanol") CHECK(d.margin.value() == Approx(1.222 * 1.019 * 72.86 / 21.7).epsilon(0.01));
            if (d.row == "critical-point") CHECK(!d.margin.has_value());
        }
    }

    TEST_CASE("drying that pulls the film down had no warning") {
        // The margin goes as the square of the gap: 1.245 at 2 um in water, a quarter of it at 1 um; 4.2 in
        // isopropanol.
        const auto dried = [](const std::string& gap, const std::string& liquid) {
            return report(sample::film("100 nm") + sample::square("100 um") +
                          "[holes]\nlattice = \"square\"\ndiameter = \"0.2 um\"\npitch = \"10 um\"\nmargin = \"5 "
                          "um\"\n[release]\ngap = \"" +
                          gap + "\"\ndrying = \"" + liquid + "\"\n");
        };
        CHECK(warns(dried("1 um", "water").warnings, "drying-collapse"));
        CHECK(!warns(dried("2 um", "isopropanol").warnings, "drying-collapse"));
        CHECK(!warns(dried("1 um", "critical-point").warnings, "drying-collapse"));
    }
}

TEST_SUITE("reference") {
    TEST_CASE("a released field rings between the rectangles inside and round it") {
        // A larger clamped film is slower (Rayleigh): the field's own box lies inside the front, the front's box round
        // it.
        const std::string film = sample::film("100 nm");
        const std::string release = "[release]\ngap = \"2 um\"\nundercut = \"2.2 um\"\n";
        const std::string inside =
            "[holes]\nlattice = \"triangular\"\ndiameter = \"2 um\"\npitch = \"5 um\"\nmargin = \"0 um\"\n";
        const double free = lowest(film + hole_field + holes("61 um") + release);
        const Device device = sample::design(film + hole_field + holes("61 um") + release);
        const Box box = bounding_box(boundary(device.outline));
        const auto rectangle = [](double w, double h) {
            return "[outline]\nshape = \"rectangle\"\nwidth = \"" + std::to_string(1e6 * w) + " um\"\nheight = \"" +
                   std::to_string(1e6 * h) + " um\"\n";
        };
        const double w = box.high.x - box.low.x, h = box.high.y - box.low.y;
        CHECK(free > lowest(film + rectangle(w, h) + inside));
        CHECK(free < lowest(film + rectangle(w - 4.4e-6, h - 4.4e-6) + inside));
    }

    TEST_CASE("the frequency's fall with undercut is what two undercuts show") {
        const auto at = [](const std::string& undercut) {
            return report(sample::film("100 nm") + hole_field + holes("61 um") +
                          "[release]\ngap = \"2 um\"\nundercut = \"" + undercut + "\"\n");
        };
        const ReleaseReport less = at("2.5 um"), middle = at("3 um"), more = at("3.5 um");
        const double slope = std::log(more.film->frequency_hz / less.film->frequency_hz) / 1e-6;
        CHECK(middle.film->shift_per_undercut_per_m.value() ==
              Approx(slope).epsilon(0.08));  // grids scatter by some 1e-3 each
    }

    TEST_CASE("film loss thins the film that predict solves, and its deviation travels along") {
        const Device device =
            sample::design(sample::film("100 +- 1 nm") + sample::square("60 um") +
                           "[holes]\nlattice = \"triangular\"\ndiameter = \"2 um\"\npitch = \"5 um\"\n" +
                           etched("undercut = \"2.2 um\""));
        REQUIRE(device.film_loss.has_value());
        CHECK(device.film.thickness.si() == Approx(100e-9 - device.film_loss->mean()));
        CHECK(device.film.thickness.deviation_si() ==
              Approx(std::hypot(1e-9, device.film_loss->mean() * device.film_loss->relative_spread)));
    }

    TEST_CASE("time and undercut describe the same release") {
        const ReleaseReport by_way =
            report(sample::film("100 nm") + hole_field + holes("41 um") + etched("undercut = \"2.2 um\""));
        const double minutes = by_way.etch->time_s / 60.0;
        const ReleaseReport by_time = report(sample::film("100 nm") + hole_field + holes("41 um") +
                                             etched("time = \"" + std::to_string(minutes) + " min\""));
        CHECK(by_time.front->undercut->si() == Approx(2.2e-6).epsilon(1e-6));
        CHECK(by_time.front->undercut->deviation_si() ==
              Approx(0.22e-6).epsilon(1e-3));  // the rate is known to a tenth
    }
}

TEST_SUITE("unit") {
    TEST_CASE("fronts that have not met are found before anything is solved") {
        const Device device =
            sample::design(sample::film("100 nm") + hole_field + holes("26 um") + etched("undercut = \"1.2 um\""));
        CHECK_THROWS_WITH_AS((void)find_modes({device.outline, {}, 1}),
                             doctest::Contains("separate regions hang free; `tymbal release` says from which undercut"),
                             NoAnswer);
    }

    TEST_CASE("pillars that remain are counted, sized and warned about") {
        const ReleaseReport r =
            report(sample::film("100 nm") + hole_field + holes("26 um", "square") + etched("undercut = \"2.3 um\""));
        // Square lattice of pitch 5: clears at 5/sqrt(2) - 1 = 2.54 um; field of 26 um holds 5 x 5 holes, 4 x 4 meshes.
        CHECK(r.front->pillars.size() == 16);
        CHECK(warns(r.warnings, "pillars"));
        const double side = 5.0, reach = 3.3;
        const double half_lens =
            reach * reach * std::acos(0.5 * side / reach) - 0.25 * side * std::sqrt(4.0 * reach * reach - side * side);
        const double island = side * side - 3.14159265358979 * reach * reach + 4.0 * half_lens;  // by hand
        CHECK(1e12 * r.front->pillars.front().area_m2 == Approx(island).epsilon(1e-6));
    }

    TEST_CASE("a film without a gap has no release, one whose holes its grid cannot see goes without the film") {
        const std::string window = sample::film("100 nm") + sample::square("1 mm");
        CHECK_THROWS_WITH_AS((void)report(window), doctest::Contains("no section [release]"), NoAnswer);
        const ReleaseReport r =
            report(window + "[holes]\nlattice = \"list\"\ndiameter = \"2 um\"\ncentres = [[\"0 um\", \"0 um\"]]\n" +
                   "[release]\ngap = \"2 um\"\n");
        CHECK_FALSE(r.film);
        CHECK(std::any_of(r.warnings.begin(), r.warnings.end(), [](const Warning& w) {
            return w.code == "not-solved" && w.text.find("finer than the grid of this report") != std::string::npos;
        }));
        CHECK(warns(r.warnings, "undercut-unknown"));
    }

    TEST_CASE("fronts that have not met have no membrane" * doctest::test_suite("slow")) {
        const std::string text = sample::film("100 nm") + hole_field + holes("26 um") + etched("undercut = \"1.2 um\"");
        const ReleaseReport r = report(text);
        CHECK(r.front->regions > 20);
        CHECK(warns(r.warnings, "regions"));
        CHECK_THROWS_WITH_AS((void)sample::predict(text), doctest::Contains("have not met"), NoAnswer);
    }

    TEST_CASE("a window that the front does not reach is warned about" * doctest::test_suite("slow")) {
        const std::string text =
            sample::film("100 nm") + sample::square("60 um") +
            "[holes]\nlattice = \"square\"\ndiameter = \"2 um\"\npitch = \"5 um\"\nmargin = \"6 um\"\n" +
            etched("undercut = \"3 um\"");
        const ReleaseReport r = report(text);
        CHECK(r.front->rim_short_m.value() > 0.0);
        CHECK(warns(r.warnings, "rim-not-reached"));
        CHECK(warns(sample::predict(text + "[solve]\nmodes = 1\naccuracy = 1e-2\n").warnings, "rim-not-reached"));
    }

    TEST_CASE("the window closes at the first limit, earlier with fast rates") {
        const ReleaseReport r =
            report(sample::film("100 nm") + hole_field + holes("41 um") + etched("undercut = \"2.2 um\"") +
                   "[limits]\nlargest_over_etch = \"1 um\"\nlargest_film_loss = \"30 nm\"\n"
                   "largest_release_time = \"60 min\"\n");
        REQUIRE(r.etch->ends.size() == 3);
        CHECK(r.etch->ends.front().limit == "limits.largest_film_loss");
        for (const WindowEnd& end : r.etch->ends) CHECK(end.early_s <= end.time_s);
        CHECK(warns(r.warnings, "window-closed"));  // the film's rate is known to 45 % only
        const double at_limit =
            r.etch->ends.front().time_s * 0.9e-9 / 60.0;  // loss above by then; below adds up to as much
        CHECK(at_limit < 30e-9);
        CHECK(2.0 * at_limit > 30e-9);
    }
}

TEST_SUITE("slow") {
    TEST_CASE("a ragged front's frequency comes with an error that another model on a far finer grid confirms") {
        // Every hole resolved by splines against the lattice averaged on second-order differences.
        Device device = sample::design(sample::film("100 nm") + hole_field + holes("61 um") +
                                       "[release]\ngap = \"2 um\"\nundercut = \"2.2 um\"\n");
        const FilmOnOutline laid = lay_out(device, solve_cell);
        REQUIRE_FALSE(laid.film.openings.empty());
        const ModeSet set = find_modes({device.outline, laid.film, 3, 1e-3});
        device.solve.model = Model::averaged;
        const Level fine = solve_level({device.outline, lay_out(device, solve_cell).film, 3, 1e-3}, 224, 224,
                                       RimTreatment::thin_layer);
        for (Eigen::Index k = 0; k < 3; ++k) {
            const Mode& mode = set.modes[static_cast<std::size_t>(k)];
            const double other = std::sqrt(fine.corrected(k)) / (2.0 * 3.14159265358979);
            CHECK(std::abs(mode.frequency_hz - other) < mode.discretisation_error_hz);
            CHECK(mode.discretisation_error_hz < 6e-3 * mode.frequency_hz);  // and is not idly wide
        }
    }

    TEST_CASE("where fronts meet, the thin layer keeps within its stated error of the full plate") {
        // Five holes across: the layer raises the frequency by some 5 %, which makes its corner share visible.
        const Device device = sample::design(sample::film("100 nm") + hole_field + holes("21 um") +
                                             "[release]\ngap = \"2 um\"\nundercut = \"2.2 um\"\n");
        Device solid = device;  // the corners are the same without the holes' unit cell
        solid.holes.reset();
        const FilmOnOutline laid = lay_out(solid, solve_cell);
        const ModeProblem problem{device.outline, laid.film, 1, 1e-3};
        const Level thin = solve_level(problem, 128, 128, RimTreatment::thin_layer);
        const double thin_f = std::sqrt(thin.corrected(0));
        const double full_f = std::sqrt(solve_level(problem, 192, 192, RimTreatment::resolved).values[0]);
        const double effect = 0.5 * thin.layers[0].energy / thin.values[0];
        CHECK(effect > 0.03);
        CHECK(std::abs(thin_f / full_f - 1.0) < 0.1 * effect);
    }
}
