#include "tymbal/base/error.h"

#include <algorithm>

namespace tymbal {

namespace {

std::string locate(const Place& at, const std::string& key, const std::string& message) {
    std::string text = at.file;
    if (!text.empty() && at.line > 0) text.append(":").append(std::to_string(at.line));
    if (!text.empty()) text.append(": ");
    if (!key.empty()) text.append(key).append(": ");
    text.append(message);
    // File names and quoted input may hold anything; a message stays one line and drives no terminal.
    std::replace_if(
        text.begin(), text.end(), [](unsigned char c) { return c < 0x20 || c == 0x7F; }, '?');
    return text;
}

}  // namespace

InputError::InputError(const Place& at, const std::string& key, const std::string& message)
    : std::runtime_error(locate(at, key, message)), place_(at), key_(key), message_(message) {}

}  // namespace tymbal
