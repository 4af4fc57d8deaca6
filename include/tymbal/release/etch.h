// How fast the front creeps under the film, and what the same acid takes off the film meanwhile.
#pragma once

#include "tymbal/base/material.h"

namespace tymbal {

/// Speeds of one etchant on one pair of materials.
struct EtchPair {
    Sourced<Speed> sacrificial;
    std::optional<Sourced<Speed>> film;  ///< empty: not known
    /// Undercut at which transport through the gap has doubled the time a further step takes to begin with: the front
    /// x obeys x + x^2 / slow_down = rate * time (Deal and Grove, J. Appl. Phys. 36, 3770 (1965), applied to oxide
    /// under a film by Monk, Soane and Howe, J. Electrochem. Soc. 141, 264 (1994); both from memory). Infinite: no
    /// slowing.
    double slow_down = 0.0;

    [[nodiscard]] double film_rate() const { return film ? film->si() : 0.0; }
    /// Relative, one sigma.
    [[nodiscard]] double sacrificial_spread() const { return sacrificial.deviation_si() / sacrificial.si(); }
};

/// Time until the front is `undercut` beyond the hole's edge, s. The edge itself recedes by the film's own loss, so the
/// front has to travel that much further.
/// @throws NoAnswer when the film's edge outruns the front
[[nodiscard]] double time_for(const EtchPair& pair, double undercut);

/// Undercut beyond the receding edge after `time`, m.
[[nodiscard]] double undercut_after(const EtchPair& pair, double time);

}  // namespace tymbal
