"""Modes of a ring of film as an equation of the radius alone: Hermite cubics with bubbles of high degree.

For d nodal diameters, w = W(r) cos(d phi), with k = W'', q = W'/r - d^2 W/r^2, t = d (W'/r - W/r^2):
    U = 1/2 Int (D [(k + q)^2 - 2 (1 - nu) (k q - t^2)] + N_r W'^2 + N_t d^2 W^2/r^2) r dr,  T = 1/2 omega^2 Int W^2 r dr
(Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, ch. 3 and 9, from memory, re-derived). With a free
inner rim the tension is Lame's, u = A r + B/r (Timoshenko and Goodier, Theory of Elasticity, section 28, likewise);
with both rims held it is the deposited one. Units as in plate.py, the outer radius 1.
"""
import numpy as np
from numpy.polynomial import polynomial as poly
from scipy.linalg import eigh

BUBBLES = 10


def functions():
    """Polynomials on [-1, 1]: value and slope at the left, at the right, then bubbles (1 - x^2)^2 P_k."""
    hermite = [np.array([2, -3, 0, 1]) / 4, np.array([1, -1, -1, 1]) / 4, np.array([2, 3, 0, -1]) / 4,
               np.array([-1, -1, 1, 1]) / 4]
    bubble = poly.polymul([1, 0, -1], [1, 0, -1])
    return hermite + [poly.polymul(bubble, np.polynomial.legendre.leg2poly([0] * k + [1])) for k in range(BUBBLES)]


def tension(inner, nu, held_inside):
    """(N_r, N_t) of the radius, over the deposited tension; and the mean of their mean."""
    if held_inside:
        return (lambda r: 1.0 + 0 * r, lambda r: 1.0 + 0 * r), 1.0
    q = 1 / inner**2
    a = -1 / ((1 + nu) + (1 - nu) * q)
    return (tuple((lambda r, sign=sign: 1 + a * ((1 + nu) + sign * (1 - nu) / r**2)) for sign in (1, -1)),
            1 + a * (1 + nu))


def forms(breaks, d, nu, pull):
    """Bending of D = 1, tension, mass, over the coefficients (value and slope at each break, then bubbles)."""
    base = functions()
    n, size = len(breaks), 2 * len(breaks) + BUBBLES * (len(breaks) - 1)
    bend, held, mass = (np.zeros((size, size)) for _ in range(3))
    x, w = np.polynomial.legendre.leggauss(BUBBLES + 6)
    rows = [[poly.polyval(x, poly.polyder(f, m)) if m else poly.polyval(x, f) for f in base] for m in range(3)]
    for e in range(n - 1):
        half = 0.5 * (breaks[e + 1] - breaks[e])
        scale = np.array([1, half, 1, half] + [1] * BUBBLES)[:, None]
        W, s, k = (np.array(rows[m]) * scale / half**m for m in range(3))
        r = breaks[e] + half * (1 + x)
        q, t = s / r - d * d * W / r**2, d * (s / r - W / r**2)
        area = w * half * r
        at = np.r_[2 * e : 2 * e + 4, 2 * n + BUBBLES * e : 2 * n + BUBBLES * (e + 1)]
        into = np.ix_(at, at)
        both = k + q
        bend[into] += (both * area) @ both.T - (1 - nu) * ((k * area) @ q.T + (q * area) @ k.T - 2 * (t * area) @ t.T)
        held[into] += (s * area * pull[0](r)) @ s.T + (W * area * pull[1](r) * d * d / r**2) @ W.T
        mass[into] += (W * area) @ W.T
    return bend, held, mass


def largest(breaks, coefficients):
    base, n = functions(), len(breaks)
    x, top = np.linspace(-1, 1, 101), 0.0
    for e in range(n - 1):
        half = 0.5 * (breaks[e + 1] - breaks[e])
        own = np.r_[coefficients[2 * e : 2 * e + 4] * [1, half, 1, half],
                    coefficients[2 * n + BUBBLES * e : 2 * n + BUBBLES * (e + 1)]]
        top = max(top, np.abs(sum(c * poly.polyval(x, f) for c, f in zip(own, base))).max())
    return top


def radial_modes(breaks, d, nu, bending, held_inside, count, pull=None):
    """(omega, bending share, effective mass) of the lowest `count`."""
    field = pull or tension(breaks[0], nu, held_inside)[0]
    bend, held, mass = forms(breaks, d, nu, field)
    last = 2 * (len(breaks) - 1)
    fixed = [last, last + 1] + ([0, 1] if held_inside else [])
    free = np.setdiff1d(np.arange(len(bend)), fixed)
    bend, held, mass = (m[np.ix_(free, free)] for m in (bend, held, mass))
    stiff = held + bending * bend
    # The largest of 1/omega^2: the smallest of omega^2 would drown in the rounding of the highest.
    inverse, vectors = eigh(mass, stiff, subset_by_index=[len(stiff) - count, len(stiff) - 1])
    out = []
    for value, v in zip(1 / inverse[::-1], (vectors / np.sqrt(inverse)).T[::-1]):
        all_of = np.zeros(2 * len(breaks) + BUBBLES * (len(breaks) - 1))
        all_of[free] = v
        out.append((np.sqrt(value), bending * v @ bend @ v / value,
                    (2 if d == 0 else 1) * np.pi / largest(breaks, all_of) ** 2))
    return out


def graded(low, high, layer, pieces):
    """Breaks from low to high that crowd at both ends: first piece one layer and a half, each next twice as long."""
    most, steps, at = (high - low) / pieces, [], 1.5 * layer
    while at < most:
        steps.append(at)
        at *= 2.0
    side = np.cumsum([0.0] + steps)
    side = side[side < 0.35 * (high - low)]
    middle = np.linspace(low + side[-1], high - side[-1], pieces + 1)
    return np.concatenate([low + side[:-1], middle, (high - side[:-1])[::-1]])


def ring(inner, nu, bending, held_inside, count, pieces=8, pull=None):
    """The lowest modes of all nodal diameters: (omega, share, mass, diameters), pairs twice; and the mean tension."""
    breaks = graded(inner, 1.0, np.sqrt(bending), pieces)
    found = []
    for d in range(40):
        these = radial_modes(breaks, d, nu, bending, held_inside, min(count, 8), pull)
        found += [(*m, d) for m in these for _ in range(2 if d else 1)]
        lowest = sorted(found)[:count]
        if len(lowest) == count and these[0][0] > lowest[-1][0]:
            break
    return lowest, tension(inner, nu, held_inside)[1]
