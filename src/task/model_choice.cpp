#include "model_choice.h"

#include "tymbal/base/error.h"

#include "holes_in_place.h"

namespace tymbal {

namespace {

/// What a lattice's average cannot see of a design with holes or openings; null: nothing.
const char* no_average(const Device& device) {
    constexpr std::size_t few_holes = 16;
    if (std::holds_alternative<Strip>(device.outline)) return "the strip's long sides are free";
    if (!device.openings.empty()) return "single openings cannot be averaged over a lattice";
    if (device.holes->lattice == Lattice::list) return "single holes have no lattice to average over";
    if (!device.holes->omit.empty()) return "omitted lattice sites may hold modes of their own";
    if (place(*device.holes, device.outline).size() < few_holes) return "so few holes are no average of a lattice";
    return nullptr;
}

}  // namespace

ModelChoice choose_model(const Device& device) {
    constexpr std::size_t most_front_holes = 400;  // some seconds
    const std::optional<HolePattern>& holes = device.holes;
    if (device.solve.model == Model::averaged && holes && holes->lattice == Lattice::list)
        throw NoAnswer(
            "the averaged model needs a lattice and the design lists single holes; set solve.model to "
            "\"resolved\" or \"auto\"");
    if (device.solve.model == Model::averaged && !device.openings.empty())
        throw NoAnswer("the averaged model does not see [[openings]]; set solve.model to \"resolved\" or \"auto\"");
    const bool strip = std::holds_alternative<Strip>(device.outline);
    if (device.solve.model == Model::averaged && strip)
        throw NoAnswer(
            "the averaged model does not see a strip's free sides; set solve.model to \"resolved\" or "
            "\"auto\"");
    if (!holes && device.openings.empty() && !strip) return {false, "the film has no holes"};
    if (device.solve.model == Model::averaged) return {false, "as solve.model sets it"};
    if (device.solve.model == Model::resolved) return {true, "as solve.model sets it"};
    if (const char* why = no_average(device)) return {true, why};
    if (std::holds_alternative<Released>(device.outline) && place(*holes, device.outline).size() <= most_front_holes)
        return {true, "the etch front follows each of its holes"};
    return {false, "the holes form a lattice, averaged over its cell"};
}

Model coarse_model(const Device& device) {
    const bool may_be_averaged =
        device.holes && device.solve.model == Model::automatic && no_average(device) == nullptr;
    return may_be_averaged ? Model::averaged : device.solve.model;
}

}  // namespace tymbal
