// Report, fields and quick look as a user gets them.
#include "support/places.h"
#include "support/program.h"

#include <doctest/doctest.h>

#include <set>
#include <vector>

using namespace program_run;

namespace {

std::string out_file(const char* name) {
    return (scratch() / name).string();
}

std::size_t count(const std::string& text, const std::string& what) {
    std::size_t n = 0;
    for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) ++n;
    return n;
}

/// Values of all id attributes, in order.
std::vector<std::string> ids(const std::string& page) {
    std::vector<std::string> all;
    for (std::size_t at = page.find(" id=\""); at != std::string::npos; at = page.find(" id=\"", at + 1))
        all.push_back(page.substr(at + 5, page.find('"', at + 5) - at - 5));
    return all;
}

const std::string few = " --modes 3 --accuracy 1e-2";

}  // namespace

TEST_SUITE("cli") {
    TEST_CASE("a report is one page with every section and asks nothing of anyone") {
        const std::string page_file = out_file("report.html");
        const std::string command = "report " + example("perforated-square") + few + " --out " + page_file;
        const Run run = tymbal(command);
        REQUIRE(run.status == 0);
        const std::string page = slurp(page_file);
        for (const char* id : {"design", "film", "modes", "shapes", "stress", "losses", "tolerance", "limits",
                               "release", "warnings", "inputs"})
            CHECK_MESSAGE(page.find(std::string("<section id=\"") + id + "\">") != std::string::npos, id);
        CHECK(count(page, "class=\"card\"") == 3);
        CHECK(count(page, "class=\"nodal\"") == 2);  // (1,1) has none
        CHECK(page.find("from memory") != std::string::npos);
        CHECK(page.find("calcium gluconate") != std::string::npos);
        const std::vector<std::string> names = ids(page);
        CHECK(std::set<std::string>(names.begin(), names.end()).size() == names.size());
        for (const char* request : {"src=", "href=\"http", "url(http", "@import", "fetch(", "<link rel=\"style"})
            CHECK_MESSAGE(page.find(request) == std::string::npos, request);
    }

    TEST_CASE("a report shows a measurement and a sweep when it is given them") {
        const std::string design = example("plain-square"), sweep = out_file("sweep.csv"),
                          page_file = out_file("m.html");
        REQUIRE(tymbal("sweep " + design + " --vary outline.scale=0.9,1.1 --modes 1 --accuracy 1e-2 --quiet --csv - >" +
                       sweep)
                    .status == 0);
        const Run run = tymbal("report " + design + few + " --measured " + places::source_dir() +
                               "/examples/measured-peaks.csv --sweep " + sweep + " --out " + page_file);
        REQUIRE(run.status == 0);
        const std::string page = slurp(page_file);
        CHECK(page.find("<section id=\"measured\">") != std::string::npos);
        CHECK(page.find("<section id=\"sweep\">") != std::string::npos);
        CHECK(page.find("made from another design") == std::string::npos);
        const Run no_mode = tymbal("report " + design + few + " --sweep " + sweep + " --sweep-mode 7 --out -");
        CHECK(no_mode.status == 2);
        CHECK(no_mode.err.find(sweep + ": --sweep-mode: is 7, and the sweep has no mode of that place") == 0);
        CHECK(tymbal("report " + example("disc") + few + " --sweep " + sweep + " --out -")
                  .out.find("made from another design") != std::string::npos);
    }

    TEST_CASE("a report shows the film in its cavity with a picture, figures and a caution, or says why not") {
        const std::string page_file = out_file("cavity.html"), design = out_file("beside.toml");
        REQUIRE(tymbal("report " + example("cavity") + few + " --out " + page_file).status == 0);
        const std::string page = slurp(page_file);
        const std::size_t from = page.find("<section id=\"cavity\">");
        REQUIRE(from != std::string::npos);
        const std::string section = page.substr(from, page.find("</section>", from) - from);
        for (const char* words : {"aria-label=\"Shift of the resonance, coupling", "15.8 Hz", "power for C_q = 1",
                                  "half widths of the cavity", "has two states above",
                                  "the power inside a cavity is far above the laser's"})
            CHECK_MESSAGE(section.find(words) != std::string::npos, words);
        CHECK(page.find("<a href=\"#cavity\">") != std::string::npos);
        std::string text = slurp(example("cavity"));
        text.replace(text.find("[\"40 um\", \"30 um\"]"), 18, "[\"40 mm\", \"30 um\"]");
        std::ofstream(design) << text;
        REQUIRE(tymbal("report " + design + few + " --out " + page_file).status == 0);
        CHECK(slurp(page_file).find("<section id=\"cavity\">") == std::string::npos);
        CHECK(slurp(page_file).find("the cavity is left out: readout.position lies beside") != std::string::npos);
    }

    TEST_CASE("the same design gives the same bytes, and --quiet is silent" * doctest::test_suite("slow")) {
        const std::string command = "report " + example("disc") + few, page = out_file("same.html");
        CHECK(tymbal(command + " --quiet --out " + page).out.empty());
        CHECK(tymbal(command + " --out -").out == slurp(page));
    }

    TEST_CASE("bad reports leave no file") {
        const std::string page = out_file("none.html"), design = example("disc");
        CHECK(tymbal("report " + design).status == 2);
        CHECK(tymbal("report " + design + " --out " + design).status == 2);
        CHECK(tymbal("report " + design + " --measured /no/such.csv --out " + page).status == 2);
        CHECK(tymbal("report " + design + " --sweep " + design + " --out " + page).status == 2);
        CHECK(tymbal("report " + example("few-holes") + " --model averaged --out " + page).status == 1);
        const Run few_allowed = tymbal("report " + example("hole-field") + few + " --most-holes 10 --out " + page);
        CHECK(few_allowed.status == 2);
        CHECK(few_allowed.err.find("--most-holes") != std::string::npos);
        CHECK_FALSE(fs::exists(page));
    }

    TEST_CASE("predict writes fields into a folder and a quick look") {
        const std::string folder = out_file("fields"), plot = out_file("look.svg");
        const std::string command = "predict " + example("disc") + few + " --quiet";
        REQUIRE(tymbal(command + " --fields " + folder + " --fields-csv --plot " + plot).status == 0);
        CHECK(slurp(folder + "/modes.vti").find("Name=\"mode_3\"") != std::string::npos);
        CHECK(slurp(folder + "/stress.vti").find("stress_largest_pa") != std::string::npos);
        CHECK(slurp(folder + "/modes.csv").rfind("x_m,y_m,mode_1,mode_2,mode_3\n", 0) == 0);
        CHECK(slurp(folder + "/stress.csv").rfind("x_m,y_m,stress_xx_pa", 0) == 0);
        CHECK(count(slurp(plot), "class=\"rim\"") == 3);
        CHECK(tymbal(command + " --fields-csv").status == 2);
        CHECK(tymbal(command + " --fields " + plot).status == 2);  // a file is no folder
        CHECK(tymbal(command + " --plot " + example("disc")).status == 2);
    }
}
