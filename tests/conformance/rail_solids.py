"""Notched rails as OpenCASCADE reads them: volume, area, sides, corners and walls against the spec's section.

Reader: OpenCASCADE through the Python package cadquery-ocp. Volume and area: the section's closed form less what lies
under the outline to cut, the line integral of the wall's depth along it.
"""

import math
import re

import numpy as np
from scipy.optimize import brentq

from OCP.BRep import BRep_Tool
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS

import outline
from package import UNITS as MILLIMETRES
from package import file_name
from step_solids import PLACE, RELATIVE, UNITS, faces, move_station, read


def run(tally, package, scratch):
    rails = {f"rail-{file_name(rail['name'])}.step": rail for rail in package.results["rails"]}
    cut = {notch["rail"] for notch in package.results["notches"] if notch["shop"]}
    wanted = sorted(name for name, rail in rails.items() if rail["name"] in cut or drilled(rail, package))
    files = package.files("solids/rail-*.step")
    tally.ok("a solid of every notched or drilled rail", [file.name for file in files] == wanted, str(wanted))
    for file in files:
        if file.name in rails:
            check(tally, file, rails[file.name], package)
            spoil(tally, file, scratch / file.name, rails[file.name], package)


def drilled(rail, package):
    """Diameter and place (u, v) of every bolt's hole in a rail, in the order of their numbers."""
    bolts = package.results.get("bolts", [])
    passes = [(bolt["diameter"], one) for bolt in bolts for one in bolt["passes"]]
    return [(size, one["u"], one["v"]) for size, one in passes if (one["kind"], one["part"]) == ("rail", rail["name"])]


class Section:
    """A rail's section from the spec's sizes: metal, and by the unrolled outside its flats and corner radii."""

    def __init__(self, rail, package):
        stated = package.named("rail", rail["name"])
        [(kind, sizes)] = [(kind, stated[kind]) for kind in ("tube", "channel", "pipe") if kind in stated]
        size = {key: package.length(number) for key, number in sizes.items() if key != "open"}
        self.wall, self.is_channel = size["wall"], kind == "channel"
        corner = size["diameter"] / 2 if kind == "pipe" else size["corner"]
        self.corners = {"tube": 4, "channel": 2, "pipe": 4}[kind]
        width, height = (size.get(key, size.get("diameter")) for key in ("width", "height"))
        if kind == "channel":
            web, flange = (height, width) if sizes["open"] in ("left", "right") else (width, height)
            self.straight = web - 2 * corner + 2 * (flange - corner)
        else:
            self.straight = 2 * (width + height) - 8 * corner
        turn = math.pi / 2 * self.corners
        self.area = self.straight * self.wall + turn * (corner**2 - (corner - self.wall) ** 2) / 2
        self.outside, self.inside = self.straight + turn * corner, self.straight + turn * (corner - self.wall)
        self.corner = corner
        # Where the unrolled outside is round, from the results' vertices.
        path, self.round = rail["path"], []
        self.girth = None if self.is_channel else self.outside
        for here, there in zip(path, path[1:] + path[:1]):
            end = there["v"] if there is not path[0] else self.girth
            if here["centre"] and end is not None:
                self.round.append((here["v"], end))

    def folds(self):
        turns = [0] if self.girth is None else [-self.girth, 0, self.girth]
        return sorted(v + turn for ends in self.round for v in ends for turn in turns)

    def is_round(self, v):
        turns = [0] if self.girth is None else [-self.girth, 0, self.girth]
        return any(low < v - turn < high for low, high in self.round for turn in turns)

    def removed(self, path):
        """Volume under an outline, and what of the inside it takes: of each strip between two folds, by Green."""
        stops = [-math.inf, *self.folds(), math.inf]
        volume = inner = outer = 0.0
        for low, high in zip(stops, stops[1:]):
            inside = below(path, high) - below(path, low)
            levels = outline.dense(path)[:, 1]
            middle = 0.5 * (max(low, levels.min()) + min(high, levels.max()))
            share = 1 - self.wall / self.corner if self.is_round(middle) else 1.0
            outer += inside
            inner += inside * share
            volume += inside * self.wall * (1 + share) / 2
        return volume, inner, outer


def below(path, level):
    """Area that an anticlockwise path encloses below a level: the integral of -min(v, level) du."""
    if math.isinf(level):
        level = math.copysign(np.abs(outline.dense(path)[:, 1]).max() + 10, level)
    area = 0.0
    for at, slope in path:
        off = lambda t: at(np.array([t]))[0, 1] - level
        looks = np.linspace(0, 1, 33)
        signs = at(looks)[:, 1] - level
        cuts = [brentq(off, a, b, xtol=1e-15) for a, b, p, q in zip(looks, looks[1:], signs, signs[1:]) if p * q < 0]
        stops = [0.0, *cuts, 1.0]
        for a, b in zip(stops, stops[1:]):
            t = a + (b - a) * outline.NODES
            height = at(t)[:, 1] if off((a + b) / 2) < 0 else level
            area -= (b - a) * float(outline.WEIGHTS @ (height * slope(t)[:, 0]))
    return area


def check(tally, file, rail, package):
    warnings, units, name, shape = read(file)
    tally.ok(f"{file.name}: read without a warning", not warnings, "; ".join(warnings[:2]))
    tally.ok(f"{file.name}: unit", units == [UNITS[package.output.get("step_unit", "mm")]], ", ".join(units))
    tally.ok(f"{file.name}: product name", name == rail["name"], name)
    whole = shape is not None and shape.ShapeType() == TopAbs_ShapeEnum.TopAbs_SOLID
    tally.ok(f"{file.name}: one valid solid", whole and BRepCheck_Analyzer(shape).IsValid())
    if not whole:
        return
    section = Section(rail, package)
    length = math.dist(*(package.point(point) for point in package.named("rail", rail["name"])["along"]))
    volume, skins, outlines = section.area * length, 0.0, []
    for notch in package.results["notches"]:
        if notch["rail"] == rail["name"]:
            for vertices in notch["shop_curves"]:
                outlines.append([vertex["at"] for vertex in vertices])
                taken, inner, outer = section.removed(outline.along(vertices))
                volume -= taken
                skins += inner + outer
    # Bolts' holes lie on flats, square to them.
    for size, u, v in drilled(rail, package):
        circle = math.pi / 4 * size * size
        volume -= circle * section.wall
        skins += 2 * circle
        outlines.append([(u + size / 2, v)])
    props = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, props)
    tally.within(f"{file.name}: volume", [props.Mass() / volume - 1], RELATIVE, "of the closed form")
    found = list(faces(shape))
    others = [surface for kind, _, surface, _ in found if kind not in ("plane", "cylinder")]
    straight = all(straight_across(surface) for surface in others)
    tally.ok(f"{file.name}: planes, cylinders, and walls straight across", straight, f"{len(others)} fitted of {len(found)}")
    rounds = [surface.Cylinder() for kind, _, surface, _ in found if kind == "cylinder"]
    outside = [c for c in rounds if abs(c.Radius() - section.corner) < PLACE and abs(c.Axis().Direction().X()) > 0.5]
    inside = [c for c in rounds if abs(c.Radius() - section.corner + section.wall) < PLACE and abs(c.Axis().Direction().X()) > 0.5]
    tally.ok(f"{file.name}: corner radii outside and inside", len(outside) == len(inside) > 0, f"{len(outside)} and {len(inside)}")
    # Both skins: what the section's outline sweeps less what the notches take of it.
    tally.within(f"{file.name}: both skins", [skin(found, rail, section) / ((section.outside + section.inside) * length - skins) - 1], RELATIVE, "of the closed form")
    ends = [surface.Plane().Location().X() for kind, _, surface, _ in found if kind == "plane" and abs(surface.Plane().Axis().Direction().X()) > 1 - 1e-12]
    for end, at in (("first end", 0.0), ("second end", length)):
        tally.within(f"{file.name}: {end}", [min((x - at for x in ends), key=abs, default=math.nan)], PLACE)
    corners(tally, file, rail, section, length, outlines, shape)


def straight_across(surface):
    """Whether a surface that is no conic's is straight from edge to edge: carried, or ruled."""
    if surface.GetType() == GeomAbs_SurfaceType.GeomAbs_SurfaceOfExtrusion:
        return True
    return surface.GetType() == GeomAbs_SurfaceType.GeomAbs_BSplineSurface and 1 in (surface.UDegree(), surface.VDegree())


def skin(found, rail, section):
    """Area of the faces on the sides of the section and on its corner cylinders, outside and inside."""
    sides, path = [], rail["path"]
    for here, there in zip(path, path[1:] + path[:1]):
        if not here["centre"] and not (section.is_channel and there is path[0]):
            (x, y), (p, q) = here["at"], there["at"]
            run = math.hypot(p - x, q - y)
            normal = (-(q - y) / run, (p - x) / run)
            level = normal[0] * x + normal[1] * y
            sides += [(*normal, level), (*normal, level - section.wall)]
    total = 0.0
    for kind, area, surface, _ in found:
        if kind == "cylinder" and abs(surface.Cylinder().Axis().Direction().X()) > 1 - 1e-12:
            total += area
        elif kind == "plane":
            plane = surface.Plane()
            normal, at = plane.Axis().Direction(), plane.Location()
            for right, up, level in sides:
                along = abs(normal.Z() * right + normal.Y() * up) > 1 - 1e-12
                if along and abs(at.Z() * right + at.Y() * up - level) < PLACE:
                    total += area
                    break
    return total


def corners(tally, file, rail, section, length, outlines, shape):
    """Every corner of the outlines on metal is a corner of the solid, outside."""
    points = []
    walk = TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_VERTEX)
    while walk.More():
        point = BRep_Tool.Pnt_s(TopoDS.Vertex(walk.Current()))
        points.append((point.X(), point.Y(), point.Z()))
        walk.Next()
    off = []
    for wanted in outlines:
        for u, v in wanted:
            at = on_outside(rail, section, v)
            if 0 < u < length and at:
                off.append(min(math.dist((u, at[1], at[0]), point) for point in points))
    tally.within(f"{file.name}: corners of the outline to cut", off, PLACE)


def on_outside(rail, section, v):
    """(right, up) of a place of the unrolled outside."""
    path = rail["path"]
    if section.girth is not None:
        v = v % section.girth
    for here, there in zip(path, path[1:] + path[:1]):
        last = there is path[0]
        end = section.girth if last else there["v"]
        if end is None or not here["v"] <= v <= end:
            continue
        (x, y), s = here["at"], v - here["v"]
        if here["centre"]:
            cx, cy = here["centre"]
            radius = math.hypot(x - cx, y - cy)
            turn = math.atan2(y - cy, x - cx) - s / radius
            return cx + radius * math.cos(turn), cy + radius * math.sin(turn)
        run = end - here["v"]
        return x + (there["at"][0] - x) * s / run, y + (there["at"][1] - y) * s / run
    return None


def spoil(tally, file, bad, rail, package):
    text = file.read_text("ascii")
    per_unit = MILLIMETRES[package.output.get("step_unit", "mm")]
    length = math.dist(*(package.point(point) for point in package.named("rail", rail["name"])["along"]))

    def refuses(what, at, spoiled):
        if spoiled == text:
            tally.ok(f"refuses {file.name} {what}", False, "nothing was spoiled")
            return
        bad.write_text(spoiled, "ascii")
        tally.refuses(f"{file.name} {what}", at, check, bad, rail, package)

    longer = FIRST.sub(lambda found: move(found, length, 0.001, per_unit), text)
    refuses("0.001 mm too long", "second end", longer)
    refuses("0.001 mm too long", "volume", longer)
    refuses("with a face left out", "one valid solid", re.sub(r"(CLOSED_SHELL\('[^']*', \()#\d+, ", r"\1", text))
    corner = [notch["shop_curves"][0][0]["at"][0] for notch in package.results["notches"] if notch["rail"] == rail["name"]]
    corner += [u + size / 2 for size, u, _ in drilled(rail, package)]
    u = corner[0]
    refuses("with a corner of what is cut moved by 0.1 mm", "corners of the outline", FIRST.sub(lambda found: move(found, u, 0.1, per_unit), text))


# A point's record, up to its first coordinate.
FIRST = re.compile(r"(CARTESIAN_POINT\('', \()([-+.\dE]+)(?=,)")


def move(found, at, by, per_unit):
    here = float(found[2])
    return found[1] + repr(here + by / per_unit) if abs(here - at / per_unit) < 1e-9 else found[0]
