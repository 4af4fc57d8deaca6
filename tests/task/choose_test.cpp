// The search for a design: a case with a closed answer, the trade-offs' own promise, and chances against Monte Carlo.
#include "tymbal/task/choose.h"

#include "support/approx.h"
#include "support/designs.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/print/write_choice.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <random>
#include <sstream>

using namespace tymbal;
using sample::Approx;

namespace {

constexpr double pi = constants::pi;

/// A plain square whose size and thickness are free: thin films have more Q and less reflectivity.
std::string plain(const std::string& limits, const std::string& stress = "1.00 +- 0.03 GPa") {
    return sample::film("60 +- 1 nm", stress) + "index = 2.0\n" + sample::square("400 um") +
           "[readout]\nwavelength = \"1064 nm\"\nspot_radius = \"100 um\"\n[target]\nfrequency = \"1 MHz\"\n" +
           "[free]\n\"outline.width\" = [\"200 um\", \"800 um\"]\n\"film.thickness\" = [\"20 nm\", \"120 nm\"]\n" +
           "[limits]\n" + limits + "[solve]\nmodes = 2\n";
}

/// A square of 400 um in the middle of a cavity, whose thickness alone is free.
std::string coupled(const std::string& target, const std::string& limits = "") {
    return sample::film("60 nm") + "index = 2.0\nextinction = 0\n" + sample::square("400 um") +
           "[readout]\nwavelength = \"1064 nm\"\nspot_radius = \"40 um\"\n[cavity]\nlength = \"10 mm\"\n" +
           "input_transmission = 100e-6\n[target]\n" + target + "[limits]\n" + limits +
           "[free]\n\"film.thickness\" = [\"20 nm\", \"150 nm\"]\n[solve]\nmodes = 4\naccuracy = 1e-2\n";
}

Choice chosen(const std::string& text, unsigned threads = 2, bool robust = false, int samples = 12,
              double least_chance = 0.9) {
    const DeviceAt at = [text](const Changes& changes) {
        return parse_device(text, "test.toml", sample::table(), changes);
    };
    return choose({at, sample::table(), samples, threads, robust, least_chance});
}

double changed(const Candidate& c, const std::string& key) {
    for (const Change& change : c.changes)
        if (change.key == key) return std::get<double>(change.value);
    return std::nan("");
}

double g0(const Candidate& c) {
    return c.mode().single_photon_coupling_hz.value();
}

/// Reflectivity of a slab of real index n in vacuum at normal incidence (Born and Wolf, Principles of Optics, ch. 1;
/// from memory, re-derived).
double slab_reflectivity(double n, double thickness, double wavelength) {
    const double f = std::pow((n * n - 1.0) / (2.0 * n) * std::sin(2.0 * pi * n * thickness / wavelength), 2);
    return f / (1.0 + f);
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("the thinnest film that still reflects enough is found, at the size of the target") {
        // Dilution and radiation loss both improve as the film gets thinner, so the reflectivity binds.
        const Choice c = chosen(plain("least_reflectivity = 0.2\nleast_fracture_margin = 1.5\n", "1.000 +- 0.005 GPa"));
        const double thickness = changed(c.recommended, "film.thickness");
        CHECK(slab_reflectivity(2.0, thickness, 1064e-9) == Approx(0.2).epsilon(0.02));
        char digits[32];
        std::snprintf(digits, sizeof digits, "%.5e", thickness);  // solved as it is printed
        CHECK(std::strtod(digits, nullptr) == thickness);
        CHECK(c.recommended.figures->reflectivity.value() >= 0.2);
        // c/(sqrt2 f) (Rayleigh, Theory of Sound), inside the window of 1 %, raised a little by the clamped edge
        const double side = std::sqrt(1e9 / 3100.0) / (std::sqrt(2.0) * 1e6);
        CHECK(changed(c.recommended, "outline.width") == Approx(side).epsilon(0.015));
        CHECK(changed(c.recommended, "outline.height") == changed(c.recommended, "outline.width"));
        CHECK(c.reason.find("limits.least_reflectivity") != std::string::npos);
        const auto eased = std::find_if(c.relaxations.begin(), c.relaxations.end(),
                                        [](const Relaxation& r) { return r.key == "limits.least_reflectivity"; });
        REQUIRE(eased != c.relaxations.end());
        CHECK(eased->to == Approx(0.18));
        CHECK(eased->best.mode().qf_hz > 1.01 * c.recommended.mode().qf_hz);
    }

    TEST_CASE("the chance to meet a window is that of solved films with scattered stress and thickness") {
        const std::string text = plain("frequency = [\"0.99 MHz\", \"1.02 MHz\"]\n");
        const DeviceAt at = [text](const Changes& changes) {
            return parse_device(text, "test.toml", sample::table(), changes);
        };
        const Choice c = chosen(text);
        std::mt19937_64 engine(5);
        // Box and Muller, because the library's normal distribution differs from one compiler to the next.
        const auto normal = [&] {
            const double u = (static_cast<double>(engine() >> 11U) + 0.5) / 9007199254740992.0;
            const double v = static_cast<double>(engine() >> 11U) / 9007199254740992.0;
            return std::sqrt(-2.0 * std::log(u)) * std::cos(2.0 * pi * v);
        };
        constexpr int films = 200;
        int inside = 0;
        for (int k = 0; k < films; ++k) {
            Changes changes = c.recommended.changes;
            for (Change& change : changes)
                if (change.key == "film.thickness") change.value = std::get<double>(change.value) + 1e-9 * normal();
            changes.push_back({"film.stress", 1e9 + 0.03e9 * normal()});
            const Device device = at(changes);
            const double f = predict(device, sample::table()).modes[0].mode.frequency_hz;
            inside += f >= 0.99e6 && f <= 1.02e6 ? 1 : 0;
        }
        const double share = static_cast<double>(inside) / films, p = *c.recommended.chance;
        CAPTURE(share);
        CHECK(std::abs(share - p) < 3.0 * std::sqrt(p * (1.0 - p) / films));
    }
}

TEST_SUITE("unit") {
    TEST_CASE("the chance is the normal distribution's share of the window") {
        // Phi(1) - Phi(-1) = 0.682689 (any table of the normal distribution; computed)
        CHECK(chance_in({9.0, 11.0}, 10.0, 1.0) == Approx(0.682689).epsilon(1e-6));
        CHECK(chance_in({10.0, 20.0}, 10.0, 1.0) == Approx(0.5));
        CHECK(chance_in({9.0, 11.0}, 10.0, 0.0) == 1.0);
        CHECK(chance_in({9.0, 11.0}, 12.0, 0.0) == 0.0);
    }

    TEST_CASE("a search without freedom, window or scatter is refused with key and cure") {
        const std::string fixed = sample::film("60 nm") + sample::square("400 um");
        CHECK_THROWS_WITH_AS((void)chosen(fixed), doctest::Contains("test.toml: free: is missing; choose needs keys"),
                             InputError);
        const std::string free = "[free]\n\"outline.width\" = [\"300 um\", \"500 um\"]\n[solve]\nmodes = 1\n";
        CHECK_THROWS_WITH_AS((void)chosen(fixed + free, 1, true),
                             "test.toml: target.frequency: is missing; a robust choice needs it, or a window in "
                             "limits.frequency",
                             InputError);
        CHECK_THROWS_WITH_AS((void)chosen(fixed + "[target]\nfrequency = \"1 MHz\"\n" + free, 1, true),
                             doctest::Contains("test.toml: film.stress: has no deviation, nor has any other input"),
                             InputError);
    }

    TEST_CASE("the chance counted film scatter alone: every stated deviation counts, and none without one") {
        // Of the square's sides: 0.3 % each move the frequency by 0.3 %/sqrt(2) together.
        const std::string sides =
            "[outline]\nshape = \"rectangle\"\nwidth = \"400.0 +- 1.2 um\"\nheight = \"400.0 +- 1.2 um\"\n";
        const std::string rest =
            "[limits]\nfrequency = [\"1.003 MHz\", \"1.012 MHz\"]\n[free]\n\"film.material\" = "
            "[\"nitride-stoichiometric\", \"nitride-silicon-rich\"]\n[solve]\nmodes = 1\n";
        const Choice c = chosen(sample::film("60 nm") + sides + rest, 1, false, 1);
        const ModeFigure& m = c.recommended.mode();
        CHECK(m.frequency_std_hz == Approx(m.frequency_hz * 3e-3 / std::sqrt(2.0)).epsilon(0.02));
        CHECK(c.recommended.chance.value() ==
              Approx(chance_in({1.003e6, 1.012e6}, m.frequency_hz, m.frequency_std_hz)));
        CHECK(*c.recommended.chance < 0.99);
        const Choice exact = chosen(sample::film("60 nm") + sample::square("400 um") + rest, 1, false, 1);
        CHECK_FALSE(exact.recommended.chance.has_value());
        CHECK(exact.reason.find("no input states a deviation") != std::string::npos);
        std::ostringstream json, table;
        write_json(json, exact);
        write_table(table, exact);
        CHECK(json.str().find("\"frequency_std_hz\": null") != std::string::npos);
        CHECK(table.str().find("+- 0 Hz") == std::string::npos);
    }

    TEST_CASE("limits that exclude each other end in the nearest design, its breach and the cure") {
        const std::string text = sample::film("60 nm") + sample::square("400 um") +
                                 "[free]\n\"film.material\" = [\"nitride-stoichiometric\", \"nitride-silicon-rich\"]\n"
                                 "[limits]\nleast_fracture_margin = 100\n[solve]\nmodes = 1\naccuracy = 0.1\n";
        std::string why;
        try {
            (void)chosen(text, 1, false, 1);
        } catch (const NoAnswer& e) {
            why = e.what();
        }
        CAPTURE(why);
        for (const char* words : {"none of ", "breaks limits.least_fracture_margin by ", " at film.material nitride-",
                                  "relax a limit or widen [free]"})
            CHECK(why.find(words) != std::string::npos);
    }

    TEST_CASE("ranges in which every film buckles end in that reason") {
        const std::string text = sample::film("60 nm") + sample::square("400 um") +
                                 "[free]\n\"film.stress\" = [\"-2 GPa\", \"-1 GPa\"]\n[solve]\nmodes = 1\n";
        CHECK_THROWS_WITH_AS((void)chosen(text, 1, false, 1),
                             doctest::Contains("no design inside [free] could be solved: the flat film is not stable"),
                             NoAnswer);
    }

    TEST_CASE("limits without a figure, and what is not known of the release, are said") {
        const std::string text =
            sample::film("60 nm") + sample::square("400 um") +
            "[free]\n\"film.material\" = [\"nitride-stoichiometric\", \"nitride-silicon-rich\"]\n[limits]\n"
            "least_reflectivity = 0.2\nlargest_over_etch = \"1 um\"\n[solve]\nmodes = 1\n"
            "accuracy = 0.1\n";
        const Choice c = chosen(text, 1, false, 1);
        std::string notes;
        for (const std::string& note : c.notes) notes += note + "\n";
        CAPTURE(notes);
        CHECK(notes.find("limits.least_reflectivity is not checked: the design has no [readout]") != std::string::npos);
        CHECK(notes.find("over-etch are not checked: [release] does not say enough") != std::string::npos);
    }
}

TEST_SUITE("unit") {
    TEST_CASE("a search for Q f takes the thinnest drum, one for coupling that which light and mass agree on") {
        // Coupling is proportional to |r|/sqrt(m) at one frequency: of all thicknesses that with most R/h.
        double best = 20e-9;
        const auto worth = [](double h) { return slab_reflectivity(2.0, h, 1064e-9) / h; };
        for (double h = best; h < 150e-9; h += 0.1e-9)
            if (worth(h) > worth(best)) best = h;
        const Choice quiet = chosen(coupled(""), 1, false, 4), strong = chosen(coupled("aim = \"g0\"\n"), 1, false, 4);
        CHECK(quiet.aim == Aim::qf);
        CHECK(changed(quiet.recommended, "film.thickness") == Approx(20e-9));
        CHECK(changed(strong.recommended, "film.thickness") == Approx(best).epsilon(0.01));
        CHECK(g0(strong.recommended) > 1.2 * g0(quiet.recommended));
        CHECK(strong.reason.find("largest single-photon coupling g0 of ") == 0);
        for (std::size_t k = 1; k < strong.best.size(); ++k) CHECK(g0(strong.best[k - 1]) >= g0(strong.best[k]));
        CHECK(strong.best.size() > 1);
        CHECK(g0(strong.best.front()) == g0(strong.recommended));
    }

    TEST_CASE("cooperativity weighs coupling against linewidth, and leads what a limit costs, tables and JSON") {
        const Choice strong = chosen(coupled("aim = \"g0\"\n"), 1, false, 4);
        const Choice both = chosen(coupled("aim = \"cooperativity\"\n", "least_g0 = \"26.1 Hz\"\n"), 1, false, 4);
        const auto c0 = [](const Candidate& c) { return c.mode().single_photon_cooperativity.value(); };
        CHECK(g0(both.recommended) >= 26.1);
        CHECK(c0(both.recommended) > 1.01 * c0(strong.recommended));
        REQUIRE(both.relaxations.size() == 1);
        CHECK(both.relaxations[0].key == "limits.least_g0");
        CHECK(c0(both.relaxations[0].best) > 1.01 * c0(both.recommended));
        std::ostringstream json, table;
        write_json(json, both);
        write_table(table, both);
        CHECK(json.str().find("\"aim\": \"cooperativity\"") != std::string::npos);
        CHECK(table.str().find("aim: the largest C0\n") != std::string::npos);
        CHECK(table.str().find("23.49 Hz: C0 ") != std::string::npos);
    }

    TEST_CASE("a design whose mode the light does not meet is no answer to a search for coupling") {
        const std::string node = "aim = \"g0\"\nmode = \"(2,2)\"\n";
        CHECK_THROWS_WITH_AS((void)chosen(coupled(node), 1, false, 1),
                             doctest::Contains("light does not meet the mode (2,2), which has no coupling; move "
                                               "readout.position"),
                             NoAnswer);
        CHECK_NOTHROW((void)chosen(coupled("mode = \"(2,2)\"\n"), 1, false, 1));
    }
}

TEST_SUITE("slow") {
    TEST_CASE("a robust search meets the window more often than one for the largest Q f") {
        const std::string text = plain("least_reflectivity = 0.2\n");
        const Choice bold = chosen(text, 2, false, 12, 0.0), safe = chosen(text, 2, true);
        CHECK(*safe.recommended.chance > *bold.recommended.chance);
        CHECK(safe.recommended.mode().frequency_hz == Approx(1e6).epsilon(2e-3));  // the middle of the window
        CHECK(safe.recommended.feasible);
    }

    TEST_CASE("the window's edge was recommended for a little more Q: what is likely to meet the window comes first") {
        const std::string text = plain("least_reflectivity = 0.2\n", "1.000 +- 0.005 GPa");
        const Choice bold = chosen(text, 2, false, 12, 0.0), likely = chosen(text);
        const Choice wanting = chosen(plain("least_reflectivity = 0.2\n"));
        CHECK(*bold.recommended.chance < 0.9);
        CHECK(*likely.recommended.chance >= 0.9);
        CHECK(likely.reason.find("have a chance of 90 % or more") != std::string::npos);
        CHECK(bold.recommended.mode().qf_hz > likely.recommended.mode().qf_hz);
        CHECK(*wanting.recommended.chance < 0.9);  // 1.5 % in frequency, a window of 1 % to both sides
        for (const Candidate& c : wanting.best) CHECK(*c.chance <= *wanting.recommended.chance);
        CHECK(wanting.reason.find("no design that holds all limits has a chance of 90 %") != std::string::npos);
    }

    TEST_CASE("scales and fields that were free come as lines that a design takes") {
        const std::string text = sample::film("60 nm") + sample::square("400 um") +
                                 "[holes]\nlattice = \"square\"\ndiameter = \"4 um\"\npitch = \"20 um\"\n"
                                 "field = [\"200 um\", \"150 um\"]\n[free]\n\"outline.scale\" = [\"0.9\", \"1.1\"]\n"
                                 "\"holes.field\" = [\"100 um\", \"240 um\"]\n[solve]\nmodes = 1\naccuracy = 1e-2\n";
        const Choice c = chosen(text, 2, false, 3);
        const Device device = parse_device(text, "test.toml", sample::table(), c.lines);
        for (const Change& line : c.lines) CHECK(line.key.find("scale") == std::string::npos);
        CHECK((*device.holes->field)[1].si() == Approx(0.75 * (*device.holes->field)[0].si()));
        CHECK(predict(device, sample::table()).modes[0].mode.frequency_hz ==
              Approx(c.recommended.mode().frequency_hz).epsilon(1e-6));
    }

    TEST_CASE("the nearest design that breaks a limit is named with its numbers") {
        CHECK_THROWS_WITH_AS((void)chosen(plain("least_reflectivity = 0.5\n")),
                             doctest::Contains("limits.least_reflectivity"), NoAnswer);
    }

    TEST_CASE("names are searched too") {
        const Choice c = chosen(sample::film("60 nm") + sample::square("400 um") +
                                "[free]\n\"film.material\" = [\"nitride-stoichiometric\", \"nitride-silicon-rich\"]\n" +
                                "[solve]\nmodes = 1\n");
        CHECK(c.solved == 12);
        CHECK(c.recommended.changes.size() == 1);
    }
}

TEST_SUITE("slow") {
    TEST_CASE("no member of the trade-offs beats another, all hold the limits, all are what predict says") {
        const std::string text = plain("least_reflectivity = 0.15\n");
        const Choice c = chosen(text);
        const auto beats = [](const Candidate& a, const Candidate& b) {
            return a.frequency_error <= b.frequency_error && a.mode().qf_hz >= b.mode().qf_hz &&
                   a.figures->fracture_margin >= b.figures->fracture_margin &&
                   *a.figures->reflectivity >= *b.figures->reflectivity;
        };
        CHECK(c.best.size() > 2);
        for (std::size_t i = 0; i < c.best.size(); ++i) {
            CHECK(c.best[i].feasible);
            CHECK(*c.best[i].figures->reflectivity >= 0.15);
            for (std::size_t j = 0; j < c.best.size(); ++j)
                if (i != j) CHECK_FALSE(beats(c.best[i], c.best[j]));
        }
        Changes changes = c.best.front().changes;
        const Prediction p = predict(parse_device(text, "test.toml", sample::table(), changes), sample::table());
        CHECK(p.modes[0].mode.frequency_hz == c.best.front().mode().frequency_hz);
    }

    TEST_CASE("the answer is the same bytes on one thread and on three") {
        const auto answer = [](unsigned threads) {
            std::ostringstream out;
            write_json(out, chosen(plain("least_reflectivity = 0.2\n"), threads));
            return out.str();
        };
        CHECK(answer(1) == answer(3));
    }
}
