// `tymbal guide [PAGE]`: the pages of examples/guide at the terminal.
#include "commands.h"
#include "guide_pages.h"
#include "solve_options.h"
#include "terminal.h"

#include "tymbal/base/error.h"
#include "tymbal/base/nearest.h"
#include "tymbal/text/page_width.h"

#include <algorithm>
#include <memory>
#include <string>
#include <vector>

namespace tymbal {

namespace {

std::vector<std::string> page_names() {
    std::vector<std::string> names;
    for (const GuidePage& page : guide_pages())
        if (page.name != "index") names.emplace_back(page.name);
    return names;
}

/// The line behind the mark of a Markdown heading: "# Predict" is "Predict".
std::string title_of(const GuidePage& page) {
    const std::size_t from = page.text.find("# ") + 2;
    return std::string(page.text.substr(from, page.text.find('\n', from) - from));
}

void list_pages(std::ostream& out) {
    out << "PAGES  (tymbal guide PAGE)\n";
    for (const GuidePage& page : guide_pages()) {
        if (page.name == "index") continue;
        std::string line = "  ";
        line.append(page.name).append(std::max<std::size_t>(20 - page.name.size(), 1), ' ').append(title_of(page));
        out << line << '\n';
    }
}

bool is_picture(std::string_view line) {
    return line.rfind("![", 0) == 0;
}

/// Lines that only a browser shows, or nobody: pictures, and marks of what a test refreshes.
bool is_hidden(std::string_view line) {
    return is_picture(line) || line.rfind("<!--", 0) == 0;
}

/// " (page design-file)" behind a link whose text does not say where it leads.
std::string page_behind(std::string_view text, std::string_view target) {
    const std::size_t end = target.find(".md");
    if (end == std::string_view::npos || target.substr(0, end) == text) return "";
    return std::string(" (page ").append(target.substr(0, end)).append(")");
}

/// "[predict](predict.md)" is read as "predict"; brackets without a target stay.
std::string without_links(std::string_view line) {
    std::string out;
    for (std::size_t at = 0; at < line.size();) {
        const std::size_t close = line[at] == '[' ? line.find_first_of("[]", at + 1) : std::string_view::npos;
        const bool link = close != std::string_view::npos && line.substr(close, 2) == "](";
        const std::size_t end = link ? line.find(')', close) : std::string_view::npos;
        if (end == std::string_view::npos) {
            out += line[at++];
            continue;
        }
        const std::string_view text = line.substr(at + 1, close - at - 1);
        out.append(text).append(page_behind(text, line.substr(close + 2, end - close - 2)));
        at = end + 1;
    }
    return out;
}

void print_page(std::ostream& out, const GuidePage& page) {
    bool code = false;
    for (std::size_t at = 0; at < page.text.size();) {
        const std::size_t end = std::min(page.text.find('\n', at), page.text.size());
        const std::string_view line = page.text.substr(at, end - at);
        at = end + 1;
        if (line.rfind("```", 0) == 0) {
            code = !code;
            if (line == "```text" || line.rfind("```text ", 0) == 0) out << '\n';  // an output, behind its command
            continue;
        }
        if (code)
            out << "  " << line << '\n';
        else if (!is_hidden(line))
            out << without_links(line) << '\n';
    }
}

void run_guide(const std::string& name) {
    if (name.empty()) return show(list_pages);
    for (const GuidePage& page : guide_pages())
        if (page.name == name) return show([&](std::ostream& out) { print_page(out, page); });
    throw InputError({}, "",
                     "tymbal: '" + name + "' is not a page of the guide" + suggestion(name, page_names()) +
                         "; `tymbal guide` lists them");
}

}  // namespace

void add_guide(CLI::App& app) {
    const auto name = std::make_shared<std::string>();
    CLI::App* command = app.add_subcommand("guide", "the guide, page by page: worked questions, physics, safety");
    command->add_option("PAGE", *name, "the page to print; without it the list of pages");
    command->footer("Example: tymbal guide first-ten-minutes");
    command->callback([name] { run_guide(*name); });
}

}  // namespace tymbal
