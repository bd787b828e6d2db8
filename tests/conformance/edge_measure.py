"""Volume, area and centroid of a solid of planes and cylinders, taken along its edges in space as OpenCASCADE reads them.

Where a fitted edge lies on a cylinder, OpenCASCADE makes a curve of its own in the cylinder's coordinates and measures by
that, to some 1e-7 of the whole. Its edges in space, its surfaces and its orientations are exact; by Green's theorem the
integral of F over a face in the surface's coordinates u, v is that of -(integral of F over v) du along its edges.
"""

import numpy as np
from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
from OCP.GeomAbs import GeomAbs_CurveType, GeomAbs_SurfaceType
from OCP.gp import gp_Pnt, gp_Vec
from OCP.TopAbs import TopAbs_Orientation, TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS

NODES, WEIGHTS = np.polynomial.legendre.leggauss(24)
# Exact for the squares and cubes met across a face.
ACROSS, SHARE = np.polynomial.legendre.leggauss(4)
PIECES = 16


def measure(shape):
    """(volume, area, centroid); lengths as the shape has them."""
    volume, area, moment = 0.0, 0.0, np.zeros(3)
    walk = TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_FACE)
    while walk.More():
        found = of_face(TopoDS.Face(walk.Current()))
        volume, area, moment = volume + found[0] / 3, area + abs(found[1]), moment + found[2:] / 2
        walk.Next()
    return volume, area, moment / volume


def skins(shape):
    """[(area, surface)] of every face."""
    found, walk = [], TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_FACE)
    while walk.More():
        face = TopoDS.Face(walk.Current())
        found.append((abs(of_face(face)[1]), BRepAdaptor_Surface(face)))
        walk.Next()
    return found


def of_face(face):
    """Integrals over a face of p.n, of 1, and of x x n_x and its like."""
    surface = BRepAdaptor_Surface(face)
    kind = surface.GetType()
    if kind == GeomAbs_SurfaceType.GeomAbs_Plane:
        place, radius = surface.Plane().Position(), None
    elif kind == GeomAbs_SurfaceType.GeomAbs_Cylinder:
        place, radius = surface.Cylinder().Position(), surface.Cylinder().Radius()
    else:
        raise ValueError(f"a face of kind {kind.name}")
    origin = coordinates(place.Location())
    x, y, z = (coordinates(way) for way in (place.XDirection(), place.YDirection(), place.Direction()))
    total = np.zeros(5)
    walk = TopExp_Explorer(face, TopAbs_ShapeEnum.TopAbs_EDGE)
    while walk.More():
        edge = TopoDS.Edge(walk.Current())
        way = -1.0 if edge.Orientation() == TopAbs_Orientation.TopAbs_REVERSED else 1.0
        for points, steps, weights in pieces(edge):
            p = points - origin
            if radius is None:
                u, v, du = p @ x, p @ y, steps @ x
            else:
                a, b = p @ x, p @ y
                u, v = np.arctan2(b, a), p @ z
                du = (a * (steps @ y) - b * (steps @ x)) / (a * a + b * b)
            inner = np.zeros((5, len(u)))
            for node, share in zip(ACROSS, SHARE):
                level = v * (node + 1) / 2
                if radius is None:
                    at, normal, size = origin + np.outer(u, x) + np.outer(level, y), np.tile(z, (len(u), 1)), 1.0
                else:
                    spoke = np.outer(np.cos(u), x) + np.outer(np.sin(u), y)
                    at, normal, size = origin + radius * spoke + np.outer(level, z), spoke, radius
                values = np.vstack([(at * normal).sum(1), np.ones(len(u)), (at**2 * normal).T]) * size
                inner += share * v / 2 * values
            total -= way * (inner * du) @ weights
        walk.Next()
    # The edges of a face seen from behind its surface come reversed with it, and with them the sign.
    return total


def pieces(edge):
    """(points, derivatives, weights) along an edge, between the knots of a spline."""
    curve = BRepAdaptor_Curve(edge)
    low, high = curve.FirstParameter(), curve.LastParameter()
    stops = np.linspace(low, high, PIECES + 1)
    if curve.GetType() == GeomAbs_CurveType.GeomAbs_BSplineCurve:
        knots = [curve.BSpline().Knot(i + 1) for i in range(curve.BSpline().NbKnots())]
        stops = np.array([low, *(knot for knot in knots if low < knot < high), high])
    for a, b in zip(stops, stops[1:]):
        points, steps = [], []
        for t in (a + b) / 2 + (b - a) / 2 * NODES:
            point, step = gp_Pnt(), gp_Vec()
            curve.D1(t, point, step)
            points.append(coordinates(point))
            steps.append(coordinates(step))
        yield np.array(points), np.array(steps), WEIGHTS * (b - a) / 2


def coordinates(point):
    return np.array([point.X(), point.Y(), point.Z()])
