// A design file as a checked struct: what comes out of here is consistent, and nothing below asks again.
#pragma once

#include "tymbal/task/variation.h"

#include <cstddef>
#include <string>

namespace tymbal {

/// What the user allows and a design cannot: design files come from strangers.
struct ReadLimits {
    std::size_t most_holes = 200'000;  ///< round which fronts are drawn, a few seconds of work; at most a million
    std::string hole_file;             ///< read instead of the one that holes.file names, wherever it lies
};

/// @throws InputError naming file, line and key for anything unknown, misspelt, out of range or impossible
[[nodiscard]] Device read_design(const std::string& path, const Materials& materials, const ReadLimits& limits = {});

/// The same from text; `path` is only named in messages.
[[nodiscard]] Device parse_design(const std::string& text, const std::string& path, const Materials& materials,
                                  const Changes& changes = {}, const ReadLimits& limits = {});

/// The file read and parsed once, to be looked at with any changes. `materials` must outlive the result.
/// @throws InputError when the file cannot be read or is no TOML; what it says is checked at each call
[[nodiscard]] DesignAt vary_design(const std::string& path, const Materials& materials, const ReadLimits& limits = {});

}  // namespace tymbal
