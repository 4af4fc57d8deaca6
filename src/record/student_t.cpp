#include "tymbal/record/student_t.h"

#include <algorithm>
#include <cmath>
#include <initializer_list>

namespace tymbal {

namespace {

/// Continued fraction of the incomplete beta function, by Lentz's method.
double beta_fraction(double a, double b, double x) {
    constexpr double tiny = 1e-300;
    double c = 1.0, d = 1.0 / std::max(std::abs(1.0 - (a + b) * x / (a + 1.0)), tiny), value = d;
    for (int m = 1; m < 500; ++m) {
        const double even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        const double odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        double change = 1.0;
        for (const double term : {even, odd}) {
            d = 1.0 + term * d;
            c = 1.0 + term / c;
            d = 1.0 / (std::abs(d) < tiny ? tiny : d);
            if (std::abs(c) < tiny) c = tiny;
            change = c * d;
            value *= change;
        }
        if (std::abs(change - 1.0) < 1e-15) break;
    }
    return value;
}

/// I_x(a, b)
double incomplete_beta(double a, double b, double x) {
    if (x <= 0.0) return 0.0;
    if (x >= 1.0) return 1.0;
    if (x > (a + 1.0) / (a + b + 2.0)) return 1.0 - incomplete_beta(b, a, 1.0 - x);
    const double front =
        std::exp(std::lgamma(a + b) - std::lgamma(a) - std::lgamma(b) + a * std::log(x) + b * std::log1p(-x));
    return front * beta_fraction(a, b, x) / a;
}

}  // namespace

double student_within(double t, double degrees) {
    return 1.0 - incomplete_beta(0.5 * degrees, 0.5, degrees / (degrees + t * t));
}

double student_half_width(double chance, double degrees) {
    double low = 0.0, high = 1.0;
    while (student_within(high, degrees) < chance && high < 1e12) high *= 2.0;
    for (int step = 0; step < 100; ++step) {
        const double middle = 0.5 * (low + high);
        (student_within(middle, degrees) < chance ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

double one_sigma_factor(double degrees) {
    return student_half_width(std::erf(std::sqrt(0.5)), degrees);
}

}  // namespace tymbal
