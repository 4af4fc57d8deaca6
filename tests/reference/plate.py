"""Modes of a film as a plate in tension, by continuous finite elements of high degree on curved quadrilaterals.

    U = 1/2 Int D (nu (Lap w)^2 + (1 - nu) |Hess w|^2) + 1/2 Int grad w . N grad w,   T = 1/2 omega^2 Int m w^2

The slope may jump from element to element and at the clamped rim; an interior penalty ties it (Engel et al., Comput.
Methods Appl. Mech. Eng. 191 (2002) 3669; Brenner and Sung, J. Sci. Comput. 22-23 (2005) 83; from memory, re-derived):

    - Int ({M_nn(u)} [v_n] + {M_nn(v)} [u_n]) + Int (c p^2 D/h) [u_n] [v_n],    M_nn = D (nu Lap w + (1 - nu) w_nn)

The edges themselves are curved, so slopes are held along the true rim. Tension comes from plane stress on the same mesh.
Units: length L, deposited tension 1, mass per area 1; omega in sqrt(tension/mass)/L.
"""
from dataclasses import dataclass

import numpy as np
from numpy.polynomial import legendre
from scipy.sparse import coo_matrix, csr_matrix
from scipy.sparse.csgraph import connected_components
from scipy.sparse.linalg import LinearOperator, eigsh, splu
from scipy.spatial import cKDTree

PENALTY = 5.0  # four sides may each take their share of an element's bending; much more drowns in rounding


def lobatto(p):
    """Gauss-Lobatto points of degree p on [-1, 1]."""
    inner = legendre.legroots(legendre.legder([0] * p + [1]))
    return np.concatenate([[-1.0], np.sort(inner.real), [1.0]])


def lagrange(p, x):
    """Values, first and second derivatives at x of the polynomials on the Lobatto points: three arrays (x, p + 1)."""
    x = np.atleast_1d(x)
    to_nodal = np.linalg.inv(legendre.legvander(lobatto(p), p))
    unit = np.eye(p + 1)
    derived = [np.stack([legendre.legval(x, legendre.legder(c, m)) for c in unit], axis=1) for m in (0, 1, 2)]
    return [d @ to_nodal for d in derived]


def local(p, s, t):
    """Functions of an element at points (s, t): values and derivatives, arrays (points, (p + 1)^2), t slow."""
    a, b = lagrange(p, s), lagrange(p, t)
    def times(i, j):
        return np.einsum("qb,qa->qba", b[j], a[i]).reshape(len(a[0]), -1)
    return {"v": times(0, 0), "s": times(1, 0), "t": times(0, 1), "ss": times(2, 0), "st": times(1, 1), "tt": times(0, 2)}


@dataclass
class Mesh:
    p: int
    nodes: np.ndarray  # (N, 2)
    elements: np.ndarray  # (E, (p + 1)^2) node numbers
    faces: np.ndarray  # (F, 4): element, its side, the other element, its side
    held_faces: np.ndarray  # (H, 2): element, its side
    held_nodes: np.ndarray
    mirrors: list  # (faces, nodes) on x = 0 and on y = 0 where the mesh is a quarter of the film; otherwise empty


def side_nodes(p):
    grid = np.arange((p + 1) ** 2).reshape(p + 1, p + 1)
    return np.array([grid[0], grid[-1], grid[:, 0], grid[:, -1]])


def make_mesh(blocks, p, held, quarter=False):
    """@param blocks  (place, s, t) each: place(s, t) -> (x, y) on arrays, and where elements begin and end
    @param held     (x, y) -> is the rim held there?
    @param quarter  the film is mirrored at x = 0 and at y = 0, and the blocks are a quarter of it"""
    unit = 0.5 * (1.0 + lobatto(p))
    places = []
    for place, s, t in blocks:
        assert min(np.diff(s).min(), np.diff(t).min()) > 0, "elements of no width"
        at = [np.asarray(b)[:-1, None] + np.diff(b)[:, None] * unit for b in (s, t)]
        shape = (len(t) - 1, len(s) - 1, p + 1, p + 1)
        x, y = place(np.broadcast_to(at[0][None, :, None, :], shape), np.broadcast_to(at[1][:, None, :, None], shape))
        places.append(np.stack([x, y], axis=-1).reshape(-1, (p + 1) ** 2, 2))
    places = np.concatenate(places)
    flat = places.reshape(-1, 2)
    pairs = cKDTree(flat).query_pairs(1e-10 * np.ptp(flat[:, 0]), output_type="ndarray")
    links = coo_matrix((np.ones(len(pairs)), (pairs[:, 0], pairs[:, 1])), shape=(len(flat),) * 2)
    count, number = connected_components(links, directed=False)
    nodes = np.zeros((count, 2))
    nodes[number] = flat
    elements = number.reshape(len(places), -1)
    return mesh_of(p, nodes, elements, held, quarter)


def mesh_of(p, nodes, elements, held, quarter):
    sides = elements[:, side_nodes(p)]  # (E, 4, p + 1)
    seen, faces, rim = {}, [], []
    for e in range(len(elements)):
        for k in range(4):
            key = tuple(sorted((sides[e, k, 0], sides[e, k, -1])))
            if key in seen:
                faces.append((*seen.pop(key), e, k))
            else:
                seen[key] = (e, k)
    lines = [[], []]
    for e, k in seen.values():
        x, y = nodes[sides[e, k, (p + 1) // 2]]
        if held(x, y):
            rim.append((e, k))
        elif quarter and min(abs(x), abs(y)) < 1e-9:
            lines[0 if abs(x) < 1e-9 else 1].append((e, k))

    def with_nodes(these):
        these = np.array(these, int).reshape(-1, 2)
        return these, np.unique(sides[these[:, 0], these[:, 1]])
    return Mesh(p, nodes, elements, np.array(faces, int).reshape(-1, 4), *with_nodes(rim),
                [with_nodes(these) for these in lines] if quarter else [])


def derivatives(corners, f):
    """Of the functions in space: x, y, xx, xy, yy, arrays (E, points, functions); the Jacobian (E, points)."""
    at = {k: np.einsum("qn,enc->ecq", f[k], corners) for k in ("s", "t", "ss", "st", "tt")}
    xs, ys, xt, yt = at["s"][:, 0], at["s"][:, 1], at["t"][:, 0], at["t"][:, 1]
    area = xs * yt - xt * ys
    sx, sy, tx, ty = (v[..., None] for v in (yt / area, -xt / area, -ys / area, xs / area))
    x, y = sx * f["s"] + tx * f["t"], sy * f["s"] + ty * f["t"]
    ss, st, tt = (f[k] - x * at[k][:, 0, :, None] - y * at[k][:, 1, :, None] for k in ("ss", "st", "tt"))
    return {"x": x, "y": y, "xx": sx * sx * ss + 2 * sx * tx * st + tx * tx * tt,
            "xy": sx * sy * ss + (sx * ty + sy * tx) * st + tx * ty * tt,
            "yy": sy * sy * ss + 2 * sy * ty * st + ty * ty * tt, "area": area,
            "ds": np.hypot(xs, ys), "dt": np.hypot(xt, yt), "grads": (sx, sy), "gradt": (tx, ty)}


def gram(weights, a, b):
    return np.matmul((a * weights[..., None]).transpose(0, 2, 1), b)


class Sum:
    """Element matrices added up."""

    def __init__(self, size):
        self.size, self.total = size, csr_matrix((size, size))

    def add(self, blocks, rows, columns=None):
        columns = rows if columns is None else columns
        r = np.repeat(rows, columns.shape[1], axis=1).ravel()
        c = np.tile(columns, (1, rows.shape[1])).ravel()
        self.total = self.total + coo_matrix((blocks.ravel(), (r, c)), shape=(self.size, self.size)).tocsr()


def chunks(count, most):
    return [slice(i, min(i + most, count)) for i in range(0, count, most)]


def quadrature(p):
    x, w = legendre.leggauss(p + 2)
    s, t = np.meshgrid(x, x)
    return s.ravel(), t.ravel(), np.outer(w, w).ravel()


def relax(mesh, nu):
    """Displacement (N, 2) in units of tension over E h."""
    s, t, w = quadrature(mesh.p)
    f, n = local(mesh.p, s, t), len(mesh.nodes)
    stretch, shear = 1 / (1 - nu**2), 0.5 / (1 + nu)
    stiff, load = Sum(2 * n), np.zeros(2 * n)
    for c in chunks(len(mesh.elements), 150):
        e = mesh.elements[c]
        d = derivatives(mesh.nodes[e], f)
        area = np.abs(d["area"]) * w
        xx, yy, xy = gram(area, d["x"], d["x"]), gram(area, d["y"], d["y"]), gram(area, d["x"], d["y"])
        stiff.add(stretch * xx + shear * yy, e)
        stiff.add(stretch * yy + shear * xx, e + n)
        mixed = nu * stretch * xy + shear * xy.transpose(0, 2, 1)
        stiff.add(mixed, e, e + n)
        stiff.add(mixed.transpose(0, 2, 1), e + n, e)
        for k, axis in enumerate("xy"):
            np.add.at(load, e + k * n, -np.einsum("eq,eqn->en", area, d[axis]))
    free = np.ones(2 * n, bool)
    free[mesh.held_nodes] = free[mesh.held_nodes + n] = False
    for axis, (_, nodes) in enumerate(mesh.mirrors):
        free[nodes + axis * n] = False
    moved = np.zeros(2 * n)
    moved[free] = factor(stiff.total[free][:, free]).solve(load[free])
    return moved.reshape(2, n).T


def factor(matrix):
    return splu(matrix.tocsc(), permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True})


def tension_at(d, moved, nu):
    """(xx, yy, xy) at the points of an element."""
    g = {a + b: np.einsum("eqn,en->eq", d[b], moved[:, :, k]) for k, a in enumerate("uv") for b in "xy"}
    c = 1 / (1 - nu**2)
    return 1 + c * (g["ux"] + nu * g["vy"]), 1 + c * (g["vy"] + nu * g["ux"]), 0.5 / (1 + nu) * (g["uy"] + g["vx"])


@dataclass
class Forms:
    pull: csr_matrix
    bend: csr_matrix  # of D = 1
    mass: csr_matrix
    mean_tension: float
    area: float


def inside_forms(mesh, nu, uniform):
    s, t, w = quadrature(mesh.p)
    f, n = local(mesh.p, s, t), len(mesh.nodes)
    moved = None if uniform else relax(mesh, nu)
    pull, bend, mass = Sum(n), Sum(n), Sum(n)
    held, film = 0.0, 0.0
    for c in chunks(len(mesh.elements), 150):
        e = mesh.elements[c]
        d = derivatives(mesh.nodes[e], f)
        area = np.abs(d["area"]) * w
        if uniform:
            nx, ny, nxy = (np.full_like(area, v) for v in (*uniform, 0.0))
        else:
            nx, ny, nxy = tension_at(d, moved[e], nu)
        held, film = held + np.sum(area * (nx + ny)) / 2, film + np.sum(area)
        mixed = gram(area * nxy, d["x"], d["y"])
        pull.add(gram(area * nx, d["x"], d["x"]) + gram(area * ny, d["y"], d["y"]) + mixed + mixed.transpose(0, 2, 1), e)
        both = d["xx"] + d["yy"]
        bend.add(nu * gram(area, both, both) + (1 - nu) * (gram(area, d["xx"], d["xx"]) + gram(area, d["yy"], d["yy"])
                                                          + 2 * gram(area, d["xy"], d["xy"])), e)
        value = np.broadcast_to(f["v"], (len(e), *f["v"].shape))
        mass.add(gram(area, value, value), e)
    return Forms(pull.total, bend.total, mass.total, held / film, film)


def traces(mesh, elements, side, nu, x, flip):
    """On one side of each element, at points x along it: outward slope and M_nn of the functions, length elements, and
    the reach of the element across the side."""
    ends = {0: (x, -1.0), 1: (x, 1.0), 2: (-1.0, x), 3: (1.0, x)}
    out = [np.zeros((len(elements), len(x), (mesh.p + 1) ** 2)) for _ in range(2)] + [
        np.zeros((len(elements), len(x))) for _ in range(2)]
    for k, (s, t) in ends.items():
        for turned in (False, True):
            mine = np.flatnonzero((side == k) & (flip == turned))
            if not len(mine):
                continue
            along = x[::-1] if turned else x
            f = local(mesh.p, *(np.broadcast_to(along if v is x else v, x.shape) for v in (s, t)))
            d = derivatives(mesh.nodes[mesh.elements[elements[mine]]], f)
            gx, gy = d["gradt"] if k < 2 else d["grads"]
            size, sign = np.hypot(gx, gy), 1.0 if k % 2 else -1.0
            nx, ny = sign * gx / size, sign * gy / size
            out[0][mine] = nx * d["x"] + ny * d["y"]
            normal = nx * nx * d["xx"] + 2 * nx * ny * d["xy"] + ny * ny * d["yy"]
            out[1][mine] = nu * (d["xx"] + d["yy"]) + (1 - nu) * normal
            out[2][mine] = d["ds"] if k < 2 else d["dt"]
            out[3][mine] = 2 / size[..., 0]
    return out


def face_forms(mesh, nu):
    x, w = legendre.leggauss(mesh.p + 2)
    ends = mesh.elements[:, side_nodes(mesh.p)][:, :, [0, -1]]
    total = Sum(len(mesh.nodes))
    for c in chunks(len(mesh.faces), 100):
        e1, k1, e2, k2 = mesh.faces[c].T
        turned = ends[e1, k1, 0] != ends[e2, k2, 0]
        g1, m1, length, reach1 = traces(mesh, e1, k1, nu, x, np.zeros(len(e1), bool))
        g2, m2, _, reach2 = traces(mesh, e2, k2, nu, x, turned)
        jump, mean = np.concatenate([g1, g2], axis=2), 0.5 * np.concatenate([m1, m2], axis=2)
        total.add(tied(w * length, jump, mean, np.minimum(reach1, reach2), mesh.p),
                  np.concatenate([mesh.elements[e1], mesh.elements[e2]], axis=1))
    return total.total


def slope_held(mesh, nu, faces):
    """No slope across these (element, side)."""
    x, w = legendre.leggauss(mesh.p + 2)
    total = Sum(len(mesh.nodes))
    for c in chunks(len(faces), 100):
        e, k = faces[c].T
        g, m, length, reach = traces(mesh, e, k, nu, x, np.zeros(len(e), bool))
        total.add(tied(w * length, g, m, reach, mesh.p), mesh.elements[e])
    return total.total


def tied(weights, jump, mean, reach, p):
    mixed = gram(weights, mean, jump)
    return gram(weights * (PENALTY * p * p / reach), jump, jump) - mixed - mixed.transpose(0, 2, 1)


def make_forms(mesh, nu, uniform=None, hinged=False):
    """Over all nodes. @param uniform  (Nx, Ny) in place of the relaxed tension
    @param hinged  the held rim's slope is free"""
    forms = inside_forms(mesh, nu, uniform)
    forms.bend = forms.bend + face_forms(mesh, nu)
    if not hinged:
        forms.bend = forms.bend + slope_held(mesh, nu, mesh.held_faces)
    return forms


def symmetries(mesh, nu, bend):
    """Bending form and free nodes of each class of shapes: even or odd at each mirror; one class without mirrors."""
    classes = [(bend, np.zeros(0, int))]
    for faces, nodes in mesh.mirrors:
        even = slope_held(mesh, nu, faces)
        classes = [c for b, fixed in classes for c in ((b + even, fixed), (b, np.union1d(fixed, nodes)))]
    everything = np.arange(len(mesh.nodes))
    return [(b, np.setdiff1d(everything, np.union1d(mesh.held_nodes, fixed))) for b, fixed in classes]


@dataclass
class Modes:
    omega: np.ndarray
    bending_share: np.ndarray
    mass: np.ndarray  # effective, at the largest displacement, over mass per area and L^2
    mean_tension: float
    unknowns: int


def largest(mesh, shapes):
    """Largest displacement of each shape, on a fine raster of each element."""
    x = np.linspace(-1, 1, 3 * mesh.p + 1)
    s, t = np.meshgrid(x, x)
    value = local(mesh.p, s.ravel(), t.ravel())["v"]
    return np.array([np.abs(shape[mesh.elements] @ value.T).max() for shape in shapes.T])


def lowest(stiff, mass, count):
    """Some more than asked for: at the end of the list Lanczos may find one of an equal pair and not the other."""
    lu = factor(stiff)
    inverse = LinearOperator(stiff.shape, matvec=lu.solve, dtype=float)
    start = np.random.default_rng(1).normal(size=stiff.shape[0])
    values, vectors = eigsh(stiff, k=count + 4, M=mass, sigma=0.0, OPinv=inverse, v0=start, ncv=2 * count + 24)
    order = np.argsort(values)[:count]
    return values[order], vectors[:, order]


def solve(mesh, nu, bending, count, uniform=None, pull=1.0, hinged=False):
    """The lowest modes. @param bending  D over deposited tension and L^2"""
    forms = make_forms(mesh, nu, uniform, hinged)
    copies, found, unknowns = 2 ** len(mesh.mirrors), [], 0
    for bend, free in symmetries(mesh, nu, forms.bend):
        b, k, m = (bending * bend)[free][:, free], forms.pull[free][:, free], forms.mass[free][:, free]
        values, vectors = lowest((pull * k + b).tocsc(), m, count)
        shapes = np.zeros((len(mesh.nodes), len(values)))
        shapes[free] = vectors
        tops = largest(mesh, shapes)
        unknowns += len(free)
        found += [(w, v @ (b @ v) / w, copies * (v @ (m @ v)) / top**2) for w, v, top in zip(values, vectors.T, tops)]
    squares, shares, masses = np.array(sorted(found)[:count]).T
    return Modes(np.sqrt(np.abs(squares)) * np.sign(squares), shares, masses, forms.mean_tension, unknowns)
