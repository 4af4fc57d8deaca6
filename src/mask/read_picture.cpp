#include "tymbal/mask/read_picture.h"

#include "../text/toml_table.h"
#include "svg_elements.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <string_view>

namespace tymbal {

namespace {

constexpr std::size_t most_corners = 200'000;

[[noreturn]] void refuse(const SvgElement& e, const std::string& what) {
    throw InputError(e.at, "<" + e.name + ">", what);
}

/// The numbers and letters of a list, one by one.
class Tokens {
public:
    Tokens(std::string_view text, const SvgElement& element) : text_(text), element_(element) {}

    [[nodiscard]] bool at_end() {
        skip();
        return text_.empty();
    }
    [[nodiscard]] bool at_letter() {
        skip();
        return !text_.empty() && std::isalpha(static_cast<unsigned char>(text_.front())) != 0;
    }
    char letter() {
        const char c = text_.front();
        text_.remove_prefix(1);
        return c;
    }
    double number() {
        skip();
        if (!text_.empty() && text_.front() == '+') text_.remove_prefix(1);
        double value = 0.0;
        const auto [end, error] = std::from_chars(text_.data(), text_.data() + text_.size(), value);
        if (error != std::errc{} || !(std::abs(value) <= 1e9))
            refuse(element_, "has '" + std::string(text_.substr(0, 12)) + "' where a number should be");
        text_.remove_prefix(static_cast<std::size_t>(end - text_.data()));
        return value;
    }

private:
    void skip() {
        while (!text_.empty() && (text_.front() == ' ' || text_.front() == ',' || text_.front() == '\n' ||
                                  text_.front() == '\t' || text_.front() == '\r'))
            text_.remove_prefix(1);
    }
    std::string_view text_;
    const SvgElement& element_;
};

using Rings = std::vector<std::vector<Point>>;

std::string value_of(const SvgElement& e, const std::string& key) {
    const auto found = e.attributes.find(key);
    return found == e.attributes.end() ? "" : found->second;
}

std::vector<Point> pairs(const SvgElement& e, const std::string& key) {
    const std::string text = value_of(e, key);
    Tokens tokens(text, e);
    std::vector<Point> points;
    while (!tokens.at_end()) {
        const double x = tokens.number();
        points.push_back({x, tokens.number()});
    }
    return points;
}

void require_straight(const SvgElement& e, char command) {
    if (std::string_view("CcSsQqTtAa").find(command) != std::string_view::npos)
        refuse(e, std::string("has the curve '") + command +
                      "'; a mask holds polygons: let the drawing program flatten curves into lines");
    if (std::string_view("MmLlHhVvZz").find(command) == std::string_view::npos)
        refuse(e, std::string("has the command '") + command + "'; accepted: M, L, H, V, Z and their small letters");
}

/// Where a step of the path leads. @param command  M, L, H or V, small: from `from` on
Point step(Tokens& tokens, char command, Point from) {
    const bool relative = std::islower(static_cast<unsigned char>(command)) != 0;
    const Point base = relative ? from : Point{};
    switch (std::toupper(static_cast<unsigned char>(command))) {
        case 'H': return {base.x + tokens.number(), from.y};
        case 'V': return {from.x, base.y + tokens.number()};
        default: break;
    }
    const double x = base.x + tokens.number();
    return {x, base.y + tokens.number()};
}

Rings rings_of_path(const SvgElement& e) {
    const std::string text = value_of(e, "d");
    Tokens tokens(text, e);
    Rings rings;
    char command = 'Z';
    bool closed = true;
    Point at{};
    while (!tokens.at_end()) {
        if (tokens.at_letter()) {
            command = tokens.letter();
            require_straight(e, command);
            if (command == 'Z' || command == 'z') {
                if (!rings.empty()) at = rings.back().front();
                closed = true;
                continue;
            }
            if (rings.empty() && command != 'M' && command != 'm') refuse(e, "does not begin with M");
            if (command == 'M' || command == 'm')
                rings.emplace_back();
            else if (closed)
                rings.push_back({at});  // what goes on after Z begins where the figure before did
            closed = false;
        } else if (command == 'Z' || command == 'z') {
            refuse(e, "has a number where M should begin a figure");
        }
        at = step(tokens, command, at);
        rings.back().push_back(at);
        if (command == 'M') command = 'L';
        if (command == 'm') command = 'l';
    }
    return rings;
}

double attribute_number(const SvgElement& e, const std::string& key, bool needed) {
    const std::string text = value_of(e, key);
    if (text.empty()) {
        if (needed) refuse(e, "has no " + key);
        return 0.0;
    }
    Tokens tokens(text, e);
    const double value = tokens.number();
    if (!tokens.at_end()) refuse(e, key + " is '" + text.substr(0, 20) + "'; give a bare number");
    return value;
}

Rings rings_of_rect(const SvgElement& e) {
    for (const char* round : {"rx", "ry"})
        if (e.attributes.count(round) > 0) refuse(e, "has round corners, which are curves; draw it as a polygon");
    const double x = attribute_number(e, "x", false), y = attribute_number(e, "y", false);
    const double w = attribute_number(e, "width", true), h = attribute_number(e, "height", true);
    if (!(w > 0.0 && h > 0.0)) refuse(e, "needs a width and a height above zero");
    return {{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}};
}

/// What a shape may not have, and why.
void require_filled(const SvgElement& e, const std::string& key, const std::string& value) {
    if (key == "stroke" && value != "none")
        refuse(e, "has a stroke; a mask holds filled figures: let the drawing program turn strokes into outlines");
    if (key == "fill" && (value.find("none") != std::string::npos || value.find("transparent") != std::string::npos))
        refuse(e, "is not filled; take it out or fill it");
    if (key == "fill-rule" && value != "evenodd" && value != "nonzero")
        refuse(e, "fill-rule is '" + value.substr(0, 20) + "'; accepted: evenodd, nonzero");
    if (key == "fill-rule" && (e.name == "svg" || e.name == "g"))
        refuse(e, "has a fill-rule for what is inside; give it to each path or polygon");
    for (const char* hiding : {"display", "visibility", "opacity", "fill-opacity", "clip-path", "mask"})
        if (key == hiding) refuse(e, "has " + key + ", which can hide a figure; a mask holds all of it: take it out");
    if (value.find("url(") != std::string::npos) refuse(e, key + " refers to something else, which is not read");
}

void require_plain(const SvgElement& e) {
    for (const auto& [key, value] : e.attributes) {
        if (key == "transform") refuse(e, "has a transform; let the drawing program apply it to the coordinates");
        if (key == "style") refuse(e, "has a style; give fill and stroke as attributes of their own");
        if (key.compare(0, 2, "on") == 0) refuse(e, "has the script '" + key + "', which is not read");
        if (key == "href" || key == "xlink:href") refuse(e, "refers to something else, which is not read");
        require_filled(e, key, value);
    }
}

bool even_odd(const SvgElement& e) {
    return value_of(e, "fill-rule") == "evenodd";
}

[[noreturn]] void refuse_element(const SvgElement& e) {
    if (e.name == "text" || e.name == "tspan")
        refuse(e, "is text, which needs a font; let the drawing program turn it into outlines of straight lines");
    if (e.name == "circle" || e.name == "ellipse") refuse(e, "is a curve; draw it as a polygon");
    if (e.name == "line" || e.name == "polyline") refuse(e, "is a line without area; draw it as a polygon");
    if (e.name == "script" || e.name == "style") refuse(e, "is a " + e.name + ", which is not read; take it out");
    if (e.name == "use" || e.name == "image" || e.name == "a")
        refuse(e, "refers to something else, which is not read; put the figure itself into the file");
    refuse(e, "is not read; accepted: path, polygon and rect inside svg and g");
}

Rings rings_of(const SvgElement& e) {
    if (e.name == "path") return rings_of_path(e);
    if (e.name == "polygon") return {pairs(e, "points")};
    if (e.name == "rect") return rings_of_rect(e);
    refuse_element(e);
}

std::vector<FilledShape> shapes_of(const std::vector<SvgElement>& elements, const std::string& path) {
    std::vector<FilledShape> shapes;
    std::size_t corners = 0;
    if (elements.front().name != "svg")
        throw InputError(elements.front().at, "", "is no SVG file: its outermost element must be svg");
    for (std::size_t k = 0; k < elements.size(); ++k) {
        const SvgElement& e = elements[k];
        require_plain(e);
        if (k > 0 && e.inside.empty()) refuse(e, "stands behind the end of the picture");
        if (!e.inside.empty() && e.inside.back() != "svg" && e.inside.back() != "g")
            refuse(e, "stands inside <" + e.inside.back() + ">; accepted: inside svg and g");
        if ((e.name == "svg" && k == 0) || e.name == "g" || e.name == "title" || e.name == "desc") continue;
        FilledShape shape{rings_of(e), even_odd(e)};
        for (const auto& ring : shape.rings) {
            corners += ring.size();
            if (ring.size() < 3) refuse(e, "has a figure of fewer than three corners");
        }
        if (corners > most_corners) refuse(e, "brings the corners to more than 200000");
        shapes.push_back(std::move(shape));
    }
    if (shapes.empty()) throw InputError({path, 0}, "", "holds no path, polygon or rect");
    return shapes;
}

}  // namespace

Box extent_of(const std::vector<FilledShape>& shapes) {
    std::vector<Point> all;
    for (const FilledShape& s : shapes)
        for (const auto& ring : s.rings) all.insert(all.end(), ring.begin(), ring.end());
    return bounding_box(all);
}

std::vector<FilledShape> parse_picture(const std::string& text, const std::string& path, double width_m) {
    std::vector<FilledShape> shapes = shapes_of(svg_elements(text, path), path);
    const Box box = extent_of(shapes);
    const Point centre{0.5 * (box.low.x + box.high.x), 0.5 * (box.low.y + box.high.y)};
    if (!(box.high.x > box.low.x && box.high.y > box.low.y))
        throw InputError({path, 0}, "", "has figures without area");
    const double scale = width_m / (box.high.x - box.low.x);
    if (scale * (box.high.y - box.low.y) > 0.1)
        throw InputError({path, 0}, "", "would be more than 10 cm high; give a smaller picture_width");
    for (FilledShape& s : shapes)
        for (auto& ring : s.rings)
            for (Point& p : ring) p = {scale * (p.x - centre.x), scale * (centre.y - p.y)};
    return shapes;
}

std::vector<FilledShape> read_picture(const std::string& path, double width_m) {
    return parse_picture(read_text(path), path, width_m);
}

}  // namespace tymbal
