#include "files/figures.h"

#include <doctest/doctest.h>

using namespace tymbal;

TEST_SUITE("unit") {
    TEST_CASE("prefixes carry over when rounding fills them") {
        CHECK(with_prefix(3.0788e6, "Hz") == "3.079 MHz");
        CHECK(with_prefix(999.97e3, "Hz") == "1.000 MHz");
        CHECK(with_prefix(-1.5e-9, "m", 2) == "-1.5 nm");
        CHECK(with_prefix(0.0, "Pa") == "0 Pa");
    }

    TEST_CASE("the uncertainty decides the digits, two of its own") {
        CHECK(with_uncertainty(3.0788e6, 0.0712e6, 1e6) == "3.079 +- 0.071");
        CHECK(with_uncertainty(250e9, 20e9, 1e9) == "250 +- 20");
        CHECK(any_size(0.25, 0.03) == "0.250 +- 0.030");
        CHECK(any_size(1e-7, 2e-9) == "(1.000 +- 0.020)e-7");
        CHECK(any_size(295.0, 0.0) == "295");
    }

    TEST_CASE("wrapped text fills the page and no more") {
        CHECK(wrapped("aa bb cc dd", 75, 76) ==
              "aa bb\n" + std::string(76, ' ') + "cc\n" + std::string(76, ' ') + "dd");
        CHECK(wrapped("aa bb", 74, 0) == "aa bb");
        CHECK(wrapped("abcdefgh ij", 79, 1) == "abcdefgh\n ij");
    }
}
