#include "journal.h"

#include <algorithm>
#include <array>
#include <filesystem>

#include <sys/vfs.h>

namespace tymbal {

bool is_network_disk(unsigned long file_system) {
    constexpr std::array<unsigned long, 11> shared{
        0x6969,      // NFS
        0x517B,      // SMB
        0xFF534D42,  // CIFS
        0xFE534D42,  // SMB 2
        0x5346414F,  // AFS
        0x73757245,  // Coda
        0x65735546,  // FUSE: mounts by other programs, mostly remote
        0x01021997,  // 9P
        0x00C36400,  // Ceph
        0x0BD00BD0,  // Lustre
        0x47504653,  // GPFS
    };
    return std::find(shared.begin(), shared.end(), file_system & 0xFFFFFFFFUL) != shared.end();
}

bool on_network_disk(const std::string& path) {
    const std::filesystem::path folder = std::filesystem::path(path).parent_path();
    struct statfs told {};
    if (::statfs(folder.empty() ? "." : folder.c_str(), &told) != 0) return false;
    return is_network_disk(static_cast<unsigned long>(told.f_type));
}

}  // namespace tymbal
