#include "tymbal/print/write_compare.h"

#include "../read/design_lines.h"
#include "../text/toml_table.h"
#include "../text/toml_text.h"

#include "tymbal/base/error.h"

#include <array>
#include <cstdio>
#include <set>

namespace tymbal {

namespace {

std::string printed(const char* format, double a, double b) {
    std::array<char, 128> text{};
    std::snprintf(text.data(), text.size(), format, a, b);
    return text.data();
}

/// "958 +- 19 MPa", in the units of the trade.
std::string quantity(const WrittenValue& v) {
    const bool stress = v.key == "film.stress";
    const double unit = stress ? 1e6 : 1e-6;
    const std::string text = v.deviation > 0.0 ? printed("%.7g +- %.2g", v.value / unit, v.deviation / unit)
                                               : printed("%.7g", v.value / unit, 0.0);
    return text + (stress ? " MPa" : " um");
}

/// As TOML, in the quotes that the old value had.
std::string written(const WrittenValue& v, const std::string& old) {
    if (!v.second) return quoted_like(old, quantity(v));
    return toml_list({v.key, std::array<double, 2>{v.value, *v.second}}, old.find('\'') < old.find('"') ? '\'' : '"');
}

/// Comments on what was put into the design, one to a value.
std::string remark(const WrittenValue& v) {
    const std::string key = v.key.substr(v.key.find('.') + 1);
    if (v.key == "holes.margin" || v.key == "holes.field") return "# " + key + ": the same holes on their sites";
    return "# " + key + " fitted to measured lines" + (v.key == "film.stress" ? ", other inputs as here" : "");
}

/// A value in the place of the old one, with what follows from it and a comment.
void put(TomlText& file, const WrittenValue& v, double temperature_k) {
    const std::string section = v.key.substr(0, v.key.find('.')), key = v.key.substr(section.size() + 1);
    file.set(section, key, written(v, file.value(section, key)));
    if (v.key == "film.stress") {
        const std::string old = file.value("film", "stress_temperature");
        file.set("film", "stress_temperature", quoted_like(old, printed("%.6g K", temperature_k, 0.0)));
    }
    if (v.key == "release.undercut") file.remove("release", "time");  // one follows from the other
    file.put_first(section, remark(v));
}

/// What a design cannot say, as comments below [film].
void put_left_out(TomlText& file, const Comparison& c, const DeviceComparison& device) {
    for (const FittedValue& v : c.values)
        if (v.name == "film.tilt")
            file.put_first("film",
                           printed("# the lines ask for unequal stress: (s_x - s_y)/(s_x + s_y) = %.4f +- %.4f; "
                                   "a design has one stress, their mean",
                                   v.fitted, v.deviation));
    if (device.over_etch_m != 0.0)
        file.put_first("film", printed("# the lines ask for edges %.4g um further out, which no key of a polygon says",
                                       1e6 * device.over_etch_m, 0.0));
}

}  // namespace

std::string fitted_design(const std::string& text, const Comparison& c, std::size_t which) {
    if (c.values.empty())
        throw InputError({}, "--write-design", "needs a fitted film, and a single ringdown carries none; leave it out");
    const DeviceComparison& device = c.devices.at(which);
    (void)parse_toml(text, device.design_file);
    TomlText file(text);
    for (const WrittenValue& v : device.written) put(file, v, c.temperature_k);
    put_left_out(file, c, device);
    return file.text();
}

std::string fitted_chip(const std::string& text, const std::string& path, const Comparison& c) {
    if (c.values.empty())
        throw InputError({path, 0}, "--write-design",
                         "needs a fitted film, and a single ringdown carries none; leave it out");
    (void)parse_toml(text, path);
    TomlText file(text);
    if (file.value("film", "stress").empty())
        throw InputError({path, 0}, "--write-design",
                         "writes what the chip's devices share, and film.stress stands in their designs; give it in "
                         "the chip file's [film]");
    std::set<std::string> done;
    for (const DeviceComparison& device : c.devices)
        for (const WrittenValue& v : device.written) {
            const std::size_t dot = v.key.find('.');
            if (file.value(v.key.substr(0, dot), v.key.substr(dot + 1)).empty() || !done.insert(v.key).second) continue;
            put(file, v, c.temperature_k);
        }
    for (const FittedValue& v : c.values)
        if (v.unit == "Pa/m")
            file.put_first("film", "# stress at the chip's centre; " + v.name.substr(5) +
                                       printed(" = %.3g +- %.2g MPa/mm", 1e-9 * v.fitted, 1e-9 * v.deviation));
    return file.text();
}

}  // namespace tymbal
