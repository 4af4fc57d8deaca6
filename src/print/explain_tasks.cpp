// What --explain says of the figures that the commands beside predict add to it.
#include "explained.h"

#include "tymbal/print/write_cavity.h"
#include "tymbal/print/write_cavity_fit.h"
#include "tymbal/print/write_choice.h"
#include "tymbal/print/write_compare.h"
#include "tymbal/print/write_light.h"
#include "tymbal/print/write_pattern.h"
#include "tymbal/print/write_plan.h"
#include "tymbal/print/write_release.h"
#include "tymbal/print/write_size.h"
#include "tymbal/print/write_wafer.h"

namespace tymbal {

namespace {

constexpr const char* elasticity = "finite differences on the released outline, see predict --explain";

constexpr Explained release_words[] = {
    {"hole sizes", "drawn = released - 2 (lithography + etch bias + film lost at the wall), deviations in squares",
     "definition: every step takes twice its growth per edge off"},
    {"front, area set free, last oxide pillar",
     "union of the holes grown by the undercut, exact lines and arcs; last pillar: local maxima of the distance to the "
     "nearest hole",
     "geometry; exact for circles, where they are Voronoi vertices that lie between their holes"},
    {"time for the undercut",
     "front x beyond the receding edge: x + x^2/slow_down = rate t; without slow_down x = (rate - film rate) t",
     "Deal and Grove, J. Appl. Phys. 36, 3770 (1965), applied to oxide under a film by Monk, Soane and Howe, J. "
     "Electrochem. Soc. 141, 264 (1994); both from memory"},
    {"film lost from below", "mean = int_0^u A(u') t'(u') du' / A(u) times the film's rate, A: area set free at u'",
     "integration by parts of the time since the front has passed; Simpson's rule on eight intervals"},
    {"window",
     "opens when the last oxide pillar clears, closes at the first limit; two deviations of the rates to either side",
     "definition"},
    {"lowest frequency, largest stress", "as predict, one grid; its error against a coarser grid", elasticity},
    {"collapses above",
     "the least gamma (cos a + cos b) = S at which K w = S a/(g - w) (local meniscus pressure) or K w = S a/g (one "
     "pressure) lets the film touch, both faces wetted fully; stretching left out (safe side)",
     "capillary pressure of a meniscus, followed past the fold; S L^2/(N g^2) = 4.454 on the square, S R^2/(N g^2) = "
     "1.310 "
     "on the disc [computed]"},
    {"margin", "critical over actual surface tension of the liquid", "definition"},
    {"adhesion margin",
     "largest adhesion below 1/2 g^2 dC/dA at every size of the touching part, C: force per deflection of that part",
     "energy freed by a step of detachment [derived]; exact on the disc: e^2 N g^2/(2 R^2)"},
};

constexpr Explained size_words[] = {
    {"size",
     "ln f(scale) = ln f_wanted, full model at each size; Newton's step by the mode's own sensitivity, halved "
     "interval where that leaves the bracket",
     "root finding; every answer is solved again as it is written, lengths rounded to 0.1 nm"},
    {"sensitivity", "d ln f / d ln input = 1/2 (w'dK w - lambda w'dM w)/(lambda w'M w)", "Rayleigh's principle"},
    {"tolerance", "window / |sensitivity|, each input alone", "first order"},
    {"to draw", "released size less twice wet growth and biases; the field less twice the undercut",
     "definition, see release"},
    {"frequency, inputs, grid error", "as predict", "see predict --explain"},
};

constexpr Explained light_words[] = {
    {"reflected, transmitted, absorbed",
     "zero order of Fourier modes of the cell, products factorised along the holes' normals; two truncations give "
     "value "
     "and error; without holes characteristic matrices",
     "Li, J. Opt. Soc. Am. A 13, 1870 (1996) and 14, 2758 (1997); Schuster et al., J. Opt. Soc. Am. A 24, 2880 (2007) "
     "(from memory, re-derived)"},
    {"over the gap",
     "film, gap and substrate as one problem, all orders; lines: nearest pole of the whole, moved against that of the "
     "film alone at the same truncation (reach 4 and 5)",
     "Li, J. Opt. Soc. Am. A 13, 1024 (1996) (from memory, re-derived)"},
    {"line, width, Q", "pole of a rational fit of the reflection; omega = 2 pi c/wavelength (1 - i/(2 Q))",
     "Nakatsukasa, Sete and Trefethen, SIAM J. Sci. Comput. 40, A1494 (2018) (from memory)"},
    {"most R at", "largest zero order within a width and a half of the line, of the fitted spectrum", "definition"},
    {"slopes, sigma", "pole of lattices with 1/1000 less and more; sigma^2 = sum (slope deviation)^2",
     "definition; deviations are independent"},
    {"chance to reflect", "share of 256 films drawn from the stated deviations whose R is at least the limit",
     "Halton, Numer. Math. 2, 84 (1960); Box and Muller (1958) (from memory)"},
    {"spot", "Gaussian beam: mean of |r|^2, and |mean of r|^2, over its rays", "Fourier optics [derived]"},
};

constexpr Explained plan_words[] = {
    {"reflected, slope",
     "R = |r + t^2 u/(1 - r' u)|^2, r and t of the film alone as predict sees it, u = rho exp(2 i k g) from the "
     "substrate; dR/dg in closed form. With r, t matrices over the orders where more than 1e-4 of the first is left "
     "over the gap and back, exp(-2 K g)",
     "Born and Wolf, Principles of Optics, section 1.6 (from memory, re-derived); derivative derived"},
    {"window", "f -+ 2 sqrt(inputs^2 + grid error^2)", "definition"},
    {"width, res.bw, record",
     "width f/Q, full width at half maximum of power; res.bw a fifth of it; record 1.5/res.bw with a Hann window",
     "definition; Hann's noise bandwidth is 1.5 bins"},
    {"sweep", "window in steps of half a width, three amplitude times Q/(pi f) at each", "definition"},
    {"decay, ring-up", "20 log10(e) pi f/Q dB/s; amplitude time Q/(pi f), of energy half of it", "definition"},
    {"k3",
     "2 int strain : C : (strain + strain(u)) dA, strain = (w_x^2, w_y^2, 2 w_x w_y)/2, u balances it in the plane",
     "strain of a deflected film to second order; in-plane problem solved on the grid [derived]"},
    {"largest drive amplitude", "(3/8)(k3/k1) a^2 = 1/(2 Q)",
     "Landau and Lifshitz, Mechanics, section 28 (from memory, re-derived)"},
    {"thermal, peak", "sqrt(kB T/(m omega^2)); peak sqrt(4 kB T Q/(m omega^3)), one-sided", "equipartition [derived]"},
    {"of shot noise", "peak over sqrt(2 h nu/P), one-sided, P the detected power", "shot noise of light (definition)"},
    {"overlap, best spot", "mean of the mode over the spot's intensity; best: largest least |overlap| on the raster",
     "definition"},
    {"temperature", "kappa h lap T - 8 eps sigma T0^3 T + q = 0, T = 0 at the rim; holes: kappa (1 - open)/(1 + open)",
     "heat conduction; Maxwell's relation, upper bound of Hashin, J. Mech. Phys. Solids 13, 119 (1965) (from memory, "
     "re-derived)"},
    {"shift by light", "df/f = int dN : grad w grad w dA/(2 omega^2 int m w^2 dA), dN from the expansion, rim fixed",
     "first order in the tension [derived]"},
    {"pressure limit", "the pressure at which gas drag makes its share of the whole loss",
     "free molecules: Christian, Vacuum 16, 175 (1966) (from memory, re-derived)"},
    {"trapped gas",
     "f (sqrt(1 + p/(rho h g omega^2)) - 1) where no gas leaves within a period; nothing when all of it escapes, about "
     "three times that for mirror-like walls; damping by the linear isothermal Reynolds equation",
     "Blech, J. Lubr. Technol. 105, 615 (1983); Veijola et al., Sens. Actuators A 48, 239 (1995) (citations read, "
     "formulas from memory and re-derived)"},
    {"chip modes, Q radiation",
     "thin plate, 2-D finite differences; Q = 2 omega W/(F^2 Re Y), F = omega^2 int m w dA, Re Y between the chip's "
     "resonances and its quiet places",
     "Skudrzyk, J. Acoust. Soc. Am. 67, 1105 (1980); Brantley, J. Appl. Phys. 44, 534 (1973) (from memory)"},
    {"modes expected", "A f^2 pi/c^2 - P f/(2 c)",
     "Weyl, Math. Ann. 71, 441 (1912); Ivrii, Funct. Anal. Appl. 14, 98 (1980) (from memory)"},
};

constexpr Explained cavity_fit_words[] = {
    {"spring and damping",
     "f = f0 + g0^2 S(Delta, kappa), width = w0 + g0^2 D(Delta, kappa); S and D from "
     "A-+ = g^2 kappa/(kappa^2/4 + (Delta +- Omega)^2)",
     "Marquardt et al., Phys. Rev. Lett. 99, 093902 (2007), from memory; first order in g/kappa"},
    {"fit", "least squares, linear in f0, w0 and g0^2; ln kappa searched for, the design's counts as a measurement",
     "variable projection; weights by stated deviations, else by the scatter of frequencies and of widths"},
    {"what the design knows of kappa",
     "root of its least times its largest over the travel, within their spread and 0.3 of ln kappa for the mirrors",
     "common practice, no published source"},
    {"photons",
     "n_cav = P kappa_in/(hbar omega (Delta^2 + kappa^2/4)), kappa_in/kappa: mean and spread over the travel",
     "Aspelmeyer et al., Rev. Mod. Phys. 86, 1391 (2014), from memory"},
};

constexpr Explained cavity_words[] = {
    {"shift, coupling, kappa",
     "complex root of 1 - r a - r' b + (r r' - t^2) a b = 0, a and b: round trips through the arms, r, r', t: film's "
     "layers with the index averaged over the holes; derivatives in closed form",
     "Jayich et al., New J. Phys. 10, 095008 (2008) (from memory, re-derived); plane waves at normal incidence, one "
     "transverse mode"},
    {"kappa of film and input mirror", "share of the power that the mode loses there", "energy balance [derived]"},
    {"finesse", "mode spacing c/(2 L_eff) over the mean kappa, L_eff with the film's delay", "definition"},
    {"g0/2pi", "|coupling| x_zpf times the spot's mean of the mode", "definition"},
    {"n_cav", "P kappa_in/(hbar omega (Delta^2 + kappa^2/4))",
     "Aspelmeyer et al., Rev. Mod. Phys. 86, 1391 (2014) (from memory)"},
    {"C0, C, C_q", "4 g0^2/(kappa Gamma_m); times n_cav; over n_th", "definition"},
    {"spring, damping, n_f",
     "A-+ = g^2 kappa/(kappa^2/4 + (Delta +- Omega)^2); damping A- - A+; n_f = (A+ + Gamma n_th)/(damping + Gamma)",
     "Marquardt et al., Phys. Rev. Lett. 99, 093902 (2007); Wilson-Rae et al., ibid. 093901 (both from memory); holds "
     "for g below kappa/4"},
    {"least n_f at any power", "(sqrt(1 + (kappa/2 Omega)^2) - 1)/2 at Delta^2 = Omega^2 + kappa^2/4",
     "derived from the same rates; (kappa/4 Omega)^2 where sidebands are resolved"},
    {"back-action quanta, feedback",
     "n_ba = C/(1 + 4 Omega^2/kappa^2) on resonance; (1/sqrt(eta) - 1)/2, eta = kappa_in/kappa/(1 + n_th/n_ba)",
     "from memory, no source at hand"},
    {"thermal noise", "|coupling| sqrt(kB T/k), k the mode's spring at the spot; all modes: the static stiffness there",
     "equipartition"},
    {"mixed pairs",
     "sqrt(2) q nu_i nu_j, q = (1 - 3 u^2)/(kappa u (1 + u^2)), u = 2 Delta/kappa: power behind the cavity, slow "
     "motion; "
     "vanishes at Delta = kappa/(2 sqrt3)",
     "second order of the resonance's flank [derived]; phenomenon: arXiv 2307.03309 (abstract)"},
    {"two states above", "4 kappa/(3 sqrt3) photons over h G^2/k, the shift per photon; k the static stiffness",
     "derived; for one mode 2 kappa Omega/(3 sqrt3 g0^2)"},
    {"a mode oscillates above", "damping by light = - width of the mode, the least of all modes", "definition"},
    {"heat", "n_cav hbar omega kappa_film, then as plan: conduction to the rim and radiation", "see plan --explain"},
};

constexpr Explained compare_words[] = {
    {"mode, sure",
     "peaks and lines matched one to one in order; weight prod P/(1-P) N(ln f; line, errors)/rho over pairs, prod "
     "(1-P) "
     "over lines unseen, rho: density of foreign peaks; films tried over stress and tilt, weighed by evidence",
     "Bayes' rule, dynamic programming [derived]"},
    {"fit",
     "largest posterior by Gauss-Newton steps; Gaussian errors, the design's deviations as priors; solved again at the "
     "film found until what the lines' curvature leaves is a tenth of their errors",
     "least squares with priors (common practice)"},
    {"gas and measured Q", "share Q/Q_gas, Q_gas of the budget's gas terms; at p/n Q becomes Q/(1 - share + share/n)",
     "losses add (definition)"},
    {"scatter", "added to every line so that chi-square equals the effective freedom",
     "after Birge, Phys. Rev. 40, 207 (1932) (from memory), who scaled the errors instead"},
    {"+-, r", "square roots of the covariance's diagonal; its entry with the stress over both deviations",
     "definition"},
    {"off", "ln(measured/fitted)", "definition"},
    {"Q budget", "loss budget of predict for the fitted film", "see predict --explain"},
};

constexpr Explained choice_words[] = {
    {"designs tried", "Halton's sequence over the free ranges, each brought to the target; the best two improved",
     "Halton, Numer. Math. 2, 84 (1960) (from memory); COBYLA, Powell (1994), as NLopt has it"},
    {"trade-offs",
     "no other feasible design is better in one of f off, Q f, release time, margin, R and the figure of target.aim, "
     "and as good in the rest",
     "Pareto's order (definition)"},
    {"chance", "Phi((high - f)/s) - Phi((low - f)/s), s from all stated deviations of the inputs",
     "normal distribution"},
    {"margin", "strength over largest stress", "definition"},
    {"what a limit costs", "a binding limit eased by a tenth, the search repeated", "definition"},
    {"frequency, Q f, stress, R", "as predict, solved for every design", "see predict --explain"},
    {"g0/2pi, C0", "as cavity, solved for every design", "see cavity --explain"},
};

constexpr Explained pattern_words[] = {
    {"drawn, printed, etched, released", "backwards from the released size: each step less twice its growth per edge",
     "definition: biases of [process], film lost at the wall"},
    {"hole's figure",
     "polygon of the hole's area, corners on the address grid, edge within half a grid step of the circle; of sizes "
     "within half a step of the wanted one the closest in area",
     "geometry"},
    {"centres", "each on the nearest point it can have, on its own: a pitch off the grid does not add up", "geometry"},
    {"least gap",
     "two copies of a centrally symmetric convex figure meet when the offset lies in the figure of twice the size",
     "geometry, exact"},
};

constexpr Explained film_words[] = {
    {"stress",
     "[M h_s^2 (k_after - k_before)/6 - sum of other layers' changes]/(h net_after - h net_before), M: biaxial modulus",
     "Stoney, Proc. R. Soc. A 82, 172 (1909), in the biaxial form of Janssen et al., Thin Solid Films 517, 1858 (2009) "
     "(from memory, re-derived)"},
    {"shapes", "8 B/D^2 for a bow B over a scan of length D", "curvature of a chord"},
    {"biaxial modulus",
     "(100): c11 + c12 - 2 c12^2/c11; (111): 6 c44 (c11 + 2 c12)/(c11 + 2 c12 + 4 c44); else E/(1 - nu)",
     "Brantley, J. Appl. Phys. 44, 534 (1973) (from memory, re-derived)"},
    {"left out by thin-film theory", "4 M_f/M_s h_f/h_s",
     "Freund and Suresh, Thin Film Materials, ch. 2 (from memory)"},
    {"forecast per die",
     "f (h_die/h)^(sensitivity to thickness) (s_die/s)^(sensitivity to stress), those of the mode itself",
     "Rayleigh's principle, see predict --explain"},
};

template <class Words>
void explain_task(std::ostream& out, const Words& words, const std::vector<SourceLine>& sources, const char* of = "") {
    out << figures_heading;
    explain_figures(out, words);
    explain_inputs(out, sources, of);
}

}  // namespace

void write_explanation(std::ostream& out, const Pattern& p) {
    explain_task(out, pattern_words, p.sources);
}
void write_explanation(std::ostream& out, const WaferFilm& f) {
    explain_task(out, film_words, f.sources);
}
void write_explanation(std::ostream& out, const ReleaseReport& r) {
    explain_task(out, release_words, r.sources);
}
void write_explanation(std::ostream& out, const SizedDesign& s) {
    explain_task(out, size_words, s.sources);
}
void write_explanation(std::ostream& out, const Plan& p) {
    explain_task(out, plan_words, p.sources);
}
void write_explanation(std::ostream& out, const LightReport& r) {
    explain_task(out, light_words, r.sources);
}
void write_explanation(std::ostream& out, const CavityReport& r) {
    explain_task(out, cavity_words, r.sources);
}

void write_explanation(std::ostream& out, const CavityFit& f) {
    explain_task(out, cavity_fit_words, f.sources);
}
void write_explanation(std::ostream& out, const Choice& c) {
    explain_task(out, choice_words, c.sources, "as the design file has them");
}

void write_explanation(std::ostream& out, const Comparison& c) {
    out << figures_heading;
    explain_figures(out, compare_words);
    for (const DeviceComparison& d : c.devices)
        explain_inputs(out, d.prediction.sources, "as fitted, " + (d.title.empty() ? d.design_file : d.title));
}

}  // namespace tymbal
