// Prints how the reported errors compare with the true ones over many random plain films: bench_sweep [count] [seed].
#include "stopwatch.h"

#include "support/sweep.h"

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <string>

using namespace tymbal;

namespace {

using Wanted = std::function<bool(const sweep::Pair&)>;

void print_line(const std::string& name, const std::vector<sweep::Pair>& pairs, const Wanted& wanted) {
    std::vector<sweep::Pair> part;
    std::copy_if(pairs.begin(), pairs.end(), std::back_inserter(part), wanted);
    if (part.empty()) return;
    std::vector<double> actual;
    for (const sweep::Pair& p : part) actual.push_back(p.actual);
    std::sort(actual.begin(), actual.end());
    std::printf("%-22s %6zu   %6.2f %%   %7.2f %7.2f %7.2f %8.2f   %8.1e %8.1e %8.1e\n", name.c_str(), part.size(),
                100.0 * sweep::covered_share(part), sweep::ratio_quantile(part, 0.05),
                sweep::ratio_quantile(part, 0.25), sweep::ratio_quantile(part, 0.5), sweep::ratio_quantile(part, 0.95),
                actual[actual.size() / 2], actual[actual.size() * 95 / 100], actual.back());
}

void print_uncovered(const std::vector<sweep::Case>& all, const std::vector<sweep::Pair>& pairs) {
    std::printf("\nuncovered: case, shape, thickness m, stress Pa, treatment, actual, reported\n");
    for (const sweep::Pair& p : pairs) {
        if (p.actual <= p.reported) continue;
        const PaintedFilm& film = all[p.number].problem.film;
        std::printf("%5zu %-10s %9.3e %9.3e %-10s %9.2e %9.2e\n", p.number, p.shape.c_str(), film.thickness,
                    film.stress, p.rim == RimTreatment::resolved ? "resolved" : "thin", p.actual, p.reported);
    }
}

}  // namespace

int main(int argc, char** argv) {
    const int count = argc > 1 ? std::atoi(argv[1]) : 600;
    const auto seed = static_cast<std::uint64_t>(argc > 2 ? std::atoll(argv[2]) : 1);
    const std::vector<sweep::Case> all = sweep::cases(seed, count);
    std::vector<sweep::Pair> pairs;
    const double time = seconds([&] { pairs = sweep::compare(all); });
    std::printf("%d cases, seed %llu, %.1f s\n", count, static_cast<unsigned long long>(seed), time);
    std::printf("%-22s %6s   %8s   %31s   %26s\n", "", "modes", "covered", "reported/actual 5 25 50 95 %",
                "actual 50 95 100 %");
    print_line("all", pairs, [](const sweep::Pair&) { return true; });
    for (const std::string shape : {"rectangle", "disc", "ring"}) {
        for (const RimTreatment rim : {RimTreatment::thin_layer, RimTreatment::resolved}) {
            const std::string name = shape + (rim == RimTreatment::resolved ? ", resolved" : ", thin layer");
            print_line(name, pairs, [&](const sweep::Pair& p) { return p.shape == shape && p.rim == rim; });
        }
    }
    print_uncovered(all, pairs);
}
