#include "write_stack.h"

#include "../text/figures.h"
#include "light_rows.h"
#include "light_words.h"

#include <algorithm>

namespace tymbal {

namespace {

void write_figures(std::ostream& out, const StackLight& stack) {
    const LatticeResponse& mean = stack.mean;
    light_row(out, "reflected", reflected_words(mean.reflectivity, mean.error));
    light_row(
        out, "into the substrate",
        share_text(mean.transmission + mean.diffracted_down)
            .append(mean.diffracted_down > 0.0 ? ", of which " + share_text(mean.diffracted_down) + " aslant" : ""));
    light_row(out, "absorbed in the film", rough(mean.absorption));
    if (mean.diffracted_up > 0.0) light_row(out, "diffracted up", share_text(mean.diffracted_up));
    light_row(out, "field along the lattice, across",
              share_text(stack.by_polarisation.front().response.reflectivity)
                  .append(", ")
                  .append(share_text(stack.by_polarisation.back().response.reflectivity)));
    if (stack.coupling > 0.0)
        light_row(out, "first orders over gap and back",
                  rough(stack.coupling).append(stack.coupling < 1.0 ? " left of them" : ": they run"));
}

void write_lines(std::ostream& out, const LightReport& r) {
    if (r.lines.empty()) return;
    out << "       field wavelength (nm)  moved (nm)  width (nm)  numerics\n";
    for (const LightLine& l : r.lines) {
        out << "  " << left(name_of(l.line.guided), 5) << left(name_of(l.line.field), 5);
        if (!l.over_gap)
            out << "  no pole like it is left\n";
        else
            out << in_column(fixed(1e9 * (l.line.wavelength_m + l.over_gap->moved_m), 3), 16)
                << in_column(fixed(1e9 * l.over_gap->moved_m, 3), 12)
                << in_column(plain(1e9 * l.over_gap->width_m, 4), 12)
                << in_column(plain(1e9 * l.over_gap->error_m, 2), 10) << '\n';
    }
    out << "  "
        << wrapped(out,
                   "Spectrum, slopes, spot and chance above are those of the film alone. What the substrate sends back "
                   "moves and widens a line, by turns as the gap grows.",
                   2, 2)
        << '\n';
}

}  // namespace

void write_stack(std::ostream& out, const LightReport& r) {
    out << "\nOVER THE GAP  (" << with_prefix(r.stack->gap_m, "m", 4) << ", then " << r.stack->below << "; "
        << (r.holes ? "all orders cross the gap)\n" : "no holes)\n");
    write_figures(out, *r.stack);
    write_lines(out, r);
}

Json stack_json(const LightReport& report) {
    if (!report.stack) return nullptr;
    const StackLight& s = *report.stack;
    return {{"below", s.below},
            {"gap_m", number(s.gap_m)},
            {"order_coupling", number(s.coupling)},
            {"reflectivity", number(s.mean.reflectivity)},
            {"transmission", number(s.mean.transmission)},
            {"absorption", number(s.mean.absorption)},
            {"diffracted_up", number(s.mean.diffracted_up)},
            {"diffracted_down", number(s.mean.diffracted_down)},
            {"by_polarisation", polarisations_json(s.by_polarisation)},
            {"truncation_error", number(s.mean.error)}};
}

Json line_over_gap_json(const LightLine& line) {
    if (!line.over_gap) return nullptr;
    return {{"moved_m", number(line.over_gap->moved_m)},
            {"fwhm_m", number(line.over_gap->width_m)},
            {"truncation_error_m", number(line.over_gap->error_m)}};
}

}  // namespace tymbal
