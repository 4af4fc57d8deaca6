#include "read_cavity.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/nearest.h"
#include "tymbal/cavity/mirrors.h"

#include "../base/plain.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

constexpr Range part{0.0, 0.5, "0 to 0.5"};

void require_light(const DesignSection& s, const std::optional<Readout>& readout) {
    if (!readout) s.table().refuse("length", "needs a [readout] with the wavelength of the light");
    if (readout->below != "none")
        s.table().refuse("length",
                         "cannot be: light passes a membrane between two mirrors, and '" + readout->below +
                             "' lies under it; remove one of [cavity] and [release], or say readout.below = \"none\" "
                             "where the chip has a hole right through");
}

/// Which of a key's words stands there; empty where a quantity begins or nothing stands.
std::string word_of(const DesignSection& s, const char* key, const std::vector<std::string>& words,
                    const char* accepted) {
    if (!s.has(key)) return "";
    std::string text = s.text(key);
    if (std::find(words.begin(), words.end(), text) != words.end()) return text;
    if (text.find_first_of("+-.0123456789") == 0) return "";
    s.table().refuse(key, "is '" + text + "'; accepted: " + accepted + suggestion(text, words));
}

constexpr const char* places = "\"middle\", \"end\" (the film is the end mirror) or a length from the input mirror";
constexpr const char* detunings = "\"best\" or laser minus cavity as a frequency, negative for cooling";

void read_place(const DesignSection& s, double wavelength_m, Cavity& cavity) {
    const std::string word = word_of(s, "position", {"middle", "end"}, places);
    cavity.film_is_end = word == "end";
    if (cavity.film_is_end) {
        cavity.film_from_input = cavity.length;
        return;
    }
    const bool middle = word == "middle" || !s.has("position");
    cavity.film_from_input = middle ? 0.5 * cavity.length : s.plain<Length>("position", ranges::positive);
    const double arm = std::min(cavity.film_from_input.si(), cavity.length.si() - cavity.film_from_input.si());
    if (arm < wavelength_m && middle)
        s.table().refuse("length",
                         "leaves the film less than a wavelength from a mirror; accepted: two wavelengths and more");
    if (arm < wavelength_m)
        s.table().refuse("position",
                         std::string("leaves the film less than a wavelength from a mirror, or beyond it; accepted: ")
                             .append(places));
}

/// Old designs give the finesse of two equal mirrors alone.
void read_finesse(const DesignSection& s, Cavity& cavity) {
    for (const char* other : {"input_transmission", "end_transmission", "loss"})
        if (s.has(other))
            s.table().refuse("finesse", std::string("cannot stand beside ") + other +
                                            ": it stands for all mirror losses, split evenly; remove one of the two");
    const double finesse = s.plain<Ratio>("finesse", {10.0, 1e9, "10 to 1e9"}).si();
    cavity.input_transmission = constants::pi / finesse;
    if (!cavity.film_is_end) cavity.end_transmission = constants::pi / finesse;
}

void read_mirrors(const DesignSection& s, Cavity& cavity) {
    if (s.has("finesse")) return read_finesse(s, cavity);
    if (!s.has("input_transmission"))
        s.table().missing("input_transmission", "the part of the power that the input mirror passes, such as 100e-6");
    cavity.input_transmission = s.plain<Ratio>("input_transmission", {1e-9, 0.5, "1e-9 to 0.5"}).si();
    if (s.has("end_transmission")) {
        if (cavity.film_is_end)
            s.table().refuse("end_transmission",
                             "has no mirror: the film is the end mirror; remove it, or put the "
                             "film elsewhere by cavity.position");
        cavity.end_transmission = s.plain<Ratio>("end_transmission", part).si();
    }
    if (s.has("loss")) cavity.loss = s.plain<Ratio>("loss", part).si();
}

/// The spot at the film: as given, by the mirrors' curvature, or the readout's.
Length read_waist(const DesignSection& s, const Readout& readout, const Cavity& cavity) {
    constexpr Range curvature{1e-5, 1e6, "10 um to 1e6 m"};
    const auto input = s.optional<Length>("input_radius", curvature), end = s.optional<Length>("end_radius", curvature);
    if (end && cavity.film_is_end)
        s.table().refuse("end_radius", "has no mirror: the film is the end mirror, and flat; remove it");
    std::optional<Length> curved;
    if (input || end) {
        const auto metres = [](const std::optional<Length>& l) { return l ? std::optional(l->si()) : std::nullopt; };
        const Resonator resonator{cavity.length.si(), metres(input), metres(end)};
        const auto spot = spot_radius_m(resonator, readout.wavelength.si(), cavity.film_from_input.si());
        if (!spot)
            s.table().refuse(input ? "input_radius" : "end_radius",
                             "makes an unstable resonator: (1 - L/R1)(1 - L/R2) is " + plain(stability(resonator), 3) +
                                 " and must lie between 0 and 1; change a radius of curvature or cavity.length");
        curved = Length::from_si(*spot);
    }
    return s.optional<Length>("waist", ranges::lateral).value_or(curved.value_or(readout.spot_radius));
}

std::optional<Frequency> read_detuning(const DesignSection& s, const Cavity& cavity) {
    if (!s.has("detuning") || !word_of(s, "detuning", {"best"}, detunings).empty()) return std::nullopt;
    const Frequency detuning = s.plain<Frequency>("detuning", ranges::any);
    const double most_hz = 0.25 * constants::light_speed_m_per_s / cavity.length.si();
    if (std::abs(detuning.si()) > most_hz)
        s.table().refuse("detuning", std::string("is more than half of the spacing of the cavity's modes, c/(4 L) = ")
                                         .append(plain(1e-6 * most_hz, 3))
                                         .append(" MHz: another mode is nearer; accepted: ")
                                         .append(detunings));
    return detuning;
}

}  // namespace

Cavity read_cavity(const DesignSection& s, const std::optional<Readout>& readout) {
    require_light(s, readout);
    Cavity cavity;
    cavity.length = s.plain<Length>("length", {1e-6, 1e4, "1 um to 1e4 m"});
    read_place(s, readout->wavelength.si(), cavity);
    read_mirrors(s, cavity);
    cavity.waist = read_waist(s, *readout, cavity);
    cavity.detuning = read_detuning(s, cavity);
    cavity.power = s.optional<Power>("power", {0.0, 100.0, "0 to 100 W"});
    if (!cavity.power) cavity.power = readout->power;
    return cavity;
}

}  // namespace tymbal
