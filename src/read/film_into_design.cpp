#include "tymbal/read/read_wafer.h"

#include "../text/toml_table.h"
#include "../text/toml_text.h"

#include "tymbal/base/error.h"
#include "tymbal/read/design.h"

#include <cstdio>

namespace tymbal {

namespace {

std::string quantity(double value, double deviation, double unit, const char* name) {
    char text[96];
    const char* const space = *name == '\0' ? "" : " ";
    std::snprintf(text, sizeof text, "%.6g +- %.3g%s%s", value / unit, deviation / unit, space, name);
    return text;
}

}  // namespace

std::string design_with_film(const std::string& path, const WaferFilm& film, const Materials& materials,
                             const ReadLimits& limits) {
    const bool indexed = index_fits(film, as_released(read_design(path), materials, limits));
    const std::string before = read_text(path);
    (void)parse_toml(before, path);
    TomlText file(before);
    const auto put = [&](const char* key, const std::string& value) {
        file.set("film", key, quoted_like(file.value("film", key), value));
    };
    put("thickness", quantity(film.thickness_m, film.thickness_std_m, 1e-9, "nm"));
    put("stress", quantity(film.stress.stress_pa, film.stress.stress_std_pa, 1e6, "MPa"));
    if (indexed) put("index", quantity(*film.index, film.index_std.value_or(0.0), 1.0, ""));
    // It belonged to the old stress; the wafer was measured at room temperature, the default.
    file.remove("film", "stress_temperature");
    file.put_first("film", "# from the wafer's shape, SHA-256 " + film.sha256.substr(0, 16));
    (void)as_released(parse_design(file.text(), path + " with the wafer's film"), materials, limits);
    return file.text();
}

}  // namespace tymbal
