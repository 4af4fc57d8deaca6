// The program: options to a task to output, exit status 0 done, 1 no answer, 2 bad input.
#include "commands.h"
#include "help.h"
#include "output.h"

#include "tymbal/base/error.h"
#include "tymbal/files/version.h"

#include <CLI/CLI.hpp>

#include <exception>
#include <iostream>
#include <memory>

namespace {

constexpr int no_answer = 1;
constexpr int bad_input = 2;

int run(int argc, char** argv) {
    CLI::App app{
        "Design calculator for released silicon-nitride membranes: from film, outline and holes to mode "
        "frequencies with errors, loss budget and readout figures.\n\n"
        "Example: tymbal predict examples/perforated-square.toml"};
    app.name("tymbal");
    app.formatter(std::make_shared<tymbal::Help>());  // before the commands, which take it over
    app.set_version_flag("--version", std::string("tymbal ") + tymbal::version);
    app.require_subcommand(1);
    tymbal::add_new(app);
    tymbal::add_predict(app);
    tymbal::add_size(app);
    tymbal::add_sweep(app);
    tymbal::add_choose(app);
    tymbal::add_release(app);
    tymbal::add_pattern(app);
    tymbal::add_film(app);
    tymbal::add_plan(app);
    tymbal::add_compare(app);
    tymbal::add_report(app);
    tymbal::add_materials(app);
    tymbal::add_describe(app);
    try {
        app.parse(argc, argv);
    } catch (const CLI::Success& e) {
        return app.exit(e);
    } catch (const CLI::ParseError& e) {
        std::cerr << "tymbal: " << e.what() << "; `tymbal --help` and `tymbal COMMAND --help` show what is accepted\n";
        return bad_input;
    }
    tymbal::finish_output();
    return 0;
}

}  // namespace

int main(int argc, char** argv) {
    try {
        return run(argc, argv);
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
