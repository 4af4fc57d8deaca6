"""Random films, class by class, each with its drawing for the program and its blocks of elements for plate.py.

Lengths here are in units of the film's size L; `layer` is sqrt(D/N)/L with N as deposited. A film is a dict: `outline`,
`openings` (what the program is given), `layer`; `blocks(fine)` and `held` belong to plate.py.
"""
import numpy as np

PIECES = {False: 3, True: 4}  # elements along what is smooth, coarse and fine mesh
GROWTH = {False: 2.6, True: 2.2}


def crowded(length, first, last, pieces, growth):
    """Breaks on [0, 1] whose pieces grow from `first` at 0 and from `last` at 1 (lengths) to a share of `length`."""
    most = length / pieces
    def side(step):
        steps = []
        while step < 0.6 * most and sum(steps) + step < 0.4 * length:
            steps.append(step)
            step *= growth
        return np.cumsum([0.0] + steps)
    low, high = side(first), side(last)
    rest = length - low[-1] - high[-1]
    middle = low[-1] + rest * np.linspace(0, 1, max(2, int(np.ceil(rest / most - 1e-6))) + 1)
    return np.concatenate([low[:-1], middle, length - high[:-1][::-1]]) / length


def line(a, b):
    return lambda s: (a[0] + (b[0] - a[0]) * s, a[1] + (b[1] - a[1]) * s)


def arc(centre, r, a, b):
    return lambda s: (centre[0] + r * np.cos(a + (b - a) * s), centre[1] + r * np.sin(a + (b - a) * s))


def inner_arc(centre, r, outer, hub=None):
    """The part of a circle opposite an outer curve."""
    hub = centre if hub is None else hub
    a, b = (np.arctan2(p[1] - hub[1], p[0] - hub[0]) for p in (outer(0.0), outer(1.0)))
    return arc(centre, r, a, a + (b - a) % (2 * np.pi))


def between(outer, inner):
    def place(s, t):
        (x, y), (u, v) = outer(s), inner(s)
        return (1 - t) * u + t * x, (1 - t) * v + t * y
    return place


def corners_of(width, height, x=0.0, y=0.0):
    return [(x + sx * width / 2, y + sy * height / 2) for sx, sy in ((1, -1), (1, 1), (-1, 1), (-1, -1))]


def closed(points):
    return list(zip(points, points[1:] + points[:1]))


def disc(draw, layer):
    hole = draw.uniform(0.1, 0.8)
    off, turn = draw.uniform(0.05, 0.5) * (1 - hole) / 2, draw.uniform(0, 2 * np.pi)
    centre = (off * np.cos(turn), off * np.sin(turn))
    def blocks(fine):
        gap, n = (1 - hole) / 2, PIECES[fine]
        t = crowded(gap, min(3 * layer, gap / 3), 1.3 * layer, n, GROWTH[fine])
        out = []
        for k in range(4):
            outer = arc((0, 0), 0.5, k * np.pi / 2, (k + 1) * np.pi / 2)
            out.append((between(outer, arc(centre, hole / 2, k * np.pi / 2, (k + 1) * np.pi / 2)),
                        np.linspace(0, 1, n + 2), t))
        return out
    return {"outline": {"shape": "disc", "size": [1.0]}, "circles": [(*centre, hole)], "blocks": blocks,
            "held": lambda x, y: np.hypot(x, y) > 0.5 - 1e-7}


def square(draw, layer):
    """One hole off the middle, or four of unlike size."""
    one = draw.uniform() < 0.6
    half = 0.5 if one else 0.25
    places = [(0.0, 0.0)] if one else [(x, y) for x in (-0.25, 0.25) for y in (-0.25, 0.25)]
    circles = []
    for x, y in places:
        hole = 2 * half * draw.uniform(0.1, 0.8)
        reach = 0.5 * (half - hole / 2)
        circles.append((x + draw.uniform(-reach, reach), y + draw.uniform(-reach, reach), hole))
    def blocks(fine):
        out, n, grow = [], PIECES[fine], GROWTH[fine]
        end = min(2 * layer, half / 4)
        for (x, y), (u, v, hole) in zip(places, circles):
            gap = half - hole / 2
            t = crowded(gap, min(3 * layer, gap / 3), 1.3 * layer, n, grow)
            s = crowded(2 * half, end, end, n + 1, grow)
            for a, b in closed(corners_of(2 * half, 2 * half, x, y)):
                side = line(a, b)
                out.append((between(side, inner_arc((u, v), hole / 2, side, (x, y))), s, t))
        return out
    return {"outline": {"shape": "rectangle", "size": [1.0, 1.0]}, "circles": circles, "blocks": blocks,
            "held": lambda x, y: max(abs(x), abs(y)) > 0.5 - 1e-9}


def strip(draw, layer):
    width = 0.02 * 20 ** draw.uniform()
    def blocks(fine):
        grow = 3.0
        corner = max((0.004 if fine else 0.01) * width, 0.1 * layer)  # thinner elements drown in rounding
        x = crowded(0.5, 1.0, min(layer, corner), 5 if fine else 4, grow)
        y = crowded(width / 2, 1.0, corner, 2 if fine else 1, grow)
        return [(lambda s, t: (s / 2, width * t / 2), x, y)]
    return {"outline": {"shape": "strip", "size": [1.0, width]}, "blocks": blocks, "quarter": True,
            "held": lambda x, y: abs(x) > 0.5 - 1e-9}


def patch(a, b, c, d):
    """A straight-sided quadrilateral: s from a to b, t from a to d."""
    def place(s, t):
        return tuple((1 - s) * (1 - t) * a[k] + s * (1 - t) * b[k] + s * t * c[k] + (1 - s) * t * d[k] for k in (0, 1))
    return place


def pad(draw, layer):
    """A square pad on four tethers from the middles of a window's sides, which meet its corners or its sides; in half
    of the films turned by any angle."""
    tether, half = 0.03 * 5 ** draw.uniform(), draw.uniform(0.1, 0.3)
    diamond = draw.uniform() < 0.7
    lines = [0.0, tether / 2, half, 0.5]
    def blocks(fine):
        grow = 3.5 if fine else 4.5
        corner = max((0.008 if fine else 0.02) * tether, 0.03 * layer)  # thinner elements drown in rounding
        ends = [(1.0, corner), (corner, corner), (corner, min(layer, corner))]
        breaks = [crowded(b - a, *e, n, grow) for a, b, e, n in zip(lines, lines[1:], ends, (1, 2, 3))]
        leg = (half - tether / 2) / 2
        toward = crowded(leg, corner, leg, 1, grow)
        if diamond:
            breaks[1] = np.concatenate([toward, 2 - toward[-2::-1]]) / 2
        cells = [(0, 0), (0, 1), (0, 2), (1, 0), (2, 0)] + ([] if diamond else [(1, 1)])
        out = []
        for i, j in cells:
            def place(s, t, x=lines[i], dx=lines[i + 1] - lines[i], y=lines[j], dy=lines[j + 1] - lines[j]):
                return x + dx * s, y + dy * t
            out.append((place, breaks[i], breaks[j]))
        if diamond:
            ends = [np.array(v) for v in ((lines[1], lines[1]), (half, lines[1]), (lines[1], half))]
            for k in range(3):
                a, b, c = ends[k], ends[(k + 1) % 3], ends[(k + 2) % 3]
                out.append((patch(a, (a + b) / 2, (a + b + c) / 3, (a + c) / 2), toward, toward))
        return out
    a, b = tether / 2, half
    flank = [(a, b), (a, 1.0), (1.0, 1.0), (1.0, a), (b, a)] + ([] if diamond else [(b, b)])
    polygons = []
    for sx, sy in ((1, 1), (-1, 1), (-1, -1), (1, -1)):
        points = [(sx * x, sy * y) for x, y in flank]
        polygons.append(points[::-1] if sx * sy > 0 else points)
    return {"outline": {"shape": "polygon", "points": corners_of(1.0, 1.0)}, "polygons": polygons, "blocks": blocks,
            "held": lambda x, y: max(abs(x), abs(y)) > 0.5 - 1e-9, "quarter": True,
            "turn": draw.uniform(0.0, np.pi / 2) if draw.uniform() < 0.5 else 0.0}


def front(draw, layer):
    """The union of discs round the holes of a square lattice: what an etch through them sets free."""
    columns, rows = 2 * draw.integers(1, 4), 2 * draw.integers(1, 3)
    radius, hole = draw.uniform(0.74, 1.0), draw.uniform(0.15, 0.6)  # in pitches; the hole's diameter
    size = max(columns, rows) - 1 + 2 * radius
    r, d, pitch = radius / size, hole / size, 1 / size
    holes = [((i - (columns - 1) / 2) * pitch, (j - (rows - 1) / 2) * pitch) for i in range(columns) for j in range(rows)]
    def blocks(fine):
        grow, n = (3.5, 2) if fine else (4.5, 2)
        cusp = (0.02 if fine else 0.05) * pitch
        rim, free = min(1.5 * layer, cusp), pitch
        out = []
        for i in range(columns // 2, columns):
            for j in range(rows // 2, rows):
                centre = holes[i * rows + j]
                for outer, ends, rimmed in cell(i, j, columns, rows, centre, r, pitch):
                    length = np.hypot(*(np.subtract(outer(1.0), outer(0.0))))
                    s = crowded(length, *(cusp if e else free for e in ends), n, grow)
                    edge = i == columns - 1 or j == rows - 1
                    t = crowded(0.5 * pitch - d / 2, free, rim if edge else free, n, grow)
                    out.append((between(outer, inner_arc(centre, d / 2, outer)), s, t))
        return out
    def held(x, y):
        return min(np.hypot(x - u, y - v) for u, v in holes) > r - 1e-7
    return {"outline": {"shape": "front", "hole": d, "undercut": r - d / 2, "centres": holes}, "blocks": blocks,
            "held": held, "quarter": True, "circles": [(*c, d) for c in holes]}


def cell(i, j, columns, rows, centre, r, pitch):
    """The curves round one hole of a front, counter-clockwise: sides towards its neighbours, arcs of the rim; for each
    whether its ends are cusps of the rim, and whether it is the rim."""
    there = [i + 1 < columns, j + 1 < rows, i > 0, j > 0]  # right, above, left, below
    reach = np.sqrt(r**2 - pitch**2 / 4)
    def at(k, along):  # on the side in direction k, `along` counter-clockwise from its middle
        c, s = np.cos(k * np.pi / 2), np.sin(k * np.pi / 2)
        return centre[0] + c * pitch / 2 - s * along, centre[1] + s * pitch / 2 + c * along
    out = []
    for k in range(4):
        if not there[k]:
            continue
        before, after = there[k - 1], there[(k + 1) % 4]
        out.append((line(at(k, -pitch / 2 if before else -reach), at(k, pitch / 2 if after else reach)),
                    (not before, not after), False))
        if after:
            continue
        stop = next(m for m in range(k + 1, k + 5) if there[m % 4])
        turn = np.arctan2(reach, pitch / 2)
        a, b = k * np.pi / 2 + turn, stop * np.pi / 2 - turn
        parts = max(1, int(np.ceil((b - a) / 1.3)))
        angles = np.linspace(a, b, parts + 1)
        for m in range(parts):
            out.append((arc(centre, r, angles[m], angles[m + 1]), (m == 0, m == parts - 1), True))
    return out


def polygon(draw, layer):
    """A convex polygon cut in two by a line; in the middle of either part a round or a square opening."""
    corners = draw.integers(3, 8)
    angles = 2 * np.pi * (np.arange(corners) + draw.uniform(-0.25, 0.25, corners)) / corners + draw.uniform(0, 1)
    rim = [(0.5 * np.cos(a), 0.5 * np.sin(a) * 0.85) for a in angles]
    halves = cut(rim, centroid(rim)[0])
    openings = []
    for part in halves:
        centre = centroid(part)
        room = min(abs(np.cross(np.subtract(b, a), np.subtract(centre, a))) / np.hypot(*np.subtract(b, a))
                   for a, b in closed(part))
        radius, turn = draw.uniform(0.15, 0.7) * room, draw.uniform(0, np.pi / 2)
        square = draw.uniform() < 0.4
        openings.append((centre, radius, [(centre[0] + radius * np.cos(turn + k * np.pi / 2),
                                           centre[1] + radius * np.sin(turn + k * np.pi / 2)) for k in range(4)]
                         if square else None))
    def blocks(fine):
        out = []
        for part, (centre, radius, points) in zip(halves, openings):
            out += opened(part, halves, openings, centre, radius, points, layer, fine)
        return out
    inside = [(a, b) for a, b in closed(rim)]
    def held(x, y):
        return min(abs(np.cross(np.subtract(b, a), np.subtract((x, y), a))) / np.hypot(*np.subtract(b, a))
                   for a, b in inside) < 1e-8
    return {"outline": {"shape": "polygon", "points": rim}, "blocks": blocks, "held": held,
            "circles": [(*c, 2 * r) for c, r, p in openings if p is None],
            "polygons": [p for _, _, p in openings if p is not None]}


def centroid(points):
    p, q = np.array(points), np.roll(points, -1, axis=0)
    area = np.cross(p, q)
    return tuple(((p + q) * area[:, None]).sum(axis=0) / (3 * area.sum()))


def cut(points, x0):
    """What lies left and right of x = x0."""
    out = []
    for sign in (1, -1):
        part = []
        for a, b in closed(points):
            if sign * (a[0] - x0) < 0:
                part.append(a)
            if (a[0] - x0) * (b[0] - x0) < 0:
                part.append((x0, a[1] + (x0 - a[0]) / (b[0] - a[0]) * (b[1] - a[1])))
        out.append(part)
    return out


def hit(origin, toward, a, b):
    """Share of a to b at which the ray from origin through `toward` meets it, or nothing."""
    d, e = np.subtract(toward, origin), np.subtract(b, a)
    along, s = np.linalg.solve(np.array([d, -e]).T, np.subtract(a, origin))
    return s if along > 0 and -1e-12 < s < 1 + 1e-12 else None


def opened(part, halves, openings, centre, radius, points, layer, fine):
    """Blocks between one opening and its part of the polygon."""
    grow, n = (3.0, 2) if fine else (4.0, 2)
    sharp = 0.02 if fine else 0.04
    x0 = max(v[0] for v in halves[0])
    out = []
    for a, b in closed(part):
        on_cut = abs(a[0] - x0) + abs(b[0] - x0) < 1e-9
        length = np.hypot(*np.subtract(b, a))
        marks = {0.0: 3 * layer if on_cut else length, 1.0: 3 * layer if on_cut else length}
        for c, r, corners in openings if on_cut else [(centre, radius, points)]:
            for q in corners or []:
                s = hit(c, q, a, b)
                if s is not None:
                    marks[s] = sharp * 2 * r
        at = sorted(marks)
        room = np.abs(np.cross(np.subtract(b, a), np.subtract(centre, a))) / length - radius
        t = crowded(room, (sharp if points else 1.0) * radius, 1.3 * layer, n, grow)
        for low, high in zip(at, at[1:]):
            outer = line(np.add(a, np.multiply(low, np.subtract(b, a))), np.add(a, np.multiply(high, np.subtract(b, a))))
            s = crowded((high - low) * length, marks[low], marks[high], max(1, int((high - low) * (n + 1) + 0.4)), grow)
            inner = inner_arc(centre, radius, outer) if points is None else facing(centre, points, outer)
            out.append((between(outer, inner), s, t))
    steps = max((t for _, _, t in out), key=len)  # radial lines are shared all round
    return [(place, s, steps) for place, s, _ in out]


def facing(centre, points, outer):
    """The straight part of a polygonal opening opposite an outer curve."""
    ends = []
    for s in (0.0, 1.0):
        for a, b in closed(points):
            share = hit(centre, outer(s), a, b)
            if share is not None:
                ends.append(np.add(a, np.multiply(share, np.subtract(b, a))))
                break
    return line(*ends)
