#include "tymbal/print/write_chip.h"

#include "../text/csv.h"
#include "../text/figures.h"
#include "chip_rows.h"

#include "tymbal/print/write_plan.h"
#include "tymbal/print/write_release.h"

#include <algorithm>

namespace tymbal {

namespace {

constexpr std::size_t most_rows = 12;  // of lists that grow with the square of the devices

std::string title_of(const std::string& title) {
    return title.empty() ? "(no title)" : title;
}

void write_device(std::ostream& out, const PredictedDevice& d, const FrequencyUnit& unit) {
    out << "  " << left(d.name, 8) << in_column(millimetres(d.position), 14) << in_column(outline_words(d), 16);
    if (!d.prediction || d.prediction->modes.empty()) {
        out << "  " << wrapped(out, "no answer: " + d.why, 42, 42) << '\n';
        return;
    }
    const PredictedMode& first = d.prediction->modes.front();
    out << in_column(frequency_cell(first.mode, unit), 17)
        << in_column(rough(first.losses.total.low) + ".." + rough(first.losses.total.high), 15)
        << in_column(with_prefix(d.prediction->film.stress_peak_von_mises_pa, "Pa", 3), 10) << '\n';
}

void write_devices(std::ostream& out, const ChipPrediction& chip) {
    const FrequencyUnit unit = unit_of(chip);
    out << "DEVICES  (f +- one sigma of the inputs; outline as it hangs free)\n  " << left("name", 8)
        << in_column("at (mm)", 14) << in_column("outline (um)", 16)
        << in_column(std::string("lowest f (").append(unit.name).append(")"), 17) << in_column("its Q", 15)
        << in_column("stress", 10) << '\n';
    for (const PredictedDevice& d : chip.devices) write_device(out, d, unit);
    out << "  stress: largest von Mises stress in the film\n";
}

void write_next_modes(std::ostream& out, const ChipPrediction& chip) {
    constexpr std::size_t shown = 4;
    out << "\nLOWEST MODES  (grid error: relative; --csv or --json for all)\n";
    for (const PredictedDevice& d : chip.devices) {
        if (!d.prediction) continue;
        const std::vector<PredictedMode>& modes = d.prediction->modes;
        for (std::size_t k = 0; k < std::min(shown, modes.size()); ++k) {
            const Mode& m = modes[k].mode;
            const FrequencyUnit unit = frequency_unit(m.frequency_hz);
            out << "  " << left(k == 0 ? d.name : "", 8) << left(m.character.empty() ? m.label : m.character, 12)
                << in_column(frequency_cell(m, unit) + " " + unit.name, 24)
                << in_column(rough(m.discretisation_error_hz / m.frequency_hz), 11) << '\n';
        }
    }
}

void write_close(std::ostream& out, const ChipPrediction& chip) {
    if (chip.distance_hz <= 0.0) return;
    const std::string distance = with_prefix(chip.distance_hz, "Hz", 3);
    out << "\nMODES OF DIFFERENT DEVICES WITHIN " << distance << "\n";
    if (chip.close.empty()) out << "  none\n";
    for (std::size_t k = 0; k < std::min(most_rows, chip.close.size()); ++k) {
        const CloseModes& c = chip.close[k];
        out << "  " << left(words(c.lower), 22) << left(words(c.upper), 22)
            << in_column(with_prefix(c.lower.frequency_hz, "Hz", 5), 13)
            << in_column(with_prefix(c.apart_hz, "Hz", 2) + " apart", 17) << '\n';
    }
    if (chip.close.size() > most_rows) out << "  and " << chip.close.size() - most_rows << " pairs more, see --json\n";
}

void write_chip_modes(std::ostream& out, const ChipPrediction& chip) {
    if (!chip.chip_reach_hz) return;
    out << "\nCHIP MODES NEAR WANTED ONES  (the target's mode, else the lowest)\n";
    for (const CloseChipMode& c : chip.chip_close)
        out << "  " << left(words(c.mode), 22) << in_column(with_prefix(c.mode.frequency_hz, "Hz", 5), 13) << "   "
            << c.chip_mode.name << " at " << with_prefix(c.chip_mode.at_hz, "Hz", 4)
            << (c.chip_mode.within ? ", not told apart within the errors" : "") << '\n';
    if (chip.chip_close.empty()) out << "  none\n";
    out << "  " << wrapped(out, chip_reach_words(*chip.chip_reach_hz), 2, 2) << '\n';
}

void write_warnings(std::ostream& out, const std::vector<std::string>& warnings) {
    if (!warnings.empty()) out << "\nWARNINGS\n";
    for (const std::string& w : warnings) out << "  " << wrapped(out, "! " + w, 2, 4) << '\n';
}

void write_window(std::ostream& out, const ChipRelease& chip) {
    out << "ONE BATH  (all devices see the same time)\n";
    for (const Fact& line : window_facts(chip))
        out << "  " << left(line.name, 24) << wrapped(out, line.value, 26, 26) << '\n';
}

void write_bath_devices(std::ostream& out, const ChipRelease& chip) {
    out << "\nDEVICES\n  " << left("name", 8) << in_column("clear at", 12) << in_column("first limit", 14)
        << in_column("over-etch", 12) << in_column("pillars", 9) << in_column("lowest f", 13) << '\n';
    constexpr std::size_t widths[] = {12, 14, 12, 9, 13};
    for (const ReleasedDevice& d : chip.devices) {
        out << "  " << left(d.name, 8);
        const std::vector<std::string> cells = bath_cells(d);
        for (std::size_t k = 0; k < cells.size(); ++k) out << in_column(cells[k], widths[k]);
        out << '\n';
    }
    out << "  over-etch: undercut beyond the one that clears the device's last oxide\n";
}

void write_ends(std::ostream& out, const ChipRelease& chip) {
    if (chip.ends.empty()) return;
    out << "\nWHAT CLOSES THE WINDOW  (earliest first)\n";
    for (std::size_t k = 0; k < std::min(most_rows, chip.ends.size()); ++k) {
        const ChipWindowEnd& e = chip.ends[k];
        out << "  " << left(comma_list(e.devices), 18) << left(e.limit, 32) << in_column(duration(e.time_s), 12)
            << in_column(duration(e.early_s), 12) << '\n';
    }
}

}  // namespace

void write_table(std::ostream& out, const ChipPrediction& chip) {
    out << title_of(chip.title) << "\nchip of " << chip.devices.size() << " devices\n\n";
    write_devices(out, chip);
    write_next_modes(out, chip);
    write_close(out, chip);
    write_chip_modes(out, chip);
    write_warnings(out, chip_warnings(chip));
}

void write_csv(std::ostream& out, const ChipPrediction& chip) {
    out << "device,x_m,y_m,width_m,height_m,number,label,frequency_hz,frequency_std_hz,discretisation_error_hz,"
           "quality_total,quality_low,quality_high,limited_by,effective_mass_kg,stress_peak_pa,error\n";
    for (const PredictedDevice& d : chip.devices) {
        const auto begin = [&] {
            out << d.name << ',' << csv(d.position.x) << ',' << csv(d.position.y) << ',' << csv(d.width_m) << ','
                << csv(d.height_m) << ',';
        };
        if (!d.prediction) {
            begin();
            out << ",,,,,,,,,,," << csv_text(d.why) << '\n';
            continue;
        }
        for (const PredictedMode& m : d.prediction->modes) {
            begin();
            out << m.mode.number << ',' << csv_text(m.mode.label) << ',' << csv(m.mode.frequency_hz) << ','
                << csv(stated(m.mode.frequency_std_hz)) << ',' << csv(m.mode.discretisation_error_hz) << ','
                << csv(m.losses.total.value) << ',' << csv(m.losses.total.low) << ',' << csv(m.losses.total.high) << ','
                << m.losses.limited_by << ',' << csv(m.figures.effective_mass_kg) << ','
                << csv(d.prediction->film.stress_peak_von_mises_pa) << ",\n";
        }
    }
}

std::vector<std::string> chip_cautions(const ChipRelease& chip) {
    std::vector<std::string> all;
    for (const ReleasedDevice& device : chip.devices)
        for (const std::string& caution : release_cautions(device.report))
            if (std::find(all.begin(), all.end(), caution) == all.end()) all.push_back(caution);
    return all;
}

void write_table(std::ostream& out, const ChipRelease& chip) {
    out << title_of(chip.title) << "\nrelease of a chip of " << chip.devices.size() << " devices\n\n";
    write_window(out, chip);
    write_bath_devices(out, chip);
    write_ends(out, chip);
    write_warnings(out, texts_of(chip.warnings));
    out << "\nCAUTIONS\n";
    for (const std::string& caution : chip_cautions(chip)) out << "  " << wrapped(out, "- " + caution, 2, 4) << '\n';
}

void write_table(std::ostream& out, const ChipPlan& chip) {
    out << title_of(chip.title) << "\nplan of a chip of " << chip.devices.size() << " devices\n";
    for (const DevicePlan& d : chip.devices) {
        out << "\n==== device " << d.name << " ====\n\n";
        if (d.plan)
            write_table(out, *d.plan);
        else
            out << wrapped(out, "no answer: " + d.why, 0, 2) << '\n';
    }
}

}  // namespace tymbal
