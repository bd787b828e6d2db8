"""Notched and made-good rail sections against sectionproperties.

Ten stations of the sample rails are built here as polygons: the outside from the results' path, the wall inward along its
normal, less what the outline to cut takes; the tube as the ring between two ellipses in the plane of the station; the
doublers as rectangles. sectionproperties (a mesh of triangles) gives area, second moments, principal axes and section
modulus, and by finite elements the torsion constant of the whole rail.
"""

import json
import math
import subprocess

import numpy as np
from sectionproperties.analysis import Section
from sectionproperties.pre import Geometry
from shapely.geometry import Polygon
from shapely.ops import unary_union

from package import REPOSITORY

PLAIN = 2e-4  # of polygonal corners and cut ends
TUBE = 2e-3  # of a tube's ring, cut across at 161 levels by the program
THIN = 0.05  # Bredt's thin wall against finite elements
STATIONS = {"heron-roadster": [0, 11, 20, 33], "heron-through": [2, 15, 27], "otter-van": [3, 20, 30]}
TURN = math.radians(1)


def pieces(path, closed):
    """(v, length, point and outward normal by s) of the outside; arcs run clockwise."""
    ends = path[1:] + path[:1] if closed else path[1:]
    for here, there in zip(path, ends):
        a, b = np.array(here["at"]), np.array(there["at"])
        if here["centre"] is None:
            length = np.linalg.norm(b - a)
            way = (b - a) / length
            yield here["v"], length, (lambda s, a=a, way=way: (a + way * s, np.array([-way[1], way[0]])))
        else:
            centre = np.array(here["centre"])
            arm, end = a - centre, b - centre
            radius = np.linalg.norm(arm)
            turn = math.atan2(end[0] * arm[1] - end[1] * arm[0], end.dot(arm)) % (2 * math.pi) or 2 * math.pi
            start = math.atan2(arm[1], arm[0])

            def point(s, centre=centre, radius=radius, start=start):
                angle = start - s / radius
                out = np.array([math.cos(angle), math.sin(angle)])
                return centre + out * radius, out

            yield here["v"], radius * turn, point


def intervals(loops, u):
    """Stretches of v that closed loops take at station u (even-odd)."""
    ends = []
    for loop in loops:
        for a, b in zip(loop, loop[1:] + loop[:1]):
            if (a[0] <= u) != (b[0] <= u):
                ends.append(a[1] + (b[1] - a[1]) * (u - a[0]) / (b[0] - a[0]))
    ends.sort()
    return list(zip(ends[::2], ends[1::2]))


class Rail:
    def __init__(self, rail, wall, closed):
        self.frame, self.wall, self.closed = rail["frame"], wall, closed
        self.pieces = list(pieces(rail["path"], closed))
        self.girth = sum(length for _, length, _ in self.pieces)

    def at(self, v):
        if self.closed:
            v = v % self.girth
        found = [piece for piece in self.pieces if piece[0] <= v + 1e-9] or self.pieces[:1]
        start, _, point = found[-1]
        return point(v - start)

    def band(self, low, high, inner, outer):
        """The metal over a stretch of v, between two depths along the normal (outward negative)."""
        cuts = {low, high}
        for turn in (-1, 0, 1) if self.closed else (0,):
            for start, length, point in self.pieces:
                first = start + turn * self.girth * self.closed
                count = 2 if np.allclose(point(0)[1], point(length)[1]) else 90
                cuts.update(v for v in np.linspace(first, first + length, count) if low < v < high)
        cuts = sorted(cuts)
        parts = []
        for a, b in zip(cuts, cuts[1:]):
            eps = 1e-9 * (b - a)
            (p, n), (q, m) = self.at(a + eps), self.at(b - eps)
            quad = Polygon([p - n * inner, q - m * inner, q - m * outer, p - n * outer])
            parts.append(quad.buffer(0))
        return unary_union(parts).buffer(1e-7).buffer(-1e-7)

    def hull(self):
        points = [point(s)[0] for _, length, point in self.pieces for s in np.linspace(0, length, 90)]
        return Polygon(points).convex_hull

    def ring(self, liner, u):
        """The tube's metal in the plane of the station, inside the outside."""
        frame = {key: np.array(value) for key, value in self.frame.items()}
        local = lambda d: np.array([d.dot(frame["right"]), d.dot(frame["up"]), d.dot(frame["along"])])
        base = local(np.array(liner["frame"]["origin"]) - frame["origin"])
        axis = local(np.array(liner["frame"]["axis"]))
        centre = base + axis * ((u - base[2]) / axis[2])
        major = axis[:2] / np.linalg.norm(axis[:2])
        minor = np.array([-major[1], major[0]])

        def ellipse(radius):
            t = np.linspace(0, 2 * math.pi, 1441)[:-1]
            points = centre[:2] + np.outer(np.cos(t), major) * radius / abs(axis[2]) + np.outer(np.sin(t), minor) * radius
            return Polygon(points)

        outside = liner["outside"] / 2
        return ellipse(outside).difference(ellipse(outside - liner["wall"])).intersection(self.hull())


def properties(shape, size=20.0, stray=1e-3):
    geometry = None
    shape = shape.simplify(stray)
    parts = list(shape.geoms) if hasattr(shape, "geoms") else [shape]
    for part in (part for part in parts if part.area > 1e-6):
        one = Geometry(part)
        geometry = one if geometry is None else geometry + one
    section = Section(geometry.create_mesh([size]))
    section.calculate_geometric_properties()
    return section


def compare(tally, what, own, shape, allowed):
    section = properties(shape)
    ixx, iyy, ixy = section.get_ic()
    i1, i2 = section.get_ip()[:2]
    x, y = section.get_c()
    zxx = min(abs(z) for z in section.get_z()[:2])
    near = lambda name, found, wanted, share=allowed: tally.near(
        f"{what}, {name}", found / wanted, 1.0, share, "of sectionproperties'"
    )
    near("area", own["area"], section.get_area())
    near("Ixx", own["ixx"], ixx)
    near("Iyy", own["iyy"], iyy)
    near("I max", own["i_max"], i1)
    near("I min", own["i_min"], i2)
    near("S", own["s_min"], zxx, 2 * allowed)
    tally.near(f"{what}, Ixy over Ixx", (own["ixy"] - ixy) / ixx, 0.0, allowed, "")
    tally.near(f"{what}, centroid", math.dist(own["centroid"], (x, y)), 0.0, 60 * allowed)


def run(tally):
    program = REPOSITORY / "target/debug/yokeline"
    for name, stations in STATIONS.items():
        command = [program, "solve", "--json", REPOSITORY / "examples" / name / "linkage.toml"]
        results = json.loads(subprocess.run(command, capture_output=True, text=True, check=True).stdout)
        notch = results["notches"][0]
        given = next(rail for rail in results["rails"] if rail["name"] == notch["rail"])
        wall = {"otter-van": 5.0}.get(name, 0.120 * 25.4)
        closed = notch["section"]["full"]["closed"]
        rail = Rail(given, wall, closed)
        low = min(start for start, _, _ in rail.pieces)
        whole = rail.band(low, low + rail.girth, 0.0, wall)
        full = notch["section"]["full"]
        compare(tally, f"{name}, whole", full, whole, PLAIN)
        if closed:
            section = properties(whole, 10.0, 0.05)
            section.calculate_warping_properties()
            found = full["torsion"] / section.get_j()
            tally.near(f"{name}, whole, torsion", found, 1.0, THIN, "of sectionproperties'")
        for number in stations:
            station = notch["section"]["stations"][number]
            u = station["u"]
            shape = whole
            for a, b in intervals(notch["shop"], u):
                shape = shape.difference(rail.band(a, b, -1e-4, wall + 1e-4))
            what = f"{name}, station {number}"
            compare(tally, f"{what}, left", station["left"], shape, PLAIN if closed else 2 * PLAIN)
            if "restored" in station:
                if "liner" in notch:
                    shape = unary_union([shape, rail.ring(notch["liner"], u)])
                plates = [
                    rail.band(a, b, -doubler["thick"], 0.0)
                    for doubler in notch.get("doublers", [])
                    for a, b in intervals(doubler["on_rail"], u)
                ]
                shape = unary_union([shape, *plates]).buffer(1e-6).buffer(-1e-6)
                compare(tally, f"{what}, made good", station["restored"], shape, TUBE)
