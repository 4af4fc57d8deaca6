#include "tymbal/task/compare.h"

#include "apart.h"
#include "data_sets.h"
#include "device_report.h"
#include "extract_peaks.h"
#include "film_search.h"
#include "film_values.h"
#include "modes_needed.h"
#include "verdict.h"

#include "tymbal/base/error.h"
#include "tymbal/film/cell_memo.h"
#include "tymbal/task/cavity_fit.h"

#include <algorithm>
#include <variant>

namespace tymbal {

namespace {

/// Losses are judged at the pressure that the file records, not at the design's.
void use_recorded_pressure(Work& work) {
    const std::optional<double>& recorded = work.measured.conditions.pressure_pa;
    if (!recorded || !work.design.surroundings || *recorded <= 0.0) return;
    work.design.surroundings->pressure = {
        Pressure::from_si(*recorded), Pressure::from_si(0.0), {"recorded with the measurement", Origin::table}};
    work.measured.notes.emplace_back("losses are judged at the recorded pressure");
}

void refuse_ringdowns(const std::vector<DeviceInput>& devices) {
    for (const DeviceInput& input : devices)
        if (input.measured.kind == MeasuredKind::ringdown && devices.size() > 1)
            throw InputError({input.measured.file, 0}, "",
                             "is a ringdown, which carries no film to share; compare it alone");
}

/// Coarse lines up to well above the highest peak. What the film leads to expect is nearly always enough.
void solve_enough(Work& work, const Effort& effort) {
    const int asked = work.design.solve.modes;
    const double highest_hz = work.measured.peaks.back().frequency_hz;
    const int first = std::max(asked, modes_expected(work.design, effort.cells, highest_hz));
    work.design.solve.modes = first;
    solve_roughly(work, effort);
    work.design.solve.modes = modes_needed(work.lines, asked, highest_hz);
    if (work.design.solve.modes > first) solve_roughly(work, effort);
}

/// A device with its peaks and its first, coarse lines.
void begin(const DeviceInput& input, const CompareSettings& settings, const Effort& effort, Work& work) {
    work.decay = extract_peaks(work.measured);
    use_recorded_pressure(work);
    if (settings.modes) {
        work.design.solve.modes = *settings.modes;
        solve_roughly(work, effort);
    } else {
        solve_enough(work, effort);
    }
    if (input.measured.kind == MeasuredKind::ringdown) solve_lines(work, effort);
}

/// One line many times is no list of modes.
void refuse_detunings(const std::vector<DeviceInput>& devices) {
    for (const DeviceInput& device : devices)
        if (has_detunings(device.measured))
            throw InputError({device.measured.file, 0}, "detuning",
                             "is a column of one mode's lines in its cavity; compare them with that device's design, "
                             "one file at a time");
}

std::vector<Work> begin_all(const std::vector<DeviceInput>& devices, const CompareSettings& settings,
                            const Workshop& shop) {
    std::vector<Work> works;
    for (const DeviceInput& input : devices)
        works.push_back({input.design, input.measured, input.name, {input.position.x, input.position.y}});
    for_each_device(works, shop, [&](std::size_t d) { begin(devices[d], settings, shop.effort, works[d]); });
    return works;
}

/// Steps of progress that slow down: how many rounds a fit takes is not known before.
class Steps {
public:
    explicit Steps(const Progressed& told) : told_(told) {}
    void next() { tell(told_, done_ += 0.3 * (0.95 - done_)); }

private:
    const Progressed& told_;
    double done_ = 0.0;
};

/// Devices beside each other leave no threads to one of them, and share the cells of their lattices.
Workshop workshop(std::size_t devices, const CompareSettings& settings) {
    Workshop shop;
    if (devices > 1) shop = {settings.threads, {CellMemo{}, settings.threads <= 1}};
    shop.effort.large = settings.large;
    return shop;
}

FitFreedom freedom_of(const std::vector<Work>& works, const CompareSettings& settings) {
    FitFreedom freedom;
    freedom.growth = has_ladder(works);
    const Sourced<Stress>& designed = works.front().design.film.stress;
    if (settings.stress_prior && designed.deviation_si() > 0.0)
        freedom.stress_deviation = designed.deviation_si() / designed.si();
    return freedom;
}

void report_devices(const std::vector<DeviceInput>& devices, const std::vector<Work>& works, const FoundFilm& found,
                    const Materials& materials, const Workshop& shop, Comparison& out) {
    auto written = written_values(devices, works, found);
    out.stress_alone_pa = written.front().front().value;
    out.devices.resize(works.size());
    for_each_device(works, shop, [&](std::size_t d) {
        DeviceComparison device = report_on(devices[d], works[d], found.fit.shifts[d], materials);
        device.split = split_of(devices[d].design, found.fit, d);
        device.written = std::move(written[d]);
        if (std::holds_alternative<Polygon>(devices[d].design.outline))
            for (const FittedValue& v : out.values)
                if (v.name == "outline.growth") device.over_etch_m = v.fitted;
        out.devices[d] = std::move(device);
    });
}

}  // namespace

Comparison compare(const std::vector<DeviceInput>& devices, const Materials& materials, const CompareSettings& settings,
                   const Progressed& progressed) {
    require_one_film(devices);
    refuse_ringdowns(devices);
    refuse_detunings(devices);
    Steps steps(progressed);
    const Workshop shop = workshop(devices.size(), settings);
    std::vector<Work> works = begin_all(devices, settings, shop);
    if (works.front().measured.kind == MeasuredKind::ringdown)
        return compare_ringdown(devices.front(), works.front(), materials);
    steps.next();
    const Naming naming = name_lines(works, shop);
    const FoundFilm found = find_film(works, naming, freedom_of(works, settings), shop, [&] { steps.next(); });
    Comparison out;
    out.fit = found.fit;
    out.values = fitted_values(devices, out.fit);
    out.temperature_k = devices.front().design.film.temperature.si();
    out.group_deviation = group_deviation(out.fit, works.front().lines);
    report_devices(devices, works, found, materials, shop, out);
    out.warnings = drift_warnings(devices, out.devices);
    add_apart(works, found, out);
    if (!found.settled)
        out.warnings.push_back({"fit-not-settled",
                                "the fit still moves after eight solutions: lines and film do not go together; check "
                                "which peaks are modes"});
    for (const DeviceComparison& device : out.devices) add_gas_warnings(device, out.warnings);
    out.verdict = verdict(out);
    out.cannot_tell = left_open(out);
    return out;
}

}  // namespace tymbal
