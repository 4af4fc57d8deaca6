// One bath: when all devices are clear, when the first limit breaks, and how each device fares.
#include "../print/chip_rows.h"
#include "report_chip_parts.h"

#include "tymbal/print/write_release.h"

namespace tymbal {

namespace {

void write_devices(std::ostream& out, const ChipRelease& release) {
    const std::vector<Column> columns{
        {"device", false, "device-"}, {"clear at"}, {"first limit"}, {"over-etch"}, {"pillars"}, {"lowest f"}};
    begin_table(out,
                "Devices in the bath; over-etch: undercut beyond the one that clears the last oxide; lowest f: one "
                "grid, as the film hangs in the bath",
                columns);
    for (const ReleasedDevice& d : release.devices) {
        std::vector<std::string> cells{d.name};
        for (const std::string& cell : bath_cells(d)) cells.push_back(cell);
        table_row(out, columns, cells);
    }
    end_table(out);
}

void write_ends(std::ostream& out, const ChipRelease& release) {
    if (release.ends.empty()) return;
    const std::vector<Column> columns{{"limit", false}, {"devices", false}, {"reached at"}, {"with fast rates"}};
    begin_table(out, "What closes the window, earliest first; fast rates: two standard deviations", columns);
    for (const ChipWindowEnd& e : release.ends)
        table_row(out, columns, {e.limit, comma_list(e.devices), duration(e.time_s), duration(e.early_s)});
    end_table(out);
}

}  // namespace

void write_bath_section(std::ostream& out, const ChipRelease& release) {
    begin_section(out, "release", "Release: one bath");
    facts(out, "The window that all devices share", window_facts(release));
    write_devices(out, release);
    write_ends(out, release);
    end_section(out);
}

}  // namespace tymbal
