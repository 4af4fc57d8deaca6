#include "mode_block.h"

#include "strips.h"

#include "../grid/lane_kernels.h"

#include <vector>

namespace tymbal::spline {

namespace {

using RowMajor = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

int count_of(Run run) {
    return static_cast<int>(run.to - run.from);
}

/// Sums of several square matrices, strip by strip in their order.
template <std::size_t Count, class Work>
std::array<RowMajor, Count> sums(std::size_t rows, int lanes, unsigned threads, Work work) {
    std::vector<std::array<RowMajor, Count>> parts(strips(rows));
    for_each_strip(rows, threads, [&](Run all) {
        auto& own = parts[all.from / strip];
        own.fill(RowMajor::Zero(lanes, lanes));
        work(all, own);
    });
    std::array<RowMajor, Count> out;
    out.fill(RowMajor::Zero(lanes, lanes));
    for (const auto& part : parts)
        for (std::size_t k = 0; k < Count; ++k) out[k] += part[k];
    return out;
}

/// Rows of a block in double precision.
struct Chunk {
    std::vector<double> number;
    int lanes;
    explicit Chunk(int lanes_each) : number(chunk * static_cast<std::size_t>(lanes_each)), lanes(lanes_each) {}
    void take(const Block<float>& from, Run run) {
        const float* const at = from.number.data() + run.from * static_cast<std::size_t>(lanes);
        std::copy(at, at + (run.to - run.from) * static_cast<std::size_t>(lanes), number.begin());
    }
    [[nodiscard]] Vectors<double> vectors() const { return {number.data(), lanes}; }
};

Vectors<double> rows_of(const Block<double>& x, Run run) {
    return {x.number.data() + run.from * static_cast<std::size_t>(x.lanes), x.lanes};
}

Eigen::MatrixXd symmetric(const RowMajor& lower) {
    return Eigen::MatrixXd(lower.selfadjointView<Eigen::Lower>());
}

}  // namespace

ModeProducts mode_products(const Rows& stiffness, const Rows& mass, const Block<double>& x, const Vector& values,
                           Block<float>& residual, unsigned threads) {
    const auto lanes = static_cast<std::size_t>(x.lanes);
    const auto found =
        sums<2>(static_cast<std::size_t>(stiffness.pattern->rows()), x.lanes, threads, [&](Run all, auto& own) {
            Chunk kx(x.lanes), mx(x.lanes);
            for_each_chunk(all, [&](Run run) {
                product(stiffness, x.number.data(), x.lanes, run, kx.number.data());
                product(mass, x.number.data(), x.lanes, run, mx.number.data());
                add_products(kx.vectors(), rows_of(x, run), count_of(run), true, own[0].data(), x.lanes);
                add_products(mx.vectors(), rows_of(x, run), count_of(run), true, own[1].data(), x.lanes);
                float* const to = residual.number.data() + run.from * lanes;
                for (std::size_t k = 0; k < (run.to - run.from) * lanes; ++k)
                    to[k] =
                        static_cast<float>(kx.number[k] - values[static_cast<Eigen::Index>(k % lanes)] * mx.number[k]);
            });
        });
    return {symmetric(found[0]), symmetric(found[1])};
}

DirectionProducts direction_products(const Rows& stiffness, const Rows& mass, const Block<double>& x,
                                     const Block<float>& residual, const Block<float>& w, unsigned threads) {
    const auto found =
        sums<4>(static_cast<std::size_t>(stiffness.pattern->rows()), x.lanes, threads, [&](Run all, auto& own) {
            Chunk kw(x.lanes), mw(x.lanes), here(x.lanes), rest(x.lanes);
            for_each_chunk(all, [&](Run run) {
                product(stiffness, w.number.data(), w.lanes, run, kw.number.data());
                product(mass, w.number.data(), w.lanes, run, mw.number.data());
                here.take(w, run);
                rest.take(residual, run);
                add_products(kw.vectors(), here.vectors(), count_of(run), true, own[0].data(), x.lanes);
                add_products(mw.vectors(), here.vectors(), count_of(run), true, own[1].data(), x.lanes);
                add_products(mw.vectors(), rows_of(x, run), count_of(run), false, own[2].data(), x.lanes);
                add_products(here.vectors(), rest.vectors(), count_of(run), false, own[3].data(), x.lanes);
            });
        });
    return {symmetric(found[0]), symmetric(found[1]), found[2], found[3]};
}

void combine(const Eigen::MatrixXd& by_modes, const Eigen::MatrixXd& by_directions, const Block<float>& w,
             Block<double>& x, unsigned threads) {
    const RowMajor modes = by_modes, directions = by_directions;
    const auto lanes = static_cast<std::size_t>(x.lanes);
    for_each_strip(x.number.size() / lanes, threads, [&](Run all) {
        Chunk here(x.lanes), sum(x.lanes);
        for_each_chunk(all, [&](Run run) {
            combine_run(rows_of(x, run), modes.data(), x.lanes, count_of(run), false, sum.number.data());
            if (directions.rows() > 0) {
                here.take(w, run);
                combine_run(here.vectors(), directions.data(), x.lanes, count_of(run), true, sum.number.data());
            }
            std::copy_n(sum.number.begin(), (run.to - run.from) * lanes,
                        x.number.begin() + static_cast<std::ptrdiff_t>(run.from * lanes));
        });
    });
}

}  // namespace tymbal::spline
