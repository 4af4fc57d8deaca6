// Numbers that know their physical dimension: wrong sums do not compile.
#pragma once

#include <compare>

namespace tymbal {

/// Exponents of metre, kilogram, second and kelvin.
struct Dimension {
    int metre = 0;
    int kilogram = 0;
    int second = 0;
    int kelvin = 0;
    constexpr bool operator==(const Dimension&) const = default;
};

/// A value in SI units of dimension D. Plain doubles enter by from_si and leave by si().
template <Dimension D>
class Quantity {
public:
    static constexpr Dimension dimension = D;

    constexpr Quantity() = default;
    [[nodiscard]] static constexpr Quantity from_si(double value) { return Quantity(value); }
    [[nodiscard]] constexpr double si() const { return si_; }

    constexpr auto operator<=>(const Quantity&) const = default;
    friend constexpr Quantity operator+(Quantity a, Quantity b) { return Quantity(a.si_ + b.si_); }
    friend constexpr Quantity operator-(Quantity a, Quantity b) { return Quantity(a.si_ - b.si_); }
    friend constexpr Quantity operator-(Quantity a) { return Quantity(-a.si_); }
    friend constexpr Quantity operator*(double k, Quantity a) { return Quantity(k * a.si_); }
    friend constexpr Quantity operator*(Quantity a, double k) { return Quantity(k * a.si_); }
    friend constexpr Quantity operator/(Quantity a, double k) { return Quantity(a.si_ / k); }

private:
    explicit constexpr Quantity(double value) : si_(value) {}
    double si_ = 0.0;
};

template <Dimension A, Dimension B>
[[nodiscard]] constexpr auto operator*(Quantity<A> a, Quantity<B> b) {
    constexpr Dimension product{A.metre + B.metre, A.kilogram + B.kilogram, A.second + B.second, A.kelvin + B.kelvin};
    return Quantity<product>::from_si(a.si() * b.si());
}

template <Dimension A, Dimension B>
[[nodiscard]] constexpr auto operator/(Quantity<A> a, Quantity<B> b) {
    constexpr Dimension ratio{A.metre - B.metre, A.kilogram - B.kilogram, A.second - B.second, A.kelvin - B.kelvin};
    return Quantity<ratio>::from_si(a.si() / b.si());
}

using Ratio = Quantity<Dimension{}>;
using Angle = Quantity<Dimension{}>;  // rad; a Ratio to the compiler, told apart by the units it accepts
using Length = Quantity<Dimension{1, 0, 0, 0}>;
using Mass = Quantity<Dimension{0, 1, 0, 0}>;
using Time = Quantity<Dimension{0, 0, 1, 0}>;
using Temperature = Quantity<Dimension{0, 0, 0, 1}>;
using Speed = Quantity<Dimension{1, 0, -1, 0}>;
using Frequency = Quantity<Dimension{0, 0, -1, 0}>;
using Stress = Quantity<Dimension{-1, 1, -2, 0}>;
using Pressure = Stress;
using Tension = Quantity<Dimension{0, 1, -2, 0}>;  // N/m; also surface tension and energy per area
using Density = Quantity<Dimension{-3, 1, 0, 0}>;
using ArealDensity = Quantity<Dimension{-2, 1, 0, 0}>;
using Power = Quantity<Dimension{2, 1, -3, 0}>;
using Viscosity = Quantity<Dimension{-1, 1, -1, 0}>;            // Pa s
using ThermalExpansion = Quantity<Dimension{0, 0, 0, -1}>;      // 1/K
using ThermalConductivity = Quantity<Dimension{1, 1, -3, -1}>;  // W/(m K)
using SpecificHeat = Quantity<Dimension{2, 0, -2, -1}>;         // J/(kg K)
using InverseLength = Quantity<Dimension{-1, 0, 0, 0}>;         // 1/m
using MolarMass = Quantity<Dimension{0, 1, 0, 0}>;  // kg per mole; the mole is counted, not a dimension here
using EtchRate = Quantity<Dimension{1, 0, -1, 0}>;  // m/s

}  // namespace tymbal
