#include "tymbal/read/read_measured.h"

#include "measured_conditions.h"
#include "measured_header.h"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <utility>

namespace tymbal {

namespace {

constexpr double least_frequency = 1e-3;       // Hz
constexpr double largest_frequency = 1e12;     // Hz
constexpr std::size_t surely_a_spectrum = 64;  // rows; evenly spaced

/// A table being read: where it is and what a number may look like.
class Table {
public:
    Table(CsvRows& rows, const Header& header, const ReadingChoice& choice)
        : rows_(rows), header_(header), choice_(choice) {}

    /// Next row that is no comment.
    bool next(Measured& into) {
        while (rows_.next()) {
            if (is_comment(rows_.line())) {
                read_condition(rows_.line(), into);
                continue;
            }
            split(rows_.line(), header_.separator, fields_);
            if (fields_.size() == header_.columns.size() || only_blank_more()) return true;
            refuse_width();
        }
        return false;
    }

    [[nodiscard]] bool blank(int column) const { return column < 0 || field(column).empty(); }
    [[nodiscard]] std::string text(int column) const { return std::string(field(column)); }

    /// SI value of a column that must hold a number.
    [[nodiscard]] double number(int column) {
        const std::string_view text = field(column);
        const bool comma = text.find(',') != std::string_view::npos;
        const char decimal = choice_.decimal.value_or(comma ? ',' : '.');
        const std::optional<double> value = number_in(text, decimal);
        if (!value) refuse_number(column);
        if (comma && !choice_.decimal) {
            if (first_comma_.line == 0) first_comma_ = rows_.place();
            surely_decimal_ = surely_decimal_ || !could_be_thousands(text);
        }
        points_ = points_ || text.find('.') != std::string_view::npos;
        const ColumnUse& use = header_.at(column);
        const double si = use.decibel ? std::pow(10.0, *value / 10.0) : *value * use.factor + use.offset;
        if (!std::isfinite(si)) refuse_number(column);
        return si;
    }

    [[noreturn]] void refuse(int column, const std::string& message) const {
        throw InputError(rows_.place(), header_.at(column).name, message);
    }

    [[nodiscard]] int line() const { return rows_.place().line; }

    /// Commas that may be decimal signs or thousands: asked for, not guessed.
    void require_clear_decimals() const {
        if (first_comma_.line > 0 && points_)
            throw InputError(first_comma_, "", "has a decimal comma in a file that has decimal points too; use one");
        if (first_comma_.line > 0 && !surely_decimal_)
            throw InputError(first_comma_, "",
                             "has numbers like '1,234' only, which may be decimals or thousands; say --decimal comma, "
                             "or write thousands without a sign");
    }

private:
    [[nodiscard]] std::string_view field(int column) const { return fields_[static_cast<std::size_t>(column)]; }

    [[nodiscard]] bool only_blank_more() const {
        return fields_.size() > header_.columns.size() &&
               std::all_of(fields_.begin() + static_cast<std::ptrdiff_t>(header_.columns.size()), fields_.end(),
                           [](std::string_view f) { return f.empty(); });
    }

    [[noreturn]] void refuse_width() const {
        std::string text = "has ";
        text.append(std::to_string(fields_.size())).append(" fields where the header names ");
        text.append(std::to_string(header_.columns.size()));
        if (header_.separator == ',' && fields_.size() > header_.columns.size())
            text.append("; with decimal commas the columns must be parted by semicolons or tabs");
        throw InputError(rows_.place(), "", text);
    }

    [[noreturn]] void refuse_number(int column) const {
        std::string text = "is '";
        text.append(field(column).substr(0, 40));
        refuse(column, text.append("', not a finite number; accepted: plain decimals such as 401.6 or 4.016e5"));
    }

    CsvRows& rows_;
    const Header& header_;
    const ReadingChoice& choice_;
    std::vector<std::string_view> fields_;
    Place first_comma_;
    bool surely_decimal_ = false, points_ = false;
};

void read_condition_columns(Table& table, const Header& header, Conditions& c) {
    const auto number = [&](ColumnKind holds, std::optional<double>& into) {
        const int column = header.find(holds);
        if (!into && !table.blank(column)) into = table.number(column);
    };
    const auto text = [&](ColumnKind holds, std::optional<std::string>& into) {
        const int column = header.find(holds);
        if (!into && !table.blank(column)) into = table.text(column);
    };
    number(ColumnKind::pressure, c.pressure_pa);
    number(ColumnKind::temperature, c.temperature_k);
    number(ColumnKind::light, c.power_w);
    text(ColumnKind::date, c.date);
    text(ColumnKind::mount, c.mount);
    text(ColumnKind::spot, c.spot);
}

double frequency(Table& table, int column) {
    const double hz = table.number(column);
    if (hz < least_frequency || hz > largest_frequency)
        table.refuse(column, "is not between 1 mHz and 1 THz; is its unit right?");
    return hz;
}

/// A measured scatter must be zero or more and far below its value.
double deviation(Table& table, int column, double of) {
    const double sigma = table.number(column);
    if (sigma < 0.0) table.refuse(column, "is below zero; an uncertainty is one standard deviation");
    if (sigma > 0.3 * of) table.refuse(column, "is more than 30 % of the value; is its unit right?");
    return sigma;
}

Peak read_peak(Table& table, const Header& header, const ReadingChoice& choice) {
    Peak peak;
    peak.line = table.line();
    peak.frequency_hz = frequency(table, header.find(ColumnKind::frequency));
    const auto given = [&](ColumnKind holds) { return !table.blank(header.find(holds)); };
    if (given(ColumnKind::deviation))
        peak.deviation_hz = deviation(table, header.find(ColumnKind::deviation), peak.frequency_hz);
    if (given(ColumnKind::width)) {
        const int column = header.find(ColumnKind::width);
        const double width = table.number(column) / (choice.width == WidthOf::amplitude ? std::sqrt(3.0) : 1.0);
        if (width <= 0.0 || width > peak.frequency_hz) table.refuse(column, "is no width of a line at this frequency");
        peak.quality = peak.frequency_hz / width;
    }
    if (given(ColumnKind::width_deviation) && peak.quality) {
        const int column = header.find(ColumnKind::width_deviation);
        const double sigma = table.number(column);
        if (sigma < 0.0) table.refuse(column, "is below zero; an uncertainty is one standard deviation");
        peak.quality_deviation = *peak.quality * sigma / table.number(header.find(ColumnKind::width));
    }
    if (given(ColumnKind::detuning)) {
        const int column = header.find(ColumnKind::detuning);
        peak.detuning_hz = table.number(column);
        if (std::abs(*peak.detuning_hz) > largest_frequency)
            table.refuse(column, "is more than 1 THz from the cavity; is its unit right?");
    }
    if (given(ColumnKind::quality)) {
        peak.quality = table.number(header.find(ColumnKind::quality));
        if (*peak.quality < 1.0) table.refuse(header.find(ColumnKind::quality), "is below 1, no resonance");
        if (given(ColumnKind::quality_deviation))
            peak.quality_deviation = table.number(header.find(ColumnKind::quality_deviation));
    }
    if (given(ColumnKind::signal)) peak.height = table.number(header.find(ColumnKind::signal));
    if (given(ColumnKind::drive)) peak.drive = table.number(header.find(ColumnKind::drive));
    return peak;
}

void sort_peaks(Measured& into, bool drives) {
    auto& peaks = into.peaks;
    const auto lower_frequency = [](const Peak& a, const Peak& b) { return a.frequency_hz < b.frequency_hz; };
    if (!std::is_sorted(peaks.begin(), peaks.end(), lower_frequency)) {
        into.notes.emplace_back("the peaks are not in order of frequency: sorted");
        std::stable_sort(peaks.begin(), peaks.end(), lower_frequency);
    }
    for (std::size_t k = 1; k < peaks.size() && !drives; ++k)
        if (k > 1 && peaks[k].frequency_hz == peaks[k - 2].frequency_hz) {
            std::string text = "is the same as in line ";
            text.append(std::to_string(peaks[k - 2].line))
                .append(" and line ")
                .append(std::to_string(peaks[k - 1].line));
            throw InputError({into.file, peaks[k].line}, "frequency",
                             text.append("; list every peak once, a degenerate pair twice"));
        } else if (peaks[k].frequency_hz == peaks[k - 1].frequency_hz) {
            into.notes.push_back(std::string("lines ")
                                     .append(std::to_string(peaks[k - 1].line))
                                     .append(" and ")
                                     .append(std::to_string(peaks[k].line))
                                     .append(" have one frequency: taken as a degenerate pair"));
        }
}

/// What is read of the device with this name; at its first row it has what the file says of all.
Measured& of_device(std::vector<MeasuredDevice>& devices, const std::string& name, const Measured& file) {
    for (MeasuredDevice& device : devices)
        if (device.name == name) return device.measured;
    devices.push_back({name, file});
    return devices.back().measured;
}

void note_widths(const ReadingChoice& choice, Measured& into) {
    into.notes.emplace_back(choice.width == WidthOf::power
                                ? "line widths are taken as full widths at half maximum of power (Q = f/width); "
                                  "--width amplitude if of the amplitude curve"
                                : "line widths are of the amplitude curve: divided by the square root of 3");
}

/// @param alone  name of the one device of a file whose rows name none
std::vector<MeasuredDevice> read_peaks(Table& table, const Header& header, const ReadingChoice& choice, Measured file,
                                       const std::string& alone) {
    const int column = header.find(ColumnKind::device);
    if (header.find(ColumnKind::width) >= 0) note_widths(choice, file);
    std::vector<MeasuredDevice> devices;
    std::size_t rows = 0;
    while (table.next(column >= 0 || devices.empty() ? file : devices.front().measured)) {
        if (++rows > most_peaks)
            throw InputError({file.file, table.line()}, "",
                             "is the 2001st peak; a spectrum needs --kind spectrum, a list may have 2000");
        if (column >= 0 && table.blank(column)) table.refuse(column, "is empty; name the device of every row");
        Measured& device = of_device(devices, column >= 0 ? table.text(column) : alone, file);
        device.peaks.push_back(read_peak(table, header, choice));
        read_condition_columns(table, header, device.conditions);
    }
    if (header.find(ColumnKind::detuning) >= 0) return devices;  // one line many times, in the order of the scan
    for (MeasuredDevice& device : devices) sort_peaks(device.measured, header.find(ColumnKind::drive) >= 0);
    return devices;
}

/// Power from a signal column, its scale said by the header or by an option.
SignalScale scale_of(const ColumnUse& use, const ReadingChoice& choice, const Place& place) {
    const SignalScale scale = use.scale != SignalScale::unsaid ? use.scale : choice.signal;
    if (scale == SignalScale::unsaid)
        throw InputError(
            place, use.name,
            "may be an amplitude or a power, which changes Q by a factor of two; say --signal amplitude or "
            "--signal power, or name the column so");
    if (choice.signal != SignalScale::unsaid && choice.signal != scale)
        throw InputError(place, use.name, "names its scale, and --signal says another; leave the option out");
    return scale;
}

double power(Table& table, int column, SignalScale scale, bool decibel) {
    const double value = table.number(column);
    if (scale == SignalScale::amplitude) return value * value;
    if (!decibel && value < 0.0) table.refuse(column, "is below zero, which no power is");
    return value;
}

/// The signal of a curve: one column, or the two quadratures of a lock-in.
class Signal {
public:
    Signal(const Header& header, const ReadingChoice& choice, const Place& place)
        : column_(header.find(ColumnKind::signal)),
          x_(header.find(ColumnKind::quadrature_x)),
          y_(header.find(ColumnKind::quadrature_y)) {
        if (column_ >= 0) scale_ = scale_of(header.at(column_), choice, place);
    }
    [[nodiscard]] double read(Table& table, const Header& header) const {
        if (column_ >= 0) return power(table, column_, scale_, header.at(column_).decibel);
        const double x = table.number(x_), y = table.number(y_);
        return x * x + y * y;
    }
    [[nodiscard]] std::string note(const Header& header) const {
        std::string text = "column";
        if (column_ < 0) {
            text.append("s '").append(header.at(x_).name).append("' and '").append(header.at(y_).name);
            return text.append("' are taken as the quadratures of an amplitude");
        }
        text.append(" '").append(header.at(column_).name).append("' is taken as ");
        const bool amplitude = scale_ == SignalScale::amplitude;
        return text.append(header.at(column_).decibel ? "10 lg of a power" : amplitude ? "an amplitude" : "a power");
    }
    [[nodiscard]] bool in_metres(const Header& header) const {
        return column_ >= 0 && scale_ == SignalScale::amplitude && header.at(column_).in_metres;
    }

private:
    int column_, x_, y_;
    SignalScale scale_ = SignalScale::amplitude;
};

/// Two columns, the first rising; `what` names it.
void read_curve(Table& table, const Header& header, const ReadingChoice& choice, Measured& into) {
    const bool decay = into.kind == MeasuredKind::ringdown;
    const int along = header.find(decay ? ColumnKind::time : ColumnKind::frequency);
    std::vector<double>& x = decay ? into.decay.time_s : into.spectrum.frequency_hz;
    std::vector<double>& y = decay ? into.decay.power : into.spectrum.power;
    const Signal signal(header, choice, {into.file, 0});
    while (table.next(into)) {
        if (x.size() == most_rows) throw InputError({into.file, table.line()}, "", "is row 20000001; cut the file");
        const double at = decay ? table.number(along) : frequency(table, along);
        if (!x.empty() && at <= x.back())
            table.refuse(along, at == x.back() ? "is the same as in the row before"
                                               : "is below the row before; one file holds one sweep, rising");
        x.push_back(at);
        y.push_back(signal.read(table, header));
        if (x.size() == 1) read_condition_columns(table, header, into.conditions);
    }
    into.decay.in_metres = decay && signal.in_metres(header);
    into.notes.push_back(signal.note(header));
}

bool evenly_spaced(const std::vector<Peak>& rows) {
    const double first = rows[1].frequency_hz - rows[0].frequency_hz;
    for (std::size_t k = 2; k < rows.size(); ++k)
        if (std::abs(rows[k].frequency_hz - rows[k - 1].frequency_hz - first) > 0.02 * first) return false;
    return first > 0.0;
}

bool has_quadratures(const Header& header) {
    return header.find(ColumnKind::quadrature_x) >= 0 && header.find(ColumnKind::quadrature_y) >= 0;
}

/// A list and a spectrum may have the same header; what settles it is a column that only one of them has, or the
/// first rows' even spacing. @throws InputError when neither does
MeasuredKind kind_of(const std::string& path, const Header& header, const ReadingChoice& choice) {
    const bool time = header.find(ColumnKind::time) >= 0;
    const bool signal = header.find(ColumnKind::signal) >= 0 || has_quadratures(header);
    MeasuredKind kind = MeasuredKind::peaks;
    if (choice.kind) {
        kind = *choice.kind;
    } else if (time) {
        kind = MeasuredKind::ringdown;
    } else if (signal && header.find(ColumnKind::deviation) < 0 && header.find(ColumnKind::width) < 0 &&
               header.find(ColumnKind::quality) < 0 && header.find(ColumnKind::drive) < 0) {
        CsvRows rows(path);
        Measured head;
        head.file = path;
        const Header again = find_header(rows, head);
        Table table(rows, again, choice);
        while (head.peaks.size() < surely_a_spectrum && table.next(head))
            head.peaks.push_back(read_peak(table, again, choice));
        if (head.peaks.size() < surely_a_spectrum || !evenly_spaced(head.peaks))
            throw InputError({path, 0}, "",
                             "may be a list of peaks or a spectrum; say --kind peaks or --kind spectrum");
        kind = MeasuredKind::spectrum;
    }
    const bool ringdown = kind == MeasuredKind::ringdown;
    if (ringdown != time)
        throw InputError({path, 0}, "",
                         ringdown ? "has no column 'time (s)', which a ringdown needs"
                                  : "has a column for time: it is a ringdown; leave --kind out");
    if (kind != MeasuredKind::peaks && !signal)
        throw InputError({path, 0}, "",
                         "has no column for the signal; accepted: amplitude, R, X and Y together, psd, power, energy, "
                         "signal and voltage with --signal, or one column with a trace's own name and unit");
    return kind;
}

}  // namespace

std::vector<MeasuredDevice> read_measured_devices(const std::string& path, const ReadingChoice& choice) {
    const std::string name = std::filesystem::path(path).stem().string();
    Measured file;
    file.file = path;
    CsvRows rows(path);
    const Header header = find_header(rows, file);
    for (const ColumnUse& use : header.columns)
        if (use.holds == ColumnKind::other && !use.name.empty())
            file.notes.push_back(std::string("column '").append(use.name).append("' is not used"));
    file.kind = kind_of(path, header, choice);
    Table table(rows, header, choice);
    std::vector<MeasuredDevice> devices;
    if (file.kind == MeasuredKind::peaks) {
        devices = read_peaks(table, header, choice, std::move(file), name);
    } else {
        if (header.find(ColumnKind::device) >= 0)
            throw InputError({path, 0}, "device", "is a column of lists of peaks; a curve needs a file of its own");
        read_curve(table, header, choice, file);
        if (!file.spectrum.power.empty() || !file.decay.power.empty()) devices.push_back({name, std::move(file)});
    }
    table.require_clear_decimals();
    if (devices.empty()) throw InputError({path, 0}, "", "has a header but no rows");
    for (MeasuredDevice& device : devices) {
        if (choice.resolution_hz) device.measured.spectrum.resolution_hz = *choice.resolution_hz;
        if (choice.frequency_hz) device.measured.decay.frequency_hz = *choice.frequency_hz;
    }
    return devices;
}

Measured read_measured(const std::string& path, const ReadingChoice& choice) {
    std::vector<MeasuredDevice> devices = read_measured_devices(path, choice);
    if (devices.size() > 1)
        throw InputError({path, 0}, "device",
                         "names " + std::to_string(devices.size()) +
                             " devices; a design is one: compare the chip file, or keep the rows of one device");
    return std::move(devices.front().measured);
}

}  // namespace tymbal
