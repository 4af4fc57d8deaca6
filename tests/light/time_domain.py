#!/usr/bin/env python3
"""A lattice of holes beside a solution by finite differences in time: another method, coarse.

time_domain.py PROGRAM [CELLS PER UM]. Needs python3-meep (a general time-domain solver), which only this check uses. A pulse falls on a
film of index 2, 200 nm thick, with circular holes of 0.6 um on a square lattice of 1 um. What it reflects off resonance is compared with
`PROGRAM light` at five wavelengths. Steps of a grid round a hole err by some 1e-3 ... 1e-2; farther apart is a fault of one of the two.
"""
import csv
import io
import math
import subprocess
import sys
import tempfile
from pathlib import Path

import meep

APART = 0.01  # accepted difference of R
WAVELENGTHS = [1.35, 1.45, 1.55, 1.65, 1.75]  # um; lines of this film lie at 1.10 and 1.26, the latter 0.03 wide
THICKNESS, DIAMETER, INDEX = 0.2, 0.6, 2.0
DESIGN = f"""[film]
material = "nitride-stoichiometric"
thickness = "{1e3 * THICKNESS} nm"
stress = "1 GPa"
index = {INDEX}
extinction = 0.0
[outline]
shape = "rectangle"
width = "40 um"
height = "40 um"
[holes]
lattice = "square"
diameter = "{DIAMETER} um"
pitch = "1 um"
margin = "2 um"
[readout]
wavelength = "1.4 um"
spot_radius = "10 um"
below = "none"
"""


def by_program(program: str) -> list[float]:
    """R at each wavelength, as the program states it."""
    with tempfile.TemporaryDirectory() as folder:
        design = Path(folder) / "lattice.toml"
        design.write_text(DESIGN)
        told = subprocess.run([program, "light", design, "--csv", "-", "--wavelength", "1.2 um..1.8 um"], check=True, capture_output=True,
                              text=True).stdout
    rows = [(1e6 * float(r["wavelength_m"]), float(r["reflectivity"])) for r in csv.DictReader(io.StringIO(told))]
    found = []
    for wanted in WAVELENGTHS:
        (a, low), (b, high) = next(pair for pair in zip(rows, rows[1:]) if pair[0][0] <= wanted <= pair[1][0])
        found.append(low + (high - low) * (wanted - a) / (b - a))
    return found


def by_steps(cells: int) -> list[float]:
    """R at each wavelength, from a pulse on one cell with mirrors."""
    absorber, space = 1.0, 2.0
    height = 2.0 * (absorber + space) + THICKNESS
    frequencies = [1.0 / w for w in WAVELENGTHS]
    middle, width = 0.5 * (frequencies[0] + frequencies[-1]), 1.4 * (frequencies[0] - frequencies[-1])

    def run(film: list, incident=None):
        source = meep.Source(meep.GaussianSource(middle, fwidth=width), meep.Ex, size=meep.Vector3(1, 1, 0),
                             center=meep.Vector3(0, 0, 0.5 * height - absorber - 0.2))
        problem = meep.Simulation(cell_size=meep.Vector3(1, 1, height), resolution=cells, geometry=film, sources=[source],
                                  boundary_layers=[meep.PML(absorber, direction=meep.Z)], k_point=meep.Vector3(),
                                  symmetries=[meep.Mirror(meep.X, phase=-1), meep.Mirror(meep.Y)])
        above = meep.FluxRegion(center=meep.Vector3(0, 0, 0.5 * THICKNESS + 1.2), size=meep.Vector3(1, 1, 0))
        flux = problem.add_flux(frequencies, above)
        if incident:
            problem.load_minus_flux_data(flux, incident)
        problem.run(until_after_sources=meep.stop_when_fields_decayed(30, meep.Ex, meep.Vector3(0, 0, 0.5 * THICKNESS + 1.2), 1e-7))
        return meep.get_fluxes(flux), problem.get_flux_data(flux)

    slab = [meep.Block(size=meep.Vector3(meep.inf, meep.inf, THICKNESS), material=meep.Medium(index=INDEX)),
            meep.Cylinder(radius=0.5 * DIAMETER, height=THICKNESS, material=meep.air)]
    sent, incident = run([])
    returned, _ = run(slab, incident)
    return [-back / there for back, there in zip(returned, sent)]


def main() -> int:
    program, cells = sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 30
    meep.verbosity(0)
    stated, stepped = by_program(program), by_steps(cells)
    worst = max(abs(a - b) for a, b in zip(stated, stepped))
    for wavelength, a, b in zip(WAVELENGTHS, stated, stepped):
        print(f"{wavelength:.2f} um: Fourier modes {a:.5f}, steps in time {b:.5f}, apart {abs(a - b):.5f}")
    print(f"{cells} cells per um: {worst:.5f} apart at most, {APART} accepted")
    return 0 if math.isfinite(worst) and worst < APART else 1


if __name__ == "__main__":
    sys.exit(main())
