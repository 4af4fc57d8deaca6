// First steps, help, terminals, shells and manual.
#include "support/places.h"
#include "support/program.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

using namespace program_run;

namespace {

const std::vector<std::string> commands{"new",     "predict", "size",      "sweep", "choose", "release",
                                        "pattern", "film",    "plan",      "light", "cavity", "compare",
                                        "record",  "report",  "materials", "guide"};

Run shell(const std::string& command) {
    const fs::path file = write("shell.sh", command);
    const fs::path out = scratch() / "shell.out";
    Run run;
    run.status = std::system(("/bin/bash '" + file.string() + "' >'" + out.string() + "' 2>&1").c_str());
    run.out = slurp(out);
    return run;
}

/// What stays on the screen: of each line what follows its last carriage return. Before it stands the word that a slow
/// run sends meanwhile.
std::string shown(const std::string& text) {
    std::string out;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);) {
        while (!line.empty() && line.back() == '\r') line.pop_back();
        out.append(line, line.rfind('\r') + 1).append("\n");
    }
    return out;
}

/// The program on a terminal of its own (util-linux `script` makes one).
Run on_terminal(int columns, const std::string& arguments, const std::string& environment = "") {
    const std::string inner = "stty cols " + std::to_string(columns) + "; " + environment + " TERM=xterm " +
                              places::program() + " " + arguments;
    Run run = shell("env -u NO_COLOR script -qec '" + inner + "' /dev/null </dev/null");
    run.out = shown(run.out);
    return run;
}

const std::string few = " --modes 2 --accuracy 1e-2";

}  // namespace

TEST_SUITE("cli") {
    TEST_CASE("a starter design of each kind predicts, is commented, and is never written over another file" *
              doctest::test_suite("slow")) {
        for (const char* kind : {"lattice", "window", "undercut"}) {
            CAPTURE(kind);
            const std::string file = (scratch() / (std::string("new-") + kind + ".toml")).string();
            fs::remove(file);
            const Run run = tymbal("new " + file + " --kind " + kind);
            CHECK(run.status == 0);
            CHECK(run.out.find("tymbal predict") != std::string::npos);
            const std::string text = slurp(file);
            CHECK(text.front() == '#');
            CHECK(std::count(text.begin(), text.end(), '#') > 8);
            const Run answer = tymbal("predict " + file + few);
            CHECK(answer.status == 0);
            CHECK(answer.out.find("BROKEN") == std::string::npos);
            CHECK(tymbal("new " + file).status == 2);
            CHECK(slurp(file) == text);
        }
        CHECK(tymbal("new").status == 2);
        CHECK(tymbal("new - --kind drum").status == 2);
        CHECK(tymbal("new -").out.rfind("# ", 0) == 0);
    }

    TEST_CASE("every command's help has an example, and help lists every command") {
        const std::string help = tymbal("--help").out;
        for (const std::string& command : commands) {
            CHECK_MESSAGE(help.find("\n  " + command + " ") != std::string::npos, command);
            const Run run = tymbal(command + " --help");
            CHECK(run.status == 0);
            CHECK_MESSAGE(run.out.find("tymbal " + command + " ") != std::string::npos, command);
            CHECK_MESSAGE(run.out.find("Example") != std::string::npos, command);
        }
    }

    TEST_CASE("the program alone and with help gives an overview, a misspelt word the nearest command or option") {
        const Run overview = tymbal("help");
        CHECK(overview.status == 0);
        CHECK(overview.out.find("\nCommands:\n") != std::string::npos);
        CHECK(tymbal("").status == 0);
        CHECK(tymbal("").out == overview.out);
        CHECK(tymbal("--help").out == overview.out);
        CHECK(tymbal("help predict").out == tymbal("predict --help").out);
        for (const char* words : {"predcit", "predcit drum.toml", "help predcit"}) {
            const Run run = tymbal(words);
            CHECK(run.status == 2);
            CHECK_MESSAGE(run.err.find("'predcit' is not a command (did you mean 'predict'?)") != std::string::npos,
                          words);
        }
        const Run option = tymbal("predict drum.toml --moeds 3");
        CHECK(option.status == 2);
        CHECK(option.err.find("did you mean '--modes'?") != std::string::npos);
    }

    TEST_CASE("the guide lists its pages, prints each one without marks for browsers, and names the nearest page") {
        const Run list = tymbal("guide");
        CHECK(list.status == 0);
        CHECK(widest_line(list.out) <= 80);
        int pages = 0;
        for (const auto& file : fs::directory_iterator(places::source_dir() + "/examples/guide")) {
            if (file.path().extension() != ".md") continue;
            const std::string page = file.path().stem().string();
            CAPTURE(page);
            ++pages;
            CHECK((list.out.find("\n  " + page + " ") != std::string::npos) == (page != "index"));
            const Run run = tymbal("guide " + page);
            CHECK(run.status == 0);
            const std::string text = slurp(file.path());
            CHECK(run.out.substr(0, run.out.find('\n')) == text.substr(0, text.find('\n')));
            for (const char* mark : {"```", "<!--", "![", ".md)"})
                CHECK_MESSAGE(run.out.find(mark) == std::string::npos, mark);
        }
        CHECK(pages > 20);
        CHECK(tymbal("guide first-ten-minutes").out.find("\nThe design file (page design-file) lists") !=
              std::string::npos);
        const Run misspelt = tymbal("guide comapre");
        CHECK(misspelt.status == 2);
        CHECK(misspelt.out.empty());
        CHECK(misspelt.err.find("'comapre' is not a page of the guide (did you mean 'compare'?)") != std::string::npos);
    }

    TEST_CASE("help has no types of the parser, and describes options common to the commands once") {
        std::vector<std::string> all = commands;
        all.emplace_back("");
        for (const std::string& command : all) {
            const std::string help = tymbal(command + " --help").out;
            for (const char* noise : {"UINT", "INT:", "FLOAT", "TEXT:", " in [", "REQUIRED", "Excludes"})
                CHECK_MESSAGE(help.find(noise) == std::string::npos, command, ": ", noise);
            const bool described = help.find("folder of the material table") != std::string::npos;
            CHECK_MESSAGE(described == command.empty(), command);
        }
        CHECK(tymbal("predict --help").out.find("--modes N") != std::string::npos);
        CHECK(tymbal("help").out.find("(1 to 200)") != std::string::npos);
    }

    TEST_CASE("predict explains the model that it used") {
        const std::string cell = "one periodic cell";
        const std::string resolved = tymbal("predict " + example("few-holes") + " --explain").out;
        CHECK(resolved.find(cell) == std::string::npos);
        CHECK(resolved.find("von Mises stress along free edges") != std::string::npos);
        const std::string averaged = tymbal("predict " + example("perforated-square") + " --explain").out;
        CHECK(averaged.find(cell) != std::string::npos);
        CHECK(averaged.find("tangential stress round a hole") != std::string::npos);
        CHECK(averaged.find("von Mises stress along free edges") == std::string::npos);
    }

    TEST_CASE("commands explain their figures with formula, reference and sourced inputs, in eighty columns" *
              doctest::test_suite("slow")) {
        const std::string plain = example("plain-square");
        const std::string peaks = places::source_dir() + "/examples/measured-peaks.csv";
        const std::vector<std::pair<std::string, std::string>> asked{
            {"size " + plain + " --target-frequency \"0.9 MHz\"" + few, "film.stress"},
            {"plan " + plain + few, "film.stress"},
            {"cavity " + example("cavity") + few, "film.stress"},
            {"release " + example("hole-field"), "film.stress"},
            {"compare " + plain + " " + peaks, "film.stress"},
            {"film " + example("wafer"), "wafer thickness"},
            {"pattern " + example("pattern") + " --out " + (scratch() / "explained.gds").string(), "holes.size"}};
        for (const auto& pair : asked) {  // no binding: CAPTURE makes a lambda of it
            const std::string &command = pair.first, &input = pair.second;
            CAPTURE(command);
            const Run run = tymbal(command + " --explain");
            REQUIRE(run.status == 0);
            const std::size_t figures = run.out.find("HOW EACH FIGURE IS OBTAINED"),
                              inputs = run.out.find("INPUTS AND THEIR SOURCES");
            REQUIRE(figures != std::string::npos);
            REQUIRE(inputs != std::string::npos);
            CHECK(figures < inputs);
            CHECK(run.out.find("\n  " + input + " ", inputs) != std::string::npos);
            CHECK(widest_line(run.out) <= 80);
            CHECK(tymbal(command).out == run.out.substr(0, figures - 1));  // nothing else changes
        }
    }

    TEST_CASE("help, the material table and sweeps of many keys break or leave out rather than pass the width") {
        for (const std::string& command : commands) {
            std::string help = tymbal(command + " --help").out;
            help.erase(help.rfind("\nExample"));  // one line to copy
            CHECK_MESSAGE(widest_line(help) <= 80, command);
        }
        CHECK(widest_line(tymbal("--help").out) <= 80);
        CHECK(widest_line(tymbal("materials").out) <= 80);
        CHECK(widest_line(tymbal("size " + example("plain-square") + " --target-frequency \"0.9 MHz\"" + few).out) <=
              80);
        const std::string sweep = "sweep " + example("plain-square") +
                                  " --vary film.stress=1GPa --vary film.thickness=50nm --vary outline.scale=1" + few;
        const Run narrow = tymbal(sweep), wide = on_terminal(120, sweep, "NO_COLOR=1");
        CHECK(widest_line(narrow.out) <= 80);
        CHECK(narrow.out.find("not shown for want of width: ") != std::string::npos);
        CHECK(wide.out.find("not shown") == std::string::npos);
        CHECK(widest_line(
                  tymbal("sweep " + example("perforated-square") + " --vary holes.fill_factor=0.2" + few).out) <= 80);
        CHECK(wide.out.find("Q f (Hz)") != std::string::npos);
    }

    TEST_CASE("tables keep to eighty columns unless a terminal has more, and then use it") {
        const std::string arguments = "predict " + example("plain-square") + few;
        CHECK(widest_line(tymbal(arguments).out) <= 80);
        const Run narrow = on_terminal(60, arguments, "NO_COLOR=1");
        CHECK(narrow.out.find("FILM") != std::string::npos);
        CHECK(widest_line(narrow.out) <= 80);
        const Run wide = on_terminal(120, arguments, "NO_COLOR=1");
        CHECK(widest_line(wide.out) > 90);
        CHECK(widest_line(wide.out) <= 120);
        CHECK(wide.out.find("Q f (Hz)") != std::string::npos);
    }

    TEST_CASE("colour is for terminals that welcome it") {
        const std::string arguments = "predict " + example("plain-square") + few;
        CHECK(on_terminal(80, arguments).out.find("\033[1mFILM\033[0m") != std::string::npos);
        CHECK(on_terminal(80, arguments, "NO_COLOR=1").out.find('\033') == std::string::npos);
        CHECK(on_terminal(80, "predict " + example("disc") + few + " --json -").out.find('\033') == std::string::npos);
        CHECK(tymbal(arguments).out.find('\033') == std::string::npos);
    }

    TEST_CASE("bash completes commands, options and values") {
        const fs::path file = scratch() / "tymbal.bash";
        REQUIRE(tymbal("describe bash --out " + file.string()).status == 0);
        const auto completed = [&](const std::string& words, int at) {
            return shell("source '" + file.string() + "'\nCOMP_WORDS=(" + words +
                         ")\nCOMP_CWORD=" + std::to_string(at) + "\n_tymbal\nprintf '%s\\n' \"${COMPREPLY[@]}\"\n")
                .out;
        };
        CHECK(completed("tymbal pre", 1) == "predict\n");
        CHECK(completed("tymbal predict --mode", 2) == "--model\n--modes\n");
        CHECK(completed("tymbal predict --model res", 3) == "resolved\n");
        CHECK(completed("tymbal new x --kind ''", 4) == "lattice\nwindow\nundercut\n");
    }

    TEST_CASE("zsh takes the completion and offers the same") {
        const fs::path file = scratch() / "_tymbal";
        REQUIRE(tymbal("describe zsh --out " + file.string()).status == 0);
        // The completion system's two entry points stand in: they print what they are given.
        const Run run = shell(
            "zsh -f -c '_arguments() { print -rl -- \"$@\" }; _describe() { print -rl -- "
            "\"${(@P)2}\" }; words=(tymbal predict --m); CURRENT=3; source " +
            file.string() + "; words=(tymbal p); CURRENT=2; _tymbal'");
        CHECK(run.status == 0);
        CHECK(
            run.out.find("--model[averaged, resolved or auto; overrides solve.model]:value:(averaged resolved auto)") !=
            std::string::npos);
        CHECK(run.out.find("compare:measured lines against a design\\: modes named") != std::string::npos);
    }

    TEST_CASE("the man page is sound roff and holds every command with its options") {
        const fs::path page = scratch() / "tymbal.1";
        REQUIRE(tymbal("describe man --out " + page.string()).status == 0);
        const Run faults = shell("groff -man -Tutf8 -ww -z '" + page.string() + "'");
        CHECK(faults.status == 0);
        CHECK(faults.out == "");
        const std::string text = shell("groff -man -Tascii -P-cbou '" + page.string() + "'").out;
        for (const std::string& command : commands)
            CHECK_MESSAGE(text.find("tymbal " + command) != std::string::npos, command);
        CHECK(text.find("--target-frequency") != std::string::npos);
        CHECK(text.find("NO_COLOR") != std::string::npos);
    }
}
