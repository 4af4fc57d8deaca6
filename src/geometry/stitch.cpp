#include "stitch.h"

#include "tymbal/base/error.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace tymbal {

namespace {

/// Pieces by where they begin, to find the one that goes on from an end.
class Beginnings {
public:
    Beginnings(const Boundary& pieces, double tolerance) : pieces_(pieces), tolerance_(tolerance) {
        for (std::size_t k = 0; k < pieces.size(); ++k) at_.push_back({key(pieces[k].a, 0, 0), k});
        std::sort(at_.begin(), at_.end());
    }
    /// @returns the number of the nearest unused piece that begins at p within the tolerance
    [[nodiscard]] std::size_t next(Point p, const std::vector<bool>& used) const {
        std::size_t best = pieces_.size();
        double nearest = tolerance_;
        for (int i = -1; i <= 1; ++i) {
            const Key first = key(p, i, -1), last = key(p, i, 1);
            for (auto at = std::lower_bound(at_.begin(), at_.end(), Entry{first, 0});
                 at != at_.end() && at->first <= last; ++at) {
                const Edge& piece = pieces_[at->second];
                const double d = std::hypot(piece.a.x - p.x, piece.a.y - p.y);
                if (used[at->second] || d >= nearest) continue;
                nearest = d;
                best = at->second;
            }
        }
        return best;
    }

private:
    using Key = std::pair<long long, long long>;
    using Entry = std::pair<Key, std::size_t>;
    [[nodiscard]] Key key(Point p, int i, int j) const {
        return {static_cast<long long>(std::floor(p.x / tolerance_)) + i,
                static_cast<long long>(std::floor(p.y / tolerance_)) + j};
    }
    const Boundary& pieces_;
    double tolerance_;
    std::vector<Entry> at_;  ///< sorted by the raster of the tolerance
};

}  // namespace

Boundary stitched(const Boundary& pieces, double tolerance) {
    const Beginnings beginnings(pieces, tolerance);
    std::vector<bool> used(pieces.size(), false);
    Boundary rim;
    int loop = 0;
    for (std::size_t first = 0; first < pieces.size(); ++first) {
        if (used[first]) continue;
        const std::size_t start = rim.size();
        for (std::size_t k = first; !used[k];) {
            used[k] = true;
            Edge e = pieces[k];
            e.loop = loop;
            if (rim.size() > start) e.a = rim.back().b;
            rim.push_back(e);
            const Point begin = rim[start].a;
            if (rim.size() > start + 1 && std::hypot(e.b.x - begin.x, e.b.y - begin.y) < tolerance) break;
            k = beginnings.next(e.b, used);
            if (k == pieces.size())
                throw NoAnswer(
                    "etch fronts only just touch, so that rounding decides whether they have met; change the undercut "
                    "by a nanometre");
        }
        rim.back().b = rim[start].a;
        ++loop;
    }
    return rim;
}

}  // namespace tymbal
