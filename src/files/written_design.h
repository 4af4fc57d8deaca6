// A design as its file says it, before anything is checked: what a chip joins to it and a search changes in it.
#pragma once

#include "toml_table.h"

#include "tymbal/files/read_design.h"

#include <string>

namespace tymbal {

/// What the file says, and which file said it.
struct WrittenDesign {
    toml::value root;
    std::string path, sha256;
};

/// @throws InputError when it is no TOML
[[nodiscard]] WrittenDesign parse_written(const std::string& text, const std::string& path);

/// @throws InputError as read_design does
[[nodiscard]] Device read_written(const WrittenDesign& written, const Materials& materials, const ReadLimits& limits);
[[nodiscard]] Device read_changed(WrittenDesign written, const Materials& materials, const Changes& changes,
                                  const ReadLimits& limits);

}  // namespace tymbal
