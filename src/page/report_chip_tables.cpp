// Tables of a chip's page: devices, modes that stand close, what the record knows, inputs.
#include "../print/chip_rows.h"
#include "../print/record_rows.h"
#include "report_chip_parts.h"

#include <algorithm>
#include <utility>

namespace tymbal {

namespace {

constexpr std::size_t most_pairs = 40;  // they grow with the square of the devices

std::vector<std::string> device_cells(const PredictedDevice& d, const FrequencyUnit& unit) {
    std::vector<std::string> cells{d.name, millimetres(d.position), outline_words(d)};
    if (!d.prediction || d.prediction->modes.empty()) {
        for (int k = 0; k < 5; ++k) cells.emplace_back("-");
        return cells;
    }
    const PredictedMode& lowest = d.prediction->modes.front();
    cells.push_back(frequency_cell(lowest.mode, unit));
    cells.push_back(rough(lowest.losses.total.low) + " to " + rough(lowest.losses.total.high));
    cells.push_back(with_prefix(1e3 * lowest.figures.effective_mass_kg, "g", 3));
    cells.push_back(with_prefix(d.prediction->film.stress_peak_von_mises_pa, "Pa", 3));
    cells.push_back(std::to_string(d.prediction->warnings.size()));
    return cells;
}

void write_pairs(std::ostream& out, const ChipPrediction& chip) {
    const std::string distance = with_prefix(chip.distance_hz, "Hz", 3);
    if (chip.close.empty()) {
        out << "<p>No modes of different devices lie within " << html(distance) << " of each other.</p>\n";
        return;
    }
    const std::vector<Column> columns{{"mode", false}, {"and", false}, {"f of the lower"}, {"apart"}};
    begin_table(out, "Modes of different devices within " + distance + " of each other", columns);
    for (std::size_t k = 0; k < std::min(most_pairs, chip.close.size()); ++k) {
        const CloseModes& c = chip.close[k];
        table_row(out, columns,
                  {words(c.lower), words(c.upper), with_prefix(c.lower.frequency_hz, "Hz", 5),
                   with_prefix(c.apart_hz, "Hz", 2)});
    }
    end_table(out);
    if (chip.close.size() > most_pairs)
        out << "<p>And " << chip.close.size() - most_pairs << " pairs more, see the JSON of predict.</p>\n";
}

void write_chip_modes(std::ostream& out, const ChipPrediction& chip) {
    if (!chip.chip_reach_hz) return;
    if (chip.chip_close.empty()) {
        out << "<p>No mode of the chip lies near a wanted one: the target's, else the lowest.</p>\n";
    } else {
        const std::vector<Column> columns{{"mode", false}, {"f"}, {"chip mode", false}, {"its f"}, {"", false}};
        begin_table(out, "Modes of the chip near wanted ones: the target's, else the lowest", columns);
        for (const CloseChipMode& c : chip.chip_close)
            table_row(out, columns,
                      {words(c.mode), with_prefix(c.mode.frequency_hz, "Hz", 5), c.chip_mode.name,
                       with_prefix(c.chip_mode.at_hz, "Hz", 4),
                       c.chip_mode.within ? "not told apart within the errors" : ""});
        end_table(out);
    }
    out << "<p class=\"small\">" << html(chip_reach_words(*chip.chip_reach_hz)) << ".</p>\n";
}

void write_steps(std::ostream& out, const std::vector<RecordRow>& rows) {
    const std::vector<Column> columns{
        {"device", false}, {"drawn (um)"},  {"printed (um)"},      {"etched (um)"},      {"released (um)"},
        {"undercut (um)"}, {"seen", false}, {"predicted f (MHz)"}, {"measured f (MHz)"}, {"Q"},
        {"stress (MPa)"}};
    begin_table(out, "Hole widths from drawing to release, what was seen, lowest modes; a dash: nothing recorded",
                columns);
    for (const RecordRow& r : rows)
        table_row(out, columns,
                  {r.device, r.drawn, r.printed, r.etched, r.released, r.undercut, r.inspection, r.predicted,
                   r.measured, r.quality, r.stress});
    end_table(out);
}

void write_entries(std::ostream& out, const RecordContents& record) {
    const std::vector<Column> columns{{"#"}, {"date", false}, {"step", false}, {"device", false}, {"what", false}};
    begin_table(out, "Latest entries, of " + std::to_string(record.entries.size()), columns);
    for (const RecordEntry& e : latest(record.entries))
        table_row(out, columns, {std::to_string(e.number), e.date.substr(0, 10), e.step, e.device, entry_words(e)});
    end_table(out);
}

/// An input and the devices that have it with this value from this source.
using SharedInput = std::pair<SourceLine, std::vector<std::string>>;

std::string value_words(const SourceLine& line) {
    return quantity_text(line.value, line.deviation, line.unit);
}

/// To the digits that the page shows.
bool same(const SourceLine& a, const SourceLine& b) {
    return a.quantity == b.quantity && a.source == b.source && value_words(a) == value_words(b);
}

/// By quantity, in the order in which they are met.
std::vector<SharedInput> inputs_of(const ChipPrediction& chip) {
    std::vector<SharedInput> all;
    for (const PredictedDevice& d : chip.devices) {
        if (!d.prediction) continue;
        for (const SourceLine& line : d.prediction->sources) {
            const auto known = std::find_if(all.begin(), all.end(), [&](const auto& i) { return same(i.first, line); });
            if (known != all.end()) {
                known->second.push_back(d.name);
                continue;
            }
            const auto last = std::find_if(all.rbegin(), all.rend(),
                                           [&](const auto& i) { return i.first.quantity == line.quantity; });
            all.insert(last == all.rend() ? all.end() : last.base(), {line, {d.name}});
        }
    }
    return all;
}

}  // namespace

void write_devices_section(std::ostream& out, const ChipReport& report) {
    const FrequencyUnit unit = unit_of(report.prediction);
    const std::vector<Column> columns{{"device", false, "device-"},
                                      {"at (mm)"},
                                      {"outline (um)"},
                                      {std::string("lowest f (").append(unit.name).append(")")},
                                      {"its Q, band"},
                                      {"its mass"},
                                      {"peak stress"},
                                      {"warnings"}};
    begin_section(out, "devices", "Devices");
    begin_table(out, "f +- one standard deviation of the inputs; outline as it hangs free; peak stress: von Mises",
                columns);
    for (const PredictedDevice& d : report.prediction.devices) table_row(out, columns, device_cells(d, unit));
    end_table(out);
    end_section(out);
}

void write_neighbours_section(std::ostream& out, const ChipPrediction& chip) {
    begin_section(out, "neighbours", "Modes that stand close");
    write_pairs(out, chip);
    write_chip_modes(out, chip);
    end_section(out);
}

void write_record_section(std::ostream& out, const ReportedRecord& record) {
    const RecordedChip& chip = chip_in(record.contents, record.chip);
    const std::vector<RecordEntry> entries = in_order_of_date(corrected(record.contents.entries));
    begin_section(out, "record", "What the record knows");
    const std::vector<Fact> shared = shared_facts(chip, entries);
    if (!shared.empty()) facts(out, chip.name, shared);
    write_steps(out, record_rows(chip, entries));
    write_entries(out, record.contents);
    end_section(out);
}

void write_chip_inputs_section(std::ostream& out, const ChipPrediction& chip) {
    const std::vector<Column> columns{{"input", false}, {"value"}, {"devices", false}, {"source", false}};
    const auto solved = static_cast<std::size_t>(std::count_if(chip.devices.begin(), chip.devices.end(),
                                                               [](const auto& d) { return d.prediction.has_value(); }));
    begin_section(out, "inputs", "Inputs and their sources");
    begin_table(out, "Every input value; +- one standard deviation", columns);
    for (const auto& [line, devices] : inputs_of(chip))
        table_row(
            out, columns,
            {line.quantity, value_words(line), devices.size() == solved ? "all" : comma_list(devices), line.source});
    end_table(out);
    end_section(out);
}

}  // namespace tymbal
