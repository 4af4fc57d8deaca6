#include "pattern.h"

#include <algorithm>
#include <utility>

namespace tymbal::spline {

namespace {

/// The parts and faces that each unknown belongs to, as lists of unknowns.
class Meetings {
public:
    Meetings(const Cells& cells, const Space& space)
        : cells_(cells), space_(space), first_(size() + 1, 0), seen_by_(size(), -1) {
        for_each_group([&](const auto& unknowns, int) {
            for (const int u : unknowns) ++first_[static_cast<std::size_t>(u) + 1];
        });
        for (std::size_t k = 0; k < size(); ++k) first_[k + 1] += first_[k];
        group_.resize(static_cast<std::size_t>(first_.back()));
        std::vector<std::int64_t> next(first_.begin(), first_.end() - 1);
        for_each_group([&](const auto& unknowns, int group) {
            for (const int u : unknowns) group_[static_cast<std::size_t>(next[static_cast<std::size_t>(u)]++)] = group;
        });
    }
    /// Unknowns that one meets, itself among them, rising.
    void of(int unknown, std::vector<int>& out) {
        out.clear();
        const auto n = static_cast<std::size_t>(unknown);
        for (auto k = first_[n]; k < first_[n + 1]; ++k) append(group_[static_cast<std::size_t>(k)], unknown, out);
        std::sort(out.begin(), out.end());
    }

private:
    [[nodiscard]] std::size_t size() const { return static_cast<std::size_t>(space_.size); }
    [[nodiscard]] const std::array<int, per_cell>& part(int p) const {
        return space_.parts[static_cast<std::size_t>(p)].unknown;
    }
    /// Groups are parts; negative ones stand for the ghost's faces.
    template <class Visit>
    void for_each_group(Visit visit) {
        for (std::size_t p = 0; p < space_.parts.size(); ++p) visit(space_.parts[p].unknown, static_cast<int>(p));
        faces_.clear();
        for (const auto* faces : {&cells_.beside, &cells_.above})
            for (const auto& face : *faces) {
                if (!ghost_joins(cells_, face)) continue;
                faces_.push_back(face);
                const int group = -static_cast<int>(faces_.size());
                visit(part(face[0]), group);
                visit(part(face[1]), group);
            }
    }
    void append(int group, int unknown, std::vector<int>& out) {
        const auto all = [&](int p) {
            for (const int u : part(p))
                if (std::exchange(seen_by_[static_cast<std::size_t>(u)], unknown) != unknown) out.push_back(u);
        };
        if (group >= 0) return all(group);
        for (const int p : faces_[static_cast<std::size_t>(-group - 1)]) all(p);
    }

    const Cells& cells_;
    const Space& space_;
    std::vector<std::int64_t> first_;
    std::vector<int> group_;
    std::vector<int> seen_by_;
    std::vector<std::array<int, 2>> faces_;
};

}  // namespace

bool ghost_joins(const Cells& cells, const std::array<int, 2>& face) {
    return cells.parts[static_cast<std::size_t>(face[0])].cut >= 0 ||
           cells.parts[static_cast<std::size_t>(face[1])].cut >= 0;
}

std::int64_t Pattern::entry(int row, int wanted) const {
    const auto r = static_cast<std::size_t>(row);
    const auto begin = column.begin() + first[r], end = column.begin() + first[r + 1];
    const auto at = std::lower_bound(begin, end, wanted);
    return at != end && *at == wanted ? at - column.begin() : -1;
}

Pattern pattern_of(const Cells& cells, const Space& space) {
    Meetings meetings(cells, space);
    Pattern out;
    out.first.reserve(static_cast<std::size_t>(space.size) + 1);
    out.first.push_back(0);
    std::vector<int> row;
    for (int n = 0; n < space.size; ++n) {
        meetings.of(n, row);
        out.column.insert(out.column.end(), row.begin(), row.end());
        out.first.push_back(static_cast<std::int64_t>(out.column.size()));
    }
    out.column.shrink_to_fit();
    return out;
}

Rows::Rows(std::shared_ptr<const Pattern> of, int fields_each)
    : pattern(std::move(of)), fields(fields_each), value(pattern->column.size() * static_cast<std::size_t>(block())) {}

SparseMatrix Rows::lower() const {
    const Pattern& p = *pattern;
    SparseMatrix out(p.rows() * fields, p.rows() * fields);
    out.reserve(static_cast<Eigen::Index>(value.size() / 2) + out.rows());
    for (int c = 0; c < p.rows(); ++c)
        for (int f = 0; f < fields; ++f) {
            out.startVec(c * fields + f);
            for (auto e = p.first[static_cast<std::size_t>(c)]; e < p.first[static_cast<std::size_t>(c) + 1]; ++e) {
                const int r = p.column[static_cast<std::size_t>(e)];
                for (int g = 0; g < fields; ++g)
                    if (r > c || (r == c && g >= f))
                        out.insertBack(r * fields + g, c * fields + f) =
                            value[static_cast<std::size_t>(e * block() + f * fields + g)];
            }
        }
    out.finalize();
    return out;
}

}  // namespace tymbal::spline
