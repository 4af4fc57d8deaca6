#include "limits_table.h"

#include "figures.h"

namespace tymbal {

std::string limit_text(const LimitCheck& l, double value) {
    if (l.unit == "1") return plain(value);
    if (l.unit == "s") return plain(value / 60.0) + " min";
    return l.key == "limits.least_qf" ? plain(value) + " Hz" : with_prefix(value, l.unit.c_str(), 4);
}

void write_limits(std::ostream& out, const std::vector<LimitCheck>& limits) {
    if (limits.empty()) return;
    out << "\nLIMITS\n";
    for (const LimitCheck& l : limits)
        out << "  " << left(l.key, 32) << left(l.held ? "held" : "BROKEN", 8) << "is " << limit_text(l, l.value)
            << ", limit " << limit_text(l, l.limit) << '\n';
}

}  // namespace tymbal
