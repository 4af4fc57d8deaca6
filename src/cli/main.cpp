// The program: options to a task to output, exit status 0 done, 1 no answer, 2 bad input.
#include "commands.h"
#include "help.h"
#include "output.h"

#include "tymbal/base/error.h"
#include "tymbal/base/nearest.h"
#include "tymbal/text/version.h"

#include <CLI/CLI.hpp>

#include <algorithm>
#include <exception>
#include <iostream>
#include <memory>
#include <string>
#include <vector>

namespace {

constexpr int no_answer = 1;
constexpr int bad_input = 2;

void add_commands(CLI::App& app) {
    tymbal::add_new(app);
    tymbal::add_predict(app);
    tymbal::add_size(app);
    tymbal::add_sweep(app);
    tymbal::add_choose(app);
    tymbal::add_release(app);
    tymbal::add_draw(app);
    tymbal::add_pattern(app);
    tymbal::add_film(app);
    tymbal::add_plan(app);
    tymbal::add_light(app);
    tymbal::add_cavity(app);
    tymbal::add_compare(app);
    tymbal::add_record(app);
    tymbal::add_report(app);
    tymbal::add_materials(app);
    tymbal::add_guide(app);
    tymbal::add_help(app);
    tymbal::add_describe(app);
    for (CLI::App* command : app.get_subcommands([](const CLI::App* c) { return !c->get_group().empty(); }))
        command->group("Commands");
}

/// `tymbal predcit` before the parser takes the word for an argument too many.
void require_command(const CLI::App& app, const std::string& word) {
    const std::vector<std::string> names = tymbal::command_names(app);
    if (word.empty() || word.front() == '-' || word == "describe") return;
    if (std::find(names.begin(), names.end(), word) != names.end()) return;
    throw tymbal::InputError(
        {}, "",
        "tymbal: '" + word + "' is not a command" + tymbal::suggestion(word, names) + "; `tymbal help` lists them");
}

/// "; did you mean '--modes'?" for an option that the chosen command does not have.
std::string nearest_option(const CLI::App& app, const std::vector<std::string>& words) {
    if (app.get_subcommands().empty()) return "";
    std::vector<std::string> names;
    for (const CLI::Option* option : app.get_subcommands().front()->get_options())
        if (option->nonpositional()) names.push_back(option->get_name());
    for (const std::string& word : words)
        if (word.rfind("--", 0) == 0 && std::find(names.begin(), names.end(), word) == names.end())
            return tymbal::suggestion(word, names);
    return "";
}

std::string as_code(std::string option) {
    std::replace(option.begin(), option.end(), '-', '_');
    return option;
}

/// Options of the chosen command, without their dashes.
std::vector<std::string> chosen_options(const CLI::App& app) {
    std::vector<std::string> names;
    for (const CLI::App* command : app.get_subcommands())
        for (const CLI::Option* option : command->get_options())
            names.insert(names.end(), option->get_lnames().begin(), option->get_lnames().end());
    return names;
}

/// The library names options as code does, "(most_holes)"; who sits at a terminal writes "(--most-holes)".
std::string with_options(const CLI::App& app, std::string text) {
    for (const std::string& name : chosen_options(app)) {
        const std::string code = "(" + as_code(name) + ")";
        const std::size_t at = text.find(code);
        if (at != std::string::npos) text.replace(at, code.size(), "(--" + name + ")");
    }
    return text;
}

/// Likewise where the option itself is wrong.
tymbal::InputError with_options(const CLI::App& app, const tymbal::InputError& error) {
    std::string key = error.key();
    if (error.place().file.empty())
        for (const std::string& name : chosen_options(app))
            if (key == as_code(name)) key = "--" + name;
    return {error.place(), key, with_options(app, error.message())};
}

int run(const std::vector<std::string>& words) {
    CLI::App app{
        "Design calculator for released silicon-nitride membranes: from film, outline and holes to mode "
        "frequencies with errors, loss budget and readout figures."};
    app.name("tymbal");
    app.formatter(std::make_shared<tymbal::Help>());  // before the commands, which take it over
    app.set_version_flag("--version", std::string("tymbal ") + tymbal::version);
    app.require_subcommand(1);
    app.footer(
        "Exit status: 0 done, 1 the design is sound but has no answer, 2 bad input.\n"
        "`tymbal help COMMAND` describes a command, `tymbal predict --keys` the design,\n"
        "`tymbal guide` the whole job, page by page.\n\n"
        "Example: tymbal predict examples/perforated-square.toml");
    add_commands(app);
    // Before parsing: a program that has chosen a command gives that command's help for its own.
    if (words.empty() || words == std::vector<std::string>{"help"}) {
        std::cout << app.help();
        return 0;
    }
    require_command(app, words.front());
    try {
        app.parse(std::vector<std::string>(words.rbegin(), words.rend()));  // the parser takes them from the end
    } catch (const tymbal::InputError& e) {
        throw with_options(app, e);
    } catch (const tymbal::NoAnswer& e) {
        throw tymbal::NoAnswer(with_options(app, e.what()));
    } catch (const CLI::Success& e) {
        return app.exit(e);
    } catch (const CLI::ParseError& e) {
        std::cerr << "tymbal: " << e.what() << nearest_option(app, words)
                  << "; `tymbal help` and `tymbal help COMMAND` show what is accepted\n";
        return bad_input;
    }
    tymbal::finish_output();
    return 0;
}

}  // namespace

int main(int argc, char** argv) {
    try {
        return run({argv + 1, argv + argc});
    } catch (const tymbal::InputError& e) {
        std::cerr << e.what() << '\n';
        return bad_input;
    } catch (const tymbal::NoAnswer& e) {
        std::cerr << "tymbal: no answer: " << e.what() << '\n';
        return no_answer;
    } catch (const std::bad_alloc&) {
        std::cerr << "tymbal: no answer: out of memory; ask for fewer modes or a coarser accuracy\n";
        return no_answer;
    } catch (const std::exception& e) {
        std::cerr << "tymbal: a fault of the program, please report it: " << e.what() << '\n';
        return no_answer;
    }
}
