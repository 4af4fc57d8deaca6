#include "tymbal/print/write_compare.h"

#include "../text/csv.h"

namespace tymbal {

void write_csv(std::ostream& out, const Comparison& c) {
    out << "device,frequency_hz,frequency_std_hz,mode_index,label,confidence,fitted_hz,residual,quality,remark\n";
    for (std::size_t d = 0; d < c.devices.size(); ++d)
        for (const ComparedPeak& p : c.devices[d].peaks) {
            const bool named = p.mode > 0;
            out << (c.devices[d].name.empty() ? std::to_string(d + 1) : c.devices[d].name) << ','
                << csv(p.peak.frequency_hz) << ',' << (p.peak.deviation_hz > 0.0 ? csv(p.peak.deviation_hz) : "") << ','
                << (named ? std::to_string(p.mode) : "") << ',' << csv_text(p.label) << ',' << csv(p.confidence) << ','
                << (named ? csv(p.fitted_hz) : "") << ',' << (named ? csv(p.residual) : "") << ','
                << csv(p.peak.quality) << ',' << csv_text(p.remark) << '\n';
        }
}

}  // namespace tymbal
