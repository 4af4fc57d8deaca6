// The film that explains the lines of all devices: named, fitted, solved again there, until the fit settles.
#pragma once

#include "comparing.h"

#include "tymbal/task/progressed.h"

namespace tymbal {

/// Names by the lines of every device alone, where they are certain, else by those of all devices together.
/// @throws NoAnswer when nobody can tell which peak is which mode
enum class Naming { alone, together };
[[nodiscard]] Naming name_lines(std::vector<Work>& works, const Workshop& shop);

struct FoundFilm {
    FilmFit fit;         ///< parameters from the designs, shifts from where the works are solved
    FitFreedom freedom;  ///< of that fit
    bool settled = true;
};

/// Moves the works to the film found.
/// @param told  done after every round
[[nodiscard]] FoundFilm find_film(std::vector<Work>& works, Naming naming, FitFreedom freedom, const Workshop& shop,
                                  const std::function<void()>& told);

}  // namespace tymbal
