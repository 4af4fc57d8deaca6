#include "data_sets.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

namespace tymbal {

namespace {

// What a frequency may move by without a change of the device, relative. Ageing: some 3e-4 in months of high vacuum;
// light: some 3e-4 between usual powers (both from memory of long-term studies; common practice to allow for them).
constexpr double ageing = 3e-4;
constexpr double light = 3e-4;
constexpr double unrecorded_k = 2.0;  // a laboratory's temperature when nobody wrote it down

void require_same(const DeviceInput& a, const DeviceInput& b, const char* key, double one, double other) {
    if (std::abs(one - other) <= 1e-9 * std::abs(one)) return;
    std::string text = "differs from ";
    throw InputError({b.design.file, 0}, key,
                     text.append(a.design.file).append("; devices that are compared together share one film"));
}

/// Rise of ln f when the film alone cools by `kelvin` on its frame: E alpha/(1 - nu) dT/(2 s). The frame moves too, so
/// this is the most that heat does.
double heat(const Film& film, double kelvin) {
    const double per_kelvin =
        film.youngs_modulus.si() * std::abs(film.thermal_expansion.si()) / (1.0 - film.poisson_ratio.si());
    return 0.5 * per_kelvin * kelvin / film.stress.si();
}

/// Rise of ln f by gas that cannot leave the gap within a period: p/(8 pi^2 f^2 rho h g) (Naesby, Naserbakht and
/// Dantan, Appl. Phys. Lett. 111, 201103 (2017), from its abstract, formula re-derived).
double gas(const Device& device, double pascal, double lowest_hz) {
    if (!device.release) return 0.0;
    const double mass = device.film.density.si() * device.film.thickness.si();
    return pascal / (8.0 * std::pow(constants::pi * lowest_hz, 2) * mass * device.release->gap.si());
}

/// Most that the recorded conditions explain.
double explained(const Device& device, const DeviceComparison& a, const DeviceComparison& b) {
    const Conditions &x = a.measured.conditions, &y = b.measured.conditions;
    const double kelvin =
        x.temperature_k && y.temperature_k ? std::abs(*x.temperature_k - *y.temperature_k) : unrecorded_k;
    const double pascal = x.pressure_pa && y.pressure_pa ? std::abs(*x.pressure_pa - *y.pressure_pa) : 0.0;
    return ageing + light + heat(device.film, kelvin) +
           gas(device, pascal, a.prediction.modes.front().mode.frequency_hz);
}

/// ln of the frequency ratio of every mode that both data sets name.
std::vector<double> ratios(const DeviceComparison& a, const DeviceComparison& b) {
    std::vector<double> logs;
    for (const ComparedPeak& p : a.peaks)
        for (const ComparedPeak& q : b.peaks)
            if (p.mode > 0 && p.mode == q.mode) logs.push_back(std::log(q.peak.frequency_hz / p.peak.frequency_hz));
    return logs;
}

/// As deposited: one etch takes unlike amounts off unlike hole fields.
double deposited_thickness(const Device& device) {
    return device.film.thickness.si() + (device.film_loss ? device.film_loss->mean() : 0.0);
}

}  // namespace

void require_one_film(const std::vector<DeviceInput>& devices) {
    const DeviceInput& first = devices.front();
    for (const DeviceInput& other : devices) {
        const Film &a = first.design.film, &b = other.design.film;
        require_same(first, other, "film.thickness", deposited_thickness(first.design),
                     deposited_thickness(other.design));
        require_same(first, other, "film.stress", a.stress.si(), b.stress.si());
        require_same(first, other, "film.density", a.density.si(), b.density.si());
        require_same(first, other, "film.youngs_modulus", a.youngs_modulus.si(), b.youngs_modulus.si());
    }
}

Warnings drift_warnings(const std::vector<DeviceInput>& inputs, const std::vector<DeviceComparison>& devices) {
    Warnings warnings;
    for (std::size_t b = 1; b < devices.size(); ++b)
        for (std::size_t a = 0; a < b; ++a) {
            if (devices[a].sha256 != devices[b].sha256 || devices[a].name != devices[b].name) continue;
            std::vector<double> logs = ratios(devices[a], devices[b]);
            if (logs.empty()) continue;
            const auto middle = logs.begin() + static_cast<std::ptrdiff_t>(logs.size() / 2);
            std::nth_element(logs.begin(), middle, logs.end());
            const double limit = explained(inputs[a].design, devices[a], devices[b]);
            if (std::abs(*middle) <= limit) continue;
            std::array<char, 200> text{};
            std::snprintf(text.data(), text.size(),
                          " differ by %.2g in frequency (median of %zu modes of the same design); heat, light, gas and "
                          "ageing explain %.2g at most: the device changed, or these are two devices",
                          *middle, logs.size(), limit);
            warnings.push_back({"data-sets-differ", std::string(devices[a].measured.file)
                                                        .append(" and ")
                                                        .append(devices[b].measured.file)
                                                        .append(text.data())});
        }
    return warnings;
}

}  // namespace tymbal
