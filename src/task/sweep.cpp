#include "tymbal/task/sweep.h"

#include "tymbal/base/error.h"
#include "tymbal/film/cell_memo.h"
#include "tymbal/light/light_memo.h"

#include "../base/in_parallel.h"

#include <mutex>

namespace tymbal {

namespace {

SweepRow solve_row(const SweepJob& job, const CellMemo& cells, const LightMemo& light, std::size_t index) {
    SweepRow row{index, std::nullopt, ""};
    Effort effort;
    effort.cells = cells;
    effort.own_threads = false;
    effort.large = job.large;
    effort.light = light;
    try {
        row.figures = design_figures(job.device_at(job.grid.at(index)), job.materials, effort);
    } catch (const InputError& e) {
        row.error = e.what();
    } catch (const NoAnswer& e) {
        row.error = e.what();
    } catch (const std::bad_alloc&) {
        row.error = "out of memory";
    }
    return row;
}

}  // namespace

std::size_t SweepGrid::size() const {
    std::size_t product = 1;
    for (const SweepAxis& axis : axes) product *= axis.values.size();
    return product;
}

Changes SweepGrid::at(std::size_t index) const {
    Changes changes(axes.size());
    for (std::size_t k = axes.size(); k-- > 0;) {
        const std::size_t count = axes[k].values.size();
        std::visit([&](const auto& value) { changes[k] = {axes[k].key, value}; }, axes[k].values[index % count]);
        index /= count;
    }
    return changes;
}

void sweep(const SweepJob& job, const std::function<void(const SweepRow&)>& take) {
    const CellMemo cells;
    const LightMemo light;
    std::mutex one_at_a_time;
    in_parallel(job.wanted.size(), job.threads, [&](std::size_t k) {
        const SweepRow row = solve_row(job, cells, light, job.wanted[k]);
        const std::lock_guard lock(one_at_a_time);
        take(row);
    });
}

}  // namespace tymbal
