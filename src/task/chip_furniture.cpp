#include "chip_furniture.h"

#include "chip_apart.h"
#include "device_figures.h"

#include "tymbal/base/error.h"
#include "tymbal/pattern/marks.h"
#include "tymbal/pattern/widths.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

constexpr double lane_m = 100e-6;  // kept free along the edge for the saw
constexpr double usual_clearance_m = 50e-6;

int on_grid(double metres, int grid) {
    return grid * static_cast<int>(std::lround(metres / drawn_unit_m / grid));
}

/// Rounded up to an even multiple of the grid, so that half of it lies on the grid too.
int even(double metres, int grid) {
    return 2 * grid * static_cast<int>(std::ceil(metres / drawn_unit_m / (2 * grid) - 1e-6));
}

DrawnBox moved(const DrawnBox& b, DrawnPoint by) {
    return {{b.low.x + by.x, b.low.y + by.y}, {b.high.x + by.x, b.high.y + by.y}};
}

DrawnBox shrunk(const DrawnBox& b, int by) {
    return {{b.low.x + by, b.low.y + by}, {b.high.x - by, b.high.y - by}};
}

Boundary rim_of(const std::vector<DrawnPoint>& corners) {
    std::vector<Point> points;
    for (const DrawnPoint p : corners) points.push_back({p.x * drawn_unit_m, p.y * drawn_unit_m});
    return polygon_figure(points);
}

std::string label_of(const ChipDesign& chip, const ChipPatternOptions& options) {
    if (!options.label.empty()) return options.label;
    return chip.marks.label.empty() ? chip.title : chip.marks.label;
}

/// "cross 2"
std::string numbered(std::string word, std::size_t number) {
    return word.append(std::to_string(number + 1));
}

/// The chip as it fills up.
class Furnisher {
public:
    Furnisher(const ChipDesign& chip, const ChipPatternOptions& options, ChipPattern& out)
        : chip_(chip), options_(options), out_(out), grid_(out.grid), least_(least_feature_m(first())) {
        const int w = on_grid(0.5 * chip.chip.width.si(), grid_), l = on_grid(0.5 * chip.chip.length.si(), grid_);
        box_ = {{-w, -l}, {w, l}};
        for (const ChipDevice& d : chip.devices) things_.push_back(thing_of(d, out.largest_undercut_m));
    }

    std::vector<Placement> all() {
        add_marks();
        add_picture();
        require_apart(things_, chip_.chip, out_);
        add_frame();
        add_label();
        for (ChipPatternDevice& d : out_.devices) add_name(d);
        add_witnesses();
        return std::move(placements_);
    }

private:
    [[nodiscard]] const Device& first() const { return chip_.devices.front().device; }

    std::size_t add(DrawnCell cell) {
        out_.drawing.cells.push_back(std::move(cell));
        return out_.drawing.cells.size() - 1;
    }

    void put(std::size_t cell, DrawnPoint at) { placements_.push_back({cell, at, 1, 1, {}, {}}); }

    void check(const std::string& what, double width_m) {
        PatternCheck c = width_check(what.c_str(), width_m, least_);
        if (c.held) return;
        out_.warnings.push_back({"below-least-feature", what + " is below process.least_feature"});
        out_.checks.push_back(std::move(c));
    }

    void mark(const std::string& name, std::size_t cell, const std::vector<DrawnPoint>& corners, Point at) {
        const DrawnPoint place{on_grid(at.x, grid_), on_grid(at.y, grid_)};
        put(cell, place);
        things_.push_back({name, rim_of(corners), at, out_.largest_undercut_m, false});
        given_.push_back(moved(box_round(corners), place));
    }

    static DrawnBox box_round(const std::vector<DrawnPoint>& corners) {
        DrawnBox b{corners.front(), corners.front()};
        for (const DrawnPoint p : corners)
            b = {{std::min(b.low.x, p.x), std::min(b.low.y, p.y)}, {std::max(b.high.x, p.x), std::max(b.high.y, p.y)}};
        return b;
    }

    void add_marks() {
        const ChipMarks& m = chip_.marks;
        if (!m.crosses.empty()) {
            const DrawnFigure figure =
                cross(Layer::marks, even(2.0 * m.cross_arm_m, grid_), even(m.cross_width_m, grid_));
            const std::size_t cell = add({"CROSS", {figure}, {}});
            for (std::size_t k = 0; k < m.crosses.size(); ++k)
                mark(numbered("cross ", k), cell, figure.corners, m.crosses[k]);
            check("the width of the crosses", even(m.cross_width_m, grid_) * drawn_unit_m);
        }
        if (m.squares.empty()) return;
        const int half = even(m.square_side_m, grid_) / 2;
        const std::vector<DrawnPoint> corners = corners_of({{-half, -half}, {half, half}});
        const std::size_t cell = add({"SQUARE", {{Layer::marks, corners}}, {}});
        for (std::size_t k = 0; k < m.squares.size(); ++k) mark(numbered("square ", k), cell, corners, m.squares[k]);
        check("the side of the squares", 2 * half * drawn_unit_m);
        out_.squares = static_cast<int>(m.squares.size());
    }

    void add_picture() {
        out_.crosses = static_cast<int>(chip_.marks.crosses.size());
        if (options_.picture.empty()) return;
        const std::vector<DrawnRegion> regions = draw_shapes(options_.picture, grid_);
        if (regions.empty()) throw NoAnswer("nothing of the figure of marks.picture is left on the address grid");
        DrawnCell cell{"PICTURE", {}, {}};
        for (const DrawnRegion& r : regions)
            for (DrawnFigure& f : pieces(r, Layer::marks, options_.most_corners, grid_))
                cell.figures.push_back(std::move(f));
        out_.picture_figures = cell.figures.size();
        const LeastWidths least = least_widths(regions);
        if (std::isfinite(least.width_m)) check("the least width of marks.picture", least.width_m);
        if (std::isfinite(least.gap_m)) check("the least gap of marks.picture", least.gap_m);
        const std::size_t number = add(std::move(cell));
        mark("the picture", number, corners_of(extent(out_.drawing, number)), chip_.marks.picture_position);
    }

    void add_frame() {
        const double shorter = drawn_unit_m * std::min(box_.high.x - box_.low.x, box_.high.y - box_.low.y);
        const int lane = even(std::min(lane_m, 0.01 * shorter), grid_);
        const int width = even(std::max(std::min(0.002 * shorter, 20e-6), least_), grid_);
        clearance_ = even(std::max(usual_clearance_m, 2.0 * out_.largest_undercut_m), grid_);
        room_ = {shrunk(box_, lane + width + clearance_), clearance_, given_};
        for (const ChipPatternDevice& d : out_.devices) room_.taken.push_back(d.box);
        const DrawnBox inner = shrunk(box_, lane + width);
        for (const DrawnBox& t : room_.taken)
            if (t.low.x < inner.low.x || t.low.y < inner.low.y || t.high.x > inner.high.x || t.high.y > inner.high.y) {
                out_.warnings.push_back({"no-frame",
                                         "something on the chip reaches into the dicing lane or the frame "
                                         "beside it, which are left out"});
                return;
            }
        DrawnCell cell{"FRAME", frame(Layer::frame, shrunk(box_, lane), width), {}};
        const int arm = std::max(4 * width, lane / 2);
        for (DrawnFigure& f : corner_angles(Layer::frame, box_, arm, width)) cell.figures.push_back(std::move(f));
        put(add(std::move(cell)), {0, 0});
    }

    /// Letters of the largest of these squares with which the text finds room near a place.
    bool letter(const std::string& cell, const std::string& text, const std::vector<double>& squares, DrawnPoint near) {
        for (const double wanted_m : squares) {
            const int square = even(std::max(wanted_m, 2.0 * least_), grid_);
            const int width = lettering_columns(text) * square, height = lettering_rows * square;
            const auto at = find_room(room_, width, height, near);
            if (!at) continue;
            put(add({cell, lettering(Layer::label, text, square), {}}), *at);
            room_.taken.push_back(moved({{0, 0}, {width, height}}, *at));
            return true;
        }
        return false;
    }

    void add_label() {
        const std::string text = drawable(label_of(chip_, options_));
        if (text.empty()) return;
        if (letter("LABEL", text, {20e-6, 10e-6, 5e-6, 2.5e-6}, room_.inside.low))
            out_.label = text;
        else
            out_.warnings.push_back({"no-label", "the chip has no room for its label, which is left out"});
    }

    /// Below the device, as far as there is room.
    void add_name(const ChipPatternDevice& d) {
        const int height = even(7.0 * 5e-6, grid_);
        const DrawnPoint below{(d.box.low.x + d.box.high.x) / 2, d.box.low.y - clearance_ - height / 2};
        const std::string cell = numbered("NAME", static_cast<std::size_t>(&d - out_.devices.data()));
        if (!letter(cell, drawable(d.name), {5e-6, 2.5e-6}, below))
            out_.warnings.push_back({"no-name", "the chip has no room for the name of device " + d.name});
    }

    void add_witnesses() {
        if (options_.witnesses.empty()) return;
        const auto with_holes = std::find_if(out_.devices.begin(), out_.devices.end(),
                                             [](const ChipPatternDevice& d) { return d.pattern.hole_count > 0; });
        if (with_holes == out_.devices.end())
            throw NoAnswer("witnesses are made from the holes of a device, and no device of the chip has any");
        const auto number = static_cast<std::size_t>(with_holes - out_.devices.begin());
        const Device& device = chip_.devices[number].device;
        const ChipBasis basis{box_, with_holes->box, "", clearance_ * drawn_unit_m, least_, grid_};
        const WitnessBasis own = witness_basis(device, with_holes->pattern, options_.most_corners);
        ChipLayout layout;
        layout.room = room_;
        for (const Witness w : all_witnesses()) {
            if (std::count(options_.witnesses.begin(), options_.witnesses.end(), w) == 0) continue;
            for (const WitnessBlock& block : draw_witness(w, own, out_.drawing))
                out_.witnesses.push_back(place_witness(w, block, basis, layout, out_.drawing));
        }
        placements_.insert(placements_.end(), layout.placements.begin(), layout.placements.end());
    }

    const ChipDesign& chip_;
    const ChipPatternOptions& options_;
    ChipPattern& out_;
    int grid_;
    double least_;
    DrawnBox box_;
    int clearance_ = 0;
    std::vector<ChipThing> things_;
    std::vector<DrawnBox> given_;
    ChipRoom room_;
    std::vector<Placement> placements_;
};

void require_drawable(const ChipDesign& chip, const std::string& key, const std::string& text) {
    const std::string letter = letter_without_strokes(text);
    if (!letter.empty())
        throw InputError(
            {chip.file, 0}, key,
            "has the letter '" + letter + "', for which there are no strokes; accepted: " + letters_with_strokes());
}

}  // namespace

void require_letters(const ChipDesign& chip, const ChipPatternOptions& options) {
    const std::string key = !options.label.empty() ? "label" : chip.marks.label.empty() ? "title" : "marks.label";
    require_drawable(chip, key, label_of(chip, options));
    for (const ChipDevice& d : chip.devices) require_drawable(chip, "device.name", d.name);
}

std::vector<Placement> furnish(const ChipDesign& chip, const ChipPatternOptions& options, ChipPattern& out) {
    return Furnisher(chip, options, out).all();
}

}  // namespace tymbal
