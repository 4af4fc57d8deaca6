// Output files that are there in full or not at all.
#pragma once

#include <functional>
#include <map>
#include <ostream>
#include <string>

namespace tymbal {

/// Writes beside the target and renames over it when all went well; on any failure nothing is left. A link
/// stays and its target is replaced; a device or pipe is written to directly.
/// @throws InputError when the file cannot be written; whatever `write` throws passes through
void write_whole(const std::string& path, const std::function<void(std::ostream&)>& write);

/// The other way: all bytes of a file of any size. @throws InputError when it cannot be read
[[nodiscard]] std::string read_whole(const std::string& path);

/// @param read  paths with their roles  @param target  to be written; empty: nothing is
/// @throws InputError when it would replace a file that was read, by whatever name
void require_inputs_kept(const std::map<std::string, std::string>& read, const std::string& target);

}  // namespace tymbal
