#include "tymbal/mask/read_gdsii.h"

#include "gdsii_cells.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <set>
#include <utility>

namespace tymbal {

namespace {

using gdsii::Cell;
using gdsii::Library;
using gdsii::Reference;

constexpr double most_figures = 1e6;
constexpr int most_levels = 64;
constexpr int layer_of_several = 1;

std::string quoted(const std::string& name) {
    return std::string("'").append(name.substr(0, 40)).append("'");
}

int layer_of_holes(const Library& library, const std::string& path) {
    std::set<int> layers;
    for (const Cell& cell : library.cells)
        for (const gdsii::Figure& figure : cell.figures) layers.insert(figure.layer);
    if (layers.empty()) gdsii::refuse(path, 0, "there is no figure in the file; polygons are wanted");
    if (layers.size() == 1) return *layers.begin();
    if (layers.count(layer_of_several) == 0)
        gdsii::refuse(path, 0, "figures lie on several layers and none on layer 1, where holes are looked for");
    return layer_of_several;
}

/// Orders cells so that what a cell refers to comes before it, and counts.
class CellOrder {
public:
    CellOrder(const Library& library, int layer, const std::string& path)
        : library_(library), layer_(layer), path_(path), states_(library.cells.size()) {}

    /// Figures of the layer in a cell with all that it refers to; a double, because hostile counts overflow integers.
    double count(std::size_t number, int level) {
        State& state = states_[number];
        const Cell& cell = library_.cells[number];
        if (state.open)
            gdsii::refuse(path_, cell.at_byte, "references run in a circle through cell " + quoted(cell.name));
        if (state.count) {
            if (level + state.depth > most_levels) refuse_depth(cell);
            return *state.count;
        }
        if (level >= most_levels) refuse_depth(cell);
        state.open = true;
        double sum = 0.0;
        for (const gdsii::Figure& f : cell.figures) sum += f.layer == layer_ ? 1.0 : 0.0;
        for (const Reference& r : cell.references) {
            const std::size_t child = find(r);
            sum += static_cast<double>(r.columns) * r.rows * count(child, level + 1);
            state.depth = std::max(state.depth, states_[child].depth + 1);
        }
        state.open = false;
        state.count = sum;
        return sum;
    }

    [[nodiscard]] std::size_t find(const Reference& r) const {
        const auto found = library_.number_of.find(r.name);
        if (found == library_.number_of.end())
            gdsii::refuse(path_, r.at_byte, "a reference names cell " + quoted(r.name) + ", which is not in the file");
        return found->second;
    }

private:
    struct State {
        bool open = false;
        int depth = 0;
        std::optional<double> count;
    };
    [[noreturn]] void refuse_depth(const Cell& cell) const {
        gdsii::refuse(path_, cell.at_byte, "references are nested more than 64 deep");
    }

    const Library& library_;
    int layer_;
    const std::string& path_;
    std::vector<State> states_;
};

/// The one cell with holes that no other refers to.
std::size_t top_cell(const Library& library, CellOrder& order, const std::string& path) {
    std::vector<bool> referred(library.cells.size(), false);
    for (const Cell& cell : library.cells)
        for (const Reference& r : cell.references) referred[order.find(r)] = true;
    for (std::size_t k = 0; k < library.cells.size(); ++k) (void)order.count(k, 0);
    std::optional<std::size_t> top;
    for (std::size_t k = 0; k < library.cells.size(); ++k) {
        if (referred[k] || order.count(k, 0) == 0.0) continue;
        if (top)
            gdsii::refuse(path, library.cells[k].at_byte,
                          "the file has two top cells, " + quoted(library.cells[*top].name) + " and " +
                              quoted(library.cells[k].name) + "; leave one");
        top = k;
    }
    if (!top) gdsii::refuse(path, 0, "no top cell holds a figure of the layer");
    if (order.count(*top, 0) > most_figures)
        gdsii::refuse(path, library.cells[*top].at_byte,
                      "the references make more than a million figures; a pattern has at most a million holes");
    return *top;
}

Similarity then(const Similarity& inner, const Similarity& outer) {
    return {inner.mirrored != outer.mirrored, inner.scale * outer.scale,
            outer.turn_rad + (outer.mirrored ? -inner.turn_rad : inner.turn_rad), apply(outer, inner.shift)};
}

/// Collects the figures of the layer. What a cell holds for it is listed beforehand, so that neither empty references
/// nor figures of other layers are met again with every copy: the work is bounded by the figures found and their depth.
class Collector {
public:
    Collector(const Library& library, CellOrder& order, int layer) : library_(library) {
        for (const Cell& cell : library.cells) {
            Contents contents{found.shapes.size(), 0, {}};
            for (const gdsii::Figure& f : cell.figures)
                if (f.layer == layer) found.shapes.push_back(to_shape(f));
            contents.shapes = found.shapes.size() - contents.first_shape;
            for (const Reference& r : cell.references)
                if (order.count(order.find(r), 0) > 0.0) contents.references.push_back({&r, order.find(r)});
            contents_.push_back(std::move(contents));
        }
    }

    void collect(std::size_t number, const Similarity& placed) {
        const Contents& own = contents_[number];
        for (std::size_t k = 0; k < own.shapes; ++k) found.copies.push_back({own.first_shape + k, placed});
        for (const auto& [r, child] : own.references)
            for (int row = 0; row < r->rows; ++row)
                for (int column = 0; column < r->columns; ++column)
                    collect(child, then({r->mirrored, r->scale, r->turn_rad, copy_at(*r, column, row)}, placed));
    }

    GdsiiFigures found;

private:
    [[nodiscard]] GdsiiShape to_shape(const gdsii::Figure& f) const {
        GdsiiShape shape{{}, f.at_byte};
        for (const auto& p : f.corners) shape.corners.push_back({p[0] * library_.unit_m, p[1] * library_.unit_m});
        return shape;
    }
    [[nodiscard]] Point copy_at(const Reference& r, int column, int row) const {
        return {library_.unit_m * (r.at[0] + column * r.column_step[0] + row * r.row_step[0]),
                library_.unit_m * (r.at[1] + column * r.column_step[1] + row * r.row_step[1])};
    }

    struct Contents {
        std::size_t first_shape = 0;
        std::size_t shapes = 0;
        std::vector<std::pair<const Reference*, std::size_t>> references;  ///< with the cell they name
    };
    const Library& library_;
    std::vector<Contents> contents_;
};

void refuse_paths(const Library& library, int layer, const std::string& path) {
    for (const Cell& cell : library.cells)
        for (const gdsii::Figure& f : cell.figures)
            if (f.is_path && f.layer == layer)
                gdsii::refuse(path, f.at_byte,
                              "a path lies on the layer of the holes; polygons and boxes are accepted");
}

}  // namespace

Point apply(const Similarity& s, Point p) {
    const double c = s.scale * std::cos(s.turn_rad), n = s.scale * std::sin(s.turn_rad);
    const double y = s.mirrored ? -p.y : p.y;
    return {s.shift.x + c * p.x - n * y, s.shift.y + n * p.x + c * y};
}

GdsiiFigures read_gdsii(const std::string& bytes, const std::string& path) {
    const Library library = gdsii::parse(bytes, path);
    const int layer = layer_of_holes(library, path);
    refuse_paths(library, layer, path);
    CellOrder order(library, layer, path);
    const std::size_t top = top_cell(library, order, path);
    Collector collector(library, order, layer);
    collector.collect(top, {});
    return std::move(collector.found);
}

}  // namespace tymbal
