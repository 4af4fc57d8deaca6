#include "beside.h"

#include <algorithm>
#include <filesystem>

namespace tymbal {

namespace {

bool stays_inside(const std::filesystem::path& path) {
    return !path.empty() && !path.is_absolute() &&
           std::none_of(path.begin(), path.end(), [](const std::filesystem::path& part) { return part == ".."; });
}

/// The same with links followed.
bool leads_inside(const std::filesystem::path& folder, const std::filesystem::path& path) {
    std::error_code error;
    const auto real_folder = std::filesystem::canonical(folder.empty() ? "." : folder, error);
    const auto real_path = error ? std::filesystem::path() : std::filesystem::canonical(path, error);
    if (error) return false;
    return std::mismatch(real_folder.begin(), real_folder.end(), real_path.begin(), real_path.end()).first ==
           real_folder.end();
}

}  // namespace

std::string path_beside(const TomlTable& table, const std::string& key, const std::string& otherwise) {
    const std::filesystem::path named = table.text(key);
    if (named.empty()) table.refuse(key, "is empty; name a file, or leave the key out");
    if (!stays_inside(named))
        table.refuse(key,
                     "must lie beside the file that names it or in a folder below; neither an absolute path nor '..' "
                     "is accepted, since the file may come from a stranger" +
                         otherwise);
    const std::filesystem::path folder = std::filesystem::path(table.place(key).file).parent_path();
    const std::filesystem::path path = folder / named;
    std::error_code error;
    if (!std::filesystem::is_regular_file(path, error))
        table.refuse(key, "is '" + path.string() + "', which is no file that can be read");
    if (!leads_inside(folder, path))
        table.refuse(key, "is '" + path.string() + "', a link that leads out of the folder" + otherwise);
    return path.string();
}

}  // namespace tymbal
