"""A second, unlike solution of straight-sided films: second_opinion.py CLASS NUMBER [FINER] reads a film of CLASS.toml.

Hsieh-Clough-Tocher triangles (cubics, slopes continuous) of a general finite-element library, GetFEM, on a mesh by Gmsh
that is fine at the rim's bending layer and at corners; cubic triangles for the tension. Held rims by a penalty. Debian:
python3-getfem, python3-gmsh.
"""
import sys
import tomllib

import getfem as gf
import gmsh
import numpy as np
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import LinearOperator, eigsh, splu

POISSON, DENSITY = 0.23, 3100.0


def off_line(p, a, b):
    """Distance of a point from a straight side."""
    d = np.subtract(b, a)
    s = np.clip(np.dot(np.subtract(p, a), d) / np.dot(d, d), 0, 1)
    return np.hypot(*(np.subtract(p, a) - s * d))


def triangles(rim, openings, layer, finer):
    gmsh.initialize()
    gmsh.option.setNumber("General.Terminal", 0)
    occ = gmsh.model.occ

    def surface(points):
        tags = [occ.addPoint(*p, 0) for p in points]
        lines = [occ.addLine(a, b) for a, b in zip(tags, tags[1:] + tags[:1])]
        return occ.addPlaneSurface([occ.addCurveLoop(lines)])
    occ.cut([(2, surface(rim))], [(2, surface(o)) for o in openings])
    occ.synchronize()
    sides = list(zip(rim, rim[1:] + rim[:1]))
    curves = [t for _, t in gmsh.model.getEntities(1)]
    middle = lambda t: occ.getCenterOfMass(1, t)[:2]
    held = [t for t in curves if min(off_line(middle(t), a, b) for a, b in sides) < 1e-9]
    field = gmsh.model.mesh.field
    sizes = []
    for kind, tags, least, near, far in (("CurvesList", held, 2 * layer, 3 * layer, 0.3),
                                         ("PointsList", [t for _, t in gmsh.model.getEntities(0)], 0.002, 0.0, 0.2)):
        d = field.add("Distance")
        field.setNumbers(d, kind, tags)
        field.setNumber(d, "NumPointsPerCurve", 400)
        s = field.add("Threshold")
        for key, value in (("InField", d), ("SizeMin", least / finer), ("SizeMax", 0.08 / finer), ("DistMin", near),
                           ("DistMax", far)):
            field.setNumber(s, key, value)
        sizes.append(s)
    both = field.add("Min")
    field.setNumbers(both, "FieldsList", sizes)
    field.setAsBackgroundMesh(both)
    for name in ("MeshSizeExtendFromBoundary", "MeshSizeFromPoints", "MeshSizeFromCurvature"):
        gmsh.option.setNumber("Mesh." + name, 0)
    gmsh.model.mesh.generate(2)
    tags, places, _ = gmsh.model.mesh.getNodes()
    index = {t: k for k, t in enumerate(tags)}
    points = np.reshape(places, (-1, 3))[:, :2]
    corners = gmsh.model.mesh.getElementsByType(2)[1]
    gmsh.finalize()
    return points, np.array([index[t] for t in corners]).reshape(-1, 3), sides


def solve(rim, openings, layer, count, finer):
    points, corners, sides = triangles(rim, openings, layer, finer)
    mesh = gf.Mesh("empty", 2)
    mesh.add_convex(gf.GeoTrans("GT_PK(2,1)"), np.ascontiguousarray(points[corners].transpose(2, 1, 0)))
    faces, places = mesh.outer_faces(), mesh.pts()
    middles = [places[:, mesh.pid_in_faces(faces[:, k : k + 1])].mean(axis=1) for k in range(faces.shape[1])]
    rim_faces = [k for k, m in enumerate(middles) if min(off_line(m, a, b) for a, b in sides) < 1e-7]
    mesh.set_region(1, faces[:, rim_faces])
    flat, plate = gf.MeshFem(mesh, 2), gf.MeshFem(mesh, 1)
    flat.set_fem(gf.Fem("FEM_PK(2,3)"))
    plate.set_fem(gf.Fem("FEM_HCT_TRIANGLE"))
    mim = gf.MeshIm(mesh, gf.Integ("IM_HCT_COMPOSITE(IM_TRIANGLE(13))"))
    law = f"({1 / (1 + POISSON)}*Sym(Grad_u)+{POISSON / (1 - POISSON**2)}*Trace(Grad_u)*Id(2))"

    def form(order, text, fem, name, region=-1):
        out = gf.asm_generic(mim, order, text, region, name, 1, fem, np.zeros(fem.nbdof()))
        if order == 1:
            return out
        return csc_matrix((out.csc_val(), out.csc_ind()[1], out.csc_ind()[0]), shape=out.size())
    stiff = form(2, f"{law}:Grad_Test_u", flat, "u")
    load = form(1, "-Trace(Grad_Test_u)", flat, "u")
    free = np.setdiff1d(np.arange(flat.nbdof()), flat.basic_dof_on_region(1))
    moved = np.zeros(flat.nbdof())
    moved[free] = splu(stiff[free][:, free].tocsc()).solve(np.asarray(load).ravel()[free])

    def plate_form(text, region=-1):
        out = gf.asm_generic(mim, 2, text, region, "w", 1, plate, np.zeros(plate.nbdof()), "u", 0, flat, moved)
        return csc_matrix((out.csc_val(), out.csc_ind()[1], out.csc_ind()[0]), shape=out.size())
    d = layer**2
    bend = plate_form(f"{d}*({POISSON}*Trace(Hess_w)*Trace(Hess_Test_w)+{1 - POISSON}*Hess_w:Hess_Test_w)")
    pull = plate_form(f"((Id(2)+{law})*Grad_w).Grad_Test_w")
    mass = plate_form("w*Test_w")
    hold = plate_form(f"1e9*w*Test_w+{1e6 * layer}*(Grad_w.Normal)*(Grad_Test_w.Normal)", 1)
    whole = (bend + pull + hold).tocsc()
    lu = splu(whole, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True})
    inverse = LinearOperator(whole.shape, matvec=lu.solve, dtype=float)
    values, vectors = eigsh(whole, k=count + 4, M=mass, sigma=0.0, OPinv=inverse)
    order = np.argsort(values)[:count]
    shares = [v @ (bend @ v) / (v @ (whole @ v)) for v in vectors[:, order].T]
    return np.sqrt(values[order]), np.array(shares), plate.nbdof()


def main(name, number, finer):
    with open(f"{name}.toml", "rb") as file:
        film = tomllib.load(file)["film"][number]
    rim = np.array(film["points"])
    size = np.sqrt(250e9 * film["thickness"] ** 2 / (12 * (1 - POISSON**2) * film["stress"])) / film["layer"]
    openings = [[tuple(np.array(p) / size) for p in o] for o in film["polygons"]]
    omega, share, unknowns = solve([tuple(p / size) for p in rim], openings, film["layer"], 10, finer)
    hertz = omega / (2 * np.pi * size) * np.sqrt(film["stress"] / DENSITY)
    print(f"{name} {number}, layer {film['layer']:.2g}, {unknowns} unknowns: frequencies",
          " ".join(f"{a / b - 1:+.1e}" for a, b in zip(hertz, film["frequency"])), "; bending shares",
          " ".join(f"{a / b - 1:+.1e}" for a, b in zip(share, film["bending_share"])))


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]), float(sys.argv[3]) if len(sys.argv) > 3 else 1.0)
