// The program run as a user runs it, in a scratch folder of its own.
#pragma once

#include "support/places.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <system_error>

#include <unistd.h>

namespace program_run {

namespace fs = std::filesystem;

/// Relative to the value alone, as support/approx.h has it for the library.
inline doctest::Approx Approx(double value) {
    return doctest::Approx(value).scale(0.0);
}

struct Run {
    int status = -1;
    std::string out, err;
};

inline std::string slurp(const fs::path& path) {
    std::ifstream in(path);
    std::stringstream text;
    text << in.rdbuf();
    return text.str();
}

/// A folder of this process, gone when it ends.
class Scratch {
public:
    Scratch() : folder_(fs::temp_directory_path() / ("tymbal-cli-" + std::to_string(::getpid()))) {
        fs::create_directories(folder_);
    }
    Scratch(const Scratch&) = delete;
    Scratch& operator=(const Scratch&) = delete;
    ~Scratch() {
        std::error_code ignored;
        fs::remove_all(folder_, ignored);
    }
    [[nodiscard]] const fs::path& folder() const { return folder_; }

private:
    fs::path folder_;
};

inline const fs::path& scratch() {
    static const Scratch one;
    return one.folder();
}

inline Run tymbal(const std::string& arguments) {
    const fs::path err = scratch() / "stderr";
    const std::string command = places::program() + " " + arguments + " 2>" + err.string();
    Run run;
    FILE* pipe = ::popen(command.c_str(), "r");
    REQUIRE(pipe != nullptr);
    std::array<char, 4096> block{};
    while (const std::size_t n = std::fread(block.data(), 1, block.size(), pipe)) run.out.append(block.data(), n);
    const int raw = ::pclose(pipe);
    run.status = raw >= 256 ? raw / 256 : raw;
    run.err = slurp(err);
    return run;
}

inline std::string example(const std::string& name) {
    return places::source_dir() + "/examples/" + name + ".toml";
}

inline fs::path write(const std::string& name, const std::string& text) {
    const fs::path path = scratch() / name;
    std::ofstream(path) << text;
    return path;
}

/// In characters, not bytes.
inline std::size_t widest_line(const std::string& text) {
    std::size_t widest = 0;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);)
        widest = std::max(widest, static_cast<std::size_t>(std::count_if(line.begin(), line.end(), [](char c) {
                              return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
                          })));
    return widest;
}

}  // namespace program_run
