#include "tymbal/mask/write_svg.h"

#include "../text/figures.h"
#include "../text/markup.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

constexpr double um = 1e6 * drawn_unit_m;

/// Every coordinate is a whole number of nanometres: three decimals say it exactly.
std::string in_um(long units) {
    std::string text = fixed(um * static_cast<double>(units), 3);
    while (text.back() == '0') text.pop_back();
    if (text.back() == '.') text.pop_back();
    return text == "-0" ? "0" : text;
}

const char* colour(Layer layer) {
    switch (layer) {
        case Layer::holes: return "#1b3a5c";
        case Layer::openings: return "#2a6f8e";
        case Layer::witnesses: return "#8a5a00";
        case Layer::marks: return "#33691e";
        case Layer::label: return "#5d4037";
        case Layer::frame: return "#9e9e9e";
    }
    return "#000000";
}

void write_figure(std::ostream& out, const DrawnFigure& figure) {
    out << "<path fill=\"" << colour(figure.layer) << "\" d=\"M";
    for (std::size_t k = 0; k < figure.corners.size(); ++k)
        out << (k > 0 ? "L" : "") << in_um(figure.corners[k].x) << ' ' << in_um(figure.corners[k].y);
    out << "Z\"/>\n";
}

void write_cell(std::ostream& out, const Drawing& drawing, std::size_t number) {
    const DrawnCell& cell = drawing.cells[number];
    out << "<g id=\"" << cell.name << "\">\n";
    for (const DrawnFigure& figure : cell.figures) write_figure(out, figure);
    for (const Placement& p : cell.placements)
        for (const DrawnPoint at : copies(p))
            out << "<use href=\"#" << drawing.cells[p.cell].name << "\" x=\"" << in_um(at.x) << "\" y=\"" << in_um(at.y)
                << "\"/>\n";
    out << "</g>\n";
}

/// 1, 2 or 5 times a power of ten, at most a third of the drawing's width, um.
double bar_length(double width) {
    const double power = std::pow(10.0, std::floor(std::log10(width / 3.0)));
    const double times = width / 3.0 / power;
    return power * (times >= 5.0 ? 5.0 : times >= 2.0 ? 2.0 : 1.0);
}

void write_scale_bar(std::ostream& out, double left, double bottom, double width) {
    const double length = bar_length(width), thick = 0.01 * width;
    out << "<rect fill=\"#000000\" x=\"" << plain(left, 9) << "\" y=\"" << plain(bottom + 2.0 * thick, 9)
        << "\" width=\"" << plain(length, 9) << "\" height=\"" << plain(thick, 9) << "\"/>\n"
        << "<text x=\"" << plain(left, 9) << "\" y=\"" << plain(bottom + 7.0 * thick, 9) << "\" font-size=\""
        << plain(3.5 * thick, 9) << "\" font-family=\"sans-serif\">" << with_prefix(1e-6 * length, "m", 3)
        << "</text>\n";
}

}  // namespace

void write_svg(std::ostream& out, const Drawing& drawing, const std::string& title) {
    const std::size_t whole = drawing.cells.size() - 1;
    const DrawnBox box = extent(drawing, whole);
    const double width = um * (box.high.x - box.low.x), height = um * (box.high.y - box.low.y);
    const double edge = 0.02 * width, foot = 0.1 * width;
    out << "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"" << plain(1e-3 * (width + 2.0 * edge), 9)
        << "mm\" height=\"" << plain(1e-3 * (height + edge + foot), 9) << "mm\" viewBox=\""
        << plain(um * box.low.x - edge, 9) << ' ' << plain(-um * box.high.y - edge, 9) << ' '
        << plain(width + 2.0 * edge, 9) << ' ' << plain(height + edge + foot, 9) << "\">\n<title>" << markup_text(title)
        << "</title>\n<desc>One unit is 1 um. Layers by colour: holes " << colour(Layer::holes) << ", openings "
        << colour(Layer::openings) << ", witnesses " << colour(Layer::witnesses) << ", marks " << colour(Layer::marks)
        << ", label " << colour(Layer::label) << ", frame " << colour(Layer::frame) << ".</desc>\n<defs>\n";
    for (std::size_t k = 0; k < whole; ++k) write_cell(out, drawing, k);
    out << "</defs>\n<g transform=\"scale(1,-1)\">\n";
    write_cell(out, drawing, whole);
    out << "</g>\n";
    write_scale_bar(out, um * box.low.x, -um * box.low.y, width);
    out << "</svg>\n";
}

}  // namespace tymbal
