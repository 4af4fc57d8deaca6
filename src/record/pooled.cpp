#include "tymbal/record/pooled.h"

#include "tymbal/record/student_t.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace tymbal {

namespace {

double mean_of(const std::vector<PooledValue>& values) {
    double sum = 0.0;
    for (const PooledValue& v : values) sum += v.value;
    return sum / static_cast<double>(values.size());
}

double square(double x) {
    return x * x;
}

/// About the mean; equal values do not differ by what their mean was rounded by.
double squares_of(const std::vector<PooledValue>& values) {
    const double mean = mean_of(values), rounding = 1e-14 * std::abs(mean);
    double squares = 0.0;
    for (const PooledValue& v : values)
        if (std::abs(v.value - mean) > rounding) squares += square(v.value - mean);
    return squares;
}

/// A deviation that is not stated is taken to be like those that are, never to be none.
Chips completed(Chips chips) {
    double squares = 0.0;
    std::size_t stated = 0;
    for (const auto& chip : chips)
        for (const PooledValue& v : chip) {
            squares += square(v.deviation);
            stated += v.deviation > 0.0 ? 1U : 0U;
        }
    if (stated == 0) return chips;
    for (auto& chip : chips)
        for (PooledValue& v : chip)
            if (!(v.deviation > 0.0)) v.deviation = std::sqrt(squares / static_cast<double>(stated));
    return chips;
}

/// Mean square within chips; 0 where no chip has two values.
double within_variance(const Chips& chips) {
    double squares = 0.0;
    std::size_t degrees = 0;
    for (const auto& chip : chips) {
        squares += squares_of(chip);
        degrees += chip.size() - 1;
    }
    return degrees == 0 ? 0.0 : squares / static_cast<double>(degrees);
}

/// Of the plain mean of one chip's values, as their stated deviations have it.
double stated_variance(const std::vector<PooledValue>& values) {
    double squares = 0.0;
    for (const PooledValue& v : values) squares += square(v.deviation);
    return squares / static_cast<double>(values.size() * values.size());
}

/// What values from one source share moves them together: more of them do not average it away, and no scatter shows it.
double shared_variance(const std::vector<PooledValue>& values) {
    std::map<std::int64_t, double> sums;
    double squares = 0.0;
    for (const PooledValue& v : values) {
        sums[v.source] += v.shared;
        squares -= square(v.shared);  // stands in stated_variance already
    }
    for (const auto& [source, sum] : sums) squares += square(sum);
    return std::max(squares, 0.0) / static_cast<double>(values.size() * values.size());
}

/// Each chip's mean with its own deviation, as if each had so many times the values.
std::vector<PooledValue> means_of(const Chips& chips, double times = 1.0) {
    const double within = within_variance(chips);
    std::vector<PooledValue> means;
    for (const auto& chip : chips) {
        const double alone = std::max(within / static_cast<double>(chip.size()), stated_variance(chip));
        means.push_back({mean_of(chip), std::sqrt(alone / times + shared_variance(chip))});
    }
    return means;
}

double mean_variance(const std::vector<PooledValue>& means) {
    double sum = 0.0;
    for (const PooledValue& m : means) sum += square(m.deviation);
    return sum / static_cast<double>(means.size());
}

struct Weighted {
    double mean = 0.0, weights = 0.0, squares = 0.0;  ///< sum of weighted squares about the mean
};

Weighted weigh(const std::vector<PooledValue>& means, double between) {
    Weighted out;
    double sum = 0.0;
    for (const PooledValue& m : means) {
        const double weight = 1.0 / (square(m.deviation) + between);
        out.weights += weight;
        sum += weight * m.value;
    }
    out.mean = sum / out.weights;
    for (const PooledValue& m : means) out.squares += square(m.value - out.mean) / (square(m.deviation) + between);
    return out;
}

/// The variance between chips that makes the weighted squares what they are expected to be, by bisection.
double between_variance(const std::vector<PooledValue>& means) {
    const double expected = static_cast<double>(means.size()) - 1.0;
    const double highest = 4.0 * squares_of(means);
    const double least = 1e-12 * highest;  // keeps weights finite where no chip states a deviation
    if (highest == 0.0 || weigh(means, least).squares <= expected) return 0.0;
    double low = least, high = highest;
    for (int step = 0; step < 200; ++step) {
        const double middle = 0.5 * (low + high);
        (weigh(means, middle).squares > expected ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

/// Of the next chip's variance: a difference of two estimates is less sure than the one from chip to chip, and so has
/// fewer degrees (Satterthwaite, Biometrics Bull. 2, 110, 1946, from memory).
double next_factor(double between, double of_mean, double spread, int chips) {
    const double share = (between + of_mean) / ((1.0 + 1.0 / chips) * spread);
    return one_sigma_factor(spread > 0.0 ? std::clamp((chips - 1) * share * share, 1.0, chips - 1.0) : chips - 1.0);
}

void pool_one(Pooled& out, const PooledValue& mean, double scatter) {
    out.mean = mean.value;
    out.scatter_given = scatter >= 0.0;
    out.between = std::max(scatter, 0.0);
    out.mean_std = std::hypot(mean.deviation, out.between);
    out.next_std = std::hypot(out.mean_std, out.between);
}

void pool_several(Pooled& out, const std::vector<PooledValue>& means) {
    out.degrees = out.chips - 1;
    const double between = between_variance(means), of_means = mean_variance(means);
    out.between = std::sqrt(between);
    if (between + of_means == 0.0) {
        out.mean = mean_of(means);
        return;
    }
    const Weighted weighted = weigh(means, between);
    out.mean = weighted.mean;
    out.mean_std = one_sigma_factor(out.degrees) / std::sqrt(weighted.weights);
    out.next_std = next_factor(between, 1.0 / weighted.weights, between + of_means, out.chips) *
                   std::sqrt(between + 1.0 / weighted.weights);
}

}  // namespace

std::vector<PooledValue> chip_means(const Chips& chips) {
    return means_of(completed(chips));
}

double chip_mean_variance(const Chips& chips, double times) {
    return mean_variance(means_of(completed(chips), times));
}

Pooled pool(const Chips& chips, double given_scatter) {
    const Chips known = completed(chips);
    Pooled out;
    out.chips = static_cast<int>(known.size());
    double stated = 0.0;
    for (const auto& chip : known) {
        out.values += static_cast<int>(chip.size());
        stated += stated_variance(chip) * static_cast<double>(chip.size());
    }
    out.within = std::sqrt(std::max(within_variance(known), stated / static_cast<double>(known.size())));
    const std::vector<PooledValue> means = means_of(known);
    if (out.chips == 1)
        pool_one(out, means.front(), given_scatter);
    else
        pool_several(out, means);
    return out;
}

double next_with(const Pooled& now, double of_mean, int more_chips) {
    const double between = now.between * now.between;
    const int chips = now.chips + more_chips;
    const double spread = std::sqrt(between + (between + of_mean) / chips);
    return chips == 1 ? spread : next_factor(between, (between + of_mean) / chips, between + of_mean, chips) * spread;
}

}  // namespace tymbal
