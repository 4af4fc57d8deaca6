#include "tymbal/mask/hole_file.h"

#include "tymbal/base/error.h"

#include <filesystem>
#include <fstream>
#include <stdexcept>

namespace tymbal {

namespace {

constexpr std::uintmax_t most_bytes = std::uintmax_t{128} << 20U;

std::string read_bytes(const std::string& path) {
    namespace fs = std::filesystem;
    std::error_code error;
    if (!fs::is_regular_file(path, error)) throw InputError({path, 0}, "", "is no file that can be read");
    if (fs::file_size(path, error) > most_bytes)
        throw InputError({path, 0}, "", "is larger than 128 MiB, too large for a pattern of holes");
    std::ifstream in(path, std::ios::binary);
    std::string bytes(fs::file_size(path, error), '\0');
    in.read(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    if (!in || error) throw InputError({path, 0}, "", "cannot be read in full");
    return bytes;
}

}  // namespace

HoleFile read_hole_file(const std::string& path, HoleShape shape, double angle_rad) {
    const std::string ending = std::filesystem::path(path).extension().string();
    if (ending == ".csv") return parse_hole_csv(read_bytes(path), path, shape);
    if (ending == ".gds") return parse_hole_gdsii(read_bytes(path), path, shape, angle_rad);
    throw InputError({path, 0}, "", "has none of the endings .csv and .gds, by which a file of holes is read");
}

std::string drawn_size_name(HoleShape shape) {
    switch (shape) {
        case HoleShape::circle: return "drawn diameter";
        case HoleShape::square: return "drawn side";
        case HoleShape::hexagon: return "drawn across flats";
    }
    throw std::logic_error("drawn_size_name: unhandled hole shape");
}

}  // namespace tymbal
