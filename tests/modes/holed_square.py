"""A square film with one round free hole, by quadratic finite elements on a mesh that follows the hole.

Prints: mean relaxed stress over deposited stress; lowest frequencies times L / sqrt(stress/density).
Usage: holed_square.py RADIUS_OVER_SIDE POISSON_RATIO ELEMENTS_PER_QUARTER
"""
import sys
import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import eigsh, spsolve

radius, nu, n = float(sys.argv[1]), float(sys.argv[2]), int(sys.argv[3])
around, out = 8 * n, 2 * n  # half elements: nodes of quadratic elements


def place(s, t):
    """s turns round the hole (0 to 1), t goes from the hole (0) to the rim (1)."""
    angle = 2 * np.pi * s - np.pi / 4
    circle = radius * np.array([np.cos(angle), np.sin(angle)])
    side, along = divmod(4 * s, 1)
    along -= 0.5
    square = {0: (0.5, along), 1: (-along, 0.5), 2: (-0.5, -along), 3: (along, -0.5)}[int(side) % 4]
    return (1 - t) * circle + t * np.array(square)


grade = lambda t: t**1.5 * 0.6 + 0.4 * t
nodes = np.array([place(i / around, grade(j / out)) for j in range(out + 1) for i in range(around)])
number = lambda i, j: (i % around) + around * j
elements = np.array([[number(i + a, j + b) for b in range(3) for a in range(3)]
                     for j in range(0, out, 2) for i in range(0, around, 2)])

gauss, weight = np.polynomial.legendre.leggauss(4)
line = lambda x: np.array([x * (x - 1) / 2, 1 - x * x, x * (x + 1) / 2])
slope = lambda x: np.array([x - 0.5, -2 * x, x + 0.5])
points = []
corners = nodes[elements]
for x, wx in zip(gauss, weight):
    for y, wy in zip(gauss, weight):
        value = np.outer(line(y), line(x)).ravel()
        local = np.array([np.outer(line(y), slope(x)).ravel(), np.outer(slope(y), line(x)).ravel()])
        jacobian = np.einsum("ak,ekc->eac", local, corners)
        gradient = np.einsum("eac,ck->eak", np.linalg.inv(jacobian), local)
        points.append((value, gradient, wx * wy * np.abs(np.linalg.det(jacobian))))


def assemble(blocks, dofs, size):
    rows = np.repeat(dofs, dofs.shape[1], axis=1).ravel()
    columns = np.tile(dofs, (1, dofs.shape[1])).ravel()
    return coo_matrix((blocks.ravel(), (rows, columns)), shape=(size, size)).tocsc()


# In the plane: stress 1, modulus 1; deposition strain 1 - nu.
law = np.array([[1, nu, 0], [nu, 1, 0], [0, 0, (1 - nu) / 2]]) / (1 - nu**2)
pull = np.array([1.0, 1.0, 0.0])
count = len(elements)
both = np.stack([2 * elements, 2 * elements + 1], axis=2).reshape(count, 18)
stiff, load = np.zeros((count, 18, 18)), np.zeros((count, 18))


def strain_rows(gradient):
    rows = np.zeros((count, 3, 18))
    rows[:, 0, 0::2], rows[:, 1, 1::2] = gradient[:, 0], gradient[:, 1]
    rows[:, 2, 0::2], rows[:, 2, 1::2] = gradient[:, 1], gradient[:, 0]
    return rows


for value, gradient, area in points:
    rows = strain_rows(gradient)
    stiff += np.einsum("eri,rs,esj,e->eij", rows, law, rows, area)
    load -= np.einsum("eri,r,e->ei", rows, pull, area)
inside = np.arange(around * out)  # the last ring of nodes is the clamped rim
free = np.stack([2 * inside, 2 * inside + 1], axis=1).ravel()
force = np.zeros(2 * len(nodes))
np.add.at(force, both, load)
shift = np.zeros(2 * len(nodes))
shift[free] = spsolve(assemble(stiff, both, 2 * len(nodes))[free][:, free], force[free])

held, mass, total, film = np.zeros((count, 9, 9)), np.zeros((count, 9, 9)), 0.0, 0.0
largest = 0.0
for value, gradient, area in points:
    strain = np.einsum("eri,ei->er", strain_rows(gradient), shift[both])
    stress = pull + strain @ law.T
    tensor = np.stack([stress[:, [0, 2]], stress[:, [2, 1]]], axis=1)
    held += np.einsum("eai,eab,ebj,e->eij", gradient, tensor, gradient, area)
    mass += np.einsum("i,j,e->eij", value, value, area)
    total += np.sum(area * (stress[:, 0] + stress[:, 1]) / 2)
    film += np.sum(area)
k = assemble(held, elements, len(nodes))[inside][:, inside]
m = assemble(mass, elements, len(nodes))[inside][:, inside]
# More than are printed: among the last ones asked for Lanczos may find one of an equal pair and not the other.
values = np.sort(eigsh(k, k=12, M=m, sigma=0.0, which="LM", return_eigenvectors=False, tol=1e-12))[:8]
print(f"{total / film:.9f}")
print(" ".join(f"{np.sqrt(v) / (2 * np.pi):.9f}" for v in values))
