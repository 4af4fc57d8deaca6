// The report's colour maps: even steps, inside the screen's gamut, told apart by colour-blind readers.
#include "page/colour_ramp.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace tymbal;
using tymbal::sample::Approx;

namespace {

double distance(const Rgb& a, const Rgb& b) {
    const Oklab x = to_oklab(a), y = to_oklab(b);
    return std::hypot(x.lightness - y.lightness, x.a - y.a, x.b - y.b);
}

double linear(double v) {
    return v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4);
}
double shown(double v) {
    return v <= 0.0031308 ? 12.92 * v : 1.055 * std::pow(v, 1.0 / 2.4) - 0.055;
}

/// Colours as seen without one kind of cones. Machado, Oliveira and Fernandes, IEEE Trans. Vis. Comput. Graph. 15, 1291
/// (2009), severity 1, on linear RGB; matrices from memory, each row sums to one so that greys stay.
Rgb as_seen(const Rgb& colour, const std::array<std::array<double, 3>, 3>& blindness) {
    Rgb out{};
    for (std::size_t r = 0; r < 3; ++r) {
        double sum = 0.0;
        for (std::size_t c = 0; c < 3; ++c) sum += blindness[r][c] * linear(colour[c]);
        out[r] = shown(std::clamp(sum, 0.0, 1.0));
    }
    return out;
}

constexpr std::array<std::array<std::array<double, 3>, 3>, 3> blindnesses{{
    {{{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}}},
    {{{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}}},
    {{{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}}},
}};

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("the even colour space has white at lightness one, greys without colour, and a round trip") {
        const Oklab white = to_oklab({1.0, 1.0, 1.0});
        CHECK(white.lightness == Approx(1.0).epsilon(1e-6));
        CHECK(std::abs(white.a) + std::abs(white.b) < 1e-6);
        const Oklab grey = to_oklab({0.5, 0.5, 0.5});
        CHECK(std::abs(grey.a) + std::abs(grey.b) < 1e-6);
        for (const Rgb& c : {Rgb{1.0, 0.0, 0.0}, Rgb{0.2, 0.7, 0.4}, Rgb{0.0, 0.0, 1.0}}) {
            const Rgb back = to_rgb(to_oklab(c));
            for (std::size_t k = 0; k < 3; ++k) CHECK(back[k] == Approx(c[k]).epsilon(1e-4).scale(1.0));
        }
        // Red by Ottosson's table of values: L 0.628, a 0.225, b 0.126 (from memory).
        const Oklab red = to_oklab({1.0, 0.0, 0.0});
        CHECK(red.lightness == Approx(0.628).epsilon(2e-3));
        CHECK(red.a == Approx(0.225).epsilon(5e-3));
        CHECK(red.b == Approx(0.126).epsilon(5e-3));
        CHECK(hex({0.0, 0.5019608, 1.0}) == "#0080ff");
    }

    TEST_CASE("both maps step evenly and stay within what a screen shows") {
        for (const Page page : {Page::light, Page::dark}) {
            for (const auto& ramp : {diverging_ramp(15, page), sequential_ramp(12, page)}) {
                double least = 1.0, most = 0.0;
                for (std::size_t k = 0; k < ramp.size(); ++k) {
                    for (const double v : ramp[k]) CHECK((v > -0.004 && v < 1.004));  // below one step of 8 bits
                    if (k == 0) continue;
                    const double step = std::abs(to_oklab(ramp[k]).lightness - to_oklab(ramp[k - 1]).lightness);
                    least = std::min(least, step);
                    most = std::max(most, step);
                }
                CHECK(most < 1.02 * least);
            }
        }
    }

    TEST_CASE(
        "displacement up and down differ for every kind of colour blindness, and sizes are ordered by lightness") {
        for (const Page page : {Page::light, Page::dark}) {
            const auto both = diverging_ramp(15, page);
            for (const auto& blind : blindnesses)
                for (std::size_t k = 0; k < 5; ++k)  // from the ends inwards, where there is colour to see
                    CHECK(distance(as_seen(both[k], blind), as_seen(both[14 - k], blind)) >
                          0.02 * (7.0 - static_cast<double>(k)));
            const auto size = sequential_ramp(12, page);
            for (const auto& blind : blindnesses)
                for (std::size_t k = 1; k < size.size(); ++k) {
                    const double rise =
                        to_oklab(as_seen(size[k], blind)).lightness - to_oklab(as_seen(size[k - 1], blind)).lightness;
                    CHECK((page == Page::light ? -rise : rise) > 0.02);
                }
        }
    }
}
