"""What a shaft's clearance takes of a rail, cut by OpenCASCADE, against the traced outline.

The roadster's and the van's rails are built here from the spec's sizes and cut with the clearance body of the
intermediate shaft: a cylinder of its radius and the clearance. Every point of the metal removed, projected on the outside
along the wall's normal, must lie in the outline or within 0.05 mm of it, and the wall under every point of the outline
must reach the metal removed to 0.05 mm.
"""

import json
import math
import re
import subprocess

import numpy as np
from OCP.BRep import BRep_Tool
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakePolygon,
    BRepBuilderAPI_Transform,
)
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder, BRepPrimAPI_MakePrism
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt, gp_Trsf, gp_Vec

from package import REPOSITORY
from rail_sections import Rail

ALLOWED = 0.05  # mm
EVERY = 25  # points of the outline looked at
DEFLECTION = 0.01  # of OpenCASCADE's mesh
CLEARANCE = {"heron-roadster": 0.375 * 25.4, "otter-van": 10.0}  # the bar of both is 3/4 in
CASES = {"heron-roadster": 0.120 * 25.4, "otter-van": 5.0}


def alone(name):
    """The example's spec with the notch cut for its shaft alone, as traced, nothing set into it."""
    text = (REPOSITORY / "examples" / name / "linkage.toml").read_text("utf-8")
    text = re.sub(r"(?m)^(liner|sleeve|doubler) .*\n", "", text)
    return re.sub(r"(?m)^\[\[notch\]\]\n", '[[notch]]\nfor = ["intermediate"]\n', text)


def metal(rail):
    """The rail's metal about the notch as one solid; corners in chords of a hundredth of a degree's sagitta."""
    frame = {key: np.array(value) for key, value in rail.frame.items()}
    outer, inner = [], []
    for _, length, point in rail.pieces:
        straight = np.allclose(point(0)[1], point(length)[1])
        for s in [0.0, length] if straight else np.linspace(0, length, 60):
            p, n = point(s)
            outer.append(p)
            inner.append(p - n * rail.wall)
    space = lambda p: frame["origin"] + frame["right"] * p[0] + frame["up"] * p[1]

    def face(points):
        polygon = BRepBuilderAPI_MakePolygon()
        kept = []
        for p in points:
            if not kept or np.linalg.norm(p - kept[-1]) > 1e-6:
                kept.append(p)
        if np.linalg.norm(kept[0] - kept[-1]) < 1e-6:
            kept.pop()
        for p in kept:
            polygon.Add(gp_Pnt(*map(float, space(p))))
        polygon.Close()
        return polygon.Wire()

    if rail.closed:
        maker = BRepBuilderAPI_MakeFace(face(outer), True)
        maker.Add(TopoDS.Wire(face(inner).Reversed()))
    else:
        maker = BRepBuilderAPI_MakeFace(face(outer + inner[::-1]), True)
    return maker.Face(), frame


def project(rail, frame, p):
    """(u, v) of a point of the wall: where its outside is, along the wall's normal."""
    d = p - frame["origin"]
    q = np.array([d.dot(frame["right"]), d.dot(frame["up"])])
    best = (math.inf, 0.0)
    for start, length, point in rail.pieces:
        a, n = point(0)
        if np.allclose(n, point(length)[1]):
            way = np.array([n[1], -n[0]])
            s = min(max((q - a).dot(way), 0.0), length)
        else:
            # The normal of an arc runs through its centre: told by two of its points.
            b, m = point(length)
            radius = np.linalg.norm(b - a) / max(np.linalg.norm(m - n), 1e-12)
            out = q - (a - n * radius)
            turn = (math.atan2(n[1], n[0]) - math.atan2(out[1], out[0])) % (2 * math.pi)
            s = turn * radius if turn * radius <= length else 0.0 if turn > math.pi else length
        p_out, n = point(s)
        depth = (p_out - q).dot(n)
        off = np.linalg.norm(q - (p_out - n * depth))
        if -1e-3 <= depth <= rail.wall + 1e-3 and off < best[0]:
            best = (off, start + s)
    return d.dot(frame["along"]), best[1]


def off_outline(loops, p, girth):
    """0 inside, else the distance to the nearest side."""
    inside, least = False, math.inf
    for turn in (-girth, 0.0, girth):
        q = np.array([p[0], p[1] + turn])
        here = False
        for loop in loops:
            a = np.array(loop)
            b = np.roll(a, -1, axis=0)
            d = b - a
            share = np.clip(((q - a) * d).sum(1) / np.maximum((d * d).sum(1), 1e-30), 0, 1)
            least = min(least, np.linalg.norm(a + d * share[:, None] - q, axis=1).min())
            crosses = (a[:, 1] <= q[1]) != (b[:, 1] <= q[1])
            with np.errstate(divide="ignore", invalid="ignore"):
                x = a[:, 0] + d[:, 0] * (q[1] - a[:, 1]) / d[:, 1]
            here ^= bool((crosses & (x > q[0])).sum() % 2)
        inside |= here
    return 0.0 if inside else least


def run(tally):
    program = REPOSITORY / "target/debug/yokeline"
    for name, wall in CASES.items():
        done = subprocess.run([program, "solve", "--json", "-"], input=alone(name), text=True, capture_output=True)
        tally.ok(f"{name}: solved", done.returncode == 0, done.stderr.strip()[:300])
        if done.returncode != 0:
            continue
        results = json.loads(done.stdout)
        notch = results["notches"][0]
        rail = Rail(next(r for r in results["rails"] if r["name"] == notch["rail"]), wall, notch["section"]["full"]["closed"])
        shaft = results["shafts"][0]
        axis, start = np.array(shaft["frame"]["z"]), np.array(shaft["frame"]["origin"])
        radius = 0.375 * 25.4 + CLEARANCE[name]
        loops = notch["true"]
        us = [p[0] for loop in loops for p in loop]
        section, frame = metal(rail)
        low, high = min(us) - 40, max(us) + 40
        from_ = gp_Vec(*map(float, frame["along"] * low))
        along = gp_Vec(*map(float, frame["along"] * (high - low)))
        shift = gp_Trsf()
        shift.SetTranslation(from_)
        solid = BRepPrimAPI_MakePrism(BRepBuilderAPI_Transform(section, shift, True).Shape(), along).Shape()
        body = BRepPrimAPI_MakeCylinder(
            gp_Ax2(gp_Pnt(*map(float, start)), gp_Dir(*map(float, axis))), radius, float(shaft["cut_length"])
        ).Shape()
        removed = BRepAlgoAPI_Common(solid, body).Shape()
        BRepMesh_IncrementalMesh(removed, DEFLECTION, False, 0.05, False)
        points = []
        explorer = TopExp_Explorer(removed, TopAbs_ShapeEnum.TopAbs_FACE)
        while explorer.More():
            place = TopLoc_Location()
            mesh = BRep_Tool.Triangulation_s(TopoDS.Face(explorer.Current()), place)
            if mesh is not None:
                points += [mesh.Node(i).Transformed(place.Transformation()) for i in range(1, mesh.NbNodes() + 1)]
            explorer.Next()
        tally.ok(f"{name}: OpenCASCADE removes metal", len(points) > 50, f"{len(points)} points")
        girth = rail.girth if rail.closed else 0.0
        places = [project(rail, frame, np.array([p.X(), p.Y(), p.Z()])) for p in points]
        tally.within(f"{name}: metal removed lies in the outline", [off_outline(loops, p, girth) for p in places], ALLOWED)
        gaps = []
        for u, v in [p for loop in loops for p in loop][::EVERY]:
            at, n = rail.at(v)
            space = lambda q: frame["origin"] + frame["along"] * u + frame["right"] * q[0] + frame["up"] * q[1]
            ends = [gp_Pnt(*map(float, space(q))) for q in (at, at - n * wall)]
            edge = BRepBuilderAPI_MakeEdge(*ends).Edge()
            gaps.append(BRepExtrema_DistShapeShape(edge, removed).Value())
        tally.within(f"{name}: the wall under the outline reaches it", gaps, ALLOWED)
