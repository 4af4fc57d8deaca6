#include "comparing.h"

#include "../base/in_parallel.h"
#include "model_choice.h"

#include "tymbal/base/error.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

std::string spoken_of(const Work& work) {
    return work.measured.file + (work.name.empty() ? "" : ", device " + work.name) + ": ";
}

void for_each_device(const std::vector<Work>& works, const Workshop& shop,
                     const std::function<void(std::size_t)>& what) {
    in_parallel(works.size(), shop.threads, [&](std::size_t d) {
        try {
            what(d);
        } catch (const NoAnswer& e) {
            if (works[d].name.empty()) throw;
            throw NoAnswer(spoken_of(works[d]) + e.what());
        }
    });
}

void solve_lines(Work& work, const Effort& effort) {
    work.solved = solve(work.design, effort);
    work.lines = predicted_lines(work.design, work.solved);
    work.lines.place_m = work.place_m;
}

void solve_roughly(Work& work, const Effort& effort) {
    constexpr double rough = 1e-2;
    const Solve asked = work.design.solve;
    work.design.solve.accuracy = std::max(asked.accuracy, rough);
    work.design.solve.model = coarse_model(work.design);
    solve_lines(work, effort);
    work.design.solve = asked;
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
