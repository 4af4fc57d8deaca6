#include "chip.h"
#include "commands.h"
#include "output.h"
#include "solve_options.h"
#include "terminal.h"
#include "waiting.h"

#include "tymbal/base/error.h"
#include "tymbal/print/write_size.h"
#include "tymbal/read/changed_design.h"
#include "tymbal/read/design.h"
#include "tymbal/task/size.h"

#include <iostream>
#include <memory>

namespace tymbal {

namespace {

struct SizeOptions {
    std::string design, device, json, write_design, materials, frequency, mode, side;
    SolveOptions solve;
    ReadLimits limits;
    bool scale_holes = false, quiet = false, explain = false;
};

double frequency_of(const SizeOptions& o, const Device& device) {
    if (o.frequency.empty()) {
        if (device.target.frequency) return device.target.frequency->si();
        throw InputError({o.design, 0}, "target.frequency", "is missing; give it, or --target-frequency \"1.2 MHz\"");
    }
    return frequency_option("--target-frequency", o.frequency);
}

Sizing sizing_of(const SizeOptions& o) {
    if (o.side == "width") return Sizing::width;
    if (o.side == "height") return Sizing::height;
    return o.scale_holes ? Sizing::outline_and_holes : Sizing::outline;
}

void run_size(const SizeOptions& o) {
    require_apart(o.design, o.json, o.write_design);
    const Materials materials = material_table(o.materials, {o.json, o.write_design});
    const DeviceAt device_at = devices_of(
        design_or_device(o.design, o.device, o.write_design).with(settings_of(o.solve)), materials, o.limits);
    const Device device = device_at({});
    require_kept(files_behind(o.design, device), {o.json, o.write_design});
    const SizeWish wish{frequency_of(o, device), o.mode.empty() ? device.target.mode : o.mode, sizing_of(o)};
    const SizedDesign sized =
        waited_with_bar(!o.quiet, [&](const Progressed& told) { return size(device_at, wish, materials, told); });
    const std::string text = o.write_design.empty() ? "" : changed_design(o.design, sized.changes, materials, o.limits);
    write_to(o.json, [&](std::ostream& out) { write_json(out, sized); });
    write_to(o.write_design, [&](std::ostream& out) { out << text; });
    if (o.quiet || o.json == "-" || o.write_design == "-") return;
    show([&](std::ostream& out) { write_table(out, sized); });
    if (o.explain) show([&](std::ostream& out) { write_explanation(out, sized); });
}

}  // namespace

void add_size(CLI::App& app) {
    const auto o = std::make_shared<SizeOptions>();
    CLI::App* command =
        app.add_subcommand("size", "the outline that puts a mode on a wanted frequency, with tolerances");
    command->add_option("DESIGN", o->design, "design file (TOML)")->required();
    add_device_option(*command, o->device);
    command->add_option("--target-frequency", o->frequency, "such as \"1.2 MHz\"; overrides target.frequency");
    command->add_option("--mode", o->mode, "label such as 1,1 or number by rising frequency; default target.mode or 1");
    command->add_option("--side", o->side, "move this side of a rectangle alone: width or height")
        ->check(CLI::IsMember({"width", "height"}));
    command->add_flag("--scale-holes", o->scale_holes, "scale the hole pattern with the outline")->excludes("--side");
    add_solve_options(*command, o->solve);
    add_json(*command, o->json);
    add_read_options(*command, o->limits);
    command->add_option("--write-design", o->write_design,
                        "write the design with the new size to this file, - for standard output");
    add_materials(*command, o->materials);
    add_quiet(*command, o->quiet);
    add_explain(*command, o->explain);
    command->footer("Example: tymbal size examples/perforated-square.toml --target-frequency \"1.2 MHz\" --mode 1,1");
    command->callback([o] { run_size(*o); });
}

}  // namespace tymbal
