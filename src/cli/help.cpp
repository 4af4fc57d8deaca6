#include "help.h"

#include "terminal.h"

#include <sstream>
#include <string>

namespace tymbal {

namespace {

/// Lines of at most `width` characters; those that the text has stay.
std::string broken(const std::string& text, std::size_t width) {
    std::istringstream lines(text);
    std::string out;
    for (std::string line; std::getline(lines, line);) {
        std::istringstream words(line);
        std::size_t used = 0;
        if (!out.empty()) out += '\n';
        for (std::string word; words >> word; used += word.size()) {
            if (used > 0 && used + 1 + word.size() > width) {
                out += '\n';
                used = 0;
            } else if (used > 0) {
                out += ' ';
                ++used;
            }
            out += word;
        }
    }
    return out;
}

}  // namespace

std::string Help::make_option_desc(const CLI::Option* option) const {
    return broken(CLI::Formatter::make_option_desc(option), columns() - get_column_width());
}

std::string Help::make_subcommand(const CLI::App* command) const {
    std::ostringstream out;
    const std::string about = broken(command->get_description(), columns() - get_column_width());
    CLI::detail::format_help(out, command->get_name(), about, get_column_width());
    return out.str();
}

std::string Help::make_description(const CLI::App* app) const {
    return broken(CLI::Formatter::make_description(app), columns()) + "\n";
}

}  // namespace tymbal
