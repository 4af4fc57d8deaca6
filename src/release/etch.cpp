#include "tymbal/release/etch.h"

#include "tymbal/base/error.h"

#include <cmath>

namespace tymbal {

namespace {

/// Distance the front has travelled from where the hole's edge was at first.
double travelled(const EtchPair& pair, double time) {
    const double straight = pair.sacrificial.si() * time;
    if (!std::isfinite(pair.slow_down)) return straight;
    // Root of x + x^2/A = straight, in the form that does not subtract nearly equal numbers.
    return 2.0 * straight / (1.0 + std::sqrt(1.0 + 4.0 * straight / pair.slow_down));
}

}  // namespace

double undercut_after(const EtchPair& pair, double time) {
    return travelled(pair, time) - pair.film_rate() * time;
}

double time_for(const EtchPair& pair, double undercut) {
    const double rate = pair.sacrificial.si(), film = pair.film_rate();
    // With x the way of the front: u = x - film (x + x^2/A)/rate, a parabola in x.
    const double share = 1.0 - film / rate;
    const double bend = std::isfinite(pair.slow_down) ? film / (rate * pair.slow_down) : 0.0;
    const double rest = share * share - 4.0 * bend * undercut;
    if (!(share > 0.0) || rest < 0.0)
        throw NoAnswer(
            "the film is eaten at its hole edges faster than the front creeps under it; choose an etchant with a "
            "better selectivity or a shorter undercut");
    const double x = 2.0 * undercut / (share + std::sqrt(rest));
    return (x + (std::isfinite(pair.slow_down) ? x * x / pair.slow_down : 0.0)) / rate;
}

}  // namespace tymbal
