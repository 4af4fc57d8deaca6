#include "help.h"

#include "solve_options.h"
#include "terminal.h"

#include <algorithm>
#include <sstream>

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

/// The parser's "INT:1 to 200" in two: what the value is and what is asked of it.
std::string type_of(const CLI::Option& option) {
    const std::string name = option.get_type_name();
    return name.substr(0, name.find(':'));
}
std::string range_of(const CLI::Option& option) {
    const std::string name = option.get_type_name();
    const std::size_t colon = name.find(':');
    const std::string range = colon == std::string::npos ? "" : name.substr(colon + 1);
    return range.empty() || range.front() == '{' ? "" : range;
}

bool takes_value(const CLI::Option& option) {
    return option.get_items_expected_max() > 0;
}

/// "--json FILE, --quiet"
std::string in_one_line(const std::vector<const CLI::Option*>& options) {
    std::string text;
    for (const CLI::Option* option : options) {
        text.append(text.empty() ? "" : ", ").append(option->get_name());
        if (takes_value(*option)) text.append(" ").append(value_name(*option));
    }
    return text;
}

/// What the text of these options is; others name theirs where they are added.
std::string text_name(const std::string& option) {
    for (const char* file :
         {"--csv", "--plot", "--write-design", "--out", "--run-sheet", "--measured", "--sweep", "--design"})
        if (option == file) return "FILE";
    return option == "--fields" ? "FOLDER" : "TEXT";
}

}  // namespace

std::string value_name(const CLI::Option& option) {
    const std::string all = option.get_type_name();
    if (const std::size_t from = all.find('{'), to = all.find('}'); from != std::string::npos && to > from) {
        std::string choices = all.substr(from + 1, to - from - 1);
        std::replace(choices.begin(), choices.end(), ',', '|');
        return choices;
    }
    const std::string type = type_of(option);
    if (type == "INT" || type == "UINT") return "N";
    if (type == "FLOAT") return "X";
    return type.rfind("TEXT", 0) == 0 || type.front() == '[' ? text_name(option.get_name()) : type;
}

std::vector<const CLI::Option*> common_options(const CLI::App& app) {
    std::vector<const CLI::Option*> all;
    for (const CLI::App* command : app.get_subcommands([](const CLI::App*) { return true; }))
        for (const CLI::Option* option : command->get_options())
            if (option->get_group() == common_group && std::none_of(all.begin(), all.end(), [&](const CLI::Option* o) {
                    return o->get_name() == option->get_name();
                }))
                all.push_back(option);
    return all;
}

Help::Help() {
    label("Positionals", "Arguments");
    label("SUBCOMMAND", "COMMAND");
}

std::string Help::make_option_opts(const CLI::Option* option) const {
    if (option->get_positional() || !takes_value(*option)) return "";
    std::string text = std::string(1, ' ').append(value_name(*option));
    return option->get_items_expected_max() > 1 ? text.append(" ...") : text;
}

std::string Help::make_option_desc(const CLI::Option* option) const {
    std::string text = option->get_description();
    if (const std::string range = range_of(*option); !range.empty()) text.append(" (").append(range).append(")");
    for (const CLI::Option* other : option->get_excludes()) text.append("; not with ").append(other->get_name());
    if (option->get_required() && option->nonpositional()) text.append("; required");
    return broken(text, columns() - get_column_width());
}

std::string Help::make_group(std::string group, bool positional, std::vector<const CLI::Option*> options) const {
    if (group != common_group || positional) return CLI::Formatter::make_group(group, positional, options);
    return std::string(broken(group.append(", see `tymbal help`: ").append(in_one_line(options)), columns()))
        .append("\n");
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

std::string Help::make_footer(const CLI::App* app) const {
    std::string text;
    if (app->get_parent() == nullptr)
        text =
            CLI::Formatter::make_group("Options common to the commands that take them", false, common_options(*app)) +
            "\n";
    return text.append(CLI::Formatter::make_footer(app));
}

}  // namespace tymbal
