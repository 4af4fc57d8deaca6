// A chip file or a lone design as an addition to the record: chip, devices, what is drawn, and all files whole.
#pragma once

#include "tymbal/read/read_chip.h"
#include "tymbal/record/entry.h"

#include <string>

namespace tymbal {

struct DrawnChip {
    std::string file;   ///< chip file or lone design
    std::string name;   ///< empty: its title, else the file's name; of a lone design the file's name
    std::string wafer;  ///< empty: not known
};

/// @param now  when it is added, which counts as when it was drawn; UTC
/// @throws InputError as read_chip and read_design, and for a name that no line can hold
[[nodiscard]] RecordAddition chip_addition(const DrawnChip& asked, const std::string& now, const Materials& materials,
                                           const ReadLimits& limits = {});

/// A file with its hash and its bytes.
[[nodiscard]] RecordedFile kept_file(const std::string& role, const std::string& path);
/// With its hash alone.
[[nodiscard]] RecordedFile named_file(const std::string& role, const std::string& path);

}  // namespace tymbal
