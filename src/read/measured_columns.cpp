#include "measured_columns.h"

#include "tymbal/base/nearest.h"

#include <algorithm>
#include <array>

namespace tymbal {

namespace {

struct Name {
    const char* text;
    ColumnKind holds;
    std::optional<Kind> kind;  ///< of its unit; none: any unit or none
    SignalScale scale = SignalScale::unsaid;
};

const std::vector<Name>& names() {
    static const std::vector<Name> all{
        {"frequency", ColumnKind::frequency, Kind::frequency},
        {"freq", ColumnKind::frequency, Kind::frequency},
        {"f", ColumnKind::frequency, Kind::frequency},
        {"uncertainty", ColumnKind::deviation, Kind::frequency},
        {"frequency uncertainty", ColumnKind::deviation, Kind::frequency},
        {"frequency std", ColumnKind::deviation, Kind::frequency},
        {"freq std", ColumnKind::deviation, Kind::frequency},
        {"f std", ColumnKind::deviation, Kind::frequency},
        {"sigma", ColumnKind::deviation, Kind::frequency},
        {"linewidth", ColumnKind::width, Kind::frequency},
        {"fwhm", ColumnKind::width, Kind::frequency},
        {"linewidth uncertainty", ColumnKind::width_deviation, Kind::frequency},
        {"linewidth std", ColumnKind::width_deviation, Kind::frequency},
        {"fwhm uncertainty", ColumnKind::width_deviation, Kind::frequency},
        {"fwhm std", ColumnKind::width_deviation, Kind::frequency},
        {"detuning", ColumnKind::detuning, Kind::frequency},
        {"q", ColumnKind::quality, Kind::ratio},
        {"quality", ColumnKind::quality, Kind::ratio},
        {"quality factor", ColumnKind::quality, Kind::ratio},
        {"quality total", ColumnKind::quality, Kind::ratio},  // as predict's CSV has it
        {"q uncertainty", ColumnKind::quality_deviation, Kind::ratio},
        {"q sigma", ColumnKind::quality_deviation, Kind::ratio},
        {"q std", ColumnKind::quality_deviation, Kind::ratio},
        {"quality std", ColumnKind::quality_deviation, Kind::ratio},
        {"time", ColumnKind::time, Kind::time},
        {"t", ColumnKind::time, Kind::time},
        {"amplitude", ColumnKind::signal, {}, SignalScale::amplitude},
        {"r", ColumnKind::signal, {}, SignalScale::amplitude},
        {"magnitude", ColumnKind::signal, {}, SignalScale::amplitude},
        {"psd", ColumnKind::signal, {}, SignalScale::power},
        {"power", ColumnKind::signal, {}, SignalScale::power},
        {"energy", ColumnKind::signal, {}, SignalScale::power},
        {"signal", ColumnKind::signal, {}},
        {"voltage", ColumnKind::signal, {}},
        {"x", ColumnKind::quadrature_x, {}},
        {"y", ColumnKind::quadrature_y, {}},
        {"drive", ColumnKind::drive, {}},
        {"pressure", ColumnKind::pressure, Kind::pressure},
        {"temperature", ColumnKind::temperature, Kind::temperature},
        {"laser power", ColumnKind::light, Kind::power},
        {"date", ColumnKind::date, {}},
        {"mount", ColumnKind::mount, {}},
        {"spot", ColumnKind::spot, {}},
        {"device", ColumnKind::device, {}},
    };
    return all;
}

const Name* find_name(const std::string& text) {
    for (const Name& known : names())
        if (text == known.text) return &known;
    return nullptr;
}

/// "Frequency_Std" as "frequency std"; a capital T alone is no time.
std::string plain_name(std::string_view text) {
    const std::string_view bare = trimmed(text);
    if (bare == "T") return "temperature";
    std::string out = lower(bare);
    std::replace(out.begin(), out.end(), '_', ' ');
    while (!out.empty() && (out.back() == '.' || out.back() == ':' || out.back() == ' ')) out.pop_back();
    return out;
}

/// Where the bracket opens that the last character closes; npos: it closes none.
std::size_t opening_bracket(std::string_view field) {
    if (field.empty() || (field.back() != ')' && field.back() != ']')) return std::string_view::npos;
    int depth = 0;
    for (std::size_t k = field.size(); k-- > 0;) {
        if (field[k] == ')' || field[k] == ']') ++depth;
        if ((field[k] == '(' || field[k] == '[') && --depth == 0) return k;
    }
    return std::string_view::npos;
}

struct Field {
    std::string name, unit;
};

/// Where the underscore stands behind which a name has its unit, "PSD_m2_per_Hz" or "frequency_kHz"; npos: nowhere.
std::size_t underscore_before_unit(std::string_view text) {
    const std::size_t per = text.find("_per_");
    return text.rfind('_', per == std::string_view::npos || per == 0 ? per : per - 1);
}

/// "m2_per_Hz" as "m^2/Hz".
std::string spelled_unit(std::string_view text) {
    const std::size_t per = text.find("_per_");
    if (per == std::string_view::npos) return std::string(text);
    std::string out(text.substr(0, per));
    if (!out.empty() && out.back() == '2') out.replace(out.size() - 1, 1, "^2");
    return out.append("/").append(text.substr(per + 5));
}

/// Whether what stands behind a name and an underscore can be its unit: "quality_low" is no Q in units of "low".
bool takes_unit(const Name& known, const std::string& unit) {
    if (known.kind == Kind::ratio) return unit == "%";
    const bool words = known.holds == ColumnKind::date || known.holds == ColumnKind::mount ||
                       known.holds == ColumnKind::spot || known.holds == ColumnKind::device;
    return !words;
}

/// "frequency (kHz)", "frequency [kHz]", "f / kHz" or "frequency_kHz" as name and unit.
Field field_of(std::string_view text) {
    const std::size_t open = opening_bracket(text);
    if (open != std::string_view::npos)
        return {plain_name(text.substr(0, open)), std::string(trimmed(text.substr(open + 1, text.size() - open - 2)))};
    if (const std::size_t stroke = text.find(" / "); stroke != std::string_view::npos)
        return {plain_name(text.substr(0, stroke)), std::string(trimmed(text.substr(stroke + 3)))};
    const std::string whole = plain_name(text);
    const std::size_t low = underscore_before_unit(text);
    if (find_name(whole) != nullptr || low == std::string_view::npos) return {whole, ""};
    const std::string before = plain_name(text.substr(0, low));
    const std::string unit = spelled_unit(trimmed(text.substr(low + 1)));
    const Name* known = find_name(before);
    return known != nullptr && takes_unit(*known, unit) ? Field{before, unit} : Field{whole, ""};
}

bool is_decibel(const std::string& unit) {
    return unit.rfind("dB", 0) == 0;
}

/// Hertz in any case of letters, as names with underscores have it; "mHz" stays, and is refused.
std::string usual_unit(const std::string& unit) {
    if (unit == "mHz") return unit;
    for (const char* known : {"Hz", "kHz", "MHz", "GHz"})
        if (lower(unit) == lower(known)) return known;
    return unit == "µs" ? "us" : unit;
}

/// Factor and offset of a unit; the plain factors of this trade beside those of the design file.
void set_unit(ColumnUse& use, Kind kind) {
    const std::string unit = usual_unit(use.unit);
    if (kind == Kind::time && unit == "us") {
        use.factor = 1e-6;
        return;
    }
    use.offset = parse_quantity("0 " + unit, kind).value;
    use.factor = parse_quantity("1 " + unit, kind).value - use.offset;
}

void read_unit(ColumnUse& use, Kind kind, const Place& place) {
    if (use.unit.empty() && kind != Kind::ratio) {
        std::string text = "names no unit; write it behind the name, e.g. '";
        throw InputError(place, use.name,
                         text.append(use.name)
                             .append(" (")
                             .append(accepted_units(kind)[0])
                             .append(")', or give units in the line below the names"));
    }
    try {
        set_unit(use, kind);
    } catch (const UnitError&) {
        std::string text = "has the unit '";
        text.append(use.unit).append("', which is not one of a ").append(to_string(kind)).append("; accepted: ");
        for (const std::string& unit : accepted_units(kind))
            text.append(unit.empty() ? "none" : unit).append(unit == accepted_units(kind).back() ? "" : ", ");
        throw InputError(place, use.name, text);
    }
}

ColumnUse read_column(std::string_view field) {
    const Field parts = field_of(field);
    ColumnUse use;
    use.name = std::string(field);
    use.unit = parts.unit;
    if (const Name* known = find_name(parts.name)) {
        use.holds = known->holds;
        use.scale = known->scale;
        use.kind = known->kind;
    }
    return use;
}

/// Power by its unit, where the name leaves it open.
SignalScale scale_by_unit(const std::string& unit) {
    const auto has = [&](const char* part) { return unit.find(part) != std::string::npos; };
    if (has("rtHz") || has("sqrt(Hz)") || has("Hz^0.5") || has("Hz^(1/2)")) return SignalScale::amplitude;
    return is_decibel(unit) || has("/Hz") || has("^2") || unit == "W" || unit == "mW" || unit == "uW" || unit == "nW"
               ? SignalScale::power
               : SignalScale::unsaid;
}

void read_signal(ColumnUse& use) {
    use.decibel = is_decibel(use.unit);
    if (use.decibel) use.scale = SignalScale::power;  // 20 lg of an amplitude is 10 lg of its square
    if (use.scale == SignalScale::unsaid) use.scale = scale_by_unit(use.unit);
    if (use.scale != SignalScale::amplitude) return;
    try {
        use.factor = parse_quantity("1 " + use.unit, Kind::length).value;
        use.in_metres = true;
    } catch (const UnitError&) {
        use.in_metres = false;  // volts or counts
    }
}

bool names_a_trace(const std::string& name) {
    constexpr std::array<const char*, 7> begins{"trace", "ch", "demod", "s11", "s21", "s12", "s22"};
    const std::string plain = lower(name);
    return std::any_of(begins.begin(), begins.end(), [&](const char* begin) { return plain.rfind(begin, 0) == 0; });
}

/// Instruments call the signal by the trace's own name: it is the column with a unit beside frequency or time.
void choose_trace(Header& header) {
    if (header.find(ColumnKind::signal) >= 0) {
        for (ColumnUse& use : header.columns)  // a lock-in's R makes its quadratures superfluous
            if (use.holds == ColumnKind::quadrature_x || use.holds == ColumnKind::quadrature_y)
                use.holds = ColumnKind::other;
        return;
    }
    ColumnUse* chosen = nullptr;
    for (ColumnUse& use : header.columns) {
        if (use.holds != ColumnKind::other || use.unit.empty()) continue;
        if (header.columns.size() > 2 && !names_a_trace(use.name)) continue;
        if (chosen != nullptr) return;  // two traces: nobody can tell which is meant
        chosen = &use;
    }
    if (chosen != nullptr) chosen->holds = ColumnKind::signal;
}

/// Beside a detuning, a width is that of a line; elsewhere it may be the window's.
void take_plain_width(Header& header) {
    for (ColumnUse& use : header.columns) {
        const std::string name = field_of(use.name).name;
        if (name == "width") use.holds = ColumnKind::width;
        if (name == "width uncertainty" || name == "width std") use.holds = ColumnKind::width_deviation;
        if (use.holds == ColumnKind::width || use.holds == ColumnKind::width_deviation) use.kind = Kind::frequency;
    }
}

}  // namespace

int Header::find(ColumnKind holds) const {
    for (std::size_t k = 0; k < columns.size(); ++k)
        if (columns[k].holds == holds) return static_cast<int>(k);
    return -1;
}

std::optional<Header> read_header(std::string_view line) {
    Header header;
    header.separator = separator_of(line);
    std::vector<std::string_view> fields;
    split(line, header.separator, fields);
    for (const std::string_view field : fields) {
        if (number_in(field, '.') || number_in(field, ',')) return std::nullopt;
        header.columns.push_back(read_column(field));
    }
    if (header.find(ColumnKind::frequency) < 0 && header.find(ColumnKind::time) < 0) return std::nullopt;
    if (header.find(ColumnKind::detuning) >= 0) take_plain_width(header);
    return header;
}

bool lacks_units(const Header& header) {
    return std::any_of(header.columns.begin(), header.columns.end(),
                       [](const ColumnUse& use) { return use.unit.empty() && use.kind && *use.kind != Kind::ratio; });
}

bool take_units(Header& header, std::string_view line) {
    std::vector<std::string_view> fields;
    split(line, header.separator, fields);
    if (fields.size() != header.columns.size()) return false;
    Header with = header;
    for (std::size_t k = 0; k < fields.size(); ++k) {
        if (number_in(fields[k], '.') || number_in(fields[k], ',')) return false;
        ColumnUse& use = with.columns[k];
        const std::size_t open = opening_bracket(fields[k]);
        if (use.unit.empty() && !fields[k].empty())
            use.unit = std::string(open == 0 ? fields[k].substr(1, fields[k].size() - 2) : fields[k]);
    }
    header = with;
    return true;
}

void read_units(Header& header, const Place& place) {
    for (std::size_t k = 0; k < header.columns.size(); ++k) {
        const ColumnUse& use = header.columns[k];
        if (use.holds != ColumnKind::other && header.find(use.holds) != static_cast<int>(k))
            throw InputError(place, use.name, "is the second column for the same; leave one of them");
    }
    choose_trace(header);
    for (ColumnUse& use : header.columns) {
        if (use.kind) read_unit(use, *use.kind, place);
        if (use.holds == ColumnKind::signal) read_signal(use);
    }
}

std::string accepted_columns() {
    return "frequency (also freq, f) or time (t), with amplitude (R, X and Y), psd, power, energy, signal, voltage or "
           "a "
           "trace's own name, uncertainty, linewidth, Q, detuning; the unit in brackets, behind an underscore or in "
           "the next "
           "line, "
           "e.g. 'frequency (Hz),amplitude (V)' or 'time (s),amplitude (V)'";
}

}  // namespace tymbal
