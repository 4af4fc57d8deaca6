#include "plate_grid.h"

#include "tymbal/base/error.h"
#include "tymbal/grid/eigenpairs.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

/// A difference formula on few nodes.
struct Formula {
    std::array<int, 4> node{};
    std::array<double, 4> weight{};
    std::size_t size = 0;
    void add(int n, double w) {
        if (n < 0) return;
        node[size] = n;
        weight[size++] = w;
    }
};

class Assembly {
public:
    explicit Assembly(Eigen::Index size) : size_(size) {}
    void add(const Formula& a, const Formula& b, double factor) {
        for (std::size_t p = 0; p < a.size; ++p)
            for (std::size_t q = 0; q < b.size; ++q)
                entries_.emplace_back(a.node[p], b.node[q], factor * a.weight[p] * b.weight[q]);
    }
    [[nodiscard]] SparseMatrix matrix() const {
        SparseMatrix m(size_, size_);
        m.setFromTriplets(entries_.begin(), entries_.end());
        return m;
    }

private:
    Eigen::Index size_;
    std::vector<Eigen::Triplet<double>> entries_;
};

struct Held {
    bool left = false, right = false, lower = false, upper = false;
};

Held held_edges(const std::vector<ChipEdge>& edges) {
    const auto is = [&](ChipEdge e) { return std::find(edges.begin(), edges.end(), e) != edges.end(); };
    return {is(ChipEdge::left), is(ChipEdge::right), is(ChipEdge::lower), is(ChipEdge::upper)};
}

/// Second difference along one axis at position k of 0..last; empty on a free edge.
template <class At>
Formula second(int k, int last, bool held_low, bool held_high, double spacing, At at) {
    const double scale = 1.0 / (spacing * spacing);
    Formula f;
    if (k == 0) {
        if (held_low) f.add(at(1), 2.0 * scale);
    } else if (k == last) {
        if (held_high) f.add(at(last - 1), 2.0 * scale);
    } else {
        f.add(at(k - 1), scale);
        f.add(at(k), -2.0 * scale);
        f.add(at(k + 1), scale);
    }
    return f;
}

void add_bending(Assembly& out, const PlateProblem& plate, const PlateLevel& level) {
    const Held held = held_edges(plate.held);
    const PlateStiffness& d = plate.stiffness;
    const auto number = [&](int i, int j) { return level.number[static_cast<std::size_t>(i + level.columns * j)]; };
    const int last_i = level.columns - 1, last_j = level.rows - 1;
    for (int j = 0; j <= last_j; ++j) {
        for (int i = 0; i <= last_i; ++i) {
            const double area =
                level.dx * (i == 0 || i == last_i ? 0.5 : 1.0) * level.dy * (j == 0 || j == last_j ? 0.5 : 1.0);
            const Formula xx = second(i, last_i, held.left, held.right, level.dx, [&](int k) { return number(k, j); });
            const Formula yy = second(j, last_j, held.lower, held.upper, level.dy, [&](int k) { return number(i, k); });
            const bool free_x = (i == 0 && !held.left) || (i == last_i && !held.right);
            const bool free_y = (j == 0 && !held.lower) || (j == last_j && !held.upper);
            out.add(xx, xx, area * (free_y ? d.d11 - d.d12 * d.d12 / d.d22 : d.d11));
            out.add(yy, yy, area * (free_x ? d.d22 - d.d12 * d.d12 / d.d11 : d.d22));
            if (free_x || free_y) continue;
            out.add(xx, yy, area * d.d12);
            out.add(yy, xx, area * d.d12);
        }
    }
}

void add_twist(Assembly& out, const PlateProblem& plate, const PlateLevel& level) {
    const auto number = [&](int i, int j) { return level.number[static_cast<std::size_t>(i + level.columns * j)]; };
    const double per_area = 1.0 / (level.dx * level.dy);
    for (int j = 0; j + 1 < level.rows; ++j) {
        for (int i = 0; i + 1 < level.columns; ++i) {
            Formula twist;
            twist.add(number(i, j), per_area);
            twist.add(number(i + 1, j), -per_area);
            twist.add(number(i, j + 1), -per_area);
            twist.add(number(i + 1, j + 1), per_area);
            out.add(twist, twist, 4.0 * plate.stiffness.d66 * level.dx * level.dy);
        }
    }
}

/// Numbers the nodes that move. @return how many
int number_nodes(const Held& held, PlateLevel& level) {
    int count = 0;
    for (int j = 0; j < level.rows; ++j)
        for (int i = 0; i < level.columns; ++i) {
            const bool still = (held.left && i == 0) || (held.right && i + 1 == level.columns) ||
                               (held.lower && j == 0) || (held.upper && j + 1 == level.rows);
            level.number.push_back(still ? -1 : count++);
        }
    return count;
}

Vector node_masses(const PlateProblem& plate, const PlateLevel& level, int count) {
    Vector mass(count);
    for (int j = 0; j < level.rows; ++j)
        for (int i = 0; i < level.columns; ++i) {
            const int n = level.number[static_cast<std::size_t>(i + level.columns * j)];
            if (n < 0) continue;
            const double x = i == 0 || i + 1 == level.columns ? 0.5 : 1.0;
            const double y = j == 0 || j + 1 == level.rows ? 0.5 : 1.0;
            mass[n] = plate.areal_density * x * y * level.dx * level.dy;
        }
    return mass;
}

}  // namespace

Vector PlateLevel::at(double x, double y) const {
    const double s = std::clamp(x / dx + 0.5 * (columns - 1), 0.0, columns - 1.0);
    const double t = std::clamp(y / dy + 0.5 * (rows - 1), 0.0, rows - 1.0);
    const int i = std::min(static_cast<int>(s), columns - 2), j = std::min(static_cast<int>(t), rows - 2);
    Vector sum = Vector::Zero(shapes.cols());
    for (int b = 0; b < 2; ++b)
        for (int a = 0; a < 2; ++a) {
            const int n = number[static_cast<std::size_t>(i + a + columns * (j + b))];
            const double share = (a == 1 ? s - i : 1.0 - s + i) * (b == 1 ? t - j : 1.0 - t + j);
            if (n >= 0) sum += share * shapes.row(n).transpose();
        }
    return sum;
}

PlateLevel solve_plate(const PlateProblem& plate, int cells_x, int cells_y) {
    PlateLevel level;
    level.columns = cells_x + 1;
    level.rows = cells_y + 1;
    level.dx = plate.width / cells_x;
    level.dy = plate.length / cells_y;
    const int size = number_nodes(held_edges(plate.held), level);
    Assembly assembly(size);
    add_bending(assembly, plate, level);
    add_twist(assembly, plate, level);
    const Vector mass = node_masses(plate, level, size);
    SparseMatrix stiffness = assembly.matrix();
    // A free plate has three rigid motions at zero. A soft bed of springs lifts every value by the same amount, which
    // is taken off again.
    const bool rigid = plate.held.empty();
    const double scale =
        std::pow(10.0 / std::max(plate.width, plate.length), 4) * mean_stiffness(plate.stiffness) / plate.areal_density;
    const double bed = rigid ? 1e-2 * scale : 0.0;
    for (Eigen::Index n = 0; n < stiffness.rows(); ++n) stiffness.coeffRef(n, n) += bed * mass[n];
    const int skip = rigid ? 3 : 0;
    const Eigenpairs pairs = lowest_eigenpairs(stiffness, mass, plate.count + skip);
    level.values = pairs.values.tail(plate.count).array() - bed;
    level.shapes = pairs.vectors.rightCols(plate.count);
    return level;
}

}  // namespace tymbal
