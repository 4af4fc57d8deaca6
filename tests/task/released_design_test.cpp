// What a design says of its release and is held against: gap and liquid alone, rates of one's own, limits, whole holes.
#include "task/limits.h"
#include "task/release_warnings.h"

#include "support/approx.h"

#include "tymbal/geometry/lattice.h"
#include "tymbal/print/write_release.h"
#include "tymbal/print/write_table.h"
#include "tymbal/task/released_film.h"

#include "release_designs.h"

#include <doctest/doctest.h>

#include <cmath>
#include <sstream>

using namespace tymbal;
using sample::Approx;
using sample::etched;
using sample::hole_field;
using sample::holes;
using sample::report;
using sample::warns;

TEST_SUITE("reference") {
    TEST_CASE("a plain film over a gap was refused: a square dries as its pull-in says") {
        // S L^2/(N g^2) = 4.454 for a tensioned square [computed, tests/release]; S is twice the surface tension. The
        // clamped edge stiffens 50 nm in 500 um by some 0.2 %.
        const ReleaseReport r = report(sample::film("50 nm") + sample::square("500 um") +
                                       "[release]\ngap = \"2 um\"\ndrying = \"isopropanol\"\n"
                                       "[limits]\nleast_collapse_margin = 1.5\n");
        CHECK_FALSE(r.holes.has_value());
        CHECK_FALSE(r.front.has_value());
        CHECK_FALSE(r.etch.has_value());
        REQUIRE(r.film.has_value());
        const double strength = 4.454 * 50.0 * 4e-12 / 25e-8;
        CHECK(r.film->critical_tension_local == Approx(0.5 * strength).epsilon(0.01));
        REQUIRE(r.limits.size() == 1);
        CHECK(r.limits[0].key == "limits.least_collapse_margin");
        CHECK(r.limits[0].value ==
              Approx(0.5 * strength / sample::table().liquids.at("isopropanol").surface_tension.si()).epsilon(0.01));
        CHECK(r.limits[0].held == (r.limits[0].value >= 1.5));
        std::ostringstream json, table, sheet;
        write_json(json, r);
        write_table(table, r);
        write_run_sheet(sheet, r);
        CHECK(json.str().find("\"front\": null") != std::string::npos);
        CHECK(table.str().find("> isopropanol") != std::string::npos);
        CHECK(sheet.str().find("hole as drawn") == std::string::npos);
    }

    TEST_CASE("predict holds a design against the collapse margin that release gives, and says when it cannot") {
        const auto film = [](const std::string& drying) {
            return sample::film("50 nm") + sample::square("500 um") + "[release]\ngap = \"2 um\"\n" + drying +
                   "[limits]\nleast_collapse_margin = 1.5\n[solve]\nmodes = 1\n";
        };
        const std::string wet = film("drying = \"water\"\n");
        const Prediction p = sample::predict(wet);
        REQUIRE(p.limits.size() == 1);
        CHECK(p.limits[0].value == Approx(report(wet).limits[0].value).epsilon(1e-9));
        const Prediction dry = sample::predict(film("drying = \"critical-point\"\n"));
        CHECK(std::isinf(dry.limits[0].value));  // no meniscus
        CHECK(dry.limits[0].held);
        const Prediction unsaid = sample::predict(film(""));
        CHECK(unsaid.limits.empty());
        CHECK(warns(unsaid.warnings, "limit-unchecked"));
    }

    TEST_CASE("limits that nothing could be held against went without a word") {
        const Prediction p = sample::predict(sample::film("50 nm") + sample::square("500 um") +
                                             "[limits]\nlargest_film_loss = \"1 nm\"\nleast_reflectivity = 0.1\n"
                                             "least_fracture_margin = 1.5\n[solve]\nmodes = 1\n");
        CHECK(p.limits.size() == 1);
        std::string said;
        for (const Warning& w : p.warnings)
            if (w.code == "limit-unchecked") said.append(w.text).append("; ");
        CHECK(said ==
              "limits.least_reflectivity is not checked: the design has no [readout] with a wavelength; "
              "limits.largest_film_loss is not checked: the design has no holes to etch through; ");
        const Device field = sample::design(sample::film("100 nm") + hole_field + holes("21 um") +
                                            "[release]\ngap = \"2 um\"\nundercut = \"2.2 um\"\nrate = \"100 nm/min\"\n"
                                            "[limits]\nlargest_film_loss = \"1 nm\"\n");
        const Warnings unknown = unchecked_limits(field, {});
        REQUIRE(unknown.size() == 1);
        CHECK(unknown[0].text.find("give it as release.film_rate") != std::string::npos);
        CHECK(unchecked_limits(field, {{"limits.largest_film_loss", 1e-9, 2e-9, "m", false}}).empty());
    }

    TEST_CASE("rates of one's own bath had no key: they override the etchant's row and do without one") {
        const std::string field = sample::film("100 nm") + hole_field + holes("41 um");
        const std::string own = "rate = \"200 +- 10 nm/min\"\nfilm_rate = \"1.0 +- 0.2 nm/min\"\n";
        const ReleaseReport over = report(field + etched("undercut = \"2.2 um\"\n" + own));
        CHECK(over.etch->time_s / 60.0 == Approx(2200.0 / 199.0).epsilon(1e-9));
        CHECK(over.etch->rate.deviation_si() == Approx(10e-9 / 60.0));
        CHECK(over.etch->loss->above == Approx(1e-9 * 2200.0 / 199.0).epsilon(1e-9));
        CHECK(over.etch->etchant == "buffered-hf-5to1");
        const auto time_in = [](const ReleaseReport& r, const std::string& row) {
            for (const AcidRow& a : r.acids)
                if (a.row == row) return a.time_s / 60.0;
            return -1.0;
        };
        CHECK(time_in(over, "buffered-hf-5to1") == Approx(2200.0 / 199.0));  // the design's own
        CHECK(time_in(over, "hf-49") == Approx(2200.0 / (2300.0 - 14.0)));   // the table's
        for (const std::string bath : {"", "etchant = \"the-bath-by-the-window\"\n"}) {
            const ReleaseReport r = report(field + "[release]\ngap = \"2 um\"\n" + bath + "time = \"11 min\"\n" + own);
            CHECK(1e9 * r.front->undercut->si() == Approx(11.0 * 199.0));
            CHECK(r.etch->mean_m < 100e-9 - r.etch->loss->above);
            std::ostringstream table;
            write_table(table, r);
            CHECK(table.str().find("Hydrofluoric acid") != std::string::npos);  // nobody said that it is none
        }
    }

    TEST_CASE("without a rate predict and release name the key, not each other") {
        const std::string field = sample::film("100 nm") + hole_field + holes("21 um");
        const std::string gap = "[release]\ngap = \"2 um\"\nundercut = \"2.2 um\"\n";
        const auto text_of = [](const Warnings& warnings, const std::string& code) {
            for (const Warning& w : warnings)
                if (w.code == code) return w.text;
            return std::string();
        };
        CHECK(text_of(report(field + gap).warnings, "rates").find("release.rate") != std::string::npos);
        const std::string oxide = gap + "rate = \"100 nm/min\"\n";
        CHECK(text_of(report(field + oxide).warnings, "film-rate").find("release.film_rate") != std::string::npos);
        const Device device = sample::design(field + oxide);
        CHECK(text_of(release_warnings(device), "film-rate").find("release.film_rate") != std::string::npos);
    }

    TEST_CASE("what the etch does to the film was hidden: thickness as released, what went, and a warning") {
        const std::string text = sample::film("80 +- 1 nm") + hole_field + holes("41 um");
        const Device device = sample::design(text + etched("undercut = \"2.2 um\"\nfilm_rate = \"1.6 +- 1.2 nm/min\""));
        const ReleasedFilm film = released_film(device);
        CHECK(film.deposited_m == Approx(80e-9));
        CHECK(film.thickness_m == Approx(80e-9 - film.taken->above - film.taken->below_mean));
        CHECK(film.thickness_std_m > 0.7 * (80e-9 - film.thickness_m));  // the rate is known to 75 %
        CHECK(film.set_free);
        CHECK(film.width_m == Approx(37e-6 + 2.0 * 2.2e-6).epsilon(1e-6));
        CHECK(warns(thinning_warnings(film), "much-film-taken"));
        CHECK_FALSE(warns(thinning_warnings(film), "eaten-through"));
        ReleasedFilm exact = film;
        exact.thickness_std_m = 0.0;
        CHECK(thinning_warnings(exact).front().text.find("+-") == std::string::npos);  // "+- 0 nm are left"
        ReleasedFilm thin = film;
        thin.deposited_m = 2.0 * film.taken->above;
        CHECK(warns(thinning_warnings(thin), "eaten-through"));
        const Prediction p = predict(device, sample::table());
        CHECK(p.released.thickness_m == film.thickness_m);
        CHECK(warns(p.warnings, "much-film-taken"));
        CHECK(film.thickness_std_m > film.thickness_m);
        CHECK_FALSE(warns(p.warnings, "deviation-above-value"));  // the user stated 80 +- 1 nm
        std::ostringstream table;
        write_table(table, p);
        CHECK(table.str().find("80 nm deposited, ") != std::string::npos);
        CHECK(table.str().find("outline, set free by the etch") != std::string::npos);
    }

    TEST_CASE("a field of whole holes says what it fills, and from which sides a row less or more fits") {
        // Rows of a triangular lattice of pitch 5 um lie 5 sqrt(3)/2 apart, sites along them 2.5 um.
        const Device device = sample::design(sample::film("100 nm") + hole_field + holes("116 um") +
                                             "[release]\ngap = \"2 um\"\nundercut = \"2.2 um\"\n");
        const FieldFit fit = field_fit(device).value();
        const double row = 2.5e-6 * std::sqrt(3.0);
        CHECK(fit.width.asked == Approx(116e-6));
        CHECK(fit.width.filled == Approx(112e-6));
        CHECK(*fit.width.smaller == Approx(107e-6));
        CHECK(fit.width.larger == Approx(117e-6));
        CHECK(fit.height.filled == Approx(26.0 * row + 2e-6));
        CHECK(*fit.height.smaller == Approx(24.0 * row + 2e-6));
        CHECK(fit.height.larger == Approx(28.0 * row + 2e-6));
        const auto count = [](const std::string& side) {
            return place_holes(*sample::design(sample::film("100 nm") + hole_field + holes(side) +
                                               "[release]\ngap = \"2 um\"\nundercut = \"2.2 um\"\n")
                                    .holes)
                .size();
        };
        CHECK(count("116 um") == count("116.9 um"));
        CHECK(count("117 um") > count("116.9 um"));
    }
}
