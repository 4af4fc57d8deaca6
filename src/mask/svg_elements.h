// The elements of a small XML file with their attributes: no entities but the five, no document types.
#pragma once

#include "tymbal/base/error.h"

#include <map>
#include <string>
#include <vector>

namespace tymbal {

struct SvgElement {
    std::string name;
    std::map<std::string, std::string> attributes;
    std::vector<std::string> inside;  ///< names of the elements round it, the outermost first
    Place at;
};

/// Start tags in the order of the file. @throws InputError with the line of what is no such file
[[nodiscard]] std::vector<SvgElement> svg_elements(const std::string& text, const std::string& path);

}  // namespace tymbal
