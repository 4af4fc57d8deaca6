// How a record is kept safe while it is written: a write-ahead log where the disk can share memory between programs.
#pragma once

#include <string>

namespace tymbal {

/// Whether a file system, by the number that statfs gives (linux/magic.h and the kernel's sources, from memory), is or
/// may be another machine's: two machines share no memory, which a write-ahead log needs.
[[nodiscard]] bool is_network_disk(unsigned long file_system);

/// The same of the folder of a file; false when the system does not tell.
[[nodiscard]] bool on_network_disk(const std::string& path);

}  // namespace tymbal
