// Designs each broken in one place, with the place and the cure that their error names.
#pragma once

#include <doctest/doctest.h>

#include <string>
#include <utility>
#include <vector>

namespace broken {

inline const std::string film =
    "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"100 nm\"\nstress = \"1 GPa\"\n";  // lines 1-4
inline const std::string square =
    "[outline]\nshape = \"rectangle\"\nwidth = \"120 um\"\nheight = \"120 um\"\n";  // lines 5-8
inline const std::string holes =
    "[holes]\nlattice = \"triangular\"\ndiameter = \"2 um\"\npitch = \"5 um\"\n";  // lines 9-12

inline const std::string light =
    "[readout]\nwavelength = \"1 um\"\nspot_radius = \"9 um\"\n";  // lines 9-11 after the outline

inline const std::string layer =
    "[[film.layer]]\nmaterial = \"gold\"\nthickness = \"9 nm\"\nstress = \"0 MPa\"\n";  // lines 5-8 after the film
inline const std::string field =  // lines 5-13 after the film, with a [release] from line 12 on
    "[outline]\nshape = \"hole-field\"\n[holes]\nlattice = \"square\"\ndiameter = \"2 um\"\npitch = \"5 um\"\n"
    "field = [\"50 um\", \"50 um\"]\n[release]\ngap = \"2 um\"\n";

inline std::string many(const std::string& text, int count) {
    std::string all;
    for (int k = 0; k < count; ++k) all += text;
    return all;
}

/// [[x, y], ...] in um, one pair a line.
inline std::string pairs(const std::vector<std::pair<double, double>>& points) {
    std::string list = "[";
    for (const auto& [x, y] : points)
        list.append("[\"").append(std::to_string(x)).append(" um\", \"").append(std::to_string(y)).append(" um\"],\n");
    return list + "]\n";
}

inline std::string strip(const char* length, const char* width) {
    return std::string("[outline]\nshape = \"strip\"\nlength = \"") + length + "\"\nwidth = \"" + width + "\"\n";
}

/// The rectangle from (x, y) on, in um, as the key `area` of a layer.
inline std::string area(double x, double y, double width, double height) {
    return "area = " + pairs({{x, y}, {x + width, y}, {x + width, y + height}, {x, y + height}});
}

struct Broken {
    const char* what;
    std::string text;
    const char* place;  ///< "d.toml:LINE: key"
    const char* hint;
};

inline std::string replaced(std::string text, const std::string& from, const std::string& to) {
    const std::size_t at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

inline const std::vector<Broken>& broken_designs() {
    static const std::vector<Broken> all{
        {"misspelt key", replaced(film + square, "thickness", "thicknes"), "d.toml:3: film.thicknes",
         "did you mean 'thickness'"},
        {"misspelt section", film + replaced(square, "[outline]", "[outlin]"), "d.toml:5: outlin",
         "did you mean 'outline'"},
        {"bare number", replaced(film + square, "\"100 nm\"", "100"), "d.toml:3: film.thickness", "accepted: nm"},
        {"wrong dimension", replaced(film + square, "\"100 nm\"", "\"50 GPa\""), "d.toml:3: film.thickness",
         "a stress where a length"},
        {"unknown material", replaced(film + square, "nitride-stoichiometric", "nitride-stoichometric"),
         "d.toml:2: film.material", "did you mean"},
        {"thickness of metres", replaced(film + square, "\"100 nm\"", "\"2 m\""), "d.toml:3: film.thickness",
         "out of range"},
        {"zero thickness", replaced(film + square, "\"100 nm\"", "\"0 nm\""), "d.toml:3: film.thickness",
         "out of range"},
        {"block", replaced(film + replaced(square, "\"120 um\"", "\"0.2 um\""), "\"100 nm\"", "\"50 um\""),
         "d.toml:3: film.thickness", "a block"},
        {"no film", square, "d.toml: film", "needs a section [film]"},
        {"no outline", film, "d.toml: outline", "needs a section [outline]"},
        {"missing thickness", replaced(film + square, "thickness = \"100 nm\"\n", ""), "d.toml:1: film.thickness",
         "is missing"},
        {"unknown shape", film + replaced(square, "\"rectangle\"", "\"rectangel\""), "d.toml:6: outline.shape",
         "did you mean 'rectangle'"},
        {"key of another shape", film + square + "diameter = \"1 um\"\n", "d.toml:9: outline.diameter",
         "does not belong"},
        {"corner too round", film + square + "corner_radius = \"70 um\"\n", "d.toml:9: outline.corner_radius",
         "half the shorter side"},
        {"ring inside out",
         film + "[outline]\nshape = \"ring\"\nouter_diameter = \"1 um\"\ninner_diameter = \"2 um\"\n",
         "d.toml:8: outline.inner_diameter", "smaller"},
        {"crossing polygon",
         film + "[outline]\nshape = \"polygon\"\nvertices = [[\"0 um\",\"0 um\"],[\"9 um\",\"9 um\"],[\"9 um\",\"0 "
                "um\"],[\"0 um\",\"9 um\"]]\n",
         "d.toml:7: outline.vertices", "crosses itself"},
        {"two-point polygon",
         film + "[outline]\nshape = \"polygon\"\nvertices = [[\"0 um\",\"0 um\"],[\"9 um\",\"9 um\"]]\n",
         "d.toml:7: outline.vertices", "at least three"},
        {"bare vertex", film + "[outline]\nshape = \"polygon\"\nvertices = [[0,1]]\n", "d.toml:7: outline.vertices",
         "number and unit"},
        {"touching holes", film + square + replaced(holes, "\"5 um\"", "\"2 um\""), "d.toml:12: holes.pitch",
         "touch or overlap"},
        {"pitch below diameter", film + square + replaced(holes, "\"5 um\"", "\"1.5 um\""), "d.toml:12: holes.pitch",
         "touch or overlap"},
        {"square holes on triangles",
         film + square + "[holes]\nlattice = \"triangular\"\nshape = \"square\"\nside = \"4.6 um\"\npitch = \"5 um\"\n",
         "d.toml:13: holes.pitch", "overlap"},
        {"size of another figure", film + square + holes + "side = \"1 um\"\n", "d.toml:13: holes.side",
         "give diameter"},
        {"field too large", film + square + holes + "field = [\"200 um\", \"20 um\"]\n", "d.toml:13: holes.field",
         "larger than the outline"},
        {"listed overlap",
         film + square +
             "[holes]\nlattice = \"list\"\ndiameter = \"2 um\"\ncentres = [[\"0 um\",\"0 um\"],[\"1 um\",\"1 um\"]]\n",
         "d.toml:12: holes.centres", "overlap"},
        {"listed outside",
         film + square + "[holes]\nlattice = \"list\"\ndiameter = \"2 um\"\ncentres = [[\"70 um\",\"0 um\"]]\n",
         "d.toml:12: holes.centres", "outside"},
        {"file of another lattice", film + square + holes + "file = \"holes.csv\"\n", "d.toml:13: holes.file",
         "belongs to lattice"},
        {"file without a name", film + square + "[holes]\nlattice = \"file\"\n", "d.toml:9: holes.file", "is missing"},
        {"file out of the design's folder", film + square + "[holes]\nlattice = \"file\"\nfile = \"a/../../b.csv\"\n",
         "d.toml:11: holes.file", "stranger"},
        {"file with an absolute path", film + square + "[holes]\nlattice = \"file\"\nfile = \"/etc/passwd\"\n",
         "d.toml:11: holes.file", "stranger"},
        {"file that is not there", film + square + "[holes]\nlattice = \"file\"\nfile = \"no-such.csv\"\n",
         "d.toml:11: holes.file", "no file that can be read"},
        {"file of an unknown kind", film + square + "[holes]\nlattice = \"file\"\nfile = \"holes.txt\"\n",
         "d.toml:11: holes.file", "no file that can be read"},
        {"grid between nanometres", film + square + "[process]\naddress_grid = \"2.5 nm\"\n",
         "d.toml:10: process.address_grid", "multiple of 1 nm"},
        {"opening without a size", film + square + "[[openings]]\nshape = \"circle\"\n", "openings.diameter",
         "is missing"},
        {"opening with a foreign key",
         film + square + "[[openings]]\nshape = \"circle\"\ndiameter = \"9 um\"\nwidth = \"9 um\"\n",
         "d.toml:12: openings.width", "does not belong"},
        {"opening outside",
         film + square + "[[openings]]\nshape = \"circle\"\ndiameter = \"9 um\"\ncentre = [\"9 mm\", \"0 mm\"]\n",
         "d.toml:12: openings.centre", "outside the outline"},
        {"opening that crosses itself",
         film + square +
             "[[openings]]\nshape = \"polygon\"\nvertices = [[\"0 um\", \"0 um\"], [\"9 um\", \"9 um\"], "
             "[\"9 um\", \"0 um\"], [\"0 um\", \"9 um\"]]\n",
         "d.toml:11: openings.vertices", "crosses itself"},
        {"opening misspelt", film + square + "[[openings]]\nshpe = \"circle\"\n", "d.toml:10: openings.shpe", "shape"},
        {"target without unit", film + square + "[target]\nfrequency = 1e6\n", "d.toml:10: target.frequency", "MHz"},
        {"aim of no kind", film + square + "[target]\naim = \"g1\"\n", "d.toml:10: target.aim",
         "qf, g0, cooperativity"},
        {"coupling aimed at without a cavity", film + square + light + "[target]\naim = \"g0\"\n",
         "d.toml:13: target.aim", "[cavity]"},
        {"target misspelt", film + square + "[target]\nfrequncy = \"1 MHz\"\n", "d.toml:10: target.frequncy",
         "frequency"},
        {"free misspelt", film + square + "[free]\n\"outline.widht\" = [\"1 um\", \"2 um\"]\n", "d.toml:10: free",
         "outline.width"},
        {"free that falls", film + square + "[free]\n\"outline.width\" = [\"2 um\", \"1 um\"]\n", "d.toml:10: free",
         "must rise"},
        {"free with one name", film + square + "[free]\n\"holes.lattice\" = [\"square\"]\n", "d.toml:10: free",
         "at least two"},
        {"free solver", film + square + "[free]\n\"solve.accuracy\" = [\"1\", \"2\"]\n", "d.toml:10: free",
         "no property"},
        {"etchant without a layer", film + square + "[release]\ngap = \"2 um\"\netchant = \"hf-49\"\n",
         "release.sacrificial", "is missing"},
        {"unknown etchant",
         film + square + "[release]\ngap = \"2 um\"\nsacrificial = \"oxide-thermal\"\netchant = \"hf-94\"\n",
         "d.toml:12: release.etchant", "did you mean 'hf-49'"},
        {"etchant that leaves the layer alone",
         film + square + "[release]\ngap = \"2 um\"\nsacrificial = \"silicon\"\netchant = \"hf-49\"\n",
         "d.toml:12: release.etchant", "attacks"},
        {"undercut and time",
         film + square +
             "[release]\ngap = \"2 um\"\nsacrificial = \"oxide-thermal\"\netchant = \"hf-49\"\nundercut = "
             "\"2 um\"\ntime = \"1 min\"\n",
         "d.toml:14: release.time", "leave one out"},
        {"a rate of the film alone",
         film + square + "[release]\ngap = \"2 um\"\nundercut = \"2 um\"\nfilm_rate = \"1 nm/min\"\n", "release.rate",
         "is missing"},
        {"a rate without a unit", film + square + "[release]\ngap = \"2 um\"\nrate = \"100\"\n",
         "d.toml:11: release.rate", "nm/min"},
        {"a film that is not etched at all",
         film + square + "[release]\ngap = \"2 um\"\nrate = \"9 nm/min\"\nfilm_rate = \"0 nm/min\"\n",
         "d.toml:12: release.film_rate", "out of range"},
        {"time without an etchant", film + square + "[release]\ngap = \"2 um\"\ntime = \"1 min\"\n", "release.etchant",
         "is missing"},
        {"etch time of zero",
         film + square +
             "[release]\ngap = \"2 um\"\nsacrificial = \"oxide-thermal\"\netchant = \"hf-49\"\ntime = \"0 "
             "min\"\n",
         "d.toml:13: release.time", "out of range"},
        {"negative etch time",
         film + square +
             "[release]\ngap = \"2 um\"\nsacrificial = \"oxide-thermal\"\netchant = \"hf-49\"\ntime = \"-3 "
             "min\"\n",
         "d.toml:13: release.time", "out of range"},
        {"hole field without holes", film + "[outline]\nshape = \"hole-field\"\n", "d.toml:6: outline.shape",
         "needs a section [holes]"},
        {"hole field without an extent",
         film + "[outline]\nshape = \"hole-field\"\n[holes]\nlattice = \"square\"\ndiameter = \"2 um\"\npitch = \"5 "
                "um\"\n[release]\ngap = \"2 um\"\nundercut = \"2 um\"\n",
         "holes.field", "is missing"},
        {"hole field without an undercut",
         film + "[outline]\nshape = \"hole-field\"\n[holes]\nlattice = \"square\"\ndiameter = \"2 um\"\npitch = \"5 "
                "um\"\nfield = [\"50 um\", \"50 um\"]\n",
         "d.toml:6: outline.shape", "needs release.undercut"},
        {"an etch that leaves no film",
         film + square + holes +
             "[release]\ngap = \"2 um\"\nsacrificial = \"oxide-thermal\"\netchant = "
             "\"hf-10to1\"\nundercut = \"8 um\"\n",
         "release.undercut", "removes the film itself"},
        {"below without a gap",
         film + square + "[readout]\nwavelength = \"1 um\"\nspot_radius = \"9 um\"\nbelow = \"silicon\"\n",
         "d.toml:12: readout.below", "release.gap"},
        {"layer misspelt", film + "[[film.layer]]\nmaterial = \"gld\"\nthickness = \"9 nm\"\n" + square,
         "d.toml:6: film.layer.material", "did you mean 'gold'"},
        {"layer without stress", film + "[[film.layer]]\nmaterial = \"gold\"\nthickness = \"9 nm\"\n" + square,
         "d.toml:5: film.layer.stress", "is missing"},
        {"layer is no list", film + "layer = 3\n" + square, "d.toml:5: film.layer", "list of tables"},
        {"below misspelt",
         film + square + "[readout]\nwavelength = \"1 um\"\nspot_radius = \"9 um\"\nbelow = \"silicn\"\n",
         "d.toml:12: readout.below", "did you mean 'silicon'"},
        {"below without an index",
         film + square + "[readout]\nwavelength = \"1 um\"\nspot_radius = \"9 um\"\nbelow = \"niobium\"\n",
         "d.toml:12: readout.below", "refractive index"},
        {"held edge", film + square + "[chip]\nthickness = \"525 um\"\nheld = [\"lft\"]\n", "d.toml:11: chip.held",
         "left, right, lower, upper"},
        {"crystal edge", film + square + "[chip]\nthickness = \"525 um\"\nedges = \"111\"\n", "d.toml:11: chip.edges",
         "110, 100"},
        {"uncertainty not carried", film + square + "[release]\ngap = \"2 +- 1 um\"\n", "d.toml:10: release.gap",
         "no uncertainty"},
        {"unknown gas", film + square + "[surroundings]\ngas = \"nitrogn\"\npressure = \"1 Pa\"\n",
         "d.toml:10: surroundings.gas", "did you mean 'nitrogen'"},
        {"negative pressure", film + square + "[surroundings]\ngas = \"air\"\npressure = \"-1 Pa\"\n",
         "d.toml:11: surroundings.pressure", "zero or more"},
        {"too many modes", film + square + "[solve]\nmodes = 1000\n", "d.toml:10: solve.modes", "1 to 200"},
        {"accuracy", film + square + "[solve]\naccuracy = 0\n", "d.toml:10: solve.accuracy", "1e-6"},
        {"not a number", film + square + "[solve]\naccuracy = nan\n", "d.toml:10: solve.accuracy", "finite"},
        {"text for number", film + square + "[solve]\nmodes = \"many\"\n", "d.toml:10: solve.modes", "whole number"},
        {"window falls", film + square + "[limits]\nfrequency = [\"2 MHz\", \"1 MHz\"]\n",
         "d.toml:10: limits.frequency", "must rise"},
        {"section is a value", film + "outline = 3\n" + square, "d.toml", ""},
        {"section as number", "film = 3\n", "d.toml:1: film", "a section is wanted"},
        {"syntax", film + "[outline\n", "d.toml:5", "not valid TOML"},
        {"duplicate key", film + "stress = \"2 GPa\"\n" + square, "d.toml:", "not valid TOML"},
        {"binary rubbish", std::string("\x00\x01[[[", 5), "d.toml", "not valid TOML"},
        {"a micro sign of Latin-1", film + square + "[solve]\nmodel = '\xb5'\n",
         "d.toml:10: ", "save the file as UTF-8"},
        {"text of two bytes a character", std::string("\xff\xfe[\0f\0", 6), "d.toml:1: ", "save the file as UTF-8"},
        {"cavity without light", film + square + "[cavity]\nlength = \"1 cm\"\nfinesse = 100\n",
         "d.toml:10: cavity.length", "[readout]"},
        {"cavity over a chip",
         film + square +
             "[release]\ngap = \"2 um\"\n[readout]\nwavelength = \"1 um\"\nspot_radius = \"9 um\"\n[cavity]\nlength = "
             "\"1 cm\"\nfinesse = 100\n",
         "d.toml:15: cavity.length", "remove one"},
        {"cavity without mirrors", film + square + light + "[cavity]\nlength = \"1 cm\"\n",
         "d.toml:12: cavity.input_transmission", "is missing"},
        {"transmissions beside finesse",
         film + square + light + "[cavity]\nlength = \"1 cm\"\ninput_transmission = 1e-4\nfinesse = 100\n",
         "d.toml:15: cavity.finesse", "remove one"},
        {"loss beside finesse", film + square + light + "[cavity]\nlength = \"1 cm\"\nloss = 1e-4\nfinesse = 100\n",
         "d.toml:15: cavity.finesse", "all mirror losses"},
        {"mirror like a window", film + square + light + "[cavity]\nlength = \"1 cm\"\ninput_transmission = 0.9\n",
         "d.toml:14: cavity.input_transmission", "1e-9 to 0.5"},
        {"film outside its cavity",
         film + square + light + "[cavity]\nlength = \"1 cm\"\nposition = \"11 mm\"\ninput_transmission = 1e-4\n",
         "d.toml:14: cavity.position", "or beyond it"},
        {"film at no known place",
         film + square + light + "[cavity]\nlength = \"1 cm\"\nposition = \"centre\"\ninput_transmission = 1e-4\n",
         "d.toml:14: cavity.position", "accepted: \"middle\""},
        {"cavity shorter than light",
         film + square + light + "[cavity]\nlength = \"1.5 um\"\ninput_transmission = 1e-4\n",
         "d.toml:13: cavity.length", "less than a wavelength"},
        {"end mirror behind a film that is one",
         film + square + light +
             "[cavity]\nlength = \"1 cm\"\nposition = \"end\"\ninput_transmission = 1e-4\nend_transmission = 1e-5\n",
         "d.toml:16: cavity.end_transmission", "the film is the end mirror"},
        {"unstable resonator",
         film + square + light +
             "[cavity]\nlength = \"1 cm\"\ninput_transmission = 1e-4\ninput_radius = \"4 mm\"\nend_radius = \"20 "
             "mm\"\n",
         "d.toml:15: cavity.input_radius", "unstable resonator"},
        {"laser at another mode",
         film + square + light + "[cavity]\nlength = \"1 cm\"\ninput_transmission = 1e-4\ndetuning = \"-8 GHz\"\n",
         "d.toml:15: cavity.detuning", "another mode is nearer"},
        {"detuning by a word",
         film + square + light + "[cavity]\nlength = \"1 cm\"\ninput_transmission = 1e-4\ndetuning = \"red\"\n",
         "d.toml:15: cavity.detuning", "accepted: \"best\""},
        {"release without a gap", film + square + "[release]\nsacrificial = \"oxide-thermal\"\n",
         "d.toml:9: release.gap", "is missing"},
        {"chip too small", film + square + "[chip]\nwidth = \"100 um\"\nlength = \"1 mm\"\nthickness = \"500 um\"\n",
         "d.toml:10: chip.width", "outside the chip"},
        {"deep nesting", "x = " + std::string(10'000, '['), "d.toml:1: ", "more than 32 deep"},
        {"one endless line", film + square + "x = \"" + std::string(100'000, 'a') + "\"\n", "d.toml:9: ", "16 KiB"},
        {"title that drives the terminal", "title = \"a\\u001b[31mb\"\n" + film + square, "d.toml:1: title",
         "control characters"},
        {"string of a film", film + replaced(square, "height = \"120 um\"", "height = \"0.11 um\""),
         "d.toml:7: outline.width", "a string, not a membrane"},
        {"ring like a hoop",
         film + "[outline]\nshape = \"ring\"\nouter_diameter = \"100 um\"\ninner_diameter = \"99 um\"\n",
         "d.toml:8: outline.inner_diameter", "narrower than 1 %"},
        {"ring round a point",
         film + "[outline]\nshape = \"ring\"\nouter_diameter = \"100 um\"\ninner_diameter = \"0.9 um\"\n",
         "d.toml:8: outline.inner_diameter", "below 1 % of outer_diameter"},
        {"closed polygon",
         film + "[outline]\nshape = \"polygon\"\nvertices = " + pairs({{0, 0}, {9, 0}, {9, 9}, {0, 0}}),
         "d.toml:7: outline.vertices", "numbers 4 and the next; the first point is not repeated"},
        {"polygon of half a metre",
         film + "[outline]\nshape = \"polygon\"\nvertices = " + pairs({{0, 0}, {5e5, 0}, {9, 9}}),
         "d.toml:7: outline.vertices", "10 cm from the origin"},
        {"vertex in another dimension",
         film + "[outline]\nshape = \"polygon\"\nvertices = [[\"0 um\", \"0 um\"],\n[\"9 um\", \"0 GPa\"]]\n",
         "d.toml:8: outline.vertices", "a stress where a length"},
        {"vertex with an uncertainty",
         film + "[outline]\nshape = \"polygon\"\nvertices = [[\"0 um\", \"0 um\"],\n[\"9 um\", \"0 +- 1 um\"]]\n",
         "d.toml:8: outline.vertices", "takes no uncertainty"},
        {"vertex with one coordinate",
         film + "[outline]\nshape = \"polygon\"\nvertices = [[\"0 um\", \"0 um\"],\n[\"9 um\"]]\n",
         "d.toml:8: outline.vertices", "not a pair [x, y]"},
        {"position with one coordinate",
         film + square + "[readout]\nwavelength = \"1 um\"\nspot_radius = \"9 um\"\nposition = [\"0 um\"]\n",
         "d.toml:12: readout.position", "a list of 2 values with units"},
        {"opening too round",
         film + square +
             "[[openings]]\nshape = \"rectangle\"\nwidth = \"9 um\"\nheight = \"4 um\"\ncorner_radius = \"3 um\"\n",
         "d.toml:13: openings.corner_radius", "half the shorter side"},
        {"openings without end", "openings = [\n" + many("{},\n", 10'001) + "]\n" + film + square, "d.toml:1: openings",
         "lattice = \"list\""},
        {"margin of a hole field", film + replaced(field, "[release]", "margin = \"1 um\"\n[release]"),
         "d.toml:12: holes.margin", "the undercut sets the margin"},
        {"front behind the receding hole",
         film + field +
             "sacrificial = \"oxide-thermal\"\netchant = \"hf-25to1\"\ntime = \"1 h\"\nslow_down = \"1 nm\"\n",
         "d.toml:6: outline.shape", "shorten the time"},
        {"omit is a number", film + square + holes + "omit = 3\n", "d.toml:13: holes.omit", "pairs [i, j]"},
        {"omit between sites", film + square + holes + "omit = [[0, 1],\n[0.5, 1]]\n", "d.toml:14: holes.omit",
         "whole numbers [i, j]"},
        {"omit beyond all sites", film + square + holes + "omit = [[0, 1],\n[0, 1000001]]\n", "d.toml:14: holes.omit",
         "beyond a million"},
        {"omit the least whole number", film + square + holes + "omit = [[-9223372036854775808, 0]]\n",
         "d.toml:13: holes.omit", "beyond a million"},
        {"held without a list", film + square + "[chip]\nthickness = \"525 um\"\nheld = \"left\"\n",
         "d.toml:11: chip.held", "at most 4 texts"},
        {"free among numbers", film + square + "[free]\n\"holes.lattice\" = [\"square\",\n3]\n",
         "d.toml:11: free.holes.lattice", "each must stand in quotes"},
        {"accuracy as a word", film + square + "[solve]\naccuracy = \"high\"\n", "d.toml:10: solve.accuracy",
         "a plain number is wanted"},
        {"chip too short", film + square + "[chip]\nwidth = \"1 mm\"\nlength = \"100 um\"\nthickness = \"500 um\"\n",
         "d.toml:11: chip.length", "enlarge it"},
        {"outline off the chip",
         film + square +
             "[chip]\nwidth = \"1 mm\"\nlength = \"1 mm\"\nthickness = \"500 um\"\nposition = [\"0 mm\", \"0.48 "
             "mm\"]\n",
         "d.toml:13: chip.position", "enlarge chip.length"},
        {"etch of a film under a layer",
         film + layer + square + holes +
             "[release]\ngap = \"2 um\"\nsacrificial = \"oxide-thermal\"\netchant = \"hf-49\"\nundercut = \"3 um\"\n",
         "d.toml:20: release.etchant", "leave etchant or [[film.layer]] out"},
        {"patch between holes", film + layer + area(0, 0, 9, 9) + square + holes, "d.toml:9: film.layer.area",
         "leave them or the area out"},
        {"patch on a strip", film + layer + area(0, 0, 9, 2) + strip("100 um", "5 um"), "d.toml:9: film.layer.area",
         "lies on a strip"},
        {"strip of a hair", film + strip("20 mm", "3 um"), "outline.width", "below a five-thousandth of length"},
        {"strip across", film + strip("3 um", "100 um"), "outline.length", "between the clamped ends"},
        {"strip with a height", film + strip("100 um", "5 um") + "height = \"5 um\"\n", "outline.height",
         "does not belong to shape = \"strip\""},
        {"patch over the edge", film + layer + area(0, 0, 9, 9) + layer + area(20, 20, 70, 9) + square,
         "d.toml:18: film.layer.area", "keep it inside"},
        {"patches that overlap", film + layer + area(0, 0, 9, 9) + layer + area(8, 8, 9, 9) + square,
         "d.toml:18: film.layer.area: and that of line 9", "the same area, others apart"},
        {"Poisson", film + "poisson_ratio = 0.7\n" + square, "d.toml:5: film.poisson_ratio", "between -1 and 0.5"},
    };
    return all;
}

}  // namespace broken
