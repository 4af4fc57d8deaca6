#include "plain_name.h"

#include "toml_guard.h"

namespace tymbal {

std::string name_fault(const std::string& name) {
    if (name.empty() || name.size() > 200) return "must have 1 to 200 characters";
    if (printable(name) != name) return "must be one line of UTF-8 without control characters";
    return name.find_first_not_of(' ') == std::string::npos ? "must be more than blanks" : "";
}

std::string printable(const std::string& text) {
    std::string out;
    for (std::size_t k = 0; k < text.size();) {
        const std::size_t length = character_length(text, k);
        const auto lead = static_cast<unsigned char>(text[k]);
        const bool c1 = length == 2 && lead == 0xC2 && static_cast<unsigned char>(text[k + 1]) < 0xA0;
        if (length == 0)
            out.append("?");
        else if (lead < 0x20 || lead == 0x7F || c1)
            out.append(" ");
        else
            out.append(text, k, length);
        k += length == 0 ? 1 : length;
    }
    return out;
}

}  // namespace tymbal
