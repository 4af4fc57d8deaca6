#include "film_search.h"

#include "moved_design.h"

#include "tymbal/base/error.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

constexpr double certain_enough = 0.95;  // chance that the peaks are this device's modes at all
constexpr double rival_too_strong = 0.2;
constexpr double asked_for = 3.0;              // ln of the evidence that a tilt or a gradient must add
constexpr std::size_t least_for_gradient = 4;  // devices; three lie on every plane
constexpr double far = 0.03;                   // of ln f: a film so far away is approached with rough solutions
constexpr int most_rounds = 8;

bool is_certain(const Work& work) {
    const Assignment& a = work.assignment;
    return work.measured.peaks.size() >= 3 && a.pairs.size() >= 3 && a.certainty >= certain_enough &&
           a.rival <= rival_too_strong;
}

/// Which mode is which, or why nobody can tell.
void require_certain(const Work& work) {
    const Assignment& a = work.assignment;
    const std::string file = spoken_of(work);
    if (work.measured.peaks.size() < 3)
        throw NoAnswer(file +
                       "fewer than three peaks fit too many modes when stress and size are not exactly known; "
                       "cannot tell which modes they are. Measure more peaks, or compare several devices of the chip "
                       "together (also)");
    const bool two_films = a.certainty >= certain_enough && a.rival > rival_too_strong;  // may leave no pair either
    if (!two_films && (a.pairs.size() < 3 || a.certainty < certain_enough))
        throw NoAnswer(file +
                       "no pattern of modes stands out among the peaks; cannot tell which are modes of this "
                       "film. Check unit and range of the frequencies and the design's size, or measure more "
                       "peaks from the lowest mode on");
    if (two_films)
        throw NoAnswer(file +
                       "two different films explain the peaks about equally well; cannot tell which. Measure "
                       "more peaks, above all the lowest modes");
}

void require_certain_together(const std::vector<Work>& works) {
    for (const Work& work : works) {
        const std::string file = spoken_of(work);
        const Assignment& a = work.assignment;
        if (a.certainty >= certain_enough && a.rival > rival_too_strong)
            throw NoAnswer(file +
                           "two different films explain the peaks of these devices about equally well; cannot tell "
                           "which. Measure one more mode of one of them");
        if (a.pairs.empty() || a.certainty < certain_enough)
            throw NoAnswer(file +
                           "no film of this kind explains the peaks of these devices together; cannot tell which "
                           "modes they are. Check unit and range of the frequencies and the designs' sizes, or measure "
                           "more peaks from the lowest mode on");
    }
}

void name_together(std::vector<Work>& works, const AssignReach& reach) {
    std::vector<DeviceLines> devices;
    for (const Work& work : works) devices.push_back({work.measured.peaks, work.lines});
    std::vector<Assignment> names = assign_together(devices, reach);
    for (std::size_t d = 0; d < works.size(); ++d) works[d].assignment = std::move(names[d]);
    require_certain_together(works);
}

/// The lines have moved only a little since they were named first.
void name_again(std::vector<Work>& works, Naming naming) {
    const AssignReach near{.stress = 0.1, .tilt = 0.12, .size = 0.03, .growth = 0.05};
    if (naming == Naming::together) return name_together(works, near);
    for (Work& work : works) work.assignment = assign(work.measured.peaks, work.lines, near);
    if (std::all_of(works.begin(), works.end(), is_certain)) return;
    if (works.size() == 1) return require_certain(works.front());
    name_together(works, near);  // what one leaves open the others may settle
}

/// Tilt and gradient only where the evidence asks for them.
FilmFit fit_all(const std::vector<Work>& works, FitFreedom& freedom) {
    const std::vector<Datum> data = data_of(works);
    const std::vector<const LineModel*> models = models_of(works);
    freedom.tilt = freedom.gradient = false;
    FilmFit best = fit_film(models, data, freedom);
    const auto try_with = [&](bool FitFreedom::*more) {
        FitFreedom wider = freedom;
        wider.*more = true;
        FilmFit fit = fit_film(models, data, wider);
        if (fit.log_evidence <= best.log_evidence + asked_for) return;
        best = std::move(fit);
        freedom = wider;
    };
    if (works.size() >= least_for_gradient) try_with(&FitFreedom::gradient);
    try_with(&FitFreedom::tilt);
    return best;
}

/// Most that one input moves a line, of ln f; unequal stress stays with the model, which treats it in full.
double largest_move(const LineModel& model, const Shift& shift) {
    double most = 0.5 * std::abs(shift.stress);
    for (const Line& line : model.lines) {
        most = std::max(most, std::abs(line.growth * shift.growth_m));
        for (std::size_t j = 0; j < model.inputs.size(); ++j) {
            const double weight = model.inputs[j].axis == Axis::none ? line.weights[j] : 1.0;
            most = std::max(most, std::abs(weight * shift.inputs[static_cast<Eigen::Index>(j)]));
        }
    }
    return most;
}

double largest_move(const std::vector<Work>& works, const FilmFit& fit) {
    double most = 0.0;
    for (std::size_t d = 0; d < works.size(); ++d) most = std::max(most, largest_move(works[d].lines, fit.shifts[d]));
    return most;
}

/// What the lines' own curvature may leave, move^2, is far below their errors.
bool is_settled(const std::vector<Work>& works, const FilmFit& fit) {
    double least = 0.0;
    for (const Datum& datum : data_of(works)) {
        const double sigma = std::max(std::hypot(datum.deviation, fit.scatter), 1e-7);
        least = least == 0.0 ? sigma : std::min(least, sigma);
    }
    return std::pow(largest_move(works, fit), 2) < 0.1 * least;
}

std::vector<FittedParameter> movable(const std::vector<FittedParameter>& all) {
    std::vector<FittedParameter> some;
    std::copy_if(all.begin(), all.end(), std::back_inserter(some),
                 [](const FittedParameter& p) { return can_move(p.name); });
    return some;
}

}  // namespace

Naming name_lines(std::vector<Work>& works, const Workshop& shop) {
    for_each_device(works, shop, [&](std::size_t d) {
        Work& work = works[d];
        work.assignment = work.measured.peaks.size() < 3 ? Assignment{} : assign(work.measured.peaks, work.lines, {});
        if (is_certain(work) || work.measured.peaks.size() < 3 || works.size() > 1) return;
        solve_lines(work, shop.effort);  // the rough lines may be what leaves it open
        work.assignment = assign(work.measured.peaks, work.lines, {});
    });
    if (std::all_of(works.begin(), works.end(), is_certain)) return Naming::alone;
    if (works.size() == 1) require_certain(works.front());
    name_together(works, {});
    return Naming::together;
}

FoundFilm find_film(std::vector<Work>& works, Naming naming, FitFreedom freedom, const Workshop& shop,
                    const std::function<void()>& told) {
    FilmFit fit = fit_all(works, freedom);
    for (int round = 0; round < most_rounds; ++round) {
        const bool rough = largest_move(works, fit) > far;
        for_each_device(works, shop, [&](std::size_t d) {
            Work& work = works[d];
            work.design = moved(work.design, work.lines, fit.shifts[d]);
            rough ? solve_roughly(work, shop.effort) : solve_lines(work, shop.effort);
        });
        told();
        name_again(works, naming);
        freedom.from = movable(fit.parameters);
        fit = fit_all(works, freedom);
        if (!rough && is_settled(works, fit)) return {std::move(fit), std::move(freedom), true};
    }
    return {std::move(fit), std::move(freedom), false};
}

}  // namespace tymbal
