// A film in vacuum as the orders that cross a gap see it, and what comes back over the gap from a substrate.
#pragma once

#include "scattering.h"

#include <vector>

namespace tymbal::fourier {

/// Tangential electric fields of the kept unknowns at the film's faces; one column for each incident field.
struct FilmPorts {
    std::vector<Eigen::Index> kept;  ///< of the cell's unknowns; the zero order comes first
    Eigen::MatrixXcd admittance;     ///< of vacuum
    Eigen::VectorXcd decay;          ///< i k0 times the normal index: fields go as exp(decay z)
    Eigen::VectorXcd front, down;    ///< reflected and passed on, for light of amplitude one from above
    Eigen::MatrixXcd back, up;       ///< the same for each unknown from below
};

/// @param film  in vacuum
/// @param least_gap  in the cell's unit; unknowns that keep less than 1e-12 of their power over it and back are left
/// out
[[nodiscard]] FilmPorts film_ports(const CellMatrices& cell, const Layers& film, const Light& light, FieldAlong field,
                                   double least_gap);

/// Field that the surface of a half-space reflects, per kept unknown that reaches it.
[[nodiscard]] Eigen::MatrixXcd surface_of(const CellMatrices& cell, const FilmPorts& film, Complex permittivity,
                                          const Light& light);

struct OverGap {
    Complex r, slope;         ///< zero order and its derivative by the gap
    double absorption = 0.0;  ///< left in the film, of the incident power
};

/// @param surface  of the half-space below the gap
[[nodiscard]] OverGap over_gap(const FilmPorts& film, const Eigen::MatrixXcd& surface, double gap);

}  // namespace tymbal::fourier
