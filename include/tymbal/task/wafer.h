// From a wafer's shape and thickness map to the film of a design: stress with its uncertainty, and a forecast per die.
#pragma once

#include "tymbal/film/stoney.h"
#include "tymbal/geometry/outline.h"
#include "tymbal/task/predict.h"

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

/// One place of the wafer where the film was measured.
struct Die {
    std::string name;
    Point at;  ///< m from the wafer's centre
    Sourced<Length> thickness;
    std::optional<Sourced<Ratio>> index;
    std::optional<Sourced<Stress>> stress;  ///< where it was found locally; else the wafer's
};

struct Wafer {
    std::string title;
    std::string sha256;
    std::string film_material;
    std::string wafer_material;
    std::string shape_given_as;  ///< "bow", "radius" or "curvature"
    bool surface_111 = false;
    std::optional<Sourced<Ratio>> index;
    double index_wavelength_m = 0.0;  ///< that the indices are for
    WaferBend bend;
    std::vector<Die> dies;
};

struct DieForecast {
    Die die;
    double frequency_hz = 0.0;
    double frequency_std_hz = 0.0;  ///< all inputs; most of it is common to all dies of the wafer
    std::optional<double> chance;   ///< to lie inside limits.frequency
};

struct WaferFilm {
    std::string title;
    std::string sha256;
    StressResult stress;
    double biaxial_modulus_pa = 0.0;
    double curvature_before_per_m = 0.0, curvature_after_per_m = 0.0;
    std::string shape_given_as;
    double first_order_error = 0.0;  ///< relative, left out by the thin-film relation
    double thickness_m = 0.0;        ///< for a design: mean of the dies, or as given
    double thickness_std_m = 0.0;    ///< scatter of the dies included
    std::optional<double> index, index_std;
    double index_wavelength_m = 0.0;
    std::string mode;  ///< label the forecast is for
    std::vector<DieForecast> forecast;
    std::vector<SourceLine> sources;  ///< of the stress
    Warnings warnings;
};

/// @throws NoAnswer when the films of the two states cancel
[[nodiscard]] WaferFilm film_of_wafer(const Wafer& wafer, const Materials& materials);

/// Does the wafer's index hold for the design's light (within two per cent of wavelength)?
[[nodiscard]] bool index_fits(const WaferFilm& film, const Device& device);

/// The design with this film: thickness and stress replaced, dated at room temperature.
[[nodiscard]] Device with_film(const Device& device, const WaferFilm& film);

/// Frequency of one mode on each die, from the mode's own sensitivities to thickness and stress.
/// @param label  empty: the lowest mode. @throws NoAnswer when no mode has it
void add_forecast(const Wafer& wafer, const Device& device, const std::string& label, WaferFilm& film);

}  // namespace tymbal
