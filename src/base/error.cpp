#include "tymbal/base/error.h"

namespace tymbal {

namespace {

std::string locate(const Place& at, const std::string& key, const std::string& message) {
    std::string text = at.file;
    if (!text.empty() && at.line > 0) text.append(":").append(std::to_string(at.line));
    if (!text.empty()) text.append(": ");
    if (!key.empty()) text.append(key).append(": ");
    return text.append(message);
}

}  // namespace

InputError::InputError(const Place& at, const std::string& key, const std::string& message)
    : std::runtime_error(locate(at, key, message)) {}

}  // namespace tymbal
