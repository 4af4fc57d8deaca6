// "holes.diameter=1um..6um:11" and its kin to a key with its values.
#pragma once

#include "tymbal/task/sweep.h"

#include <string>

namespace tymbal {

/// KEY=FROM..TO:COUNT spaced evenly, KEY=FROM..TO:COUNT:log by a constant ratio, KEY=A,B,C a list of quantities or
/// names. Units as in a design file; ends are hit exactly.
/// @param option  that the text was given by, for messages
/// @throws InputError that quotes the text and says what is accepted
[[nodiscard]] SweepAxis parse_axis(const std::string& text, const std::string& option = "--vary");

/// What holds of an axis however it was given: a key that a sweep may vary, values that differ, texts of one line.
/// @throws InputError naming the key
void require_sound(const SweepAxis& axis);

}  // namespace tymbal
