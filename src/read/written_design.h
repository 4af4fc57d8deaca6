// What a Design holds: the parsed file, which file it was, and its fingerprint.
#pragma once

#include <toml.hpp>

#include <string>

namespace tymbal {

struct WrittenDesign {
    toml::value root;
    std::string path, sha256;
};

}  // namespace tymbal
