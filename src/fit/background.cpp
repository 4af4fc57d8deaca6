#include "background.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace tymbal {

namespace {

constexpr double least_share = 0.02;       // of the level before: a background does not fall to nothing at once
constexpr std::size_t most_points = 4000;  // that one level needs

struct Level {
    double at = 0.0, value = 0.0, weight = 0.0;
};

/// Half the weight lies below it.
double weighted_median(std::vector<std::pair<double, double>>& values) {
    std::sort(values.begin(), values.end());
    double total = 0.0, sum = 0.0;
    for (const auto& v : values) total += v.second;
    for (const auto& v : values)
        if ((sum += v.second) >= 0.5 * total) return v.first;
    return values.back().first;
}

/// Linear between the centres of the blocks.
std::vector<double> between(const std::vector<double>& level, std::size_t block, std::size_t n) {
    const std::size_t blocks = level.size();
    const double last = static_cast<double>(blocks - 1), step = 1.0 / static_cast<double>(block);
    std::vector<double> out(n);
    for (std::size_t i = 0; i < n; ++i) {
        const double at = std::clamp((static_cast<double>(i) + 0.5) * step - 0.5, 0.0, last);
        const auto b = std::min(static_cast<std::size_t>(at), blocks > 1 ? blocks - 2 : 0);
        const double share = at - static_cast<double>(b);
        out[i] = blocks > 1 ? (1.0 - share) * level[b] + share * level[b + 1] : level[0];
    }
    return out;
}

/// Level that known lines leave of the points from `from` to `to`.
Level level_of(const std::vector<double>& power, const std::vector<double>& model, const std::vector<double>& lines,
               double m, std::size_t from, std::size_t to) {
    std::vector<std::pair<double, double>> rest;
    Level out;
    double before = 0.0;
    const std::size_t stride = std::max<std::size_t>(1, (to - from) / most_points);
    for (std::size_t i = from; i < to; i += stride) {
        const double weight = 1.0 / model[i];
        rest.emplace_back(power[i] / m - lines[i], weight);
        out.weight += weight;
        out.at += weight * static_cast<double>(i);
        before += weight * (model[i] - lines[i]);
    }
    out.at /= out.weight;
    out.value = std::max(weighted_median(rest), least_share * before / out.weight);
    return out;
}

std::vector<double> straight(const Level& a, const Level& b, std::size_t n) {
    std::vector<double> out(n);
    const double least = 0.1 * std::min(a.value, b.value);
    for (std::size_t i = 0; i < n; ++i)
        out[i] = std::max(a.value + (b.value - a.value) * (static_cast<double>(i) - a.at) / (b.at - a.at), least);
    return out;
}

}  // namespace

double median(std::vector<double>& values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

std::size_t finest_block(std::size_t n) {
    return std::clamp<std::size_t>(n / 400, 16, 2000);
}

std::vector<double> background(const std::vector<double>& power, std::size_t block) {
    const std::size_t n = power.size(), blocks = n / block;
    std::vector<double> level(blocks), smooth(blocks), part;
    for (std::size_t b = 0; b < blocks; ++b) {
        const auto from = power.begin() + static_cast<std::ptrdiff_t>(b * block);
        part.assign(from, b + 1 == blocks ? power.end() : from + static_cast<std::ptrdiff_t>(block));
        level[b] = median(part);
    }
    for (std::size_t b = 0; b < blocks; ++b) {
        const std::size_t low = b < 2 ? 0 : b - 2, high = std::min(b + 3, blocks);
        part.assign(level.begin() + static_cast<std::ptrdiff_t>(low),
                    level.begin() + static_cast<std::ptrdiff_t>(high));
        smooth[b] = median(part);
    }
    return between(smooth, block, n);
}

std::vector<double> background_under(const std::vector<double>& power, const std::vector<double>& model,
                                     const std::vector<double>& lines, double m, std::size_t block) {
    const std::size_t n = power.size(), blocks = n / block;
    if (blocks == 1)
        return straight(level_of(power, model, lines, m, 0, n / 2), level_of(power, model, lines, m, n / 2, n), n);
    std::vector<Level> level;
    for (std::size_t b = 0; b < blocks; ++b)
        level.push_back(level_of(power, model, lines, m, b * block, b + 1 == blocks ? n : (b + 1) * block));
    std::vector<double> smooth;
    for (std::size_t b = 0; b < blocks; ++b) {
        std::vector<std::pair<double, double>> near;
        for (std::size_t j = b < 2 ? 0 : b - 2; j < std::min(b + 3, blocks); ++j)
            near.emplace_back(level[j].value, level[j].weight);
        smooth.push_back(weighted_median(near));
    }
    return between(smooth, block, n);
}

double averages_of(const std::vector<double>& power, const std::vector<double>& level) {
    std::vector<double> ratio;
    const std::size_t stride = std::max<std::size_t>(1, power.size() / 200000);
    for (std::size_t i = 0; i < power.size(); i += stride) ratio.push_back(power[i] / level[i]);
    const auto quartile = [&](double share) {
        const auto at = ratio.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(ratio.size() - 1));
        std::nth_element(ratio.begin(), at, ratio.end());
        return std::max(*at, 1e-12);
    };
    const double distance = (std::log(quartile(0.75)) - std::log(quartile(0.25))) / 1.349;
    return std::clamp(1.0 / std::max(distance * distance, 1e-8) + 0.26, 0.5, 1e6);
}

}  // namespace tymbal
