#include "sweeps.h"

#include "designs.h"
#include "values.h"
#include "watched.h"

#include "tymbal/base/error.h"
#include "tymbal/print/write_json.h"
#include "tymbal/print/write_sweep.h"
#include "tymbal/read/parse_axis.h"

#include <algorithm>
#include <atomic>
#include <map>
#include <memory>
#include <numeric>
#include <set>
#include <sstream>

namespace tymbal::python {

namespace {

constexpr double most_rows = 1e6;

/// Rows as lines of the sweep's table, from the thread that solves to those that ask: each line goes to one of them.
class Rows {
public:
    void put(std::size_t index, std::string line) {
        const std::lock_guard<std::mutex> lock(guard_);
        lines_.emplace(index, std::move(line));
    }
    /// The next line in the order of the grid, if it is there.
    std::optional<std::string> take() {
        const std::lock_guard<std::mutex> lock(guard_);
        auto found = lines_.extract(taken_);
        if (found.empty()) return std::nullopt;
        ++taken_;
        return std::move(found.mapped());
    }
    std::size_t taken() {
        const std::lock_guard<std::mutex> lock(guard_);
        return taken_;
    }

private:
    std::mutex guard_;
    std::map<std::size_t, std::string> lines_;
    std::size_t taken_ = 0;
};

/// All members may be used from any thread. The work is joined with the sweep itself, so that no one misses it.
class RunningSweep {
public:
    RunningSweep(const HeldDesign& design, const Changes& settings, SweepGrid grid, unsigned threads)
        : design_(design) {
        const Device device = design_.device(settings);
        identity_ = {device.title,
                     device.sha256,
                     fingerprint(*design_.materials),
                     settings,
                     std::move(grid),
                     device.solve.modes,
                     1,
                     1};
        start(threads, settings);
    }
    ~RunningSweep() { close(); }
    RunningSweep(const RunningSweep&) = delete;
    RunningSweep& operator=(const RunningSweep&) = delete;

    [[nodiscard]] std::size_t size() const { return identity_.grid.size(); }
    [[nodiscard]] std::string head() const { return head_text(identity_); }

    /// The next line of the table, or None behind the last. Listens for Ctrl-C while it waits.
    py::object next() {
        while (!closed_ && rows_.taken() < size()) {
            if (const auto line = take()) return py::str(*line);
            try {
                attend(watch_, py::none());
            } catch (...) {
                close();
                throw;
            }
        }
        return py::none();
    }

    /// Ends what runs; no rows follow.
    void close() {
        closed_ = true;  // first: who meets what was stopped must know why
        watch_.stop();
        const py::gil_scoped_release free;
        while (!work_->ended_within(std::chrono::milliseconds(50))) {
        }
    }

private:
    void start(unsigned threads, const Changes& settings) {
        wanted_.resize(size());
        std::iota(wanted_.begin(), wanted_.end(), std::size_t{0});
        const unsigned cores = std::max(1U, std::thread::hardware_concurrency());
        work_ = std::make_unique<Work>([this, settings, threads = threads > 0 ? threads : cores] {
            const DeviceAt device_at = watch_.checked(design_.devices(settings));
            sweep({device_at, *design_.materials, identity_.grid, wanted_, threads, watch_.effort(0)},
                  [this](const SweepRow& row) {
                      watch_.keep_going();
                      rows_.put(row.index, row_text(identity_, row));
                  });
        });
    }

    /// The next row if it comes soon. @throws what ended the sweep before its time
    std::optional<std::string> take() {
        const py::gil_scoped_release free;
        if (auto line = rows_.take()) return line;
        const bool ended = work_->ended_within(std::chrono::milliseconds(2));
        auto line = rows_.take();
        if (ended && !line && !closed_) work_->rethrow();
        return line;
    }

    HeldDesign design_;
    SweepIdentity identity_;
    std::vector<std::size_t> wanted_;
    std::atomic<bool> closed_ = false;
    Watch watch_;
    Rows rows_;
    std::unique_ptr<Work> work_;  // last: it uses all others
};

/// Axes of texts "KEY=..." or of (key, list of numbers or names).
SweepGrid grid_from(const py::iterable& axes) {
    SweepGrid grid;
    std::set<std::string> keys;
    double rows = 1.0;
    for (const py::handle& axis : axes) {
        if (py::isinstance<py::str>(axis)) {
            grid.axes.push_back(parse_axis(py::cast<std::string>(axis)));
        } else {
            const auto both = py::cast<py::tuple>(axis);
            SweepAxis& added = grid.axes.emplace_back();
            added.key = py::cast<std::string>(both[0]);
            for (const py::handle& value : both[1]) {
                const Change change = changes_from(py::make_tuple(py::make_tuple(both[0], value))).front();
                if (const auto* si = std::get_if<double>(&change.value))
                    added.values.emplace_back(*si);
                else if (const auto* name = std::get_if<std::string>(&change.value))
                    added.values.emplace_back(*name);
                else
                    throw InputError({}, added.key, "takes one number or text at a time");
            }
            require_sound(added);
        }
        const SweepAxis& last = grid.axes.back();
        if (!keys.insert(last.key).second) throw InputError({}, last.key, "is varied twice");
        rows *= static_cast<double>(last.values.size());
    }
    if (grid.axes.empty()) throw InputError({}, "vary", "is empty; give at least one key with its values");
    if (rows > most_rows) throw InputError({}, "vary", "asks for more than a million designs");
    return grid;
}

std::unique_ptr<RunningSweep> start_sweep(const HeldDesign& design, const py::iterable& settings,
                                          const py::iterable& axes, unsigned threads) {
    const Changes changes = changes_from(settings);
    SweepGrid grid = grid_from(axes);
    const py::gil_scoped_release free;
    return std::make_unique<RunningSweep>(design, changes, std::move(grid), threads);
}

/// The program's JSON of a table: its head and any of its lines.
std::string sweep_json(const std::string& text) {
    SweepTable table = parse_sweep(text, "");
    table.sort();
    std::ostringstream out;
    write_json(out, table);
    return out.str();
}

std::string sweep_csv(const std::string& text) {
    SweepTable table = parse_sweep(text, "");
    table.sort();
    return table_text(table);
}

std::string sweep_table(const std::string& text) {
    SweepTable table = parse_sweep(text, "");
    table.sort();
    std::ostringstream out;
    write_table(out, table, 1);
    return out.str();
}

}  // namespace

void add_sweeps(py::module_& module) {
    py::class_<RunningSweep>(module, "RunningSweep")
        .def("next", &RunningSweep::next)
        .def("close", &RunningSweep::close)
        .def("head", &RunningSweep::head)
        .def("__len__", &RunningSweep::size);
    module.def("sweep", &start_sweep, py::arg("design"), py::arg("settings"), py::arg("axes"), py::arg("threads"));
    module.def("sweep_json", &sweep_json, py::arg("text"));
    module.def("sweep_csv", &sweep_csv, py::arg("text"));
    module.def("sweep_table", &sweep_table, py::arg("text"));
}

}  // namespace tymbal::python
