#include "doubts.h"

#include <cmath>

namespace tymbal {

namespace {

constexpr double least_usual_stress_pa = 1e6;  // deposited nitride carries 50 MPa to 1.3 GPa (see the material table)

bool written_by_the_user(const SourceLine& line) {
    return line.source.find(to_string(Origin::design).append("]")) != std::string::npos;
}

}  // namespace

Warnings doubtful_inputs(const std::vector<SourceLine>& sources, bool thinned) {
    Warnings out;
    for (const SourceLine& line : sources) {
        if (!written_by_the_user(line) || line.value == 0.0) continue;
        if (thinned && line.quantity == "film.thickness") continue;  // what is left scatters with the etch
        if (line.deviation > std::abs(line.value))
            out.push_back({"deviation-above-value",
                           line.quantity +
                               " is known to worse than its own value; is the deviation or its unit a slip? What "
                               "follows from it to first order says little"});
        if (line.quantity == "film.stress" && std::abs(line.value) < least_usual_stress_pa)
            out.push_back({"small-stress",
                           "film.stress is below 1 MPa, where nitride films have 50 MPa to 1.3 GPa; is its unit a "
                           "slip (Pa or kPa for MPa or GPa)?"});
    }
    return out;
}

}  // namespace tymbal
