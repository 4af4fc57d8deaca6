// A wafer file as a checked struct: shape before and after, films on the faces, thickness map.
#pragma once

#include "tymbal/read/design.h"
#include "tymbal/task/wafer.h"

#include <string>

namespace tymbal {

/// @throws InputError naming file, line and key for anything unknown, missing, mixed up or out of range
[[nodiscard]] Wafer read_wafer(const std::string& path, const Materials& materials);

/// The same from text; `path` is only named in messages.
[[nodiscard]] Wafer parse_wafer(const std::string& text, const std::string& path, const Materials& materials);

/// The keys a wafer file may have, with unit and meaning.
[[nodiscard]] std::string describe_wafer_keys();

/// Text of a design with the film's thickness, stress (and index) replaced by those of the wafer; everything else,
/// comments included, is left as it was. @throws InputError when the changed text is no sound design
[[nodiscard]] std::string design_with_film(const std::string& design_path, const WaferFilm& film,
                                           const Materials& materials, const ReadLimits& limits = {});

}  // namespace tymbal
