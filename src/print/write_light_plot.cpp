// The spectrum as a picture, with the laser and the lines in it.
#include "tymbal/print/write_light.h"
#include "tymbal/text/svg_plot.h"

namespace tymbal {

namespace {

PlotCurve upright(const std::string& label, double at_m) {
    return {label, {1e9 * at_m, 1e9 * at_m}, {0.0, 1.0}};
}

}  // namespace

void write_plot(std::ostream& out, const LightReport& r) {
    PlotCurve curve;
    for (std::size_t k = 0; k < r.spectrum.wavelength_m.size(); ++k) {
        curve.x.push_back(1e9 * r.spectrum.wavelength_m[k]);
        curve.y.push_back(r.spectrum.reflectivity[k]);
    }
    PlotPanel panel{"reflected power (zero order, field along the lattice)", {curve}};
    const auto shown = [&](double at_m) { return at_m >= r.range.from_m && at_m <= r.range.to_m; };
    if (shown(r.wavelength_m)) panel.curves.push_back(upright("laser", r.wavelength_m));
    for (const LightLine& l : r.lines)
        if (shown(l.line.wavelength_m))
            panel.curves.push_back(upright(l.line.guided == Guided::te ? "TE" : "TM", l.line.wavelength_m));
    write_svg(out, {r.title.empty() ? "light on the film" : r.title, "wavelength (nm)", false, {panel}});
}

}  // namespace tymbal
