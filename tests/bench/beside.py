#!/usr/bin/python3
"""General eigensolvers on the matrices that `bench_resolved -e FILE` wrote: beside.py FILE [NAME ...]

arpack       SciPy: ARPACK, shift-invert on SuperLU
lobpcg       SLEPc: locally optimal block gradients with PETSc's algebraic multigrid
krylovschur  SLEPc: Krylov-Schur, shift-invert on PETSc's Cholesky factor

Twenty lowest pairs to a relative residual of 1e-4, as bench_resolved. Debian: python3-scipy, python3-slepc4py, whose modules lie
below /usr/lib/slepcdir and /usr/lib/petscdir: their dist-packages belong on PYTHONPATH.
"""
import sys
import time

import numpy as np
from scipy.sparse import csr_matrix, diags

WANTED, RESIDUAL = 20, 1e-4


def read(file):
    with open(file, "rb") as lines:
        size, entries = map(int, lines.readline().split())
        rows = np.loadtxt(lines, max_rows=entries)
        mass = np.loadtxt(lines)
    stiffness = csr_matrix((rows[:, 2], (rows[:, 0].astype(int), rows[:, 1].astype(int))), shape=(size, size))
    lower_only = (abs(stiffness - stiffness.T)).max() > 1e-9 * abs(stiffness).max()
    if lower_only:
        stiffness = stiffness + stiffness.T - diags(stiffness.diagonal())
    # Both about one: general solvers take absolute limits somewhere.
    return (stiffness / stiffness.diagonal().mean()).tocsr(), mass / mass.mean()


def arpack(stiffness, mass):
    from scipy.sparse.linalg import eigsh

    return eigsh(stiffness.tocsc(), k=WANTED, M=diags(mass).tocsc(), sigma=0.0, which="LM", tol=1e-6)


def by_slepc(stiffness, mass, kind, set_up):
    from petsc4py import PETSc
    from slepc4py import SLEPc

    def matrix(a):
        out = PETSc.Mat().createAIJ(size=a.shape, csr=(a.indptr.astype(np.int32), a.indices.astype(np.int32), a.data))
        out.setOption(PETSc.Mat.Option.SYMMETRIC, True)
        return out

    k, m = matrix(stiffness), matrix(diags(mass).tocsr())
    solver = SLEPc.EPS().create()
    solver.setOperators(k, m)
    solver.setProblemType(SLEPc.EPS.ProblemType.GHEP)
    solver.setType(kind)
    solver.setDimensions(nev=WANTED)
    solver.setTolerances(tol=RESIDUAL, max_it=500)
    solver.setConvergenceTest(SLEPc.EPS.Conv.REL)
    set_up(solver, k)
    solver.solve()
    found = min(WANTED, solver.getConverged())
    vector = k.createVecRight()
    values = np.array([solver.getEigenvalue(n).real for n in range(found)])
    shapes = []
    for n in range(found):
        solver.getEigenvector(n, vector)
        shapes.append(vector.getArray().copy())
    return values, np.array(shapes).T


def lobpcg(stiffness, mass):
    from slepc4py import SLEPc

    def set_up(solver, k):
        solver.setWhichEigenpairs(SLEPc.EPS.Which.SMALLEST_REAL)
        solver.setLOBPCGBlockSize(WANTED + 4)
        transform = solver.getST()
        transform.setType(SLEPc.ST.Type.PRECOND)
        transform.getKSP().getPC().setType("gamg")

    return by_slepc(stiffness, mass, "lobpcg", set_up)


def krylovschur(stiffness, mass):
    from slepc4py import SLEPc

    def set_up(solver, k):
        solver.setWhichEigenpairs(SLEPc.EPS.Which.TARGET_MAGNITUDE)
        solver.setTarget(0.0)
        transform = solver.getST()
        transform.setType(SLEPc.ST.Type.SINVERT)
        transform.getKSP().setType("preonly")
        transform.getKSP().getPC().setType("cholesky")

    return by_slepc(stiffness, mass, "krylovschur", set_up)


def main():
    stiffness, mass = read(sys.argv[1])
    print(f"{len(mass)} unknowns")
    for name in sys.argv[2:] or ["arpack", "lobpcg", "krylovschur"]:
        wall, processor = time.monotonic(), time.process_time()
        values, shapes = globals()[name](stiffness, mass)
        wall, processor = time.monotonic() - wall, time.process_time() - processor
        if len(values) < WANTED:
            print(f"  {name:<12} {wall:8.2f} s wall {processor:8.2f} s processor  ONLY {len(values)} CONVERGED")
            continue
        load = shapes * mass[:, None]
        rest = stiffness @ shapes - load * values
        worst = max(np.linalg.norm(rest, axis=0) / (values * np.linalg.norm(load, axis=0)))
        print(f"  {name:<12} {wall:8.2f} s wall {processor:8.2f} s processor  residual {worst:.1e}  lowest {min(values):.12g}")


main()
