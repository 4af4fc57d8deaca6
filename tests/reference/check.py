"""Checks the checkers: radial.py and plate.py against values that others have worked out. Usage: check.py"""
import numpy as np

import plate
import radial


def uniform(n):
    return (lambda r: n + 0 * r,) * 2


def box(xs, ys):
    return [(lambda s, t: (s, t), np.asarray(xs, float), np.asarray(ys, float))]


def report(what, mine, known):
    mine, known = np.asarray(mine)[: len(known)], np.asarray(known)
    print(f"{what:58s} {np.max(np.abs(mine / known - 1)):.1e}")


def annuli():
    """Bessel functions: outer rim clamped, inner free."""
    for b, nu, n, omega, share in (
            (0.5, 0.3, 0.0, [17.71451434, 22.01457502, 32.11553446], None),
            (0.3, 0.23, 1e3, [92.15143085, 114.15851928, 159.75842090], [0.0494245, 0.0494223, 0.0559767]),
            (0.3, 0.23, 1e5, [884.49711268, 1099.51121067, 1536.40331199], [0.0041444, 0.0033915, 0.0030443])):
        breaks = radial.graded(b, 1.0, 0.1 if n < 1 else n**-0.5, 8)
        m = [radial.radial_modes(breaks, d, nu, 1.0, False, 1, uniform(n))[0] for d in range(3)]
        report(f"radial, annulus {b}, tension {n:g}: omega", [v[0] for v in m], omega)
        if share:
            report("   bending share", [v[1] for v in m], share)
            d = 1e-4  # its definition: D domega^2/dD over omega^2
            lift = [radial.radial_modes(breaks, k, nu, 1 + s * d, False, 1, uniform(n))[0][0] ** 2
                    for k in range(3) for s in (1, -1)]
            quotient = [(lift[2 * k] - lift[2 * k + 1]) / (2 * d) / m[k][0] ** 2 for k in range(3)]
            report("   bending share by difference quotient", [v[1] for v in m], quotient)


def ribbons():
    """Two sides simply supported, two free: Levy's separation, exact."""
    for nu, b, n, omega, share in (
            (0.3, 1, (0, 0), [9.631384872, 16.13477702, 36.72564201, 38.94495869, 46.73814707], None),
            (0.23, 0.5, (1000, 0), [99.8149733, 103.4040204, 145.5911115, 202.4729256, 209.5246359],
             [0.00937712, 0.0769507, 0.534382, 0.037001, 0.100731]),
            (0.23, 1, (1000, 1000), [99.83330808, 141.8106563, 202.5632267, 227.072551],
             [0.00972487, 0.0179931, 0.0378]),
            (0.23, 0.25, (1000, -50), [56.33021697, 99.80317393, 202.3827635, 207.5100102], [0.999664, 0.00936163])):
        mesh = plate.make_mesh(box(np.linspace(0, 1, 7), b * np.array([0, .08, .25, .5, .75, .92, 1])), 7,
                               lambda x, y: min(x, 1 - x) < 1e-9)
        m = plate.solve(mesh, nu, 1.0, 8, n, hinged=True)
        report(f"plate, hinged ribbon {b}, tension {n}: omega", m.omega, omega)
        if share:
            report("   bending share", m.bending_share, share)


def clamped_plates():
    """High-order finite elements of others; square plates without tension, and a ribbon in tension."""
    grade = np.array([0, .01, .03, .1, .25, .5, .75, .9, .97, .99, 1])
    for name, held, first, omega in (
            ("free all round", lambda x, y: False, 3, [13.468198, 19.596137, 24.270201, 34.800892]),
            ("cantilever", lambda x, y: x < 1e-9, 0, [3.4710429, 8.5063572, 21.284267, 27.198721, 30.954832]),
            ("two sides held", lambda x, y: min(x, 1 - x) < 1e-9, 0, [22.166085, 26.403326, 43.591491, 61.171352])):
        mesh = plate.make_mesh(box(grade, grade), 6, held)
        if first:  # its rigid motions need mass to be told from nothing
            forms = plate.make_forms(mesh, 0.3, (0, 0))
            shift = 100.0
            lu = plate.factor(forms.bend + shift * forms.mass)
            inverse = plate.LinearOperator(forms.bend.shape, matvec=lu.solve, dtype=float)
            values = plate.eigsh(forms.bend, k=10, M=forms.mass, sigma=-shift, OPinv=inverse, return_eigenvectors=False)
            found = np.sqrt(np.sort(values)[first:])
        else:
            found = plate.solve(mesh, 0.3, 1.0, 6, (0, 0)).omega
        report(f"plate, square, {name}: omega", found, omega)
    mesh = plate.make_mesh(box(grade, 0.25 * grade), 6, lambda x, y: min(x, 1 - x) < 1e-9)
    m = plate.solve(mesh, 0.23, 1.0, 6, (1e4, 0))
    report("plate, clamped ribbon .25: omega", m.omega, [320.7171, 325.3193, 494.1357, 642.3516])
    report("   bending share", m.bending_share, [0.021323, 0.049092, 0.588198, 0.024183])


def holed_squares():
    """Clamped square, free hole of radius .2, uniform tension: values of another code for this project."""
    def side(k):
        def place(s, t):
            a = np.pi / 2 * (k + s - 0.5)
            u = np.array([[0.5 + 0 * s, s - 0.5], [0.5 - s, 0.5 + 0 * s], [-0.5 + 0 * s, 0.5 - s],
                          [s - 0.5, -0.5 + 0 * s]][k], dtype=float)
            return (1 - t) * 0.2 * np.cos(a) + t * u[0], (1 - t) * 0.2 * np.sin(a) + t * u[1]
        return place
    for bending, pull, omega, share in (
            (1.0, 0.0, [46.11509, 68.50793, 68.50793, 100.0878], None),
            (4e-4, 1.0, [5.879432, 6.854191, 6.854191, 8.694383], [0.0706022, 0.0686089, 0.0686089, 0.0693424]),
            (2.5e-5, 1.0, [5.596490, 6.550593, 6.550593, 8.331089], [0.0151171, 0.0129737, 0.0129737, 0.0110297])):
        grade = [0, .06, .2, .45, .75, .9, .97, 1]
        s = [0, .06, .2, .4, .6, .8, .94, 1]
        mesh = plate.make_mesh([(side(k), np.array(s), np.array(grade)) for k in range(4)], 6,
                               lambda x, y: max(abs(x), abs(y)) > 0.5 - 1e-9)
        m = plate.solve(mesh, 0.23, bending, 5, (1, 1), pull)
        report(f"plate, square with hole, D {bending:g}, N {pull:g}: omega", m.omega, omega)
        if share:
            report("   bending share", m.bending_share, share)


def relaxed_ring():
    """plate.py with its own relaxed tension against radial.py: two ways that share nothing."""
    inner, nu = 0.4, 0.23
    for bending in (1e-2, 1e-4, 1e-6):
        exact, mean = radial.ring(inner, nu, bending, False, 8)
        t = (radial.graded(inner, 1.0, np.sqrt(bending), 4) - inner) / (1 - inner)
        def place(k):
            def at(s, t):
                a, r = np.pi / 2 * (k + s), inner + (1 - inner) * t
                return r * np.cos(a), r * np.sin(a)
            return at
        mesh = plate.make_mesh([(place(k), np.linspace(0, 1, 4), t) for k in range(4)], 6,
                               lambda x, y: np.hypot(x, y) > 1 - 1e-6)
        m = plate.solve(mesh, nu, bending, 8)
        report(f"plate against radial, relaxed ring, D {bending:g}: omega", m.omega, [v[0] for v in exact])
        report("   bending share", m.bending_share, [v[1] for v in exact])
        report("   mean tension", [m.mean_tension], [mean])
        report("   effective mass of the first", m.mass[:1], [exact[0][2]])


if __name__ == "__main__":
    for check in (annuli, ribbons, clamped_plates, holed_squares, relaxed_ring):
        check()
