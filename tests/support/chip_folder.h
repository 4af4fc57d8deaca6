// A folder of its own with a chip file and its designs, gone when the object goes.
#pragma once

#include "support/designs.h"

#include "tymbal/base/error.h"
#include "tymbal/read/read_chip.h"

#include <unistd.h>
#include <filesystem>
#include <fstream>
#include <string>

namespace sample_chip {

class Folder {
public:
    Folder() : path_(std::filesystem::temp_directory_path() / ("tymbal-chip-" + std::to_string(::getpid()))) {
        std::filesystem::create_directories(path_ / "below");
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    ~Folder() { std::filesystem::remove_all(path_); }

    void put(const std::string& name, const std::string& text) const { std::ofstream(path_ / name) << text; }
    [[nodiscard]] std::string operator/(const std::string& name) const { return (path_ / name).string(); }
    [[nodiscard]] tymbal::ChipDesign read(const std::string& chip, const std::string& drum) const {
        put("drum.toml", drum);
        put("chip.toml", chip);
        return tymbal::read_chip(*this / "chip.toml", tymbal::sample::table());
    }
    /// What the reader says, without the folder's name.
    [[nodiscard]] std::string fault(const std::string& chip, const std::string& drum) const {
        try {
            (void)read(chip, drum);
        } catch (const tymbal::InputError& e) {
            std::string text = e.what();
            for (std::size_t at = text.find(path_.string()); at != std::string::npos; at = text.find(path_.string()))
                text.erase(at, path_.string().size() + 1);
            return text;
        }
        return "no fault";
    }

private:
    std::filesystem::path path_;
};

}  // namespace sample_chip
