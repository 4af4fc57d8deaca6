#include "comparing.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

void solve_lines(Work& work) {
    work.solved = solve(work.design);
    work.lines = predicted_lines(work.design, work.solved);
}

void solve_roughly(Work& work) {
    constexpr double rough = 1e-2;
    const double asked = work.design.solve.accuracy;
    work.design.solve.accuracy = std::max(asked, rough);
    solve_lines(work);
    work.design.solve.accuracy = asked;
}

std::vector<Datum> data_of(const std::vector<Work>& works) {
    std::vector<Datum> data;
    for (std::size_t d = 0; d < works.size(); ++d)
        for (const Pairing& pair : works[d].assignment.pairs) {
            const Peak& peak = works[d].measured.peaks[pair.peak];
            const double numerics = works[d].lines.lines[pair.line].numerics;
            data.push_back({d, pair.line, std::log(peak.frequency_hz),
                            std::hypot(peak.deviation_hz / peak.frequency_hz, numerics)});
        }
    return data;
}

std::vector<const LineModel*> models_of(const std::vector<Work>& works) {
    std::vector<const LineModel*> models;
    for (const Work& work : works) models.push_back(&work.lines);
    return models;
}

bool has_ladder(const std::vector<Work>& works) {
    double least = 1e300, most = 0.0;
    for (const Work& work : works) {
        const double weight = std::abs(work.lines.lines.front().growth);
        least = std::min(least, weight);
        most = std::max(most, weight);
    }
    return works.size() > 1 && most > 1.1 * least;
}

}  // namespace tymbal
