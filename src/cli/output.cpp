#include "output.h"

#include "tymbal/base/error.h"
#include "tymbal/read/read_materials.h"
#include "tymbal/text/whole_file.h"

#include <filesystem>
#include <iostream>

namespace tymbal {

namespace {

/// The same file by two names, or the same name of a file that is not there yet.
bool same_target(const std::string& a, const std::string& b) {
    std::error_code ignored;
    return !a.empty() && (a == b || std::filesystem::equivalent(a, b, ignored));
}

/// Path of the running program; empty when the system does not tell.
std::string own_path() {
    std::error_code error;
    const auto path = std::filesystem::read_symlink("/proc/self/exe", error);
    return error ? "" : path.string();
}

}  // namespace

void write_to(const std::string& target, const std::function<void(std::ostream&)>& write) {
    if (target.empty()) return;
    if (target == "-")
        write(std::cout);
    else
        write_whole(target, write);
}

void require_apart(const std::string& design, const std::string& json, const std::string& csv) {
    if (same_target(json, csv)) throw InputError({}, "--json", "has the same target as another output; name another");
    require_kept({{design, "design"}}, {json, csv});
}

void require_kept(const std::map<std::string, std::string>& read, const std::vector<std::string>& targets) {
    for (const std::string& target : targets) require_inputs_kept(read, target);
}

Materials material_table(const std::string& wanted, const std::vector<std::string>& targets) {
    const std::string folder = find_materials(wanted, own_path());
    for (const std::string& target : targets) require_table_kept(folder, target);
    return read_materials(folder);
}

void finish_output() {
    std::cout.flush();
    if (!std::cout) throw InputError({}, "standard output", "could not be written in full; is the disk full?");
}

}  // namespace tymbal
