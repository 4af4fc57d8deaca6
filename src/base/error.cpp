#include "tymbal/base/error.h"

namespace tymbal {

namespace {

std::string locate(const Place& at, const std::string& key, const std::string& message) {
    std::string text = at.file;
    if (!text.empty() && at.line > 0) text += ":" + std::to_string(at.line);
    if (!text.empty()) text += ": ";
    if (!key.empty()) text += key + ": ";
    return text + message;
}

}  // namespace

InputError::InputError(const Place& at, const std::string& key, const std::string& message)
    : std::runtime_error(locate(at, key, message)) {}

}  // namespace tymbal
