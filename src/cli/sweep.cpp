#include "chip.h"
#include "commands.h"
#include "output.h"
#include "progress.h"
#include "solve_options.h"
#include "terminal.h"

#include "tymbal/base/error.h"
#include "tymbal/print/sweep_file.h"
#include "tymbal/print/write_json.h"
#include "tymbal/print/write_sweep.h"
#include "tymbal/read/design.h"
#include "tymbal/read/parse_axis.h"

#include <algorithm>
#include <cstdio>
#include <iostream>
#include <memory>
#include <set>
#include <thread>

namespace tymbal {

namespace {

constexpr std::size_t most_rows = 1'000'000;

struct SweepOptions {
    std::string design, device, json, csv, plot, materials, shard, mode;
    std::vector<std::string> vary, join;
    SolveOptions solve;
    ReadLimits limits;
    unsigned threads = 0;
    bool quiet = false, resume = false;
};

SweepGrid grid_of(const SweepOptions& o) {
    SweepGrid grid;
    std::set<std::string> keys;
    double rows = 1.0;
    for (const std::string& text : o.vary) {
        grid.axes.push_back(parse_axis(text));
        if (!keys.insert(grid.axes.back().key).second) throw InputError({}, "--vary", "varies one key twice");
        rows *= static_cast<double>(grid.axes.back().values.size());
    }
    if (o.vary.empty())
        throw InputError({}, "--vary", "is missing; give KEY=FROM..TO:COUNT or KEY=A,B,C at least once");
    if (rows > static_cast<double>(most_rows)) throw InputError({}, "--vary", "asks for more than a million designs");
    return grid;
}

void read_shard(const std::string& text, SweepIdentity& identity) {
    if (text.empty()) return;
    char rest = 0;
    const int read = std::sscanf(text.c_str(), "%d/%d%c", &identity.part, &identity.parts, &rest);
    if (read != 2 || identity.part < 1 || identity.parts < identity.part || identity.parts > 100'000)
        throw InputError({}, "--shard", "is '" + text + "'; accepted: K/N, part K of N, counted from 1");
}

/// Place of the mode to show, from 1, in the first row that has an answer.
int shown_mode(const SweepTable& table, const std::string& name) {
    if (name.empty()) return 1;
    const std::string label = name.front() == '(' ? name : "(" + name + ")";
    for (std::size_t row = 0; row < table.rows.size(); ++row) {
        for (std::size_t k = 0; k < table.columns.size(); ++k) {
            if (table.columns[k].rfind("label_", 0) != 0) continue;
            const std::string number = table.columns[k].substr(6);
            if (table.rows[row][k] == label || (name == number && !table.rows[row][k].empty()))
                return std::stoi(number);
        }
    }
    throw InputError({}, "--mode",
                     "is '" + name + "', which no design of the sweep has among its modes; solve more with --modes");
}

/// @param whole  false for one part of several: whether a sweep has an answer is known when its parts are joined
void deliver(const SweepOptions& o, const SweepTable& table, bool whole) {
    const int mode = shown_mode(table, o.mode);
    write_to(o.json, [&](std::ostream& out) { write_json(out, table); });
    write_to(o.plot, [&](std::ostream& out) { write_plot(out, table, mode); });
    if (!o.quiet && o.json != "-" && o.csv != "-" && o.plot != "-")
        show([&](std::ostream& out) { write_table(out, table, mode); });
    const auto failed = [](const std::vector<std::string>& row) { return !row.back().empty(); };
    if (whole && !table.rows.empty() && std::all_of(table.rows.begin(), table.rows.end(), failed))
        throw NoAnswer("none of " + std::to_string(table.rows.size()) +
                       " designs has an answer; the first: " + table.rows.front().back());
}

void solve_rows(const SweepOptions& o, const SweepJob& job, const std::function<void(const SweepRow&)>& take) {
    Progress progress(job.wanted.size(), !o.quiet);
    sweep(job, [&](const SweepRow& row) {
        take(row);
        progress.step(!row.figures);
    });
}

/// Rows go to the file one by one; the file is what the table is made from.
std::string sweep_to_file(const SweepOptions& o, const SweepIdentity& identity, SweepJob& job) {
    SweepFile file(o.csv, head_text(identity), o.resume);
    job.wanted.erase(
        std::remove_if(job.wanted.begin(), job.wanted.end(), [&](std::size_t k) { return file.done().count(k) > 0; }),
        job.wanted.end());
    solve_rows(o, job, [&](const SweepRow& row) { file.append(row_text(identity, row)); });
    return file.finish();
}

std::string sweep_in_memory(const SweepOptions& o, const SweepIdentity& identity, const SweepJob& job) {
    std::string text = head_text(identity);
    solve_rows(o, job, [&](const SweepRow& row) { text += row_text(identity, row); });
    SweepTable table = parse_sweep(text, "");
    table.sort();
    return table_text(table);
}

/// No result replaces what is read, and no two share a target.
void require_targets_apart(const SweepOptions& o) {
    require_apart(o.design, o.json, o.csv);
    require_apart(o.design, o.plot, "");
    if (!o.plot.empty() && (o.plot == o.csv || o.plot == o.json))
        throw InputError({}, "--plot", "has the same target as another result; name another");
    for (const std::string& part : o.join)
        for (const std::string& target : {o.json, o.csv, o.plot})
            if (target == part) throw InputError({target, 0}, "", "is one of the parts; name another file to write");
}

/// Files of holes that the sweep reads one after the other.
std::vector<std::string> varied_files(const SweepGrid& grid) {
    std::vector<std::string> names;
    for (const SweepAxis& axis : grid.axes)
        for (const auto& value : axis.values)
            if (axis.key == "holes.file" && std::holds_alternative<std::string>(value))
                names.push_back(std::get<std::string>(value));
    return names;
}

void join(const SweepOptions& o) {
    require_targets_apart(o);
    const SweepTable table = join_sweeps(o.join);
    write_to(o.csv, [&](std::ostream& out) { out << table_text(table); });
    deliver(o, table, true);
}

void run_sweep(const SweepOptions& o) {
    if (!o.join.empty()) return join(o);
    if (o.design.empty())
        throw InputError({}, "DESIGN", "is missing; name a design file, or --join with parts of a sweep");
    require_targets_apart(o);
    const bool in_file = !o.csv.empty() && o.csv != "-";
    if (o.resume && !in_file) throw InputError({}, "--resume", "needs --csv with the file of the broken sweep");
    const Materials materials = material_table(o.materials, {o.json, o.csv, o.plot});
    const Changes settings = settings_of(o.solve);
    const Design design = design_or_device(o.design, o.device).with(settings);
    const DeviceAt device_at = devices_of(design, materials, o.limits);
    const Device device = device_at({});
    SweepIdentity identity{
        device.title, device.sha256, fingerprint(materials), settings, grid_of(o), device.solve.modes, 1, 1};
    require_kept(files_behind(o.design, device), {o.json, o.csv, o.plot});
    require_kept(hole_files(design, varied_files(identity.grid)), {o.json, o.csv, o.plot});
    if (!o.plot.empty()) require_plottable(identity.grid);  // before hours of solving
    read_shard(o.shard, identity);
    const unsigned cores = std::max(1U, std::thread::hardware_concurrency());
    SweepJob job{device_at, materials, identity.grid, part_of(identity.grid.size(), identity.part, identity.parts),
                 o.threads > 0 ? o.threads : cores};
    const std::string text = in_file ? sweep_to_file(o, identity, job) : sweep_in_memory(o, identity, job);
    if (o.csv == "-") std::cout << text;
    deliver(o, parse_sweep(text, o.csv), identity.parts == 1);
}

void add_outputs(CLI::App& command, SweepOptions& o) {
    command.add_option("--csv", o.csv, "table that grows row by row, - for standard output at the end");
    command.add_flag("--resume", o.resume, "finish the table that --csv names");
    command.add_option("--join", o.join, "put the parts of a sweep together, no design needed")->expected(1, -1);
    add_json(command, o.json);
    command.add_option("--plot", o.plot, "draw the figures as SVG into this file, - for standard output");
    command.add_option("--mode", o.mode, "mode to print and draw: label such as 1,1 or number; default the lowest");
    add_quiet(command, o.quiet);
}

}  // namespace

void add_sweep(CLI::App& app) {
    const auto o = std::make_shared<SweepOptions>();
    CLI::App* command = app.add_subcommand("sweep", "a table over one or more design keys");
    command->add_option("DESIGN", o->design, "design file (TOML)");
    add_device_option(*command, o->device);
    command->add_option("--vary", o->vary, "KEY=FROM..TO:COUNT, KEY=FROM..TO:COUNT:log or KEY=A,B,C; repeat for a grid")
        ->take_all()
        ->allow_extra_args(false);
    command->add_option("--threads", o->threads, "default: all cores; the numbers are the same")
        ->check(between(1, 4096));
    command->add_option("--shard", o->shard, "K/N: only part K of N, for the tasks of a job array");
    add_solve_options(*command, o->solve);
    add_read_options(*command, o->limits);
    add_materials(*command, o->materials);
    add_outputs(*command, *o);
    command->footer(
        "Examples: tymbal sweep examples/perforated-square.toml --vary holes.diameter=1um..4um:7 --csv sweep.csv\n"
        "          tymbal sweep examples/perforated-square.toml --vary holes.fill_factor=0.05..0.4:8\n"
        "              --vary outline.scale=0.5,1,2 --plot holes.svg");
    command->callback([o] { run_sweep(*o); });
}

}  // namespace tymbal
