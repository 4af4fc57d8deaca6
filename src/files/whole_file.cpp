#include "tymbal/files/whole_file.h"

#include "tymbal/base/error.h"

#include <filesystem>
#include <fstream>
#include <sstream>

#include <unistd.h>

namespace tymbal {

namespace fs = std::filesystem;

namespace {

/// Devices and pipes cannot be replaced, only written to.
void write_through(const std::string& path, const std::function<void(std::ostream&)>& write) {
    std::ofstream out(path, std::ios::binary);
    if (out) write(out);
    out.close();
    if (!out) throw InputError({path, 0}, "", "could not be written in full");
}

}  // namespace

void write_whole(const std::string& path, const std::function<void(std::ostream&)>& write) {
    std::error_code error;
    const fs::file_status status = fs::status(path, error);
    if (fs::is_directory(status)) throw InputError({path, 0}, "", "is a folder; name a file to write");
    if (fs::exists(status) && !fs::is_regular_file(status)) return write_through(path, write);
    // A link stays a link: what it points to is replaced.
    const fs::path real = fs::canonical(path, error);
    const fs::path target = error ? fs::path(path) : real;
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

std::string read_whole(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    std::ostringstream text;
    if (in) text << in.rdbuf();
    if (!in || fs::is_directory(path))
        throw InputError({path, 0}, "", "cannot be read; give the path of a readable file");
    return text.str();
}

}  // namespace tymbal
