#include "release_warnings.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/overlap.h"
#include "tymbal/task/released_film.h"

#include "holes_in_place.h"

#include <algorithm>

namespace tymbal {

namespace {

/// Rates that thinning and time hang on and that nobody has given.
void warn_rates(const Device& device, Warnings& out) {
    const Release& release = *device.release;
    const std::optional<EtchPair> pair = etch_pair(release, device.film.material);
    if (!pair)
        out.push_back({"rates",
                       "etch time and thinning of the film are not known: the design names no etchant with "
                       "its sacrificial layer; name them, or give your own release.rate and release.film_rate"});
    else if (!pair->film)
        out.push_back({"film-rate", "thinning of the film is not counted: no rate on '" + device.film.material +
                                        "' is known" +
                                        (release.etchant ? " for '" + release.etchant->row + "'" : std::string()) +
                                        "; measure it on a test piece and give it as release.film_rate"});
}

}  // namespace

Warnings release_warnings(const Device& device) {
    Warnings out;
    if (!device.release || !device.holes) return out;
    const std::optional<Sourced<Length>> undercut = undercut_of(*device.release, device.film.material);
    if (!undercut || !(undercut->si() > 0.0)) return out;
    warn_rates(device, out);
    const Warnings thin = thinning_warnings(released_film(device));
    out.insert(out.end(), thin.begin(), thin.end());
    const Released* released = std::get_if<Released>(&device.outline);
    const PlacedHoles holes = holes_in_place(device);
    std::vector<Loop> all;
    try {
        all = loops(released != nullptr ? released->front : front(holes, undercut->si()));
    } catch (const NoAnswer& e) {  // the window's film is solved without its front
        out.push_back(
            {"front-unknown", std::string("what the etch leaves under the window is not known: ") + e.what()});
        return out;
    }
    const auto pillars = std::count_if(all.begin(), all.end(), [](const Loop& l) { return l.area < 0.0; });
    if (pillars > 0) {
        std::string text = std::to_string(pillars);
        text.append(" pillars of oxide remain between the holes; ")
            .append(released != nullptr ? "the film is solved as held there"
                                        : "the film of this window is solved as if they were gone")
            .append(" (`tymbal release` says which undercut clears them)");
        out.push_back({"pillars", text});
    }
    if (released == nullptr && beyond_front(boundary(device.outline), holes, undercut->si()) > 0.0)
        out.push_back(
            {"rim-not-reached",
             "the undercut does not reach the outline everywhere; what hangs free is smaller than the outline "
             "of the design"});
    return out;
}

}  // namespace tymbal
