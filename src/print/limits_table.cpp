#include "limits_table.h"

#include "../text/figures.h"

#include <cmath>

namespace tymbal {

std::string limit_text(const LimitCheck& l, double value) {
    if (std::isinf(value)) return "without a meniscus";
    if (l.unit == "1") return plain(value);
    if (l.unit == "s") return duration(value);
    return l.key == "limits.least_qf" ? plain(value) + " Hz" : with_prefix(value, l.unit.c_str(), 4);
}

std::string limit_words(const LimitCheck& l) {
    const bool least = l.key.rfind("limits.least_", 0) == 0 || l.key.find("(low)") != std::string::npos;
    return std::string(least ? "at least " : "at most ").append(limit_text(l, l.limit));
}

void write_limits(std::ostream& out, const std::vector<LimitCheck>& limits) {
    if (limits.empty()) return;
    out << "\nLIMITS\n";
    for (const LimitCheck& l : limits)
        out << "  " << left(l.key, 32) << (l.held ? "met: " : "BROKEN: ") << limit_text(l, l.value) << " ("
            << limit_words(l) << ")\n";
}

}  // namespace tymbal
