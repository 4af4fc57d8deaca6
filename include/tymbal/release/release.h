// [release]: what is etched away under the film, with what, how far or how long, and what the chip is dried from.
#pragma once

#include "tymbal/geometry/front.h"
#include "tymbal/release/film_loss.h"
#include "tymbal/release/hole_sizes.h"

#include <optional>
#include <string>

namespace tymbal {

struct Release {
    Length gap;                               ///< thickness of the sacrificial layer
    std::string sacrificial;                  ///< material row, empty when not said
    std::optional<Etchant> etchant;           ///< attacks the sacrificial row, by its own or by the given rate
    std::optional<Sourced<Speed>> rate;       ///< measured, of the sacrificial layer: instead of the etchant's row
    std::optional<Sourced<Speed>> film_rate;  ///< measured, of the film: instead of the etchant's row
    std::optional<Sourced<Length>> undercut;  ///< beyond the edge of the released hole; never together with time
    std::optional<Sourced<Time>> time;
    std::optional<Length> slow_down;  ///< see EtchPair
    std::optional<Liquid> drying;
};

/// Speeds on the sacrificial layer and on `film_row`: the design's own, else those of its etchant's row; empty when
/// that of the sacrificial layer is not known.
[[nodiscard]] std::optional<EtchPair> etch_pair(const Release& release, const std::string& film_row);

/// How far the walls of the holes recede in the bath until the given undercut or time, per edge; zero when not known.
[[nodiscard]] HoleSize wall_recession(const Release& release, const std::string& film_row);

/// The undercut given, or the one that the given time reaches, with the spread of the rate; empty when neither is
/// known.
[[nodiscard]] std::optional<Sourced<Length>> undercut_of(const Release& release, const std::string& film_row);

/// The area set free from under a field of holes.
/// @throws NoAnswer see front()
[[nodiscard]] Released set_free(const PlacedHoles& holes, const Sourced<Length>& undercut);

/// How far the farthest point of the rim lies beyond the front, m; zero or less when the front reaches all of it. The
/// rim is looked at in steps of a tenth of a hole, at most 2000 a piece.
[[nodiscard]] double beyond_front(const Boundary& rim, const PlacedHoles& holes, double undercut);

/// Film loss of a design's holes; empty when the undercut or the rates are not known.
[[nodiscard]] std::optional<FilmLoss> loss_of(const Release& release, const PlacedHoles& holes,
                                              const std::string& film_row);

}  // namespace tymbal
