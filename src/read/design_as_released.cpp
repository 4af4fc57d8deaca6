#include "tymbal/read/design.h"

#include "design_table.h"
#include "find_row.h"
#include "read_cavity.h"
#include "read_figure.h"
#include "read_film.h"
#include "read_free.h"
#include "read_release.h"
#include "written_design.h"

#include "tymbal/base/nearest.h"
#include "tymbal/geometry/boundary.h"
#include "tymbal/pattern/drawing.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace tymbal {

namespace {

void refuse_chip_file(const TomlTable& root) {
    for (const char* key : {"device", "array"})
        if (root.has(key))
            root.refuse(
                key,
                "makes this a chip file, which holds many devices, where one design is wanted; predict, "
                "release, draw, pattern and plan take chip files, and size, sweep, choose, light and cavity one "
                "device of them, named by --device");
}

/// All sections of the file, each checked against the key table.
std::map<std::string, DesignSection> open_sections(const TomlTable& root) {
    refuse_chip_file(root);
    std::map<std::string, DesignSection> sections;
    const std::vector<std::string> known = design_sections();
    for (const std::string& name : root.keys()) {
        if (find_design_key("", name) != nullptr || name == "free" || name == "openings") continue;
        if (std::find(known.begin(), known.end(), name) == known.end())
            root.refuse(name, name == "marks" ? "belongs to a chip file, and this file has no [[device]] or [[array]]"
                                              : "is not a section of a design" + suggestion(name, known));
        sections.emplace(name, DesignSection(root.table(name), name));
    }
    return sections;
}

std::vector<Opening> read_openings(const TomlTable& root, const Outline& outline) {
    constexpr std::size_t most_openings = 10'000;
    std::vector<Opening> openings;
    if (!root.has("openings")) return openings;
    const std::vector<TomlTable> tables = root.tables("openings");
    if (tables.size() > most_openings)
        root.refuse("openings", "are more than " + std::to_string(most_openings) +
                                    "; give many circles or squares alike as [holes] with lattice = \"list\"");
    for (const TomlTable& table : tables) openings.push_back(read_opening(DesignSection(table, "openings"), outline));
    return openings;
}

const DesignSection& require(const std::map<std::string, DesignSection>& sections, const std::string& name,
                             const TomlTable& root) {
    const auto found = sections.find(name);
    if (found == sections.end())
        throw InputError({root.place().file, 0}, name, "is missing; a design needs a section [" + name + "]");
    return found->second;
}

std::string read_title(const TomlTable& root) {
    if (!root.has("title")) return "";
    std::string title = root.text("title");
    if (std::any_of(title.begin(), title.end(), [](unsigned char c) { return c < 0x20 || c == 0x7F; }))
        root.refuse("title", "must be one line without control characters");
    return title;
}

void require_within_chip(const DesignSection& s, const Chip& chip, const Outline& outline) {
    const Box box = bounding_box(boundary(outline));
    const auto require = [&](const char* key, const Length& side, double centre, double from, double to) {
        if (side.si() <= 0.0 || (centre + from > -0.5 * side.si() && centre + to < 0.5 * side.si())) return;
        if (to - from >= side.si())
            s.table().refuse(key, "leaves part of the outline outside the chip wherever that stands; enlarge it");
        s.table().refuse(
            "position",
            std::string("puts part of the outline outside the chip; move it, or enlarge chip.").append(key));
    };
    require("width", chip.width, chip.position.x, box.low.x, box.high.x);
    require("length", chip.length, chip.position.y, box.low.y, box.high.y);
}

std::vector<ChipEdge> read_held(const DesignSection& s) {
    const std::map<std::string, ChipEdge> names{
        {"left", ChipEdge::left}, {"right", ChipEdge::right}, {"lower", ChipEdge::lower}, {"upper", ChipEdge::upper}};
    std::vector<ChipEdge> held;
    for (const std::string& word : s.table().texts("held", names.size())) {
        const auto found = names.find(word);
        if (found == names.end())
            s.table().refuse(
                "held", "has '" + word + "'; accepted: left, right, lower, upper" + suggestion(word, row_names(names)));
        held.push_back(found->second);
    }
    return held;
}

Chip read_chip(const DesignSection& s) {
    Chip chip;
    chip.width = s.optional<Length>("width", ranges::lateral).value_or(Length{});
    chip.length = s.optional<Length>("length", ranges::lateral).value_or(Length{});
    chip.thickness = s.plain<Length>("thickness", ranges::lateral);
    if (s.has("material")) chip.material = s.text("material");
    chip.position = s.point("position");
    if (s.has("edges")) chip.along_110 = s.choice("edges", {"110", "100"}) == "110";
    if (s.has("held")) chip.held = read_held(s);
    return chip;
}

Process read_process(const DesignSection& s) {
    const Sourced<Length> none(Length{}, Length{}, {"no bias in the design: taken as none", Origin::fallback});
    const std::optional<Length> grid = s.optional<Length>("address_grid", {1e-9, 1e-5, "1 nm to 10 um"});
    if (grid && std::abs(grid->si() / drawn_unit_m - std::round(grid->si() / drawn_unit_m)) > 1e-6)
        s.table().refuse("address_grid", "is no multiple of 1 nm, the unit in which patterns are drawn");
    return {s.has("lithography_bias") ? s.sourced<Length>("lithography_bias", ranges::bias) : none,
            s.has("etch_bias") ? s.sourced<Length>("etch_bias", ranges::bias) : none, grid,
            s.optional<Length>("least_feature", {1e-8, 1e-3, "10 nm to 1 mm"})};
}

/// What lies under the gap: as said, the chip when there is a gap, nothing when there is none.
std::string read_below(const DesignSection& s, const Materials& materials, const Device& device) {
    if (!s.has("below")) return device.release ? (device.chip ? device.chip->material : "silicon") : "none";
    if (s.text("below") == "none") return "none";
    const Solid& row = find_row(s, "below", materials.solids);
    if (!row.index) s.table().refuse("below", "is a row without a refractive index");
    if (!device.release) s.table().refuse("below", "needs the gap between film and substrate; give release.gap");
    return row.row;
}

Readout read_readout(const DesignSection& s, const Materials& materials, const Device& device) {
    return {s.plain<Length>("wavelength", ranges::light), s.plain<Length>("spot_radius", ranges::lateral),
            s.point("position"), s.optional<Power>("power", ranges::watts), read_below(s, materials, device)};
}

/// The film that the etch of the holes' release leaves.
void thin_film(const DesignSection& holes, const DesignSection& release, const ReadLimits& limits, Device& device) {
    const bool field = std::holds_alternative<Released>(device.outline);
    const auto in_place = field ? place_holes(*device.holes) : place_holes(*device.holes, boundary(device.outline));
    require_few_holes(in_place.size(), limits.most_holes, holes);
    device.film_loss = loss_of(*device.release, placed(*device.holes, in_place), device.film.material);
    if (!device.film_loss) return;
    if (!device.film.layers.empty())
        release.table().refuse("etchant",
                               "acts on a film with layers: a layer shields the face below it only as far as the "
                               "etchant leaves it alone, and the table has no rates for layers; leave etchant or "
                               "[[film.layer]] out");
    device.film = thinned(device.film, *device.film_loss, release);
}

Limits read_limits(const DesignSection& s) {
    Limits limits;
    limits.least_ligament = s.optional<Length>("least_ligament", ranges::not_negative);
    if (s.has("least_fracture_margin"))
        limits.least_fracture_margin = s.plain<Ratio>("least_fracture_margin", ranges::not_negative).si();
    if (s.has("least_collapse_margin"))
        limits.least_collapse_margin = s.plain<Ratio>("least_collapse_margin", ranges::not_negative).si();
    limits.largest_release_time = s.optional<Time>("largest_release_time", ranges::positive);
    limits.largest_film_loss = s.optional<Length>("largest_film_loss", ranges::not_negative);
    limits.largest_over_etch = s.optional<Length>("largest_over_etch", ranges::not_negative);
    if (s.has("least_reflectivity"))
        limits.least_reflectivity = s.plain<Ratio>("least_reflectivity", {0.0, 1.0, "0 to 1"}).si();
    if (s.has("least_chance_to_reflect")) {
        limits.least_chance_to_reflect = s.plain<Ratio>("least_chance_to_reflect", {0.0, 1.0, "0 to 1"}).si();
        if (!limits.least_reflectivity)
            s.table().refuse("least_chance_to_reflect",
                             "needs limits.least_reflectivity, the reflectivity that it speaks of");
    }
    limits.least_g0 = s.optional<Frequency>("least_g0", ranges::not_negative);
    if (s.has("least_cooperativity"))
        limits.least_cooperativity = s.plain<Ratio>("least_cooperativity", ranges::not_negative).si();
    limits.least_qf = s.optional<Frequency>("least_qf", ranges::not_negative);
    if (s.has("frequency")) {
        const auto window = s.table().quantities("frequency", Kind::frequency, 2);
        if (!(window[0] < window[1])) s.table().refuse("frequency", "must rise: [low, high]");
        limits.frequency = {Frequency::from_si(window[0]), Frequency::from_si(window[1])};
    }
    return limits;
}

Target read_target(const DesignSection& s, const std::optional<Cavity>& cavity) {
    Target target{s.has("mode") ? s.text("mode") : "", s.optional<Frequency>("frequency", ranges::positive)};
    if (!s.has("aim")) return target;
    const std::string word = s.choice("aim", {"qf", "g0", "cooperativity"});
    target.aim = word == "g0" ? Aim::g0 : word == "cooperativity" ? Aim::cooperativity : Aim::qf;
    if (target.aim != Aim::qf && !cavity)
        s.table().refuse("aim", "is '" + word +
                                    "', which needs a [cavity] that the film couples to and a [readout] with the "
                                    "wavelength of its light; add them, or aim at \"qf\"");
    return target;
}

Solve read_solve(const DesignSection& s) {
    Solve solve;
    if (s.has("model")) {
        const std::string word = s.choice("model", {"averaged", "resolved", "auto"});
        solve.model = word == "averaged" ? Model::averaged : word == "resolved" ? Model::resolved : Model::automatic;
    }
    if (s.has("light") && s.choice("light", {"averaged", "auto"}) == "averaged") solve.light = LightModel::averaged;
    if (s.has("modes")) solve.modes = s.table().integer("modes", 1, 200);
    if (s.has("accuracy")) {
        solve.accuracy = s.table().number("accuracy");
        if (!(solve.accuracy >= 1e-6 && solve.accuracy <= 0.1))
            s.table().refuse("accuracy", "must lie between 1e-6 and 0.1");
    }
    return solve;
}

void require_thin(const DesignSection& film, const Film& f, const Outline& outline) {
    const Box box = bounding_box(boundary(outline));
    if (f.thickness.si() > 0.2 * std::min(box.high.x - box.low.x, box.high.y - box.low.y))
        film.table().refuse("thickness",
                            "is more than a fifth of the outline's shorter side; that is a block, not a film");
}

}  // namespace

Device as_released(const Design& design, const Materials& materials, const ReadLimits& limits) {
    const WrittenDesign& written = design.written();
    const std::string& path = written.path;
    const TomlTable root(path, "", written.root);
    const auto sections = open_sections(root);
    const auto find = [&](const char* name) -> const DesignSection* {
        const auto found = sections.find(name);
        return found == sections.end() ? nullptr : &found->second;
    };
    std::optional<Chip> chip;
    if (const auto* s = find("chip")) {
        chip = read_chip(*s);
        if (s->has("material")) (void)find_row(*s, "material", materials.solids);
    }
    const auto frame = materials.solids.find(chip ? chip->material : "silicon");
    if (frame == materials.solids.end())
        throw InputError({path, 0}, "chip.material",
                         "is missing, and the material table has no row 'silicon' to take for it; name another");
    const DesignSection& film_section = require(sections, "film", root);
    const ReadFilm joined = read_film(film_section, materials, frame->second);
    const Film& film = joined.film;
    const DesignSection& outline_section = require(sections, "outline", root);
    const std::optional<Process> process =
        find("process") != nullptr ? std::optional<Process>(read_process(*find("process"))) : std::nullopt;
    const std::optional<Release> release =
        find("release") != nullptr ? std::optional<Release>(read_release(*find("release"), materials)) : std::nullopt;
    std::optional<Outline> outline;
    if (!is_hole_field(outline_section)) outline = read_outline(outline_section);
    std::optional<HolePattern> holes;
    if (const auto* s = find("holes"))
        holes = read_holes(*s, outline, process, release ? wall_recession(*release, film.material) : HoleSize{},
                           limits.hole_file);
    // Before any front is drawn: what the upper face alone loses is known without one.
    if (holes && release) require_film_left(film, wall_recession(*release, film.material).width, *find("release"));
    if (!outline) outline = read_hole_field(outline_section, holes, release, film.material, limits.most_holes);
    require_thin(film_section, film, *outline);
    require_room(joined, *outline, holes.has_value() || root.has("openings"));
    if (chip) require_within_chip(*find("chip"), *chip, *outline);

    Device device{read_title(root),
                  path,
                  written.sha256,
                  film,
                  *outline,
                  holes,
                  release,
                  {},
                  process,
                  chip,
                  {},
                  {},
                  {},
                  {},
                  {},
                  {},
                  {},
                  {},
                  read_openings(root, *outline),
                  joined.patches};
    if (const auto* s = find("holes")) device.hole_file = hole_file_path(*s, limits.hole_file);
    if (holes && release) thin_film(*find("holes"), *find("release"), limits, device);
    if (const auto* s = find("surroundings"))
        device.surroundings =
            Surroundings{find_row(*s, "gas", materials.gases), s->sourced<Pressure>("pressure", ranges::not_negative)};
    if (const auto* s = find("readout")) device.readout = read_readout(*s, materials, device);
    if (const auto* s = find("cavity")) device.cavity = read_cavity(*s, device.readout);
    if (const auto* s = find("limits")) device.limits = read_limits(*s);
    if (const auto* s = find("target")) device.target = read_target(*s, device.cavity);
    if (root.has("free")) device.free = read_free(root.table("free"));
    if (const auto* s = find("solve")) device.solve = read_solve(*s);
    return device;
}

}  // namespace tymbal
