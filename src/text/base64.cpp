#include "base64.h"

namespace tymbal {

std::string base64(const std::vector<std::uint8_t>& bytes) {
    constexpr const char* letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    std::string text;
    text.reserve((bytes.size() + 2) / 3 * 4);
    for (std::size_t k = 0; k < bytes.size(); k += 3) {
        std::uint32_t group = 0;
        for (std::size_t b = 0; b < 3; ++b) group = group << 8U | (k + b < bytes.size() ? bytes[k + b] : 0U);
        const std::size_t letters_used = k + 2 < bytes.size() ? 4 : bytes.size() - k + 1;
        for (std::size_t l = 0; l < 4; ++l)
            text.push_back(l < letters_used ? letters[group >> (18U - 6U * l) & 63U] : '=');
    }
    return text;
}

}  // namespace tymbal
