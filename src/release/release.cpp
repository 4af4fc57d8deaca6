#include "tymbal/release/release.h"

#include "tymbal/geometry/boundary.h"

#include "../geometry/hole_index.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tymbal {

namespace {

/// Distance from any place to the edge of the nearest of many holes, looked for near by first.
class NearestHole {
public:
    explicit NearestHole(const PlacedHoles& holes)
        : holes_(holes), box_(bounding_box(holes.centres)), index_(holes.centres, spacing()) {}

    [[nodiscard]] double operator()(Point p) const {
        const double off_field = std::hypot(std::max({box_.low.x - p.x, 0.0, p.x - box_.high.x}),
                                            std::max({box_.low.y - p.y, 0.0, p.y - box_.high.y}));
        double reach = off_field + index_.width(), nearest = within(p, reach);
        while (std::isinf(nearest)) nearest = within(p, reach *= 2.0);
        // A centre farther away than this has no nearer edge: no figure reaches farther from its centre than its size.
        return within(p, nearest + holes_.size);
    }

private:
    /// Over all centres within `reach` of p, and some beyond.
    [[nodiscard]] double within(Point p, double reach) const {
        double nearest = std::numeric_limits<double>::infinity();
        index_.near(p, reach, [&](std::size_t k) {
            nearest = std::min(nearest, distance_to_hole(holes_, holes_.centres[k], p));
            return true;
        });
        return nearest;
    }

    [[nodiscard]] double spacing() const {
        const double area = (box_.high.x - box_.low.x + holes_.size) * (box_.high.y - box_.low.y + holes_.size);
        return std::sqrt(area / static_cast<double>(holes_.centres.size()));
    }

    const PlacedHoles& holes_;
    Box box_;
    HoleIndex index_;
};

std::optional<Sourced<Speed>> tabled_rate(const std::optional<Etchant>& etchant, const std::string& row) {
    if (!etchant) return std::nullopt;
    const auto found = etchant->rates.find(row);
    return found == etchant->rates.end() ? std::nullopt : std::optional<Sourced<Speed>>(found->second);
}

}  // namespace

std::optional<EtchPair> etch_pair(const Release& release, const std::string& film_row) {
    const auto oxide = release.rate ? release.rate : tabled_rate(release.etchant, release.sacrificial);
    if (!oxide) return std::nullopt;
    return EtchPair{*oxide, release.film_rate ? release.film_rate : tabled_rate(release.etchant, film_row),
                    release.slow_down ? release.slow_down->si() : std::numeric_limits<double>::infinity()};
}

std::optional<Sourced<Length>> undercut_of(const Release& release, const std::string& film_row) {
    if (release.undercut) return release.undercut;
    const std::optional<EtchPair> pair = etch_pair(release, film_row);
    if (!release.time || !pair) return std::nullopt;
    const double time = release.time->si();
    const double undercut = undercut_after(*pair, time);
    // du/u = d(rate)/rate = d(time)/time while nothing slows the front; a little less when something does.
    const double spread = std::hypot(pair->sacrificial_spread(), release.time->deviation_si() / time);
    Source source{"etch time times rate; rate: ", pair->sacrificial.source().origin};
    source.citation.append(pair->sacrificial.source().citation);
    return Sourced<Length>(Length::from_si(undercut), Length::from_si(std::abs(undercut) * spread), source);
}

HoleSize wall_recession(const Release& release, const std::string& film_row) {
    const std::optional<EtchPair> pair = etch_pair(release, film_row);
    if (!pair || !pair->film || (!release.time && !release.undercut)) return {};
    const double time = release.time ? release.time->si() : time_for(*pair, release.undercut->si());
    const double spread = std::hypot(pair->film->deviation_si() / pair->film->si(),
                                     release.time ? release.time->deviation_si() / time : pair->sacrificial_spread());
    return {pair->film->si() * time, pair->film->si() * time * spread};
}

Released set_free(const PlacedHoles& holes, const Sourced<Length>& undercut) {
    return {front(holes, undercut.si()), undercut};
}

double beyond_front(const Boundary& rim, const PlacedHoles& holes, double undercut) {
    if (holes.centres.empty()) return std::numeric_limits<double>::infinity();
    double farthest = -undercut;
    const NearestHole distance(holes);
    for (const Edge& e : rim) {
        const double chord = std::hypot(e.b.x - e.a.x, e.b.y - e.a.y);
        const int steps = std::clamp(static_cast<int>(10.0 * chord / holes.size), 1, 2000);
        for (int k = 0; k <= steps; ++k) {
            const double t = static_cast<double>(k) / steps;
            Point p{e.a.x + t * (e.b.x - e.a.x), e.a.y + t * (e.b.y - e.a.y)};
            if (e.radius > 0.0) {
                const double stretch = e.radius / std::hypot(p.x - e.centre.x, p.y - e.centre.y);
                p = {e.centre.x + stretch * (p.x - e.centre.x), e.centre.y + stretch * (p.y - e.centre.y)};
            }
            farthest = std::max(farthest, distance(p) - undercut);
        }
    }
    return farthest;
}

std::optional<FilmLoss> loss_of(const Release& release, const PlacedHoles& holes, const std::string& film_row) {
    const std::optional<EtchPair> pair = etch_pair(release, film_row);
    const std::optional<Sourced<Length>> undercut = undercut_of(release, film_row);
    if (!pair || !pair->film || !undercut) return std::nullopt;
    return film_loss(holes, *pair, undercut->si(), release.time.has_value());
}

}  // namespace tymbal
