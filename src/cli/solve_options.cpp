#include "solve_options.h"

#include "tymbal/base/error.h"
#include "tymbal/base/parse_quantity.h"

#include <sstream>
#include <utility>

namespace tymbal {

CLI::Validator between(double low, double high) {
    std::ostringstream range;
    range.precision(9);
    range << low << " to " << high;
    std::string words = range.str();
    if (const std::size_t zero = words.find("e-0"); zero != std::string::npos) words.erase(zero + 2, 1);
    return CLI::Validator(
        [=](const std::string& text) {
            double value = 0.0;
            const bool good = CLI::detail::lexical_cast(text, value) && value >= low && value <= high;
            return good ? std::string()
                        : std::string("must be a number from ").append(words).append(", and is ").append(text);
        },
        words);
}

void add_json(CLI::App& command, std::string& target) {
    command.add_option("--json", target, "write the result as JSON to this file, - for standard output")
        ->type_name("FILE")
        ->group(common_group);
}

void add_materials(CLI::App& command, std::string& folder) {
    command.add_option("--materials", folder, "folder of the material table")->type_name("FOLDER")->group(common_group);
}

void add_quiet(CLI::App& command, bool& quiet) {
    command.add_flag("--quiet", quiet, "no table on standard output, no progress")->group(common_group);
}

void add_explain(CLI::App& command, bool& explain) {
    command.add_flag("--explain", explain, "formula, reference and inputs with sources of each figure")
        ->group(common_group);
}

void add_solve_options(CLI::App& command, SolveOptions& options) {
    command.add_option("--model", options.model, "averaged, resolved or auto; overrides solve.model")
        ->check(CLI::IsMember({"averaged", "resolved", "auto"}))
        ->group(common_group);
    command
        .add_option("--light", options.light,
                    "auto (the lattice's own reflection) or averaged (an index averaged over the holes, for "
                    "comparison); overrides solve.light")
        ->check(CLI::IsMember({"auto", "averaged"}))
        ->group(common_group);
    command.add_option("--modes", options.modes, "number of modes; overrides solve.modes")
        ->check(between(1, 200))
        ->group(common_group);
    command.add_option("--accuracy", options.accuracy, "relative, on frequencies; overrides solve.accuracy")
        ->check(between(1e-6, 0.1))
        ->group(common_group);
}

void add_read_options(CLI::App& command, ReadLimits& limits) {
    command
        .add_option("--most-holes", limits.most_holes, "most holes round which etch fronts are drawn; default 200000")
        ->check(between(1, 1'000'000))
        ->group(common_group);
    command
        .add_option("--hole-file", limits.hole_file, "read the holes from this file, not from the one holes.file names")
        ->type_name("FILE")
        ->group(common_group);
}

Changes settings_of(const SolveOptions& options) {
    Changes settings;
    if (options.modes > 0) settings.push_back({"solve.modes", 1.0 * options.modes});
    if (options.accuracy > 0.0) settings.push_back({"solve.accuracy", options.accuracy});
    if (!options.model.empty()) settings.push_back({"solve.model", options.model});
    if (!options.light.empty()) settings.push_back({"solve.light", options.light});
    return settings;
}

namespace {

double positive(const std::string& option, const std::string& text, Kind kind) {
    try {
        const double value = parse_quantity(text, kind).value;
        if (value > 0.0) return value;
    } catch (const UnitError& e) {
        throw InputError({}, option, e.what());
    }
    throw InputError({}, option, "must be above zero");
}

}  // namespace

double frequency_option(const std::string& option, const std::string& text) {
    return positive(option, text, Kind::frequency);
}

double length_option(const std::string& option, const std::string& text) {
    return positive(option, text, Kind::length);
}

}  // namespace tymbal
