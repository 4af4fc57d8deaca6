// The matching against all matchings counted out, and the fit's sigmas when every pair is known.
#include "support/approx.h"
#include "support/designs.h"
#include "support/synthetic.h"
#include "tymbal/fit/assign.h"
#include "tymbal/task/predicted_lines.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <functional>

using namespace tymbal;
using Eigen::Index;
using Eigen::MatrixXd;
using tymbal::sample::Approx;

namespace {

using Pairs = std::vector<std::array<std::size_t, 2>>;

/// Every matching that keeps the order, by recursion over the peaks.
void for_each_matching(const MatrixXd& gain, const std::function<void(const Pairs&, double)>& visit) {
    Pairs pairs;
    const std::function<void(Index, Index, double)> go = [&](Index peak, Index line, double sum) {
        if (peak == gain.rows()) return visit(pairs, sum);
        go(peak + 1, line, sum);
        for (Index k = line; k < gain.cols(); ++k) {
            pairs.push_back({static_cast<std::size_t>(peak), static_cast<std::size_t>(k)});
            go(peak + 1, k + 1, sum + gain(peak, k));
            pairs.pop_back();
        }
    };
    go(0, 0, 0.0);
}

MatrixXd some_gains(std::uint64_t seed) {
    synthetic::Dice dice(seed);
    MatrixXd gain(4, 6);
    for (Index i = 0; i < gain.rows(); ++i)
        for (Index j = 0; j < gain.cols(); ++j) gain(i, j) = dice.uniform(-4.0, 3.0);
    return gain;
}

/// A design whose inputs are exact, so that the noise alone makes the error.
const LineModel& exact_square() {
    static const LineModel model = [] {
        std::string text = sample::film("100 nm");
        const Device design =
            sample::design(text.append(sample::square("200 um")).append("[solve]\nmodes = 13\naccuracy = 1e-5\n"));
        LineModel lines = predicted_lines(design, solve(design));
        for (Input& input : lines.inputs) input.deviation = 0.0;
        return lines;
    }();
    return model;
}

/// Line of a mode by its label.
std::size_t line_of(const LineModel& model, int m, int n) {
    std::string name = "(";
    name.append(std::to_string(m)).append(",").append(std::to_string(n)).append(")");
    for (std::size_t k = 0; k < model.lines.size(); ++k)
        if (model.lines[k].label == name) return k;
    return model.lines.size();
}

}  // namespace

TEST_SUITE("invariant") {
    TEST_CASE("the best matching is the best of all, and chances are shares of all") {
        for (std::uint64_t seed = 1; seed <= 10; ++seed) {
            const MatrixXd gain = some_gains(seed);
            double best = 0.0, total = 0.0;
            Pairs winner;
            MatrixXd share = MatrixXd::Zero(gain.rows(), gain.cols());
            for_each_matching(gain, [&](const Pairs& pairs, double sum) {
                if (sum > best) {
                    best = sum;
                    winner = pairs;
                }
                total += std::exp(sum);
                for (const auto& [i, j] : pairs) share(static_cast<Index>(i), static_cast<Index>(j)) += std::exp(sum);
            });
            CHECK(best_matching(gain) == winner);
            CHECK((pair_chances(gain) - share / total).cwiseAbs().maxCoeff() < 1e-12);
        }
    }

    TEST_CASE("with exact inputs the noise alone makes the sigma of the stress, neither less nor more") {
        const LineModel& model = exact_square();
        int within_one = 0, within_two = 0;
        for (std::uint64_t seed = 1; seed <= 1000; ++seed) {
            synthetic::Dice dice(seed);
            for (int warm = 0; warm < 8; ++warm) dice.uniform(0.0, 1.0);
            synthetic::Device device;
            const double stress = dice.uniform(0.7, 1.3), noise = 1e-3;
            device.stress_x = device.stress_y = 1e9 * stress;
            std::vector<Datum> data;
            for (int m = 1; m <= 3; ++m)
                for (int n = 1; n <= 3; ++n) {
                    const std::size_t line = line_of(model, m, n);
                    REQUIRE(line < model.lines.size());
                    const double f = synthetic::frequency(device, m, n) * (1.0 + noise * dice.normal());
                    data.push_back({0, line, std::log(f), noise});
                }
            const FilmFit fit = fit_film({&model}, data, {.scatter = 0.0});
            const double pull = std::abs(fit.parameters[0].shift - std::log(stress)) / fit.parameters[0].deviation;
            within_one += pull < 1.0;
            within_two += pull < 2.0;
        }
        CAPTURE(within_one);
        CAPTURE(within_two);
        CHECK(within_one >= 653);  // 68.3 % and two sigmas of the count
        CHECK(within_one <= 712);
        CHECK(within_two >= 930);
        CHECK(within_two <= 970);
    }

    TEST_CASE("scatter beyond the stated errors is found and counted in") {
        const LineModel& model = exact_square();
        synthetic::Dice dice(12);
        std::vector<Datum> data;
        for (int m = 1; m <= 3; ++m)
            for (int n = 1; n <= 3; ++n)
                data.push_back(
                    {0, line_of(model, m, n), std::log(synthetic::frequency({}, m, n)) + 1e-3 * dice.normal(), 1e-5});
        const FilmFit fit = fit_film({&model}, data, {});
        CHECK(fit.scatter > 4e-4);
        CHECK(fit.scatter < 2e-3);
        CHECK(fit.parameters[0].deviation == Approx(2.0 * fit.scatter / 3.0).epsilon(0.05));
        CHECK(fit.chi_square > 100.0);
    }

    TEST_CASE("lines moved to another film are where a new solution puts them") {
        const auto at = [](const std::string& stress, const std::string& side) {
            std::string text = sample::film("100 nm", stress);
            return sample::design(text.append(sample::square(side)).append("[solve]\nmodes = 13\naccuracy = 1e-5\n"));
        };
        const Device moved = at("1.3 GPa", "190 um");
        const LineModel& from = exact_square();
        const LineModel to = predicted_lines(moved, solve(moved));
        Eigen::VectorXd inputs = Eigen::VectorXd::Zero(static_cast<Index>(from.inputs.size()));
        for (std::size_t j = 0; j < from.inputs.size(); ++j)
            if (from.inputs[j].axis != Axis::none) inputs[static_cast<Index>(j)] = std::log(190.0 / 200.0);
        const Eigen::VectorXd logs = log_frequencies(from, {std::log(1.3), 0.0, 0.0, inputs});
        for (std::size_t k = 0; k < to.lines.size(); ++k)
            CHECK(std::exp(logs[static_cast<Index>(k)]) == Approx(to.lines[k].frequency_hz).epsilon(2e-5));
    }
}
