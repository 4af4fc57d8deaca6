#include "tymbal/print/write_record.h"

#include "../text/figures.h"
#include "../text/plain_name.h"
#include "record_rows.h"

#include <algorithm>
#include <map>

namespace tymbal {

namespace {

RecordedChip shown(RecordedChip chip) {
    for (std::string* text : {&chip.name, &chip.title, &chip.file, &chip.sha256}) *text = printable(*text);
    for (RecordedDevice& d : chip.devices) d.name = printable(d.name);
    return chip;
}

std::vector<RecordEntry> shown(std::vector<RecordEntry> entries) {
    for (RecordEntry& e : entries) {
        for (std::string* text : {&e.step, &e.chip, &e.device, &e.date, &e.by, &e.note}) *text = printable(*text);
        for (RecordedValue& v : e.values)
            for (std::string* text : {&v.key, &v.text, &v.unit}) *text = printable(*text);
    }
    return entries;
}

void write_row(std::ostream& out, const RecordRow& row) {
    out << "  " << left(row.device, 11) << in_column(row.drawn, 6) << in_column(row.printed, 15)
        << in_column(row.etched, 15) << in_column(row.undercut, 14) << in_column(row.measured, 17) << '\n';
}

void write_second_row(std::ostream& out, const RecordRow& row) {
    out << "  " << left(row.device, 11) << in_column(row.inspection, 17) << in_column(row.released, 14)
        << in_column(row.predicted, 14) << in_column(row.quality, 8) << in_column(row.stress, 14) << '\n';
}

void write_entry(std::ostream& out, const RecordEntry& e) {
    std::string head = std::string("  ").append(right(std::to_string(e.number), 6)).append("  ");
    head.append(left(e.date.substr(0, 10), 12)).append(left(e.step, 11)).append(left(e.device, 11)).append(" ");
    out << head << wrapped(out, entry_words(e), head.size(), head.size()) << '\n';
}

}  // namespace

void write_chip_page(std::ostream& out, const RecordContents& record, const std::string& name) {
    const RecordedChip chip = shown(chip_in(record, name));
    const std::vector<RecordEntry> all = shown(record.entries), entries = in_order_of_date(corrected(all));
    out << chip.name << "\n" << chip.file << ", SHA-256 " << chip.sha256.substr(0, 16) << "\n\nCHIP\n";
    for (const Fact& line : shared_facts(chip, entries)) out << "  " << left(line.name, 34) << line.value << '\n';
    out << "\nDRAWN TO MEASURED  (hole widths and undercut in um; f of the lowest mode, MHz)\n";
    out << "  device     drawn        printed         etched      undercut       measured f\n";
    const std::vector<RecordRow> rows = record_rows(chip, entries);
    for (const RecordRow& row : rows) write_row(out, row);
    out << "\nSEEN AND FOUND  (released hole width in um, f in MHz, stress in MPa)\n";
    out << "  device            inspection released hole   predicted f       Q        stress\n";
    for (const RecordRow& row : rows) write_second_row(out, row);
    out << "\nLATEST ENTRIES  (of " << all.size() << ")\n";
    for (const RecordEntry& e : latest(all)) write_entry(out, e);
}

void write_chip_list(std::ostream& out, const RecordContents& record) {
    struct Count {
        std::size_t entries = 0;
        std::string date, step;
    };
    std::map<std::string, Count> counts;
    for (const RecordEntry& e : record.entries) {
        Count& c = counts[e.chip];
        ++c.entries;
        c.date = e.date;
        c.step = e.step;
    }
    out << "CHIPS\n  name                            devices  entries  last\n";
    for (const RecordedChip& chip : record.chips) {
        const Count& c = counts[chip.name];
        out << "  " << left(printable(chip.name), 32) << in_column(std::to_string(chip.devices.size()), 7)
            << in_column(std::to_string(c.entries), 9) << "  " << printable(c.step) << ' '
            << printable(c.date.substr(0, 10)) << '\n';
    }
}

void write_entry_list(std::ostream& out, const RecordContents& record, const std::string& chip) {
    out << printable(chip) << "\n\nENTRIES\n  number  date        step       device      what\n";
    for (const RecordEntry& e : shown(record.entries)) write_entry(out, e);
}

}  // namespace tymbal
