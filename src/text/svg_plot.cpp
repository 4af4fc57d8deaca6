#include "tymbal/text/svg_plot.h"

#include "figures.h"
#include "markup.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace tymbal {

namespace {

constexpr double left_edge = 70.0, right_edge = 600.0, picture_width = 720.0;
constexpr double panel_height = 120.0, panel_gap = 46.0, head = 48.0, foot = 50.0;
// Told apart by lightness too, for print without colour and for eyes that see fewer (Okabe and Ito, Color Universal
// Design, 2008; from memory).
constexpr std::array<const char*, 5> inks{"#000000", "#0072b2", "#d55e00", "#009e73", "#cc79a7"};

/// Black is whatever the page writes with; the report's style knows it, and the other parts, by class.
std::string kind_of(const char* ink) {
    return ink == inks[0] ? " class=\"i-black\"" : "";
}

struct Scale {
    double low = 0.0, high = 1.0;
    bool logarithmic = false;
    double from = 0.0, to = 1.0;  ///< on the page

    [[nodiscard]] double place(double v) const {
        const double a = logarithmic ? std::log(low) : low, b = logarithmic ? std::log(high) : high;
        return from + (to - from) * ((logarithmic ? std::log(v) : v) - a) / (b - a);
    }
    [[nodiscard]] bool holds(double v) const { return std::isfinite(v) && (!logarithmic || v > 0.0); }
};

/// The roundest step that gives at most `most` of them: 1, 2 or 5 times a power of ten.
double round_step(double range, int most) {
    const double rough_step = range / most;
    const double power = std::pow(10.0, std::floor(std::log10(rough_step)));
    for (const double digit : {1.0, 2.0, 5.0})
        if (digit * power >= rough_step * (1.0 - 1e-9)) return digit * power;
    return 10.0 * power;
}

std::vector<double> ticks(const Scale& scale, int most) {
    std::vector<double> all;
    if (scale.logarithmic && scale.high / scale.low > 8.0) {
        const bool sparse = scale.high / scale.low > 1e3;
        for (double decade = std::pow(10.0, std::floor(std::log10(scale.low))); decade <= scale.high; decade *= 10.0)
            for (const double digit : {1.0, 2.0, 5.0})
                if ((digit == 1.0 || !sparse) && digit * decade >= scale.low * (1.0 - 1e-9) &&
                    digit * decade <= scale.high * (1.0 + 1e-9))
                    all.push_back(digit * decade);
        return all;
    }
    const double step = round_step(scale.high - scale.low, most);
    for (double k = std::ceil(scale.low / step - 1e-9); k * step <= scale.high + 1e-9 * step; k += 1.0)
        all.push_back(k * step == 0.0 ? 0.0 : k * step);
    return all;
}

/// Smallest range that holds all values, opened where they are all the same, ends moved to round numbers.
Scale fitted(const std::vector<double>& values, bool logarithmic, double from, double to, bool rounded) {
    Scale scale{std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity(), logarithmic, from,
                to};
    for (const double v : values) {
        if (!scale.holds(v)) continue;
        scale.low = std::min(scale.low, v);
        scale.high = std::max(scale.high, v);
    }
    if (!(scale.low <= scale.high)) return {logarithmic ? 1.0 : 0.0, logarithmic ? 10.0 : 1.0, logarithmic, from, to};
    const double spread = std::max(scale.high - scale.low, 1e-3 * std::abs(scale.high));
    if (logarithmic) {
        scale.low /= 1.15;
        scale.high *= 1.15;
    } else if (rounded || scale.high == scale.low) {
        const double step = spread > 0.0 ? round_step(spread, 4) : 1.0;
        scale.low = step * std::floor(scale.low / step + 1e-9);
        scale.high = step * std::ceil(scale.high / step - 1e-9);
        if (scale.low == scale.high) scale.high += step;
    }
    return scale;
}

std::string at(double v) {
    return fixed(v, 1);
}

void text(std::ostream& out, double x, double y, const char* anchor, const std::string& words) {
    out << "<text x=\"" << at(x) << "\" y=\"" << at(y) << "\" text-anchor=\"" << anchor << "\">" << markup_text(words)
        << "</text>\n";
}

void line(std::ostream& out, const std::array<double, 4>& ends, const char* kind, const char* ink) {
    out << "<path class=\"" << kind << "\" d=\"M" << at(ends[0]) << ' ' << at(ends[1]) << 'L' << at(ends[2]) << ' '
        << at(ends[3]) << "\" stroke=\"" << ink << "\" stroke-width=\"1\"/>\n";
}

void draw_axes(std::ostream& out, const PlotPanel& panel, const Scale& x, const Scale& y) {
    text(out, left_edge, y.to - 10.0, "start", panel.title);
    for (const double tick : ticks(y, 4)) {
        line(out, {left_edge, y.place(tick), right_edge, y.place(tick)}, "i-line", "#dddddd");
        text(out, left_edge - 8.0, y.place(tick) + 4.0, "end", plain(tick, 6));
    }
    for (const double tick : ticks(x, 8)) {
        line(out, {x.place(tick), y.from, x.place(tick), y.from + 4.0}, "i-axis", "#555555");
        text(out, x.place(tick), y.from + 17.0, "middle", plain(tick, 6));
    }
    line(out, {left_edge, y.from, right_edge, y.from}, "i-axis", "#555555");
}

/// Where the labels go: at the ends of their curves, pushed apart so that none covers another.
std::vector<double> label_heights(const std::vector<double>& wanted) {
    std::vector<std::size_t> order(wanted.size());
    for (std::size_t k = 0; k < order.size(); ++k) order[k] = k;
    std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return wanted[a] < wanted[b]; });
    std::vector<double> heights = wanted;
    for (std::size_t k = 1; k < order.size(); ++k)
        heights[order[k]] = std::max(heights[order[k]], heights[order[k - 1]] + 12.0);
    return heights;
}

void draw_curve(std::ostream& out, const PlotCurve& curve, const Scale& x, const Scale& y, const char* ink) {
    std::string path;
    bool down = false;
    for (std::size_t k = 0; k < curve.x.size(); ++k) {
        const bool there = x.holds(curve.x[k]) && y.holds(curve.y[k]);
        if (there)
            path.append(down ? "L" : "M").append(at(x.place(curve.x[k]))).append(" ").append(at(y.place(curve.y[k])));
        down = there;
    }
    out << "<path" << kind_of(ink) << " d=\"" << path << "\" fill=\"none\" stroke=\"" << ink
        << "\" stroke-width=\"1.6\"/>\n";
    if (curve.x.size() > 40) return;
    for (std::size_t k = 0; k < curve.x.size(); ++k)
        if (x.holds(curve.x[k]) && y.holds(curve.y[k]))
            out << "<circle" << kind_of(ink) << " cx=\"" << at(x.place(curve.x[k])) << "\" cy=\""
                << at(y.place(curve.y[k])) << "\" r=\"2\" fill=\"" << ink << "\"/>\n";
}

void draw_panel(std::ostream& out, const PlotPanel& panel, const Scale& x, double top) {
    std::vector<double> values;
    for (const PlotCurve& c : panel.curves) values.insert(values.end(), c.y.begin(), c.y.end());
    const Scale y = fitted(values, panel.logarithmic, top + panel_height, top, true);
    draw_axes(out, panel, x, y);
    std::vector<double> ends;
    for (std::size_t k = 0; k < panel.curves.size(); ++k) {
        const PlotCurve& curve = panel.curves[k];
        draw_curve(out, curve, x, y, inks[k % inks.size()]);
        double last = top + panel_height;
        for (const double v : curve.y)
            if (y.holds(v)) last = y.place(v);
        ends.push_back(last);
    }
    const std::vector<double> heights = label_heights(ends);
    for (std::size_t k = 0; k < panel.curves.size(); ++k) {
        out << "<g" << kind_of(inks[k % inks.size()]) << " fill=\"" << inks[k % inks.size()] << "\">";
        text(out, right_edge + 8.0, heights[k] + 4.0, "start", panel.curves[k].label);
        out << "</g>\n";
    }
}

}  // namespace

void write_svg(std::ostream& out, const Plot& plot) {
    const double height = head + static_cast<double>(plot.panels.size()) * (panel_height + panel_gap) + foot;
    out << "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"" << at(picture_width) << "\" height=\"" << at(height)
        << "\" viewBox=\"0 0 " << at(picture_width) << ' ' << at(height)
        << "\" font-family=\"sans-serif\" font-size=\"12\">\n<rect class=\"sheet\" width=\"100%\" height=\"100%\" "
           "fill=\"#ffffff\"/>\n";
    out << "<g font-size=\"15\">";
    text(out, left_edge, 24.0, "start", plot.title);
    out << "</g>\n";
    std::vector<double> values;
    for (const PlotPanel& panel : plot.panels)
        for (const PlotCurve& c : panel.curves) values.insert(values.end(), c.x.begin(), c.x.end());
    const Scale x = fitted(values, plot.x_logarithmic, left_edge, right_edge, false);
    double top = head + 18.0;
    for (const PlotPanel& panel : plot.panels) {
        draw_panel(out, panel, x, top);
        top += panel_height + panel_gap;
    }
    text(out, right_edge, top, "end", plot.x_title);
    out << "</svg>\n";
}

}  // namespace tymbal
