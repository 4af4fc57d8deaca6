// The numbers behind the pictures, for hovering and the keyboard.
#include "../text/base64.h"
#include "mode_picture.h"
#include "report_parts.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

constexpr int most_points = 64;    // across: hovering interpolates
constexpr double full = 32'000.0;  // largest value in 16 bits; the least of them means unknown

nlohmann::ordered_json packed(const Raster& raster, double scale, const Frame& frame) {
    const Raster r = thinned(raster, most_points);
    std::vector<std::uint8_t> bytes;
    for (const double v : r.values) {
        const long number = std::isnan(v) ? -32768 : std::lround(full * v / scale);
        bytes.push_back(static_cast<std::uint8_t>(number & 0xff));
        bytes.push_back(static_cast<std::uint8_t>(number >> 8 & 0xff));
    }
    const auto rounded = [](double units) { return std::round(1e3 * units) / 1e3; };
    // Places in units of the picture: first point at its upper or lower left, steps to the right and upwards.
    return {{"columns", r.columns},
            {"rows", r.rows},
            {"x", rounded(frame.x(r.x0))},
            {"y", rounded(frame.y(r.y0))},
            {"dx", rounded(frame.scale * r.dx)},
            {"dy", rounded(frame.scale * r.dy)},
            {"values", base64(bytes)}};
}

nlohmann::ordered_json packed_stress(const Report& report, const Frame& frame) {
    const Raster largest = shown_stress(report, frame);
    double most = report.stress.peak_pa;  // the peak's own error may leave cells above it
    for (const double v : largest.values) most = std::max(most, std::isnan(v) ? 0.0 : v);
    nlohmann::ordered_json stress = packed(largest, most, frame);
    stress["scale"] = 1e-6 * most;
    stress["unit"] = "MPa";
    return stress;
}

}  // namespace

void write_field_data(std::ostream& out, const Report& report) {
    const Frame frame = picture_frame(report.drawing);
    nlohmann::ordered_json root;
    root["unitsPerMicrometre"] = frame.scale * 1e-6;
    root["left"] = 1e6 * frame.box.low.x;
    root["top"] = 1e6 * frame.box.high.y;
    for (const PredictedMode& m : report.prediction.modes) {
        nlohmann::ordered_json field = packed(raster_of(m.mode.shape), 1.0, frame);
        field["scale"] = 1.0;
        field["unit"] = "of the largest displacement";
        root["fields"]["mode-" + std::to_string(m.mode.index)] = field;
    }
    if (!stress_is_even(report)) root["fields"]["stress"] = packed_stress(report, frame);
    out << "<script type=\"application/json\" id=\"fields\">" << root.dump() << "</script>\n";
}

}  // namespace tymbal
