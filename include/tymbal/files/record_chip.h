// A chip file or a lone design as an addition to the record: chip, devices, what is drawn, and all files whole.
#pragma once

#include "tymbal/files/read_chip.h"
#include "tymbal/record/entry.h"

#include <string>

namespace tymbal {

/// @param name  of the chip; empty: its title, else the file's name; of a lone design the file's name
/// @param date  when it was drawn; `now`: when it is added; both UTC
/// @throws InputError as read_chip and read_design
[[nodiscard]] RecordAddition chip_addition(const std::string& path, const std::string& name, const std::string& date,
                                           const std::string& now, const Materials& materials,
                                           const ReadLimits& limits);

/// A file with its hash and its bytes.
[[nodiscard]] RecordedFile kept_file(const std::string& role, const std::string& path);
/// With its hash alone.
[[nodiscard]] RecordedFile named_file(const std::string& role, const std::string& path);

}  // namespace tymbal
