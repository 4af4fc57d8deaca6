#include "tymbal/base/sourced.h"

#include <cmath>
#include <stdexcept>

namespace tymbal {

std::string to_string(Origin origin) {
    switch (origin) {
        case Origin::design: return "design file";
        case Origin::table: return "read in the source";
        case Origin::abstract: return "read in the abstract";
        case Origin::derived: return "derived";
        case Origin::memory: return "from memory";
        case Origin::fallback: return "program default";
    }
    throw std::logic_error("to_string: unhandled origin");
}

void check_sourced(double value_si, double deviation_si, const Source& source) {
    if (source.citation.empty()) throw std::invalid_argument("a value needs a source");
    if (!std::isfinite(value_si)) throw std::invalid_argument("a value must be finite");
    if (!std::isfinite(deviation_si) || deviation_si < 0.0)
        throw std::invalid_argument("a standard deviation must be finite and not negative");
}

}  // namespace tymbal
