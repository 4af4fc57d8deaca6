#include "measured_columns.h"

#include "tymbal/base/nearest.h"
#include "tymbal/base/parse_quantity.h"

#include <algorithm>

namespace tymbal {

namespace {

struct Name {
    const char* text;
    Column holds;
    std::optional<Kind> kind;  ///< of its unit; none: any unit or none
    SignalScale scale = SignalScale::unsaid;
};

const std::vector<Name>& names() {
    static const std::vector<Name> all{
        {"frequency", Column::frequency, Kind::frequency},
        {"uncertainty", Column::deviation, Kind::frequency},
        {"frequency uncertainty", Column::deviation, Kind::frequency},
        {"sigma", Column::deviation, Kind::frequency},
        {"linewidth", Column::width, Kind::frequency},
        {"fwhm", Column::width, Kind::frequency},
        {"q", Column::quality, Kind::ratio},
        {"quality factor", Column::quality, Kind::ratio},
        {"q uncertainty", Column::quality_deviation, Kind::ratio},
        {"q sigma", Column::quality_deviation, Kind::ratio},
        {"time", Column::time, Kind::time},
        {"amplitude", Column::signal, {}, SignalScale::amplitude},
        {"psd", Column::signal, {}, SignalScale::power},
        {"power", Column::signal, {}, SignalScale::power},
        {"energy", Column::signal, {}, SignalScale::power},
        {"signal", Column::signal, {}},
        {"voltage", Column::signal, {}},
        {"drive", Column::drive, {}},
        {"pressure", Column::pressure, Kind::pressure},
        {"temperature", Column::temperature, Kind::temperature},
        {"laser power", Column::light, Kind::power},
        {"date", Column::date, {}},
        {"mount", Column::mount, {}},
        {"spot", Column::spot, {}},
    };
    return all;
}

/// "frequency (kHz)" or "frequency [kHz]" as name and unit.
std::array<std::string, 2> name_and_unit(std::string_view field) {
    const std::size_t open = field.find_last_of("([");
    const bool closed = !field.empty() && (field.back() == ')' || field.back() == ']');
    if (open == std::string_view::npos || !closed) return {lower(trimmed(field)), ""};
    return {lower(trimmed(field.substr(0, open))),
            std::string(trimmed(field.substr(open + 1, field.size() - open - 2)))};
}

bool is_decibel(const std::string& unit) {
    return unit.rfind("dB", 0) == 0;
}

/// Factor and offset of a unit of a known kind; the plain factors of this trade beside those of the design file.
void read_unit(ColumnUse& use, Kind kind, const Place& place) {
    if (kind == Kind::time && (use.unit == "us" || use.unit == "µs")) {
        use.factor = 1e-6;
        return;
    }
    if (use.unit.empty() && kind != Kind::ratio) {
        std::string text = "names no unit; write it behind the name, e.g. '";
        throw InputError(place, use.name,
                         text.append(use.name).append(" (").append(accepted_units(kind)[0]).append(")'"));
    }
    try {
        use.offset = parse_quantity("0 " + use.unit, kind).value;
        use.factor = parse_quantity("1 " + use.unit, kind).value - use.offset;
    } catch (const UnitError&) {
        std::string text = "has the unit '";
        text.append(use.unit).append("', which is not one of a ").append(to_string(kind)).append("; accepted: ");
        for (const std::string& unit : accepted_units(kind))
            text.append(unit.empty() ? "none" : unit).append(unit == accepted_units(kind).back() ? "" : ", ");
        throw InputError(place, use.name, text);
    }
}

ColumnUse read_column(std::string_view field, const Place& place) {
    const auto [name, unit] = name_and_unit(field);
    ColumnUse use;
    use.name = std::string(field);
    use.unit = unit;
    for (const Name& known : names()) {
        if (name != known.text) continue;
        use.holds = known.holds;
        use.scale = known.scale;
        if (known.kind) read_unit(use, *known.kind, place);
    }
    if (use.holds == Column::signal && is_decibel(unit)) {
        use.decibel = true;
        use.scale = SignalScale::power;  // 20 lg of an amplitude is 10 lg of its square
    }
    return use;
}

}  // namespace

int Header::find(Column holds) const {
    for (std::size_t k = 0; k < columns.size(); ++k)
        if (columns[k].holds == holds) return static_cast<int>(k);
    return -1;
}

std::optional<Header> read_header(const std::string& line, const Place& place) {
    Header header;
    header.separator = separator_of(line);
    std::vector<std::string_view> fields;
    split(line, header.separator, fields);
    bool table = false;
    for (const std::string_view field : fields) {
        if (number_in(field, '.') || number_in(field, ',')) return std::nullopt;
        const std::string name = name_and_unit(field)[0];
        table = table || name == "frequency" || name == "time";
    }
    if (!table) return std::nullopt;
    for (const std::string_view field : fields) {
        header.columns.push_back(read_column(field, place));
        const ColumnUse& use = header.columns.back();
        if (use.holds != Column::other && header.find(use.holds) + 1 != static_cast<int>(header.columns.size()))
            throw InputError(place, use.name, "is the second column for the same; leave one of them");
    }
    return header;
}

}  // namespace tymbal
