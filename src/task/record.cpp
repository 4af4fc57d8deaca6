#include "tymbal/task/record.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/boundary.h"

#include "../base/plain.h"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <numbers>

namespace tymbal {

namespace {

void put(RecordEntry& e, const char* key, double value, double deviation, const char* unit) {
    if (!std::isfinite(value)) return;
    std::string text = plain(value, 6);
    if (deviation > 0.0) text.append(" +- ").append(plain(deviation, 3));
    RecordedValue v{key,
                    text.append(unit == std::string("1") ? "" : " ").append(unit == std::string("1") ? "" : unit),
                    value,
                    {},
                    unit};
    if (deviation > 0.0) v.deviation = deviation;
    e.values.push_back(std::move(v));
}

void put_word(RecordEntry& e, const char* key, const std::string& text) {
    if (!text.empty()) e.values.push_back({key, text, {}, {}, ""});
}

template <class Q>
void put(RecordEntry& e, const char* key, const Sourced<Q>& value, const char* unit) {
    put(e, key, value.si(), value.deviation_si(), unit);
}

/// Hole area over cell area; a list has no cell.
std::optional<double> fill_factor(const HolePattern& holes) {
    const double d = holes.size.si(), p = holes.pitch.si(), root3 = std::numbers::sqrt3;
    const double hole = holes.shape == HoleShape::circle   ? 0.25 * std::numbers::pi * d * d
                        : holes.shape == HoleShape::square ? d * d
                                                           : 0.5 * root3 * d * d;
    switch (holes.lattice) {
        case Lattice::square: return hole / (p * p);
        case Lattice::triangular: return hole / (0.5 * root3 * p * p);
        case Lattice::honeycomb: return hole / (0.75 * root3 * p * p);
        case Lattice::list: return std::nullopt;
    }
    return std::nullopt;
}

const char* shape_name(const Outline& outline) {
    constexpr const char* names[] = {"rectangle", "disc", "ring", "polygon", "strip", "hole-field"};
    return names[outline.index()];
}

/// What all devices of a chip share.
void put_shared(RecordEntry& e, const Device& d) {
    put_word(e, "film.material", d.film.material);
    if (d.process) {
        put(e, "process.lithography_bias", d.process->lithography_bias, "m");
        put(e, "process.etch_bias", d.process->etch_bias, "m");
    }
    put(e, "film.stress", d.film.stress, "Pa");
    if (!d.film_loss) put(e, "film.thickness", d.film.thickness, "m");  // else it is what the bath leaves
    if (!d.release) return;
    if (d.release->etchant) put_word(e, "release.etchant", d.release->etchant->row);
    if (const auto undercut = undercut_of(*d.release, d.film.material)) put(e, "release.undercut", *undercut, "m");
    if (d.release->time) put(e, "release.time", *d.release->time, "s");
    if (const auto pair = etch_pair(*d.release, d.film.material)) put(e, "release.rate", pair->sacrificial, "m/s");
}

void put_holes(RecordEntry& e, const Device& d) {
    const HoleSize wet = d.release ? wall_recession(*d.release, d.film.material) : HoleSize{};
    put(e, "hole_width", d.holes->size, "m");
    if (d.holes->lattice != Lattice::list) put(e, "holes.pitch", d.holes->pitch, "m");
    if (const auto fill = fill_factor(*d.holes)) put(e, "fill_factor", *fill, 0.0, "1");
    try {
        put(e, "drawn_width", hole_sizes(d.holes->size, d.process, wet).drawn.width, 0.0, "m");
    } catch (const NoAnswer&) {
        e.note = "a step of the process leaves no hole: no drawn width";
    }
}

RecordEntry drawn_device(const ChipDevice& device) {
    RecordEntry e;
    e.step = "drawn";
    e.device = device.name;
    const Box box = bounding_box(boundary(device.device.outline));
    put_word(e, "outline.shape", shape_name(device.device.outline));
    put(e, "outline_size", std::min(box.high.x - box.low.x, box.high.y - box.low.y), 0.0, "m");
    put(e, "outline_width", box.high.x - box.low.x, 0.0, "m");
    put(e, "outline_height", box.high.y - box.low.y, 0.0, "m");
    if (device.device.holes) put_holes(e, device.device);
    return e;
}

}  // namespace

ChipDesign chip_of(const Device& device) {
    ChipDesign out;
    out.title = device.title;
    out.file = device.file;
    out.sha256 = device.sha256;
    out.devices.push_back({std::filesystem::path(device.file).stem().string(), device, {}, device.file});
    return out;
}

RecordAddition drawn(const ChipDesign& chip, const std::string& name) {
    RecordAddition out;
    out.chips.push_back({name, chip.title, chip.file, chip.sha256, {}});
    RecordEntry shared;
    shared.step = "drawn";
    if (!chip.devices.empty()) put_shared(shared, chip.devices.front().device);
    out.entries.push_back(std::move(shared));
    for (const ChipDevice& d : chip.devices) {
        out.chips.front().devices.push_back({d.name, d.position.x, d.position.y, d.design_file});
        out.entries.push_back(drawn_device(d));
    }
    for (RecordEntry& e : out.entries) e.chip = name;
    return out;
}

RecordEntry predicted(const Prediction& p) {
    RecordEntry e;
    e.step = "predicted";
    e.note = "model " + p.model;
    if (p.modes.empty()) return e;
    const PredictedMode& lowest = p.modes.front();
    put_word(e, "mode", lowest.mode.label);
    put(e, "frequency", lowest.mode.frequency_hz, lowest.mode.frequency_std_hz, "Hz");
    put(e, "q", lowest.losses.total.value, 0.0, "1");
    return e;
}

RecordEntry patterned(const Pattern& p) {
    RecordEntry e;
    e.step = "patterned";
    e.note = "label '" + p.label + "', " + std::to_string(p.hole_count) + " holes";
    put(e, "drawn_width", p.figure.width_m, 0.0, "m");
    return e;
}

RecordEntry planned(const ReleaseReport& r) {
    RecordEntry e;
    e.step = "planned";
    e.note = "what the release is expected to be";
    put_word(e, "drying", r.chosen_drying);
    if (r.front && r.front->undercut) put(e, "undercut", *r.front->undercut, "m");
    if (!r.etch) return e;
    put_word(e, "bath", r.etch->etchant);
    put(e, "time", r.etch->time_s, r.etch->time_deviation_s, "s");
    put(e, "last_oxide_gone", r.etch->clear_s, 0.0, "s");
    return e;
}

RecordEntry fitted(const Comparison& result, std::size_t device) {
    RecordEntry e;
    e.step = "fitted";
    for (const FittedValue& v : result.values)
        if (!v.device || *v.device == device) put(e, v.name.c_str(), v.fitted, v.deviation, v.unit.c_str());
    for (const ComparedPeak& peak : result.devices[device].peaks)
        if (peak.mode == 1) {
            put(e, "frequency", peak.peak.frequency_hz, peak.peak.deviation_hz, "Hz");
            put_word(e, "mode", peak.label);
            break;
        }
    for (const std::string& sentence : result.verdict) e.note.append(e.note.empty() ? "" : " ").append(sentence);
    return e;
}

}  // namespace tymbal
