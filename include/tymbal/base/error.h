// The two ways to fail: the input is wrong, or the input is sound and the task has no answer.
#pragma once

#include <stdexcept>
#include <string>
#include <utility>

namespace tymbal {

/// Where in a file something was found. Line 0 means the file as a whole.
struct Place {
    std::string file;
    int line = 0;
};

/// Bad input (exit status 2). The text reads `FILE:LINE: key: what is wrong; what is accepted`.
class InputError : public std::runtime_error {
public:
    InputError(const Place& at, const std::string& key, const std::string& message);

    [[nodiscard]] const Place& place() const { return place_; }            ///< file empty: made in code
    [[nodiscard]] const std::string& key() const { return key_; }          ///< "holes.pitch"; may be empty
    [[nodiscard]] const std::string& message() const { return message_; }  ///< without place and key

private:
    Place place_;
    std::string key_, message_;
};

/// Sound input, but the task has no answer (exit status 1). The text says why and what would help.
class NoAnswer : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

/// No answer because the flat film is not stable: what is compressed in it buckles.
class UnstableFilm : public NoAnswer {
public:
    using NoAnswer::NoAnswer;
};

}  // namespace tymbal
