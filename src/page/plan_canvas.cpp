#include "plan_canvas.h"

#include "../text/figures.h"
#include "../text/markup.h"
#include "colour_ramp.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace tymbal {

namespace {

constexpr double most_width = 760.0, most_height = 640.0, least_height = 90.0;
constexpr double right_edge = 24.0, foot = 58.0, key_line = 20.0;
using plan_colours::ink;
constexpr int shades = 64;  // of a map coloured by a figure

/// The roundest step that gives at most `most` ticks.
double tick_step(double range, int most) {
    const double power = std::pow(10.0, std::floor(std::log10(range / most)));
    for (const double digit : {1.0, 2.0, 5.0})
        if (digit * power >= range / most * (1.0 - 1e-9)) return digit * power;
    return 10.0 * power;
}

std::string text_at(double x, double y, const char* anchor, const std::string& words) {
    return "<text x=\"" + coordinate(x) + "\" y=\"" + coordinate(y) + "\" text-anchor=\"" + anchor + "\">" +
           markup_text(words) + "</text>\n";
}

std::string line(double x1, double y1, double x2, double y2) {
    return std::string("M")
        .append(coordinate(x1))
        .append(" ")
        .append(coordinate(y1))
        .append("L")
        .append(coordinate(x2))
        .append(" ")
        .append(coordinate(y2));
}

std::string ticks(const PlanCanvas& c) {
    const Frame& f = c.frame;
    const double bottom = c.top + c.height, unit = c.unit_m;
    std::string strokes, words;
    const double across = tick_step((f.box.high.x - f.box.low.x) / unit, 8);
    for (double k = std::ceil(f.box.low.x / unit / across); k * across * unit <= f.box.high.x; k += 1.0) {
        const double x = c.left + f.x(k * across * unit);
        strokes += line(x, bottom, x, bottom + 5.0);
        words += text_at(x, bottom + 18.0, "middle", plain(k == 0.0 ? 0.0 : k * across, 6));
    }
    const int most = std::clamp(static_cast<int>(c.height / 45.0), 1, 8);
    const double up = tick_step((f.box.high.y - f.box.low.y) / unit, most);
    for (double k = std::ceil(f.box.low.y / unit / up); k * up * unit <= f.box.high.y; k += 1.0) {
        const double y = c.top + f.y(k * up * unit);
        strokes += line(c.left - 5.0, y, c.left, y);
        words += text_at(c.left - 8.0, y + 4.0, "end", plain(k == 0.0 ? 0.0 : k * up, 6));
    }
    return "<path fill=\"none\" stroke=\"" + std::string(ink) + "\" d=\"" + strokes + "\"/>\n" + words;
}

std::string scale_bar(const PlanCanvas& c) {
    const double metres = scale_bar_length(c.frame.box.high.x - c.frame.box.low.x, 0.25);
    const double length = c.frame.scale * metres, y = c.top + c.height + 38.0;
    return "<path fill=\"none\" stroke=\"" + std::string(ink) + "\" stroke-width=\"2\" d=\"" +
           line(c.left, y, c.left + length, y) + line(c.left, y - 4.0, c.left, y + 4.0) +
           line(c.left + length, y - 4.0, c.left + length, y + 4.0) + "\"/>\n" +
           text_at(c.left + length + 8.0, y + 4.0, "start", with_prefix(metres, "m", 3)) +
           text_at(c.left + c.width, y + 4.0, "end", "axes in " + c.unit);
}

std::string key_of(const PlanCanvas& c, const std::vector<KeyEntry>& key) {
    std::string out;
    double y = c.top + c.height + foot + 8.0;
    for (const KeyEntry& k : key) {
        out += "<rect x=\"" + coordinate(c.left) + "\" y=\"" + coordinate(y - 10.0) +
               "\" width=\"18\" height=\"11\" fill=\"" + k.fill + "\" stroke=\"" + k.stroke + "\"" +
               (k.dashed ? " stroke-dasharray=\"4 3\"" : "") + "/>\n" + text_at(c.left + 26.0, y, "start", k.words);
        y += key_line;
    }
    return out;
}

}  // namespace

std::string map_shade(double share) {
    static const std::vector<Rgb> ramp = sequential_ramp(shades, Page::light);
    return hex(ramp[static_cast<std::size_t>(std::clamp(share, 0.0, 1.0) * (shades - 1))]);
}

std::string dark_plan_rules() {
    namespace c = plan_colours;
    // The page's own colours where it has one of that meaning.
    std::vector<std::pair<std::string, std::string>> dark{
        {c::ink, "var(--ink)"},  {c::sheet, "var(--paper)"}, {c::free_film, "#3f7391"}, {c::held_film, "#2b3033"},
        {c::edge, "var(--rim)"}, {c::front, "var(--warm)"},  {c::patch, "#b08a2e"},     {c::spot, "#f08cc0"},
        {c::mark, "#9ccc65"},    {c::no_figure, "#707070"}};
    const std::vector<Rgb> light_ramp = sequential_ramp(shades, Page::light);
    const std::vector<Rgb> dark_ramp = sequential_ramp(shades, Page::dark);
    for (std::size_t k = 0; k < light_ramp.size(); ++k) dark.emplace_back(hex(light_ramp[k]), hex(dark_ramp[k]));
    std::string rules;
    for (const char* part : {"fill", "stroke"})
        for (const auto& [light, colour] : dark) {
            rules.append(".drawn [").append(part).append("=\"").append(light).append("\"]{");
            rules.append(part).append(":").append(colour).append("}");
        }
    return "@media screen and (prefers-color-scheme:dark){" + rules + "}\n";
}

PlanCanvas plan_canvas(const Box& box, double margin, bool millimetres) {
    const double w = box.high.x - box.low.x, h = box.high.y - box.low.y, pad = margin * std::max(w, h);
    PlanCanvas c;
    c.frame.box = {{box.low.x - pad, box.low.y - pad}, {box.high.x + pad, box.high.y + pad}};
    c.frame.scale = std::min(most_width / (w + 2.0 * pad), most_height / (h + 2.0 * pad));
    const double lacking = std::max(0.0, least_height / c.frame.scale - (h + 2.0 * pad));
    c.frame.box.low.y -= 0.5 * lacking;
    c.frame.box.high.y += 0.5 * lacking;
    c.width = c.frame.width();
    c.height = c.frame.height();
    if (millimetres) c.unit_m = 1e-3, c.unit = "mm";
    return c;
}

std::string open_plan(const PlanCanvas& c, const std::string& title, std::size_t lines) {
    const double least_width = 420.0;  // for title and key
    const double width = std::max(c.left + c.width + right_edge, least_width);
    const double height = c.top + c.height + foot + 8.0 + key_line * static_cast<double>(lines);
    const std::string size = coordinate(width) + "\" height=\"" + coordinate(height);
    return "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"" + size + "\" viewBox=\"0 0 " + coordinate(width) + " " +
           coordinate(height) + "\" font-family=\"sans-serif\" font-size=\"12\" fill=\"" + ink + "\">\n<title>" +
           markup_text(title) + "</title>\n<rect width=\"100%\" height=\"100%\" fill=\"" + plan_colours::sheet +
           "\"/>\n" + "<g font-size=\"15\">" + text_at(c.left, 25.0, "start", title) + "</g>\n<svg x=\"" +
           coordinate(c.left) + "\" y=\"" + coordinate(c.top) + "\" width=\"" + coordinate(c.width) + "\" height=\"" +
           coordinate(c.height) + "\">\n";
}

std::string close_plan(const PlanCanvas& c, const std::vector<KeyEntry>& key) {
    return "</svg>\n<rect x=\"" + coordinate(c.left) + "\" y=\"" + coordinate(c.top) + "\" width=\"" +
           coordinate(c.width) + "\" height=\"" + coordinate(c.height) + "\" fill=\"none\" stroke=\"" + ink + "\"/>\n" +
           ticks(c) + scale_bar(c) + key_of(c, key) + "</svg>\n";
}

}  // namespace tymbal
