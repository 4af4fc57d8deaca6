#include "tasks.h"

#include "arrays.h"
#include "designs.h"
#include "reading.h"
#include "told.h"
#include "values.h"
#include "watched.h"

#include "tymbal/base/error.h"
#include "tymbal/print/write_cavity.h"
#include "tymbal/print/write_cavity_fit.h"
#include "tymbal/print/write_choice.h"
#include "tymbal/print/write_compare.h"
#include "tymbal/print/write_json.h"
#include "tymbal/print/write_light.h"
#include "tymbal/print/write_plan.h"
#include "tymbal/print/write_release.h"
#include "tymbal/print/write_size.h"
#include "tymbal/print/write_table.h"
#include "tymbal/print/write_wafer.h"
#include "tymbal/read/read_measured.h"
#include "tymbal/read/read_wafer.h"
#include "tymbal/task/cavity_fit.h"
#include "tymbal/task/solved.h"

#include <pybind11/stl.h>

#include <functional>
#include <map>
#include <memory>

namespace tymbal::python {

namespace {

/// Work on a design whose result goes straight into text. `task` takes (Watch&, const HeldDesign&, const Changes&).
template <class Task>
py::tuple told(const HeldDesign& design, const py::iterable& settings, const py::object& progress, Task task) {
    const Changes changes = changes_from(settings);
    return as_tuple(watched(progress, [&](Watch& watch) { return texts_of(task(watch, design, changes)); }));
}

/// A flat film that is not stable has a JSON, too, and the words that refuse it.
struct Predicted {
    Texts texts;
    std::string refused;
    std::shared_ptr<Fields> fields;
};

std::shared_ptr<Fields> fields_of(Prediction& prediction, const std::optional<StressMap>& stress) {
    auto fields = std::make_shared<Fields>();
    for (PredictedMode& m : prediction.modes) fields->shapes.push_back(std::move(m.mode.shape));
    fields->stress = stress;
    return fields;
}

struct PredictWish {
    double near_hz = 0.0, within_m = 0.0;
    std::size_t memory_limit = 0;
    bool stress = false;
};

Predicted predict_watched(Watch& watch, const HeldDesign& design, const Changes& settings, const PredictWish& wish) {
    Device device = design.device(settings);
    device.solve.near_hz = wish.near_hz;
    if (wish.within_m > 0.0) device.solve.within = Length::from_si(wish.within_m);
    Effort effort;
    effort.large = watch.effort(wish.memory_limit);
    try {
        const SolvedDesign solved = solve(device, effort);
        watch.keep_going();
        const StressMap stress = stress_map(device.outline, solved.laid.film, solved.set.fine);
        Prediction prediction = complete(device, *design.materials, solved, stress);
        Texts texts = texts_of(prediction);
        return {std::move(texts), "", fields_of(prediction, wish.stress ? std::optional(stress) : std::nullopt)};
    } catch (const UnstableFilm& e) {
        const UnstablePrediction p = predict_unstable(device, e.what());
        return {{written([&](std::ostream& out) { write_json(out, p); }), ""}, p.why, std::make_shared<Fields>()};
    }
}

py::tuple predict_design(const HeldDesign& design, const py::iterable& settings, const py::object& near,
                         const py::object& within, double memory_limit, bool stress, const py::object& progress) {
    const Changes changes = changes_from(settings);
    const PredictWish wish{positive_or_none(near, Kind::frequency, "near"),
                           positive_or_none(within, Kind::length, "within"), static_cast<std::size_t>(memory_limit),
                           stress};
    const Predicted p = watched(progress, [&](Watch& watch) { return predict_watched(watch, design, changes, wish); });
    return py::make_tuple(p.texts.json, p.texts.table, p.refused, p.fields);
}

void check_design(const HeldDesign& design) {
    const py::gil_scoped_release free;
    (void)design.device({});
}

Sizing sizing_of(const std::string& word) {
    const std::map<std::string, Sizing> known{{"outline", Sizing::outline},
                                              {"outline-and-holes", Sizing::outline_and_holes},
                                              {"width", Sizing::width},
                                              {"height", Sizing::height}};
    const auto found = known.find(word);
    if (found == known.end())
        throw InputError({}, "sizing", "is '" + word + "'; accepted: outline, outline-and-holes, width, height");
    return found->second;
}

py::tuple size_design(const HeldDesign& design, const py::iterable& settings, const py::object& frequency,
                      const std::string& mode, const std::string& sizing, const py::object& progress) {
    SizeWish wish{positive_or_none(frequency, Kind::frequency, "target_frequency"), mode, sizing_of(sizing)};
    return told(design, settings, progress, [&](Watch& watch, const HeldDesign& d, const Changes& changes) {
        const DeviceAt device_at = d.devices(changes);
        const Device device = device_at({});
        if (wish.frequency_hz == 0.0) {
            if (!device.target.frequency)
                throw InputError({d.design.file(), 0}, "target.frequency",
                                 "is missing; give it, or target_frequency=\"1.2 MHz\"");
            wish.frequency_hz = device.target.frequency->si();
        }
        if (wish.mode.empty()) wish.mode = device.target.mode;
        return size(watch.checked(device_at), wish, *d.materials, watch.progressed(), watch.effort(0));
    });
}

py::tuple choose_design(const HeldDesign& design, const py::iterable& settings, int samples, unsigned threads,
                        bool robust, double least_chance, const py::object& progress) {
    return told(design, settings, progress, [&](Watch& watch, const HeldDesign& d, const Changes& changes) {
        std::atomic<std::size_t> asked = 0;
        double expected = 1.0;
        const DeviceAt device_at = [&, all = d.devices(changes)](const Changes& more) {
            watch.keep_going();
            watch.share(static_cast<double>(++asked) / expected);
            return all(more);
        };
        const unsigned cores = std::max(1U, std::thread::hardware_concurrency());
        const ChoiceJob job{device_at, *d.materials, samples,        threads > 0 ? threads : cores,
                            robust,    least_chance, watch.effort(0)};
        expected = static_cast<double>(expected_designs(job));
        return choose(job);
    });
}

py::tuple release_design(const HeldDesign& design, const py::object& progress) {
    return told(design, py::list(), progress, [](Watch& watch, const HeldDesign& d, const Changes&) {
        return release(d.device({}), *d.materials, watch.progressed());
    });
}

// NOLINTNEXTLINE(readability-function-size): one parameter for each of the Python function
py::tuple plan_design(const HeldDesign& design, const py::iterable& settings, double allowed_shift, double gas_share,
                      const std::vector<std::string>& aim,
                      const std::vector<std::pair<std::string, double>>& measured_q, double memory_limit,
                      const py::object& progress) {
    const PlanOptions options{allowed_shift, gas_share, aim, measured_q};
    return told(design, settings, progress, [&](Watch& watch, const HeldDesign& d, const Changes& changes) {
        Effort effort;
        effort.large = watch.effort(static_cast<std::size_t>(memory_limit));
        return plan(d.device(changes), *d.materials, options, watch.progressed(), effort);
    });
}

py::tuple light_design(const HeldDesign& design, const py::object& from, const py::object& to,
                       const py::object& progress) {
    LightOptions options;
    if (!from.is_none() || !to.is_none()) {
        options.range = WavelengthRange{positive_or_none(from, Kind::length, "wavelength"),
                                        positive_or_none(to, Kind::length, "wavelength")};
        if (options.range->to_m <= options.range->from_m)
            throw InputError({}, "wavelength", "does not rise; accepted: two lengths (from, to)");
    }
    return told(design, py::list(), progress, [&](Watch& watch, const HeldDesign& d, const Changes&) {
        options.keep_going = [effort = watch.effort(0)] { effort.keep_going(); };
        return light(d.device({}), *d.materials, options);
    });
}

py::tuple cavity_design(const HeldDesign& design, const py::iterable& settings, double memory_limit,
                        const py::object& progress) {
    return told(design, settings, progress, [&](Watch& watch, const HeldDesign& d, const Changes& changes) {
        return see_cavity(d.device(changes), *d.materials, watch.progressed(),
                          watch.effort(static_cast<std::size_t>(memory_limit)));
    });
}

py::tuple film_of(const std::string& wafer, const std::shared_ptr<MaterialTable>& materials, const HeldDesign* design,
                  const std::string& mode, const py::object& progress) {
    return as_tuple(watched(progress, [&](Watch&) {
        const Wafer read = read_wafer(wafer, *materials);
        WaferFilm film = film_of_wafer(read, *materials);
        if (design != nullptr && !read.dies.empty()) add_forecast(read, design->device({}), mode, film);
        return texts_of(film);
    }));
}

py::tuple compare_designs(const std::vector<std::pair<HeldDesign, MeasuredFile>>& devices, const py::dict& reading,
                          std::optional<int> modes, bool stress_prior, const py::object& progress) {
    const ReadingChoice choice = reading_from(reading);
    return as_tuple(watched(progress, [&](Watch& watch) {
        std::vector<DeviceInput> inputs;
        for (const auto& [design, measured] : devices)
            inputs.push_back({design.device({}), read_named(measured, choice)});
        return texts_of(compare(inputs, *devices.front().first.materials, {modes, stress_prior, 1, watch.effort(0)},
                                watch.progressed()));
    }));
}

py::tuple compare_cavity(const HeldDesign& design, const MeasuredFile& measured, const py::dict& reading,
                         const py::iterable& settings, const py::object& progress) {
    const ReadingChoice choice = reading_from(reading);
    return told(design, settings, progress, [&](Watch& watch, const HeldDesign& d, const Changes& changes) {
        return fit_cavity(d.device(changes), *d.materials, read_named(measured, choice), watch.progressed(),
                          watch.effort(0));
    });
}

py::tuple material_table(const std::shared_ptr<MaterialTable>& materials, const std::string& row) {
    return as_tuple({written([&](std::ostream& out) { write_json(out, *materials, row); }),
                     written([&](std::ostream& out) { write_materials(out, *materials, row); })});
}

}  // namespace

void add_tasks(py::module_& module) {
    module.def("check", &check_design, py::arg("design"));
    module.def("predict", &predict_design, py::arg("design"), py::arg("settings"), py::arg("near"), py::arg("within"),
               py::arg("memory_limit"), py::arg("stress"), py::arg("progress"));
    module.def("size", &size_design, py::arg("design"), py::arg("settings"), py::arg("frequency"), py::arg("mode"),
               py::arg("sizing"), py::arg("progress"));
    module.def("choose", &choose_design, py::arg("design"), py::arg("settings"), py::arg("samples"), py::arg("threads"),
               py::arg("robust"), py::arg("least_chance"), py::arg("progress"));
    module.def("release", &release_design, py::arg("design"), py::arg("progress"));
    module.def("plan", &plan_design, py::arg("design"), py::arg("settings"), py::arg("allowed_shift"),
               py::arg("gas_share"), py::arg("aim"), py::arg("measured_q"), py::arg("memory_limit"),
               py::arg("progress"));
    module.def("light", &light_design, py::arg("design"), py::arg("from_"), py::arg("to"), py::arg("progress"));
    module.def("cavity", &cavity_design, py::arg("design"), py::arg("settings"), py::arg("memory_limit"),
               py::arg("progress"));
    module.def("film", &film_of, py::arg("wafer"), py::arg("materials"), py::arg("design"), py::arg("mode"),
               py::arg("progress"));
    module.def("compare", &compare_designs, py::arg("devices"), py::arg("reading"), py::arg("modes"),
               py::arg("stress_prior"), py::arg("progress"));
    module.def("compare_cavity", &compare_cavity, py::arg("design"), py::arg("measured"), py::arg("reading"),
               py::arg("settings"), py::arg("progress"));
    module.def("materials", &material_table, py::arg("materials"), py::arg("row"));
}

}  // namespace tymbal::python
