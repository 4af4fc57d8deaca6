#include "tymbal/files/whole_file.h"

#include "tymbal/base/error.h"

#include <filesystem>
#include <fstream>

#include <unistd.h>

namespace tymbal {

namespace fs = std::filesystem;

void write_whole(const std::string& path, const std::function<void(std::ostream&)>& write) {
    const fs::path target(path);
    std::error_code error;
    if (fs::is_directory(target, error)) throw InputError({path, 0}, "", "is a folder; name a file to write");
    const fs::path beside = target.string() + ".part" + std::to_string(::getpid());
    try {
        std::ofstream out(beside, std::ios::binary | std::ios::trunc);
        if (!out) throw InputError({path, 0}, "", "cannot be written; check that the folder exists and may be written");
        write(out);
        out.close();
        if (!out) throw InputError({path, 0}, "", "could not be written in full; is the disk full?");
        fs::rename(beside, target);
    } catch (const fs::filesystem_error&) {
        fs::remove(beside, error);
        throw InputError({path, 0}, "", "cannot be put in place of what is there");
    } catch (...) {
        fs::remove(beside, error);
        throw;
    }
}

}  // namespace tymbal
