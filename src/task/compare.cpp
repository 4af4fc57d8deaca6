#include "tymbal/task/compare.h"

#include "data_sets.h"
#include "remarks.h"
#include "verdict.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/fit/assign.h"
#include "tymbal/fit/find_peaks.h"
#include "tymbal/fit/ringdown.h"
#include "tymbal/task/predicted_lines.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

namespace tymbal {

namespace {

constexpr int most_modes = 60;           // solved on the user's behalf; --modes goes further
constexpr double reach_above = 1.4;      // the film may lie this much below the design
constexpr double certain_enough = 0.95;  // chance that the peaks are this device's modes at all
constexpr double rival_too_strong = 0.2;
constexpr double tilt_asked_for = 3.0;  // ln of the evidence that two stress components must add

/// One device on its way through the comparison.
struct Work {
    Design design;
    Measured measured;
    SolvedDesign solved;
    LineModel lines;
    Assignment assignment;
};

void solve_lines(Work& work) {
    work.solved = solve(work.design);
    work.lines = predicted_lines(work.design, work.solved);
}

/// Lines to look for the film by: what is found is solved again as exactly as the design asks.
void solve_roughly(Work& work) {
    constexpr double rough = 1e-2;
    const double asked = work.design.solve.accuracy;
    work.design.solve.accuracy = std::max(asked, rough);
    solve_lines(work);
    work.design.solve.accuracy = asked;
}

/// Modes up to well above the highest peak, by Weyl's count from a first, coarse solution.
int modes_needed(Work work, const CompareSettings& settings) {
    if (settings.modes) return *settings.modes;
    solve_roughly(work);
    const Line& last = work.lines.lines.back();
    const double ratio = reach_above * work.measured.peaks.back().frequency_hz / last.frequency_hz;
    const double count = static_cast<double>(work.lines.lines.size()) * ratio * ratio;
    return std::max(work.design.solve.modes, static_cast<int>(std::min<double>(count, most_modes)));
}

/// Losses are judged at the pressure that the file records, not at the design's.
void use_recorded_pressure(Work& work) {
    const std::optional<double>& recorded = work.measured.conditions.pressure_pa;
    if (!recorded || !work.design.surroundings || *recorded <= 0.0) return;
    work.design.surroundings->pressure = {
        Pressure::from_si(*recorded), Pressure::from_si(0.0), {"recorded with the measurement", Origin::table}};
    work.measured.notes.emplace_back("losses are judged at the recorded pressure");
}

bool is_certain(const Work& work) {
    const Assignment& a = work.assignment;
    return work.measured.peaks.size() >= 3 && a.pairs.size() >= 3 && a.certainty >= certain_enough &&
           a.rival <= rival_too_strong;
}

/// Which mode is which, or why nobody can tell.
void require_certain(const Work& work) {
    const Assignment& a = work.assignment;
    const std::string file = work.measured.file + ": ";
    if (work.measured.peaks.size() < 3)
        throw NoAnswer(file +
                       "fewer than three peaks fit too many modes when stress and size are not exactly known; "
                       "cannot tell which modes they are. Measure more peaks");
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

std::vector<Datum> data_of(const Work* works, std::size_t count) {
    std::vector<Datum> data;
    for (std::size_t d = 0; d < count; ++d)
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

/// A size ladder parts over-etch from wave speed: devices whose weights on it differ by a tenth.
bool has_ladder(const std::vector<Work>& works) {
    double least = 1e300, most = 0.0;
    for (const Work& work : works) {
        const double weight = std::abs(work.lines.lines.front().growth);
        least = std::min(least, weight);
        most = std::max(most, weight);
    }
    return works.size() > 1 && most > 1.1 * least;
}

FilmFit fit_all(const std::vector<Work>& works, FitFreedom freedom) {
    const std::vector<Datum> data = data_of(works.data(), works.size());
    const FilmFit plain = fit_film(models_of(works), data, freedom);
    freedom.tilt = true;
    FilmFit tilted = fit_film(models_of(works), data, freedom);
    return tilted.log_evidence > plain.log_evidence + tilt_asked_for ? tilted : plain;
}

/// ln of the stress at which the first device alone fits best when all its inputs are as designed.
double stress_alone(const Work& work, const FilmFit& fit) {
    LineModel exact = work.lines;
    for (Input& input : exact.inputs) input.deviation = 0.0;
    FitFreedom freedom;
    freedom.tilt = fit.shifts.front().tilt != 0.0;
    return fit_film({&exact}, data_of(&work, 1), freedom).parameters.front().shift;
}

Film with_stress(Film film, double stress_pa) {
    film.stress = {Stress::from_si(stress_pa), film.stress.deviation(), film.stress.source()};
    return film;
}

/// Value and SI unit of a design key that a fit may move.
std::pair<double, std::string> designed_value(const Design& design, const LineModel& lines, const std::string& key) {
    if (key == "film.stress") return {design.film.stress.si(), "Pa"};
    if (key == "film.density") return {design.film.density.si(), "kg/m^3"};
    if (key == "film.thickness") return {design.film.thickness.si(), "m"};
    if (key == "film.youngs_modulus") return {design.film.youngs_modulus.si(), "Pa"};
    if (key == "film.poisson_ratio") return {design.film.poisson_ratio.si(), "1"};
    if (key == "holes.size" && design.holes) return {design.holes->size.si(), "m"};
    if (key == "holes.pitch" && design.holes) return {design.holes->pitch.si(), "m"};
    for (const Input& input : lines.inputs)
        if (input.name == key && key.rfind("outline.", 0) == 0) return {input.value, "m"};
    return {1.0, "1"};
}

/// Parameters of the fit as values of the designs. @param moved  stress about which the fit was made
std::vector<FittedValue> fitted_values(const std::vector<DeviceInput>& devices, const std::vector<Work>& works,
                                       const FilmFit& fit) {
    std::vector<FittedValue> values;
    for (std::size_t j = 0; j < fit.parameters.size(); ++j) {
        const FittedParameter& p = fit.parameters[j];
        if (p.name == "numerics" || p.name.rfind("numerics@", 0) == 0) continue;
        const std::size_t at = p.name.find('@');
        const std::size_t d = at == std::string::npos ? 0 : std::stoul(p.name.substr(at + 1)) - 1;
        FittedValue v;
        v.name = p.name;
        v.unit = std::string("1");
        v.fitted = p.shift;
        v.deviation = p.deviation;
        v.correlation_with_stress = j == 0 ? 1.0 : correlation(fit, 0, j);
        if (p.name == "film.tilt" || p.name == "outline.growth") {
            if (p.name == "outline.growth") v.unit = std::string("m");
        } else {
            auto [value, unit] = designed_value(works[d].design, works[d].lines, p.name.substr(0, at));
            v.unit = std::move(unit);
            v.designed = value;
            v.fitted = value * std::exp(p.shift);
            v.deviation = v.fitted * p.deviation;
            v.prior = value * p.prior;
        }
        values.push_back(v);
    }
    FittedValue& stress = values.front();
    const Sourced<Stress>& designed = devices.front().design.film.stress;
    stress.designed = designed.si();
    stress.prior = designed.deviation_si() > 0.0 ? std::optional<double>(designed.deviation_si()) : std::nullopt;
    return values;
}

/// Relative sigma of stress/(density size^2), which sets the lowest frequency: twice that of its fit.
double group_deviation(const FilmFit& fit, const LineModel& lines) {
    Eigen::VectorXd weight = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(fit.parameters.size()));
    weight[0] = 1.0;
    for (std::size_t j = 0; j < fit.parameters.size(); ++j) {
        const std::string& name = fit.parameters[j].name;
        const auto k = static_cast<Eigen::Index>(j);
        if (name == "film.density") weight[k] = -1.0;
        for (const Input& input : lines.inputs)
            if (input.name == name && name.rfind("outline.", 0) == 0)
                weight[k] = input.axis == Axis::none ? -2.0 : -1.0;
    }
    return std::sqrt(std::max(weight.dot(fit.covariance * weight), 0.0));
}

std::string pair_label(const LineModel& lines, const Pairing& pair) {
    const Line& line = lines.lines[pair.line];
    if (line.twin < 0 || pair.alone > 0.9 * pair.confidence) return line.label;
    const std::string& other = lines.lines[static_cast<std::size_t>(line.twin)].label;
    return other == line.label ? line.label : line.label + " or " + other;  // a disc's pair has one name
}

DeviceComparison report(const DeviceInput& input, Work& work, const Shift& shift, const Materials& materials) {
    DeviceComparison out;
    out.title = input.design.title;
    out.sha256 = input.design.sha256;
    out.design_file = input.design.file;
    out.measured = work.measured;
    out.certainty = work.assignment.certainty;
    out.rival = work.assignment.rival;
    out.prediction = complete(work.design, materials, work.solved);
    const Eigen::VectorXd logs = log_frequencies(work.lines, shift);
    std::vector<double> fitted_hz;
    for (Eigen::Index k = 0; k < logs.size(); ++k) fitted_hz.push_back(std::exp(logs[k]));
    for (const Peak& peak : work.measured.peaks) {
        out.peaks.emplace_back();
        out.peaks.back().peak = peak;
    }
    for (const Pairing& pair : work.assignment.pairs) {
        ComparedPeak& p = out.peaks[pair.peak];
        p.mode = work.lines.lines[pair.line].index;
        p.label = pair_label(work.lines, pair);
        p.confidence = pair.confidence;
        p.fitted_hz = fitted_hz[pair.line];
        p.residual = std::log(p.peak.frequency_hz / p.fitted_hz);
        p.budget = out.prediction.modes[pair.line].losses.total;
        p.limited_by = out.prediction.modes[pair.line].losses.limited_by;
    }
    add_remarks(input.design, materials, out);
    out.unseen = unseen_modes(out, fitted_hz);
    return out;
}

/// Peaks of a list as they are, of a spectrum as found, of a ringdown the one mode with its Q.
void extract_peaks(Measured& m) {
    std::array<char, 160> note{};
    if (m.kind == MeasuredKind::spectrum) {
        FoundPeaks found = find_peaks(m.spectrum);
        m.peaks = std::move(found.peaks);
        std::snprintf(note.data(), note.size(), "noise of %.3g averages, resolution %.3g Hz, %zu lines found",
                      found.averages, found.resolution_hz, m.peaks.size());
        m.notes.emplace_back(note.data());
        const auto without = std::count_if(m.peaks.begin(), m.peaks.end(), [](const Peak& p) { return !p.quality; });
        if (without > 0) {
            std::snprintf(note.data(), note.size(),
                          "%td lines have no Q: they are as wide as the waves of the background. Record each over 30 "
                          "widths, more finely",
                          without);
            m.notes.emplace_back(note.data());
        }
        m.spectrum = {};  // no longer needed, and large
    } else if (m.kind == MeasuredKind::ringdown) {
        const Ringdown r = fit_ringdown(m.decay);
        std::snprintf(note.data(), note.size(), "decay of power %.4g +- %.1g per second over %.2g e-folds, floor %.1g",
                      r.rate, r.deviation, r.folds, r.floor);
        m.notes.emplace_back(note.data());
        if (r.left_out > 0.0) {
            std::snprintf(note.data(), note.size(), "the first %.3g s are not exponential and were left out",
                          r.left_out);
            m.notes.emplace_back(note.data());
        }
        Peak peak;
        peak.frequency_hz = m.decay.frequency_hz;
        peak.quality = r.quality;
        peak.quality_deviation = r.quality_deviation;
        m.peaks = {peak};
        m.decay = {};
    }
    m.peaks = merge_drive_levels(m.peaks);
}

/// What the prediction warns of about gas matters to every comparison of Qs.
void add_gas_warnings(const Prediction& prediction, Warnings& warnings) {
    for (const Warning& w : prediction.warnings)
        if (w.code.rfind("gas", 0) == 0) warnings.push_back(w);
}

/// Chance of every mode to be a line of this frequency, by the prediction's own sigma, against a foreign line anywhere
/// within the modes' range.
std::vector<double> chances_of(const Peak& peak, const std::vector<Mode>& modes) {
    const double span = modes.back().frequency_hz - modes.front().frequency_hz;
    std::vector<double> chances;
    double total = 1.0 / std::max(span, 0.1 * modes.front().frequency_hz);  // foreign
    for (const Mode& mode : modes) {
        const double sigma = std::max(std::hypot(mode.frequency_std_hz, mode.discretisation_error_hz),
                                      1e-3 * mode.frequency_hz);  // devices differ by that much
        const double z = (peak.frequency_hz - mode.frequency_hz) / sigma;
        chances.push_back(std::exp(-0.5 * z * z) / (sigma * std::sqrt(2.0 * constants::pi)));
        total += chances.back();
    }
    for (double& chance : chances) chance /= total;
    return chances;
}

/// A single decay cannot fit a film: its mode is named when the prediction is sharp enough, its Q is judged.
Comparison compare_ringdown(const DeviceInput& input, Work& work, const Materials& materials) {
    const Peak peak = work.measured.peaks.front();
    const std::vector<double> chances = chances_of(peak, work.solved.set.modes);
    const auto best = static_cast<std::size_t>(std::max_element(chances.begin(), chances.end()) - chances.begin());
    const int twin = work.lines.lines[best].twin;
    Pairing pairing{0, best, chances[best], chances[best]};
    if (twin >= 0) pairing.confidence += chances[static_cast<std::size_t>(twin)];
    work.assignment.certainty = pairing.confidence;
    if (pairing.confidence > 0.5) work.assignment.pairs = {pairing};
    Comparison out;
    out.temperature_k = input.design.film.temperature.si();
    out.devices.push_back(report(input, work, {}, materials));
    DeviceComparison& device = out.devices.front();
    device.unseen.clear();
    add_gas_warnings(device.prediction, out.warnings);
    if (work.assignment.pairs.empty())
        device.peaks.front().remark =
            "cannot tell which mode this is: the prediction is not sharp enough; compare a list "
            "of peaks first and use its fitted design";
    out.verdict = verdict(out);
    out.cannot_tell = left_open(out);
    return out;
}

}  // namespace

Comparison compare(const std::vector<DeviceInput>& devices, const Materials& materials, const CompareSettings& settings,
                   const Progressed& progressed) {
    require_one_film(devices);
    for (const DeviceInput& input : devices)
        if (input.measured.kind == MeasuredKind::ringdown && devices.size() > 1)
            throw InputError({input.measured.file, 0}, "",
                             "is a ringdown, which carries no film to share; compare it alone");
    // Every device is solved roughly, then with the stress that was found, the second time with all sensitivities.
    const double step = 0.95 / (2.0 * static_cast<double>(devices.size()));
    double done = 0.0;
    std::vector<Work> works;
    for (const DeviceInput& input : devices) {
        Work work{input.design, input.measured, {}, {}, {}};
        extract_peaks(work.measured);
        use_recorded_pressure(work);
        work.design.solve.modes = modes_needed(work, settings);
        if (work.measured.kind == MeasuredKind::ringdown) {
            solve_lines(work);
            return compare_ringdown(input, work, materials);
        }
        solve_roughly(work);
        work.assignment = assign(work.measured.peaks, work.lines, {});
        if (!is_certain(work)) {  // the rough lines may be what leaves it open
            solve_lines(work);
            work.assignment = assign(work.measured.peaks, work.lines, {});
        }
        require_certain(work);
        works.push_back(std::move(work));
        tell(progressed, done += step);
    }
    FitFreedom freedom;
    freedom.growth = has_ladder(works);
    const Sourced<Stress>& designed = devices.front().design.film.stress;
    if (settings.stress_prior && designed.deviation_si() > 0.0)
        freedom.stress_deviation = designed.deviation_si() / designed.si();
    const FilmFit first = fit_all(works, freedom);
    const double stress = designed.si() * std::exp(first.parameters.front().shift);
    freedom.stress_centre = std::log(designed.si() / stress);
    for (Work& work : works) {
        work.design.film = with_stress(work.design.film, stress);
        solve_lines(work);
        work.assignment = assign(work.measured.peaks, work.lines, {.stress = 0.1, .tilt = 0.12, .size = 0.03});
        require_certain(work);
        tell(progressed, done += step);
    }
    Comparison out;
    out.fit = fit_all(works, freedom);
    out.values = fitted_values(devices, works, out.fit);
    out.stress_alone_pa = stress * std::exp(stress_alone(works.front(), out.fit));
    out.temperature_k = devices.front().design.film.temperature.si();
    out.group_deviation = group_deviation(out.fit, works.front().lines);
    for (std::size_t d = 0; d < works.size(); ++d)
        out.devices.push_back(report(devices[d], works[d], out.fit.shifts[d], materials));
    out.warnings = drift_warnings(devices, out.devices);
    for (const DeviceComparison& device : out.devices) add_gas_warnings(device.prediction, out.warnings);
    out.verdict = verdict(out);
    out.cannot_tell = left_open(out);
    return out;
}

}  // namespace tymbal
