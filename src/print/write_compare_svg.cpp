#include "tymbal/print/write_compare.h"

#include "../text/figures.h"
#include "../text/markup.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

constexpr double picture_width = 900.0, left_margin = 70.0, right_margin = 20.0;
constexpr double sticks_height = 220.0, residuals_height = 140.0, gap = 40.0, top_margin = 40.0;
constexpr double room_for_label = 9.0;
constexpr double panel_pair = top_margin + sticks_height + gap + residuals_height + gap;

std::string at(double value) {
    return fixed(value, 2);
}

/// A colour of the file and the class by which the report's page gives it one of its own.
struct Ink {
    const char* kind;
    const char* colour;
};
constexpr Ink mode_ink{"i-mode", "#1b5e8c"}, foreign_ink{"i-foreign", "#b8b8b8"}, fit_ink{"i-fit", "#b4541a"};
constexpr Ink unseen_ink{"i-unseen", "#e3b994"}, axis_ink{"i-axis", "#555"};

void stick(std::ostream& out, double x, double from, double to, const Ink& ink) {
    out << "<line class=\"" << ink.kind << "\" x1=\"" << at(x) << "\" y1=\"" << at(from) << "\" x2=\"" << at(x)
        << "\" y2=\"" << at(to) << "\" stroke=\"" << ink.colour << "\" stroke-width=\"1.5\"/>\n";
}

void words(std::ostream& out, double x, double y, const std::string& text, const std::string& more = "") {
    out << "<text x=\"" << at(x) << "\" y=\"" << at(y) << "\" " << more << ">" << markup_text(text) << "</text>\n";
}

void rule(std::ostream& out, double y) {
    out << "<line class=\"i-axis\" x1=\"" << at(left_margin) << "\" y1=\"" << at(y) << "\" x2=\""
        << at(picture_width - right_margin) << "\" y2=\"" << at(y) << "\" stroke=\"#555\"/>\n";
}

/// Horizontal place of a frequency.
struct Axis1D {
    double low, high;
    [[nodiscard]] double operator()(double hz) const {
        return left_margin + (hz - low) / (high - low) * (picture_width - left_margin - right_margin);
    }
};

Axis1D axis_of(const DeviceComparison& d) {
    double low = d.peaks.front().peak.frequency_hz, high = d.peaks.back().peak.frequency_hz;
    const double pad = 0.03 * std::max(high - low, 0.01 * high);
    return {low - pad, high + pad};
}

void ticks(std::ostream& out, const Axis1D& axis, double y) {
    const double span = axis.high - axis.low, power = std::pow(10.0, std::floor(std::log10(span)));
    const double step = span / power > 5.0 ? power : span / power > 2.0 ? 0.5 * power : 0.2 * power;
    for (double f = std::ceil(axis.low / step) * step; f <= axis.high; f += step) {
        stick(out, axis(f), y, y + 5.0, axis_ink);
        words(out, axis(f), y + 18.0, with_prefix(f, "Hz", 4), "text-anchor=\"middle\"");
    }
}

/// Measured upwards, fitted downwards from one line.
void write_sticks(std::ostream& out, const DeviceComparison& d, const Axis1D& axis, double top) {
    const double middle = top + 0.5 * sticks_height;
    rule(out, middle);
    words(out, 8.0, top + 14.0, "measured");
    words(out, 8.0, top + sticks_height - 4.0, "fitted");
    double last_label = -1e9;
    for (const ComparedPeak& p : d.peaks) {
        const double x = axis(p.peak.frequency_hz);
        stick(out, x, middle, top + 30.0, p.mode > 0 ? mode_ink : foreign_ink);
        if (p.mode == 0) continue;
        stick(out, axis(p.fitted_hz), middle, top + sticks_height - 20.0, fit_ink);
        if (x - last_label < room_for_label) continue;  // the other of a pair has the same name
        last_label = x;
        out << "<text transform=\"translate(" << at(x + 3.0) << "," << at(top + 26.0) << ") rotate(-60)\">"
            << markup_text(p.label.substr(0, p.label.find(" or "))) << "</text>\n";
    }
    for (const UnseenMode& m : d.unseen)
        stick(out, axis(m.expected_hz), middle, top + sticks_height - 60.0, unseen_ink);
}

void write_residuals(std::ostream& out, const DeviceComparison& d, const Axis1D& axis, double top) {
    double most = 1e-7;
    for (const ComparedPeak& p : d.peaks)
        if (p.mode > 0) most = std::max(most, std::abs(p.residual) + 2.0 * p.peak.deviation_hz / p.peak.frequency_hz);
    const double middle = top + 0.5 * residuals_height, scale = 0.45 * residuals_height / most;
    rule(out, middle);
    words(out, 8.0, top + 14.0, "off by");
    words(out, 8.0, middle - 0.45 * residuals_height + 24.0, with_prefix(1e6 * most, "", 2) + "e-6");
    for (const ComparedPeak& p : d.peaks) {
        if (p.mode == 0) continue;
        const double x = axis(p.peak.frequency_hz), y = middle - scale * p.residual;
        const double bar = scale * p.peak.deviation_hz / p.peak.frequency_hz;
        if (bar > 0.0) stick(out, x, y - bar, y + bar, mode_ink);
        out << "<circle class=\"i-mode\" cx=\"" << at(x) << "\" cy=\"" << at(y) << "\" r=\"3\" fill=\"#1b5e8c\"/>\n";
    }
    ticks(out, axis, top + residuals_height);
}

}  // namespace

void write_svg(std::ostream& out, const Comparison& c) {
    const double height = panel_pair * static_cast<double>(c.devices.size()) + gap;
    out << "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"" << at(picture_width) << "\" height=\"" << at(height)
        << "\" viewBox=\"0 0 " << at(picture_width) << ' ' << at(height)
        << "\" font-family=\"sans-serif\" font-size=\"11\">\n<rect class=\"sheet\" width=\"100%\" height=\"100%\" "
           "fill=\"white\"/>\n";
    double top = 0.0;
    for (const DeviceComparison& d : c.devices) {
        words(out, left_margin, top + 20.0, d.title.empty() ? d.measured.file : d.title, "font-size=\"14\"");
        const Axis1D axis = axis_of(d);
        write_sticks(out, d, axis, top + top_margin);
        write_residuals(out, d, axis, top + top_margin + sticks_height + gap);
        top += panel_pair;
    }
    words(out, left_margin, height - 12.0,
          "blue: modes, grey: no mode of the film; orange: fitted, pale: mode without a peak");
    out << "</svg>\n";
}

}  // namespace tymbal
