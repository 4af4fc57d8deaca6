// Light on the hole lattice: the spectrum with laser and lines, and the lines as a table.
#include "../print/light_words.h"
#include "../text/figures.h"
#include "report_figures.h"
#include "report_parts.h"

#include "tymbal/print/write_light.h"

#include <sstream>

namespace tymbal {

namespace {

std::string nanometres(double metres) {
    return fixed(1e9 * metres, 2);
}

void write_lines(std::ostream& out, const LightReport& r) {
    const std::vector<Column> columns{{"wave", false}, {"wavelength (nm)"}, {"width (nm)"},
                                      {"Q"},           {"sigma (nm)"},      {"most R at (nm)"}};
    begin_table(out, "Lines of the lattice", columns);
    for (const LightLine& l : r.lines)
        table_row(out, columns,
                  {l.line.guided == Guided::te ? "TE" : "TM", nanometres(l.line.wavelength_m),
                   plain(1e9 * l.line.width_m, 3), plain(l.line.q, 3),
                   l.deviation_m ? plain(1e9 * *l.deviation_m, 2) : "-", l.peak_m ? nanometres(*l.peak_m) : "-"});
    end_table(out);
}

}  // namespace

void write_light_section(std::ostream& out, const LightReport& light) {
    begin_section(out, "light", "Light on the holes");
    std::ostringstream picture;
    write_plot(picture, light);
    out << "<figure><div class=\"picture\" role=\"img\" aria-label=\"Reflected power against wavelength with the laser "
           "at "
        << nanometres(light.wavelength_m) << " nm and the lines; the table that follows has the numbers\">"
        << picture.str() << "</div></figure>\n";
    if (light.stack)
        out << "<p>Over " << with_prefix(light.stack->gap_m, "m", 4) << " of gap and " << html(light.stack->below)
            << " the film reflects " << reflected_words(light.stack->mean.reflectivity, light.stack->mean.error)
            << "; picture and lines are those "
               "of the film alone.</p>\n";
    if (light.chance_to_reflect)
        out << "<p>The chance to reflect at least " << plain(100.0 * *light.least_reflectivity, 3)
            << " % at the laser is " << plain(*light.chance_to_reflect, 2) << ", by the stated deviations.</p>\n";
    if (!light.lines.empty()) write_lines(out, light);
    end_section(out);
}

}  // namespace tymbal
