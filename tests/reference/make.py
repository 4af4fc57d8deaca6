"""References for random films of one class: make.py CLASS COUNT adds films to CLASS.toml until it has COUNT of them.

CLASS is a function of films.py, or ring. Every film is solved twice, on two meshes and with two degrees; the finer
result stands, the difference of the two is stated as its error (two equal solutions of one equation for rings).
"""
import datetime
import os
import sys

import numpy as np
import scipy

import films
import plate
import radial

MODULUS, POISSON, DENSITY, COUNT = 250e9, 0.23, 3100.0, 10
ROUNDING = {"strip": 1e-4}  # thin elements along free sides: least difference that is stated
DEGREES = {"strip": (5, 6), "disc": (5, 6)}  # coarse and fine; others below
FIRST_SEED = {"disc": 10_000, "square": 20_000, "strip": 30_000, "pad": 40_000, "polygon": 50_000, "front": 60_000,
              "ring": 70_000}
HEAD = """# Modes of random films, class "{name}", from a solver that shares neither code nor method with the program.
# How: {how}
# By: tests/reference/make.py {name}, {date}, Python {python}, numpy {numpy}, scipy {scipy} (Debian). Checked by check.py.
# Film: E {modulus:.3g} Pa, nu {nu}, {density:.0f} kg/m^3; thickness, stress, layer sqrt(D/N)/size by factor at random.
# Lengths in m, turned by `turn` rad about the origin; circles: x, y, diameter. frequency: Hz; bending_share: W_bend/W;
# mass: kg, at the film's largest displacement (of equal pairs it hangs on how they are turned); mean_stress: Pa, mean of
# (s_xx + s_yy)/2 over the film. *_error: relative, the difference of the two solutions.
# Films that are not stable when flat were drawn again (`draws`).
"""
FINITE = "plate.py: finite elements of degree {0} and {1} on two curved meshes, slopes tied by an interior penalty."
RADIAL = "radial.py: the radius's equation by elements of degree 13, refined once."


def by_factor(draw, low, high):
    return low * (high / low) ** draw.uniform()


def difference(a, b):
    return np.abs(np.asarray(a) / np.asarray(b) - 1)


def by_elements(film, layer, degrees, least):
    results = []
    for fine, p in zip((False, True), degrees):
        mesh = plate.make_mesh(film["blocks"](fine), p, film["held"], film.get("quarter", False))
        m = plate.solve(mesh, POISSON, layer**2, COUNT)
        if m.omega[0] <= 0:
            return None
        results.append((m.omega, m.bending_share, m.mass, np.array([m.mean_tension])))
    errors = [np.maximum(difference(a, b), least if len(a) > 1 else 0.0) for a, b in zip(*results)]
    return list(zip(results[1], errors))


def ring(draw, layer):
    return {"outline": {"shape": "ring", "size": [1.0]}, "inner": draw.uniform(0.1, 0.8),
            "held_inside": bool(draw.uniform() < 0.5)}


def by_radius(film, layer):
    results = []
    for pieces in (12, 8):
        modes, mean = radial.ring(film["inner"], POISSON, 4 * layer**2, film["held_inside"], COUNT, pieces)
        omega, share, mass, _ = np.array(modes).T
        results.append((2 * omega, share, mass / 4, np.array([mean])))  # its unit is the radius
    return [(a, difference(b, a)) for a, b in zip(*results)]


def drawn(name, number):
    """The film, its physical data and its reference; films that are not stable are drawn again."""
    for draws in range(1, 50):
        draw = np.random.default_rng(FIRST_SEED[name] + 100 * number + draws)
        h, stress = by_factor(draw, 20e-9, 400e-9), by_factor(draw, 0.1e9, 1.5e9)
        layer = by_factor(draw, 0.0005, 0.05)
        film = ring(draw, layer) if name == "ring" else getattr(films, name)(draw, layer)
        found = by_radius(film, layer) if name == "ring" else by_elements(film, layer, DEGREES.get(name, (4, 5)),
                                                                                 ROUNDING.get(name, 0.0))
        if found is not None:
            size = np.sqrt(MODULUS * h**2 / (12 * (1 - POISSON**2) * stress)) / layer
            return film, {"thickness": h, "stress": stress, "layer": layer, "draws": draws}, size, found
    raise SystemExit("no stable film in 50 draws")


def text(values, digits=12):
    if isinstance(values, (list, tuple, np.ndarray)):
        return "[" + ", ".join(text(v, digits) for v in values) + "]"
    return repr(float(f"{float(values):.{digits}g}"))


def entry(film, data, size, found):
    outline = film["outline"]
    lines = ["", "[[film]]", f'shape = "{outline["shape"]}"', f"draws = {data['draws']}"]
    def put(key, value, digits=12):
        lines.append(f"{key} = {text(value, digits)}")
    for key in ("thickness", "stress", "layer"):
        put(key, data[key])
    scaled = {"size": outline.get("size"), "points": outline.get("points"), "hole": outline.get("hole"),
              "undercut": outline.get("undercut"), "centres": outline.get("centres"), "inner": film.get("inner"),
              "circles": film.get("circles"), "polygons": film.get("polygons")}
    for key, value in scaled.items():
        if value:
            put(key, times(value, size), 15)
    if "held_inside" in film:
        lines.append(f"held_inside = {str(film['held_inside']).lower()}")
    put("turn", film.get("turn", 0.0), 15)
    (omega, f_error), (share, share_error), (mass, mass_error), (mean, mean_error) = found
    put("frequency", omega / (2 * np.pi * size) * np.sqrt(data["stress"] / DENSITY))
    put("bending_share", share, 9)
    put("mass", mass * DENSITY * data["thickness"] * size**2, 9)
    put("mean_stress", mean[0] * data["stress"])
    put("frequency_error", f_error, 2)
    put("bending_share_error", share_error, 2)
    put("mass_error", mass_error, 2)
    put("mean_stress_error", mean_error[0], 2)
    return "\n".join(lines) + "\n"


def times(value, factor):
    return [times(v, factor) for v in value] if isinstance(value, (list, tuple)) else float(value) * factor


def main(name, count):
    path = os.path.join(os.path.dirname(os.path.abspath(__file__)), name + ".toml")
    if not os.path.exists(path):
        how = RADIAL if name == "ring" else FINITE.format(*DEGREES.get(name, (4, 5)))
        with open(path, "w") as out:
            out.write(HEAD.format(name=name, how=how, date=datetime.date.today(), python=sys.version.split()[0],
                                  numpy=np.__version__, scipy=scipy.__version__, modulus=MODULUS, nu=POISSON,
                                  density=DENSITY))
    with open(path) as have:
        done = have.read().count("[[film]]")
    for number in range(done, count):
        film, data, size, found = drawn(name, number)
        with open(path, "a") as out:
            out.write(entry(film, data, size, found))
        print(name, number, *(f"{np.max(e):.1e}" for _, e in found), flush=True)


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]))
