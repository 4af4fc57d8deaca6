#include "front_inside.h"

#include "tymbal/base/error.h"
#include "tymbal/release/release.h"

#include <variant>

namespace tymbal {

Boundary front_inside(const Device& device, const PlacedHoles& holes) {
    if (!device.release || std::holds_alternative<Released>(device.outline)) return {};
    const auto undercut = undercut_of(*device.release, device.film.material);
    if (!undercut || !(undercut->si() > 0.0)) return {};
    try {
        return front(holes, undercut->si());
    } catch (const NoAnswer&) {
        return {};  // fronts that just touch: the picture goes without
    }
}

}  // namespace tymbal
