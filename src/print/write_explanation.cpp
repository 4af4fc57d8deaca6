#include "tymbal/print/write_table.h"

#include "../text/figures.h"
#include "explained.h"

namespace tymbal {

namespace {

/// What the figures outside the loss budget rest on; the loss terms carry their own words.
constexpr Explained averaged_bases[] = {
    {"effective in-plane stiffness",
     "finite differences on one periodic cell with its hole, free edge, two grids and their limit",
     "classical homogenisation; checked against Slot (1972) and the Hashin-Shtrikman bound"},
    {"relaxed stress and tension",
     "div(C : (strain + stress_0 (1-nu)/E)) = 0 with the outline fixed, finite differences",
     "plane stress elasticity; deposition strain as eigenstrain"},
    {"largest stress at averaged holes",
     "tangential stress round a hole of an endless lattice under the mean tension of the hole's own cell; error: a "
     "tenth for "
     "holes at the border of the field, the cell's own, and the change from a grid of half as many cells",
     "classical homogenisation; checked against finite elements with every hole"},
    {"frequency",
     "D lap^2 w - div(N grad w) = m omega^2 w, w = dw/dn = 0 on the outline, at least three grids and their limit; "
     "thin clamped layers by the series d = delta - delta^3 (5 k^2 + q^2)/6, delta = sqrt(D/N)",
     "Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells (from memory); series derived"},
    {"dilution, its band",
     "from how both parts of the bending move with the finest grids; half of the layer's energy within three cells of "
     "corners that turn into the film and of openings; curvature at free corners followed to sqrt(D/N)",
     "corner exponents of membranes, Strang and Fix, ch. 8 (from memory); shares held against plate solutions"},
};

/// The same of the resolved model.
constexpr Explained resolved_bases[] = {
    {"relaxed stress and tension",
     "div(C : (strain + stress_0 (1-nu)/E)) = 0 with the outline fixed and the holes' edges free, finite differences "
     "on "
     "cells that count by their exact share of film; parts without tension keep a thousandth of the deposited one",
     "plane stress elasticity; checked against Lame's disc and against finite elements in SciPy"},
    {"largest stress",
     "von Mises stress along free edges, displacement gradients from a parabola fitted to the film near by; error: "
     "twice "
     "the change with the finest grid, and the fit's scatter",
     "local least squares; checked against Lame's disc"},
    {"frequency",
     "-div(N grad w) = m omega^2 w, w = 0 on the outline, at least three grids and their limit; bending added to first "
     "order: clamped layer of width sqrt(D/N) and curvature elsewhere",
     "membrane with its full tension, Rayleigh's principle; checked against finite elements in SciPy"},
    {"bending away from the outline",
     "int D ((w_xx + w_yy)^2 - 2 (1-nu)(w_xx w_yy - w_xy^2)) dA, derivatives from a cubic fitted to the film within "
     "two "
     "spacings; converges in first order",
     "recovery by patches, Zienkiewicz and Zhu, Int. J. Numer. Meth. Eng. 33, 1331 (1992) (from memory)"},
    {"dilution, its band",
     "from how both parts of the bending move with the finest grids; half of the layer's energy within three cells of "
     "corners that turn into the film and of openings; curvature at free corners followed to sqrt(D/N)",
     "corner exponents of membranes, Strang and Fix, ch. 8 (from memory); shares held against plate solutions"},
};

/// Of films that are solved as plates in tension.
constexpr Explained plate_bases[] = {
    {"relaxed stress and tension",
     "div(C : (strain + stress_0 (1-nu)/E)) = 0 with the outline fixed and other edges free: energies of quadratic "
     "splines on a uniform grid, integrated exactly over the film in cells that edges cut",
     "plane stress elasticity; checked against Lame's disc and against finite elements in SciPy"},
    {"largest stress",
     "von Mises stress along free edges from the strain along them, elsewhere as solved. Error: twice what the grids "
     "leave, and the stress across a free edge, which should be none",
     "checked against Lame's disc"},
    {"frequency",
     "D lap^2 w - div(N grad w) = m omega^2 w, w = dw/dn = 0 on the outline, edges of openings free; where the grid "
     "does not resolve the clamped layer a rotational spring of sqrt(D N) stands for it. Three grids and more; films "
     "with sharp corners by their limit under the 1.3th power of the spacing",
     "Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells (from memory); checked against a plate equation "
     "along the radius of discs with free holes"},
    {"bending, dilution",
     "R_b = w'(D dK/dD)w / w'Kw, dilution = 1/R_b; error: what the grids leave, and up to 6 % where the outline cuts "
     "cells that are wide against sqrt(D/N)",
     "definition; checked against closed strings, rings and discs and against etch fronts as plates"},
};

/// And of both.
constexpr Explained figure_bases[] = {
    {"frequency +- inputs", "d ln f = 1/2 (w'dK w - lambda w'dM w)/(lambda w'M w), inputs taken as independent",
     "Rayleigh's principle"},
    {"effective mass", "int m w^2 dA with the largest |w| on the film set to one", "definition"},
    {"deflection per pressure", "largest deflection on the film, pressure on the film that is there", "definition"},
    {"zero-point motion", "sqrt(hbar/(2 m omega))", "definition"},
    {"n_th, thermal occupancy", "kB T/(hbar omega)", "definition, high-temperature limit"},
    {"force noise", "sqrt(4 kB T m omega/Q), one-sided", "fluctuation-dissipation theorem"},
    {"width", "f/Q, full width at half maximum of the power spectrum", "definition"},
    {"reflectivity",
     "normal incidence, film alone: layers by characteristic matrices; holes by Fourier modes of their cell, by an "
     "averaged index below 1/25 of the wavelength, by rays above 4 wavelengths",
     "Born and Wolf, section 1.6; Li, J. Opt. Soc. Am. A 14, 2758 (1997); two-dimensional Maxwell Garnett (all from "
     "memory)"},
    {"coupling g0/2pi",
     "|d(frequency)/d(position)| at the film's best place times x_zpf times the spot's mean of the mode, see cavity "
     "--explain",
     "Jayich et al., New J. Phys. 10, 095008 (2008) (from memory)"},
    {"static stiffness", "force of a Gaussian load over the spot-weighted deflection, same operators", "definition"},
};

}  // namespace

void write_explanation(std::ostream& out, const Prediction& p) {
    out << figures_heading;
    if (p.by_splines)
        explain_figures(out, plate_bases);
    else if (p.model == "resolved")
        explain_figures(out, resolved_bases);
    else
        explain_figures(out, averaged_bases);
    explain_figures(out, figure_bases);
    out << "\nLOSS TERMS OF THE LOWEST MODE\n";
    for (const LossTerm& term : p.modes.front().losses.terms) {
        std::string head = term.name + ": ";
        head += term.quality ? "Q = " + rough(term.quality->value) + " (" + rough(term.quality->low) + " to " +
                                   rough(term.quality->high) + "), "
                             : std::string("no number, ");
        explain(out, head + to_string(term.trust), term.formula, term.source, term.note);
    }
    explain_inputs(out, p.sources);
}

}  // namespace tymbal
