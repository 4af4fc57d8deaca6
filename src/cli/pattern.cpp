#include "chip.h"
#include "commands.h"
#include "output.h"
#include "recording.h"
#include "solve_options.h"
#include "terminal.h"
#include "waiting.h"

#include "tymbal/base/error.h"
#include "tymbal/mask/read_picture.h"
#include "tymbal/print/write_chip_pattern.h"
#include "tymbal/print/write_pattern.h"
#include "tymbal/read/design.h"
#include "tymbal/read/read_chip.h"
#include "tymbal/read/record_chip.h"
#include "tymbal/task/pattern.h"
#include "tymbal/task/record.h"

#include <algorithm>
#include <cstdio>
#include <iostream>
#include <memory>

namespace tymbal {

namespace {

struct PatternCommand {
    std::string design, out, json, materials, layers;
    ReadLimits limits;
    Recording recording;
    std::vector<std::string> witnesses;
    PatternOptions options;
    bool quiet = false, explain = false, allow_broken = false;
};

std::vector<std::string> witness_names() {
    std::vector<std::string> names;
    for (const Witness w : all_witnesses()) names.push_back(to_string(w));
    return names;
}

std::vector<Witness> to_witnesses(const std::vector<std::string>& names) {
    std::vector<Witness> witnesses;
    for (const Witness w : all_witnesses())
        if (std::find(names.begin(), names.end(), to_string(w)) != names.end()) witnesses.push_back(w);
    return witnesses;
}

std::string proposed(const Pattern& pattern) {
    if (!pattern.proposal) return "";
    char text[160];
    std::snprintf(text, sizeof text,
                  "; of the same open fraction, holes of %.5g um at a pitch of %.5g um can be printed",
                  1e6 * pattern.proposal->hole_m, 1e6 * pattern.proposal->pitch_m);
    return text;
}

/// What was drawn, with the hash of the drawing.
void record_pattern(const PatternCommand& c, RecordEntry entry, const Materials& materials) {
    if (c.recording.file.empty() && c.recording.chip.empty()) return;
    if (c.out != "-") entry.files.push_back(named_file("output", c.out));
    record_entries(c.recording, {{c.design, {entry}}}, materials, c.limits, c.quiet);
}

void run_design(const PatternCommand& c, const Materials& materials, PatternFormat format, const LayerNumbers& layers) {
    const Device device = waited(!c.quiet, [&] { return as_released(read_design(c.design), materials, c.limits); });
    require_kept(files_of(device), {c.json, c.out});
    const Pattern pattern = waited_with_bar(!c.quiet, [&](const Progressed& told) {
        Pattern drawn = draw_pattern(device, c.options);
        tell(told, 0.5);
        if (drawn.printable() || c.allow_broken)
            write_to(c.out, [&](std::ostream& out) { write_pattern(out, drawn, format, layers); });
        return drawn;
    });
    write_to(c.json, [&](std::ostream& out) { write_json(out, pattern, layers); });
    if (pattern.printable() || c.allow_broken) record_pattern(c, patterned(pattern), materials);
    if (!c.quiet && c.json != "-") {
        show([&](std::ostream& out) { write_table(out, pattern); });
        if (c.explain) show([&](std::ostream& out) { write_explanation(out, pattern); });
    }
    if (pattern.printable() || c.allow_broken) return;
    throw NoAnswer("drawn widths are below process.least_feature, so nothing was drawn" + proposed(pattern) +
                   "; --allow-broken draws it all the same");
}

ChipPattern drawn_chip(const PatternCommand& c, const Materials& materials) {
    const ChipDesign chip = read_chip(c.design, materials, c.limits);
    require_kept(files_of(chip), {c.json, c.out});
    ChipPatternOptions options{c.options.witnesses, c.options.most_corners, c.options.label, {}};
    if (!chip.marks.picture.empty()) options.picture = read_picture(chip.marks.picture, chip.marks.picture_width_m);
    return draw_chip(chip, options);
}

void run_chip(const PatternCommand& c, const Materials& materials, PatternFormat format, const LayerNumbers& layers) {
    if (c.explain) throw InputError({}, "--explain", "is for one design; name a design file");
    refuse_hole_file(c.design, c.limits);
    const ChipPattern pattern = waited(!c.quiet, [&] { return drawn_chip(c, materials); });
    const bool draw = pattern.printable() || c.allow_broken;
    if (draw) write_to(c.out, [&](std::ostream& out) { write_pattern(out, pattern, format, layers); });
    write_to(c.json, [&](std::ostream& out) { write_json(out, pattern, layers); });
    RecordEntry entry;
    entry.step = "patterned";
    if (draw) record_pattern(c, entry, materials);
    if (!c.quiet && c.json != "-") show([&](std::ostream& out) { write_table(out, pattern); });
    if (!draw)
        throw NoAnswer(
            "drawn widths are below process.least_feature, so nothing was drawn; --allow-broken draws it all the same");
}

void run_pattern(PatternCommand& c) {
    if (c.options.label.size() > 60) throw InputError({}, "--label", "is longer than 60 characters");
    const PatternFormat format = pattern_format(c.out);
    require_apart(c.design, c.json, c.out);
    require_apart(c.layers, c.json, c.out);
    require_recordable(c.recording, c.design, {c.json, c.out});
    c.options.witnesses = to_witnesses(c.witnesses);
    const LayerNumbers layers = c.layers.empty() ? usual_layers : read_layers(c.layers);
    const Materials materials = material_table(c.materials, {c.json, c.out});
    if (is_chip_file(c.design)) return run_chip(c, materials, format, layers);
    run_design(c, materials, format, layers);
}

}  // namespace

void add_pattern(CLI::App& app) {
    const auto c = std::make_shared<PatternCommand>();
    CLI::App* command = app.add_subcommand(
        "pattern", "what to draw for the mask writer, process bias taken off: holes, openings, whole chips");
    command->add_option("DESIGN", c->design, "design or chip file (TOML)")->required();
    command->add_option("--out", c->out, "drawing to write: .gds (GDSII), .svg or .csv (holes; of a chip: devices)")
        ->required();
    command->add_option("--witness", c->witnesses, "figure beside the membrane; may be repeated")
        ->check(CLI::IsMember(witness_names()));
    command->add_flag("--allow-broken", c->allow_broken, "draw widths below process.least_feature too, exit status 0");
    command->add_option("--label", c->options.label,
                        "letters on the chip; default: title and fingerprint of the design");
    command->add_option("--corners", c->options.most_corners, "most corners of one figure; default 199 for old readers")
        ->check(between(8, most_corners_of_format));
    command->add_option("--layers", c->layers,
                        "TOML file with `holes = [layer, datatype]`, openings, witnesses, marks, label, frame");
    add_json(*command, c->json);
    add_recording(*command, c->recording);
    add_read_options(*command, c->limits);
    add_materials(*command, c->materials);
    add_quiet(*command, c->quiet);
    add_explain(*command, c->explain);
    command->footer("Example: tymbal pattern examples/pattern.toml --out drum.gds --witness undercut-ruler");
    command->callback([c] { run_pattern(*c); });
}

}  // namespace tymbal
