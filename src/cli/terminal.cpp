#include "terminal.h"

#include "tymbal/text/page_width.h"

#include <algorithm>
#include <cctype>
#include <cstdlib>
#include <iostream>
#include <sstream>

#include <sys/ioctl.h>
#include <unistd.h>

namespace tymbal {

namespace {

constexpr std::size_t widest = 160;

bool said(const char* variable) {
    const char* value = std::getenv(variable);
    return value != nullptr && *value != '\0';
}

bool colour_is_welcome() {
    const char* terminal = std::getenv("TERM");
    return ::isatty(STDOUT_FILENO) == 1 && !said("NO_COLOR") && terminal != nullptr && std::string(terminal) != "dumb";
}

bool is_heading(const std::string& line) {
    const std::size_t word = std::min(line.find(' '), line.size());
    return word >= 3 && std::all_of(line.begin(), line.begin() + static_cast<std::ptrdiff_t>(word),
                                    [](unsigned char c) { return std::isupper(c) != 0; });
}

void paint(std::string& line, const std::string& word, const char* colour) {
    const std::size_t at = line.find(word);
    if (at != std::string::npos) line.replace(at, word.size(), std::string(colour).append(word).append("\033[0m"));
}

}  // namespace

std::size_t columns() {
    winsize size{};
    if (::isatty(STDOUT_FILENO) != 1 || ::ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0) return page;
    return std::clamp<std::size_t>(size.ws_col, page, widest);
}

std::string coloured(const std::string& text) {
    std::istringstream in(text);
    std::string out;
    for (std::string line; std::getline(in, line);) {
        if (is_heading(line)) line.insert(0, "\033[1m").append("\033[0m");
        paint(line, "BROKEN", "\033[1;31m");
        if (line.rfind("  ! ", 0) == 0) paint(line, "!", "\033[1;33m");
        out.append(line).append("\n");
    }
    return out;
}

void show(const std::function<void(std::ostream&)>& write) {
    std::ostringstream text;
    set_page_width(text, columns());
    write(text);
    std::cout << (colour_is_welcome() ? coloured(text.str()) : text.str());
}

}  // namespace tymbal
