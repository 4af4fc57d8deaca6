#include "tymbal/files/write_compare.h"

#include <charconv>
#include <cmath>

namespace tymbal {

namespace {

std::string cell(double value) {
    if (!std::isfinite(value)) return "";
    char text[64];
    char* const end = std::to_chars(text, text + sizeof text, value).ptr;
    return {text, end};
}
std::string cell(const std::optional<double>& value) {
    return value ? cell(*value) : "";
}

std::string quoted(const std::string& text) {
    std::string out = "\"";
    for (const char c : text) out.append(c == '"' ? "\"\"" : std::string(1, c));
    return out.append("\"");
}

}  // namespace

void write_csv(std::ostream& out, const Comparison& c) {
    out << "device,frequency_hz,frequency_std_hz,mode_index,label,confidence,fitted_hz,residual,quality,remark\n";
    for (std::size_t d = 0; d < c.devices.size(); ++d)
        for (const ComparedPeak& p : c.devices[d].peaks) {
            const bool named = p.mode > 0;
            out << d + 1 << ',' << cell(p.peak.frequency_hz) << ','
                << (p.peak.deviation_hz > 0.0 ? cell(p.peak.deviation_hz) : "") << ','
                << (named ? std::to_string(p.mode) : "") << ',' << quoted(p.label) << ',' << cell(p.confidence) << ','
                << (named ? cell(p.fitted_hz) : "") << ',' << (named ? cell(p.residual) : "") << ','
                << cell(p.peak.quality) << ',' << quoted(p.remark) << '\n';
        }
}

}  // namespace tymbal
