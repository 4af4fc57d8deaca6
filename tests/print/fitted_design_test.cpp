// The design that a comparison leads to: the fitted stress in, every other line as it was.
#include "tymbal/base/error.h"
#include "tymbal/print/write_compare.h"

#include <doctest/doctest.h>

#include <string>

using namespace tymbal;

namespace {

/// A made-up answer: 0.95 GPa, at room temperature.
Comparison fitted() {
    Comparison c;
    c.devices.emplace_back();
    c.devices.front().design_file = "d.toml";
    c.values.push_back({"film.stress", "Pa", 1e9, 0.95e9, 1e6});
    c.devices.front().written = {{"film.stress", 0.95e9, 1e6}};
    c.temperature_k = 295.0;
    return c;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("the fitted stress takes the place of the old one and its temperature; comments and other lines stay") {
        const std::string text =
            "# kept\n[ film ]  # row\nstress = \"1 GPa\"  # as ordered\nstress_temperature = \"4 K\"\n"
            "thickness = \"100 nm\"\n[outline]\nshape = \"disc\"\n";
        CHECK(fitted_design(text, fitted()) ==
              "# kept\n[ film ]  # row\n# stress fitted to measured lines, other inputs as here\n"
              "stress = \"950 +- 1 MPa\"  # as ordered\nstress_temperature = \"295 K\"\nthickness = \"100 nm\"\n"
              "[outline]\nshape = \"disc\"\n");
    }

    TEST_CASE("quotes, quoted keys and line ends of a fitted design came out other than they went in") {
        CHECK(fitted_design("[film]\r\n'stress' = '1 GPa'  # not \"this\"\r\nthickness = '100 nm' # \"that\"\r\n",
                            fitted()) ==
              "[film]\r\n# stress fitted to measured lines, other inputs as here\r\nstress_temperature = \"295 K\"\r\n"
              "'stress' = '950 +- 1 MPa'  # not \"this\"\r\nthickness = '100 nm' # \"that\"\r\n");
        CHECK(fitted_design("film = { thickness = \"100 nm\" }\n", fitted()) ==
              "film = { thickness = \"100 nm\", stress = \"950 +- 1 MPa\", stress_temperature = \"295 K\" }\n");
        Comparison c = fitted();
        c.devices.front().written = {{"holes.field", 90e-6, 0.0, 67.5e-6}};
        CHECK(fitted_design("[holes]\nfield = ['80 um', '60 um']  # asked\n", c) ==
              "[holes]\n# field: the same holes on their sites\nfield = ['90 um', '67.5 um']  # asked\n");
    }

    TEST_CASE("what devices of a chip share was not written: stress 5 % low went onto the drawn outline") {
        Comparison c = fitted();
        c.devices.front().written = {{"film.stress", 1e9, 1e6},
                                     {"release.undercut", 6.12e-6, 0.03e-6},
                                     {"holes.diameter", 4.1e-6, 0.05e-6},
                                     {"outline.width", 126e-6, 0.0}};
        const std::string text =
            "[film]\nstress = \"1 GPa\"\n[release]\ntime = \"60 min\"  # by the clock\ngap = \"2 um\"\n"
            "[holes]\ndiameter = \"4 um\"\npitch = \"10 um\"\n[outline]\nwidth = \"120 um\"\n";
        CHECK(fitted_design(text, c) ==
              "[film]\n# stress fitted to measured lines, other inputs as here\nstress_temperature = \"295 K\"\n"
              "stress = \"1000 +- 1 MPa\"\n[release]\n# undercut fitted to measured lines\nundercut = \"6.12 +- 0.03 "
              "um\"\n# by the clock\ngap = \"2 um\"\n[holes]\n# diameter fitted to measured lines\ndiameter = \"4.1 +- "
              "0.05 um\"\npitch = \"10 um\"\n[outline]\n# width fitted to measured lines\nwidth = \"126 um\"\n");
    }

    TEST_CASE("without a fitted film it is said so") {
        CHECK_THROWS_WITH_AS((void)fitted_design("[film]\n", Comparison{}),
                             doctest::Contains("--write-design: needs a fitted film"), InputError);
    }
}
