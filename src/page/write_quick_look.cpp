#include "tymbal/page/write_quick_look.h"

#include "film_picture.h"
#include "mode_picture.h"
#include "report_figures.h"
#include "report_parts.h"

#include <algorithm>

namespace tymbal {

namespace {

constexpr std::size_t in_row = 4;
constexpr double picture = 180.0, gap = 16.0, words = 40.0, head = 44.0;

std::string style() {
    std::string rules =
        "text{font:12px "
        "sans-serif;fill:#1d2529}.rim,.free,.clamp{fill:none;stroke:#33434a}.clamp{stroke-width:3}.cover{fill:none;"
        "stroke:#fff;stroke-width:3}.nodal{fill:none;"
        "stroke:"
        "#1d2529}.halo{fill:none;stroke:#fff;stroke-width:2.6}.spot{fill:none;stroke:#1d2529;stroke-"
        "dasharray:4 3}";
    const std::vector<Rgb> ramp = diverging_ramp(diverging_bands, Page::light);
    for (std::size_t k = 0; k < ramp.size(); ++k)
        rules.append(".d").append(std::to_string(k)).append("{fill:").append(hex(ramp[k])).append("}");
    return rules;
}

void text(std::ostream& out, double x, double y, const std::string& words_) {
    out << "<text x=\"" << coordinate(x) << "\" y=\"" << coordinate(y) << "\">" << html(words_) << "</text>\n";
}

}  // namespace

void write_quick_look(std::ostream& out, const Device& device, const DesignDrawing& drawing,
                      const Prediction& prediction) {
    const Frame frame = picture_frame(drawing, picture);
    const std::size_t count = prediction.modes.size(), columns = std::min(in_row, count);
    const double width = gap + static_cast<double>(columns) * (picture + gap);
    const double step = frame.height() + words;
    const std::size_t rows = (count + in_row - 1) / in_row;
    const double height = head + static_cast<double>(rows) * step + gap;
    out << "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"" << coordinate(width) << "\" height=\""
        << coordinate(height) << "\" viewBox=\"0 0 " << coordinate(width) << ' ' << coordinate(height) << "\">\n<style>"
        << style() << "</style>\n<rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>\n";
    define_film(out, drawing, frame);
    out << '\n';
    text(out, gap, 26.0, prediction.title.empty() ? "Mode shapes" : prediction.title);
    for (std::size_t k = 0; k < count; ++k) {
        const Mode& mode = prediction.modes[k].mode;
        const std::size_t column = k % in_row, row = k / in_row;
        const double x = gap + static_cast<double>(column) * (picture + gap);
        const double y = head + static_cast<double>(row) * step;
        out << "<g transform=\"translate(" << coordinate(x) << ' ' << coordinate(y) << ")\"><g " << only_film(drawing)
            << ">\n";
        draw_shape(out, mode.shape, frame);
        out << "</g>";
        draw_edges(out, drawing, frame);
        draw_spot(out, device.readout, frame);
        text(out, 2.0, frame.height() + 14.0,
             std::to_string(mode.index) + "  " + mode.label + "  " + frequency_text(mode));
        out << "</g>\n";
    }
    out << "</svg>\n";
}

}  // namespace tymbal
