#include "tymbal/release/release.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tymbal {

std::optional<EtchPair> etch_pair(const Release& release, const std::string& film_row) {
    if (!release.etchant || release.sacrificial.empty()) return std::nullopt;
    const auto& rates = release.etchant->rates;
    const auto oxide = rates.find(release.sacrificial);
    if (oxide == rates.end()) return std::nullopt;
    const auto film = rates.find(film_row);
    return EtchPair{oxide->second, film == rates.end() ? std::nullopt : std::optional<Sourced<Speed>>(film->second),
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
    double farthest = -undercut;
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
            double nearest = std::numeric_limits<double>::infinity();
            for (const Point& c : holes.centres) nearest = std::min(nearest, distance_to_hole(holes, c, p));
            farthest = std::max(farthest, nearest - undercut);
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
