#include "commands.h"
#include "output.h"
#include "recording.h"
#include "solve_options.h"
#include "terminal.h"

#include "tymbal/base/error.h"
#include "tymbal/print/write_record.h"
#include "tymbal/read/read_step.h"
#include "tymbal/read/record_chip.h"
#include "tymbal/record/utc.h"
#include "tymbal/text/whole_file.h"

#include <algorithm>
#include <filesystem>
#include <iostream>
#include <memory>

namespace tymbal {

namespace fs = std::filesystem;

namespace {

struct RecordOptions {
    std::string action, subject, record, name, date, json, write, wafer, bath, materials;
    ReadLimits limits;
    bool quiet = false, keys = false;
};

/// Beside the file that the command is about, else here.
std::string record_of(const RecordOptions& o) {
    if (!o.record.empty()) return o.record;
    std::error_code error;
    const bool file = !o.subject.empty() && o.action != "export" && fs::is_regular_file(o.subject, error);
    return (file ? fs::path(o.subject).parent_path() / "record.db" : fs::path("record.db")).string();
}

void require_subject(const RecordOptions& o, const char* what) {
    if (o.subject.empty())
        throw InputError({}, std::string("record ").append(o.action), std::string("wants ").append(what));
}

std::string date_of(const RecordOptions& o, const std::string& now) {
    if (o.date.empty()) return now;
    const auto date = utc_text(o.date);
    if (!date)
        throw InputError({}, "--date", "is '" + o.date + "'; accepted: \"2026-03-14\" or \"2026-03-14T09:30Z\", UTC");
    return *date;
}

/// With --date that moment stands for the clock, so that a record can be made again to the same bytes of its tables.
RecordWriter writer_of(const RecordOptions& o) {
    RecordWriter writer = record_writer();
    writer.now = date_of(o, writer.now);
    return writer;
}

/// Which actions take what some do not.
void require_taken(const CLI::App& command, const std::string& action) {
    const std::pair<const char*, std::vector<std::string>> takers[] = {
        {"SUBJECT", {"new", "add", "show", "list", "export"}},
        {"--name", {"new"}},
        {"--date", {"new", "add"}},
        {"--wafer", {"new", "learn"}},
        {"--bath", {"learn"}},
        {"--write", {"learn"}},
        {"--json", {"show", "list", "check", "learn"}},
        {"--most-holes", {"new"}},
        {"--hole-file", {"new"}},
        {"--materials", {"new", "add"}}};
    for (const auto& [option, actions] : takers) {
        if (command.count(option) == 0 || std::find(actions.begin(), actions.end(), action) != actions.end()) continue;
        std::string words = "means nothing to `record " + action + "`; accepted with ";
        for (std::size_t k = 0; k < actions.size(); ++k) words.append(k == 0 ? "" : ", ").append(actions[k]);
        if (option == std::string("SUBJECT")) words.append("; --record FILE names the record");
        throw InputError({}, option, words);
    }
}

void run_new(const RecordOptions& o) {
    require_subject(o, "a chip file or a design: `tymbal record new CHIP.toml`");
    const Materials materials = material_table(o.materials, {o.json, o.write});
    const RecordWriter writer = writer_of(o);
    const RecordAddition addition = chip_addition({o.subject, o.name, o.wafer}, writer.now, materials, o.limits);
    const RecordAdded added = add_to_record(record_of(o), addition, writer);
    if (o.quiet) return;
    say_recorded(std::cout, record_of(o), added);
    std::cout << "chip '" << addition.chips.front().name << "' with " << addition.chips.front().devices.size()
              << " device" << (addition.chips.front().devices.size() == 1 ? "" : "s")
              << ", files kept: " << addition.entries.front().files.size() << '\n';
}

void run_add(const RecordOptions& o) {
    require_subject(o, "a step file: `tymbal record add STEP.toml`; `tymbal record --keys` lists its keys");
    const Materials materials = material_table(o.materials, {o.json, o.write});
    const RecordAdded added = add_step(o.subject, record_of(o), writer_of(o), materials);
    if (!o.quiet) say_recorded(std::cout, record_of(o), added);
}

/// The chip asked for, else the one added last.
std::string chosen_chip(const RecordOptions& o, const std::vector<RecordedChip>& chips) {
    if (!o.subject.empty()) return chip_named(o.subject, chips, record_of(o));
    if (chips.empty()) throw NoAnswer("the record has no chips; `tymbal record new CHIP.toml` adds one");
    return chips.back().name;
}

void run_show(const RecordOptions& o) {
    const std::string chip = chosen_chip(o, read_chips(record_of(o)));
    const RecordContents record = read_record(record_of(o), chip);
    write_to(o.json, [&](std::ostream& out) { write_chip_json(out, record, chip); });
    if (o.quiet || o.json == "-") return;
    show([&](std::ostream& out) { write_chip_page(out, record, chip); });
}

void run_list(const RecordOptions& o) {
    const std::string chip = o.subject.empty() ? "" : chosen_chip(o, read_chips(record_of(o)));
    RecordContents record = read_record(record_of(o), chip);
    if (!chip.empty()) std::erase_if(record.chips, [&](const RecordedChip& c) { return c.name != chip; });
    write_to(o.json, [&](std::ostream& out) { write_list_json(out, record); });
    if (o.quiet || o.json == "-") return;
    show([&](std::ostream& out) { chip.empty() ? write_chip_list(out, record) : write_entry_list(out, record, chip); });
}

void run_export(const RecordOptions& o) {
    require_subject(o, "a folder: `tymbal record export FOLDER`");
    export_record(o.subject, read_record(record_of(o)), kept_files(record_of(o)));
}

void run_check(const RecordOptions& o) {
    const std::vector<RecordFinding> found = check_record(record_of(o));
    write_to(o.json, [&](std::ostream& out) { write_check_json(out, record_of(o), found); });
    if (!o.quiet && o.json != "-") show([&](std::ostream& out) { write_check(out, record_of(o), found); });
    if (std::any_of(found.begin(), found.end(), [](const RecordFinding& f) { return f.fault; }))
        throw NoAnswer(record_of(o) + " is not what was written: see the faults; take the last good copy");
}

void run_learn(const RecordOptions& o) {
    const Learning learning = learn(corrected(read_record(record_of(o)).entries), {o.wafer, o.bath});
    write_to(o.json, [&](std::ostream& out) { write_learning_json(out, learning); });
    if (!o.write.empty()) {
        std::error_code error;
        const bool there = o.write != "-" && fs::exists(o.write, error);
        const std::string text = there ? with_learned(read_whole(o.write), o.write, learning) : learned_toml(learning);
        write_to(o.write, [&](std::ostream& out) { out << text; });
    }
    if (o.quiet || o.json == "-" || o.write == "-") return;
    show([&](std::ostream& out) { write_learning(out, learning); });
}

void run_record(const CLI::App& command, const RecordOptions& o) {
    if (o.keys) {
        std::cout << describe_step_keys();
        return;
    }
    if (o.action.empty())
        throw InputError({}, "ACTION", "is missing; accepted: new, add, show, list, export, check, learn");
    require_taken(command, o.action);
    require_apart(record_of(o), o.json, o.write);
    if (o.action == "new") return run_new(o);
    if (o.action == "add") return run_add(o);
    if (o.action == "show") return run_show(o);
    if (o.action == "list") return run_list(o);
    if (o.action == "export") return run_export(o);
    if (o.action == "check") return run_check(o);
    run_learn(o);
}

}  // namespace

void add_record(CLI::App& app) {
    const auto o = std::make_shared<RecordOptions>();
    CLI::App* command =
        app.add_subcommand("record", "the log of chips: drawn, printed, released, measured, and what they teach");
    command->add_option("ACTION", o->action, "new, add, show, list, export, check or learn")
        ->check(CLI::IsMember({"new", "add", "show", "list", "export", "check", "learn"}));
    command->add_option("SUBJECT", o->subject,
                        "new: chip file or design; add: step file; show, list: chip; export: folder");
    command->add_option("--record", o->record, "the record; default record.db beside the file that is named, else here")
        ->type_name("FILE");
    command->add_option("--name", o->name, "new: name of the chip; default its title or file")->type_name("NAME");
    command->add_option("--date", o->date, "new, add: moment that stands for now, UTC, e.g. 2026-03-14T09:30Z")
        ->type_name("DATE");
    command->add_option("--wafer", o->wafer, "new: wafer of the chip; learn: wafer of the next one")->type_name("NAME");
    command->add_option("--bath", o->bath, "learn: bath of the next chip")->type_name("NAME");
    command->add_option("--write", o->write, "learn: put the lines into this design or chip file, or a new file")
        ->type_name("FILE");
    add_json(*command, o->json);
    add_read_options(*command, o->limits);
    add_materials(*command, o->materials);
    add_quiet(*command, o->quiet);
    command->add_flag("--keys", o->keys, "list the keys of a step file and leave");
    command->footer("Example: tymbal record new examples/hole-field.toml --record record.db");
    command->callback([command, o] { run_record(*command, *o); });
}

}  // namespace tymbal
