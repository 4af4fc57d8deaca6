#include "output.h"

#include "tymbal/files/whole_file.h"

#include <filesystem>
#include <iostream>

namespace tymbal {

void write_to(const std::string& target, const std::function<void(std::ostream&)>& write) {
    if (target.empty()) return;
    if (target == "-")
        write(std::cout);
    else
        write_whole(target, write);
}

std::string own_path() {
    std::error_code error;
    const auto path = std::filesystem::read_symlink("/proc/self/exe", error);
    return error ? "" : path.string();
}

}  // namespace tymbal
