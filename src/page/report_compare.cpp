// Measured lines beside the predicted modes.
#include "../print/fitted_values.h"
#include "../text/figures.h"
#include "report_figures.h"
#include "report_parts.h"

#include "tymbal/print/write_compare.h"

namespace tymbal {

namespace {

std::string sure_text(double chance) {
    return chance > 0.995 ? ">99 %" : plain(100.0 * chance, 2) + " %";
}

void write_peaks(std::ostream& out, const DeviceComparison& d) {
    const FrequencyUnit unit = frequency_unit(d.peaks.back().peak.frequency_hz);
    const std::vector<Column> columns{{std::string("measured (").append(unit.name).append(")")},
                                      {"mode", false},
                                      {"sure"},
                                      {"off (1e-6)"},
                                      {"Q"},
                                      {"Q predicted"},
                                      {"remark", false}};
    begin_table(out, "Peaks of " + d.measured.file + "; off: measured over fitted", columns);
    for (const ComparedPeak& p : d.peaks) {
        const std::string q =
            p.peak.quality ? std::string(p.peak.resolution_limited ? ">" : "").append(rough(*p.peak.quality)) : "-";
        table_row(out, columns,
                  {p.peak.deviation_hz > 0.0 ? with_uncertainty(p.peak.frequency_hz, p.peak.deviation_hz, unit.scale)
                                             : plain(p.peak.frequency_hz / unit.scale, 8),
                   p.mode > 0 ? p.label : "not a mode", p.mode > 0 ? sure_text(p.confidence) : "-",
                   p.mode > 0 ? fixed(1e6 * p.residual, 0) : "-", q,
                   p.budget ? rough(p.budget->low) + " to " + rough(p.budget->high) : "-", p.remark});
    }
    end_table(out);
}

void write_values(std::ostream& out, const Comparison& c) {
    if (c.values.empty()) return;
    const std::vector<Column> columns{{"input", false}, {"design"}, {"fitted"}, {"correlation with the stress"}};
    begin_table(out, "Fit; +- one standard deviation", columns);
    for (const FittedValue& v : c.values)
        table_row(out, columns, {v.name, designed_text(v), fitted_text(v), fixed(v.correlation_with_stress, 2)});
    end_table(out);
}

void write_sentences(std::ostream& out, const char* title, const std::vector<std::string>& sentences) {
    if (sentences.empty()) return;
    out << "<h3>" << title << "</h3>\n";
    list(out, sentences);
}

}  // namespace

void write_measured_section(std::ostream& out, const Comparison& comparison) {
    begin_section(out, "measured", "Measured against predicted");
    out << "<figure class=\"paper\"><div role=\"img\" aria-label=\"Measured peaks above, fitted modes below one "
           "frequency axis, and their residuals; the table that follows has the numbers\">";
    write_svg(out, comparison);
    out << "</div></figure>\n";
    for (const DeviceComparison& d : comparison.devices) write_peaks(out, d);
    write_values(out, comparison);
    write_sentences(out, "Verdict", comparison.verdict);
    write_sentences(out, "What these data cannot tell", comparison.cannot_tell);
    std::vector<std::string> warnings;
    for (const Warning& w : comparison.warnings) warnings.push_back(w.text);
    write_sentences(out, "Warnings of the comparison", warnings);
    end_section(out);
}

}  // namespace tymbal
