#include "tymbal/print/write_compare.h"

#include "../text/figures.h"
#include "fitted_values.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

const char* kind_name(MeasuredKind kind) {
    switch (kind) {
        case MeasuredKind::peaks: return "peak list";
        case MeasuredKind::spectrum: return "spectrum";
        case MeasuredKind::ringdown: return "ringdown";
    }
    return "";
}

std::string percent(double share) {
    return share > 0.995 ? ">99 %" : plain(100.0 * share, 2).append(" %");
}

std::string measured_frequency(const Peak& peak, double factor) {
    if (peak.deviation_hz > 0.0) return with_uncertainty(peak.frequency_hz, peak.deviation_hz, factor);
    return plain(peak.frequency_hz / factor, 8);
}

/// "#3 d=1 c=1 or #2 d=1 c=1" is too long for its column.
std::string short_label(const std::string& label) {
    constexpr std::size_t column = 15;
    return label.size() <= column ? label : label.substr(0, label.find(" or ")).append(" pair");
}

void write_peaks(std::ostream& out, const DeviceComparison& d) {
    const FrequencyUnit scale = frequency_unit(d.peaks.back().peak.frequency_hz);
    out << "\nPEAKS  (off: measured over fitted, in 1e-6; Q budget: band predicted)\n  "
        << in_column(std::string("f (").append(scale.name).append(")"), 23) << "  " << left("mode", 15)
        << in_column("sure", 6) << in_column("off", 8) << in_column("Q", 9) << in_column("Q budget", 14) << '\n';
    for (const ComparedPeak& p : d.peaks) {
        const std::string q =
            p.peak.quality ? std::string(p.peak.resolution_limited ? ">" : "").append(rough(*p.peak.quality)) : "-";
        out << "  " << in_column(measured_frequency(p.peak, scale.scale), 23) << "  ";
        if (p.mode == 0)
            out << left("not a mode", 15) << in_column("", 14) << in_column(q, 9) << '\n';
        else
            out << left(short_label(p.label), 15) << in_column(percent(p.confidence), 6)
                << in_column(fixed(1e6 * p.residual, 0), 8) << in_column(q, 9)
                << in_column(p.budget ? rough(p.budget->low).append("..").append(rough(p.budget->high)) : "-", 14)
                << '\n';
        if (!p.remark.empty()) out << "      " << wrapped(out, p.remark, 6, 6) << '\n';
    }
}

void write_legend(std::ostream& out, const DeviceComparison& d) {
    const auto limited = [](const ComparedPeak& p) { return p.peak.resolution_limited; };
    if (std::any_of(d.peaks.begin(), d.peaks.end(), limited))
        out << "  >: the line is not wider than the instrument resolves; Q is at least that\n";
    const auto judged = [](const ComparedPeak& p) { return p.peak.quality && p.budget; };
    if (std::any_of(d.peaks.begin(), d.peaks.end(), judged))
        out << "  the band holds terms known to an order of magnitude only (radiation, gap gas)\n";
}

void write_unseen(std::ostream& out, const DeviceComparison& d) {
    if (d.unseen.empty()) return;
    const FrequencyUnit scale = frequency_unit(d.unseen.back().expected_hz);
    out << "\nMODES OF THE BAND WITHOUT A PEAK\n";
    for (const UnseenMode& m : d.unseen)
        out << "  " << left(m.label, 16)
            << in_column(plain(m.expected_hz / scale.scale, 6).append(" ").append(scale.name), 14) << "  "
            << wrapped(out, m.reason, 34, 34) << '\n';
}

void write_device(std::ostream& out, const DeviceComparison& d) {
    const std::string title = d.title.empty() ? std::string("(no title)") : d.title;
    out << (d.name.empty() ? title : d.name + ": " + title) << '\n';
    const std::string what = d.measured.file + ": " + kind_name(d.measured.kind) + ", " +
                             std::to_string(d.peaks.size()) + (d.peaks.size() == 1 ? " mode" : " peaks");
    out << wrapped(out, what, 0, 2) << '\n';
    for (const std::string& note : d.measured.notes) out << "  " << wrapped(out, note, 2, 2) << '\n';
    write_peaks(out, d);
    write_legend(out, d);
    write_unseen(out, d);
    out << '\n';
}

void write_ringdown(std::ostream& out, const ComparedRingdown& ringdown) {
    const auto line = [&](const char* what, const std::string& value) {
        out << "  " << left(what, 36) << wrapped(out, value, 38, 38) << '\n';
    };
    const Ringdown& r = ringdown.decay;
    const double f = ringdown.frequency_hz;
    out << "RINGDOWN  (+-: one sigma)\n";
    line("decay time, amplitude and energy",
         with_prefix(r.amplitude_time_s(), "s", 3).append(", ").append(with_prefix(r.energy_time_s(), "s", 3)));
    line("decay", plain(r.decay_db_per_s(), 3).append(" dB/s"));
    line("line width, full, half of power", with_prefix(r.linewidth_hz(), "Hz", 3));
    line("Q", any_size(r.quality, r.quality_deviation));
    line("Q f", any_size(r.quality * f, r.quality_deviation * f).append(" Hz"));
    if (ringdown.amplitude_m) line("amplitude at the antinode, at start", with_prefix(*ringdown.amplitude_m, "m", 2));
    if (ringdown.ceiling_m)
        line(
            "largest before stretching counts",
            with_prefix(*ringdown.ceiling_m, "m", 2)
                .append(" (moves the line by half its width)")
                .append(ringdown.amplitude_m ? "" : "; the file's amplitude is not in metres, so compare it yourself"));
}

/// "+3.1 +- 0.4 %": where a device rings against the others.
std::string against_others(const Apart& apart) {
    std::string text = apart.value > 0.0 ? "+" : "";
    return text.append(with_uncertainty(apart.value, apart.deviation, 1e-2)).append(" %");
}

void write_against_others(std::ostream& out, const Comparison& c) {
    if (c.devices.size() < 3) return;
    out << "DEVICES  (frequency of each against a fit of all others)\n  " << left("", 26) << in_column("named", 8)
        << in_column("against others", 24) << in_column("deviations", 12) << '\n';
    for (const DeviceComparison& d : c.devices) {
        const auto named =
            std::count_if(d.peaks.begin(), d.peaks.end(), [](const ComparedPeak& p) { return p.mode > 0; });
        out << "  " << left(d.name.empty() ? d.measured.file : d.name, 26) << in_column(std::to_string(named), 8);
        if (d.apart && d.apart->deviation > 0.0)
            out << in_column(against_others(*d.apart), 24)
                << in_column(fixed(std::abs(d.apart->value) / d.apart->deviation, 1), 12);
        out << '\n';
    }
    out << '\n';
}

void write_values(std::ostream& out, const Comparison& c) {
    out << "FIT  (+-: one sigma; r: correlation with the stress)\n  " << left("", 22) << in_column("design", 24)
        << in_column("fitted", 24) << in_column("r", 7) << '\n';
    for (const FittedValue& v : c.values) {
        out << "  " << left(full_name(v), 22) << in_column(designed_text(v), 24) << in_column(fitted_text(v), 24)
            << in_column(fixed(v.correlation_with_stress, 2), 7) << '\n';
    }
}

void write_list(std::ostream& out, const char* heading, const std::vector<std::string>& sentences) {
    if (!sentences.empty()) out << '\n' << heading << '\n';
    for (const std::string& sentence : sentences) out << "  - " << wrapped(out, sentence, 4, 4) << '\n';
}

}  // namespace

void write_table(std::ostream& out, const Comparison& c) {
    for (const DeviceComparison& d : c.devices) write_device(out, d);
    if (c.ringdown) write_ringdown(out, *c.ringdown);
    if (!c.values.empty()) {
        write_against_others(out, c);
        write_values(out, c);
    }
    write_list(out, "VERDICT", c.verdict);
    write_list(out, "WHAT THESE DATA CANNOT TELL", c.cannot_tell);
    if (!c.warnings.empty()) out << "\nWARNINGS\n";
    for (const Warning& w : c.warnings) out << "  " << wrapped(out, "! " + w.text, 2, 4) << '\n';
}

}  // namespace tymbal
