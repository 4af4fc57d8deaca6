#include "svg_shapes.h"

#include "../text/csv.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

std::string point(const Frame& frame, Point p) {
    return coordinate(frame.x(p.x)).append(" ").append(coordinate(frame.y(p.y)));
}

}  // namespace

Frame frame_round(const Box& box, double units, double margin) {
    const double side = std::max(box.high.x - box.low.x, box.high.y - box.low.y), pad = margin * side;
    return {{{box.low.x - pad, box.low.y - pad}, {box.high.x + pad, box.high.y + pad}}, units / (side + 2.0 * pad)};
}

std::string coordinate(double units) {
    const double rounded = std::round(10.0 * units) / 10.0;
    return shortest(rounded == 0.0 ? 0.0 : rounded);
}

std::string path_of(const Boundary& rim, const Frame& frame) {
    std::string path;
    int loop = -1;
    for (const Edge& e : rim) {
        if (e.loop != loop) {
            path.append(loop < 0 ? "" : "Z").append("M").append(point(frame, e.a));
            loop = e.loop;
        }
        if (e.radius == 0.0) {
            path.append("L").append(point(frame, e.b));
            continue;
        }
        const std::string radius = coordinate(frame.scale * e.radius);
        path.append("A").append(radius).append(" ").append(radius).append(e.outward ? " 0 0 0 " : " 0 0 1 ");
        path.append(point(frame, e.b));
    }
    return path.append(path.empty() ? "" : "Z");
}

std::string path_of(const std::vector<Polyline>& lines, const Frame& frame, bool closed) {
    std::string path;
    for (const Polyline& line : lines) {
        for (std::size_t k = 0; k < line.size(); ++k)
            path.append(k == 0 ? "M" : k == 1 ? "L" : " ").append(point(frame, line[k]));
        if (closed) path.append("Z");
    }
    return path;
}

double scale_bar_length(double width, double share) {
    const double power = std::pow(10.0, std::floor(std::log10(share * width)));
    for (const double digit : {5.0, 2.0})
        if (digit * power <= share * width * (1.0 + 1e-9)) return digit * power;
    return power;
}

}  // namespace tymbal
