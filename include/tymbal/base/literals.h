// Quantities as they are spoken: 2.0_um, 1.05_GPa, 30_min. In namespace tymbal::literals.
#pragma once

#include "tymbal/base/quantity.h"

namespace tymbal::literals {

// One macro for the two forms that C++ asks for, 2.0_um and 2_um; it is undone at the end of this header.
#define TYMBAL_LITERAL(TYPE, NAME, SI)                                         \
    [[nodiscard]] constexpr TYPE operator""_##NAME(long double value) {        \
        return TYPE::from_si(static_cast<double>(value) * (SI));               \
    }                                                                          \
    [[nodiscard]] constexpr TYPE operator""_##NAME(unsigned long long value) { \
        return TYPE::from_si(static_cast<double>(value) * (SI));               \
    }

TYMBAL_LITERAL(Length, nm, 1e-9)
TYMBAL_LITERAL(Length, um, 1e-6)
TYMBAL_LITERAL(Length, mm, 1e-3)
TYMBAL_LITERAL(Stress, Pa, 1.0)
TYMBAL_LITERAL(Stress, MPa, 1e6)
TYMBAL_LITERAL(Stress, GPa, 1e9)
TYMBAL_LITERAL(Pressure, mbar, 100.0)
TYMBAL_LITERAL(Frequency, Hz, 1.0)
TYMBAL_LITERAL(Frequency, kHz, 1e3)
TYMBAL_LITERAL(Frequency, MHz, 1e6)
TYMBAL_LITERAL(Temperature, K, 1.0)
TYMBAL_LITERAL(Time, s, 1.0)
TYMBAL_LITERAL(Time, min, 60.0)
TYMBAL_LITERAL(Power, uW, 1e-6)
TYMBAL_LITERAL(Power, mW, 1e-3)

#undef TYMBAL_LITERAL

}  // namespace tymbal::literals
