"""Liners and sleeves as OpenCASCADE reads them: volume and area against integrals over the rail's section, and whole.

Seen along the rail the tube's axis runs one way across the section. At the distance f to one side of it every line along
the axis is inside the rail for a chord of the section over the sine of the axis's angle to the rail, and the tube's ring
is 2 (sqrt(R^2 - f^2) - sqrt(r^2 - f^2)) wide: volume and areas are integrals over f, by scipy's quad. The same part is
also made as anybody would by that library's booleans, a tube common with a prism of the rail's outline, and compared.
The file is measured along its edges as that library reads them (edge_measure.py).
"""

import math
import re

import numpy as np
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common, BRepAlgoAPI_Cut
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder, BRepPrimAPI_MakePrism
from OCP.GC import GC_MakeArcOfCircle
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt, gp_Vec
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_ShapeEnum
from scipy.integrate import quad

import edge_measure
from package import UNITS as MILLIMETRES
from package import file_name
from step_solids import PLACE, RELATIVE, UNITS, faces, read

# Booleans of curved faces meet within their own tolerance.
BOOLEAN = 1e-6


def run(tally, package, scratch):
    wanted = {}
    for notch in package.results["notches"]:
        if notch["shop"] and notch.get("liner"):
            name = f"{notch['liner']['kind']} {notch['name']}"
            wanted[f"{file_name(name)}.step"] = (name, notch)
    files = package.files("solids/liner-*.step") + package.files("solids/sleeve-*.step")
    tally.ok("a solid of every liner and sleeve", sorted(file.name for file in files) == sorted(wanted), str(sorted(wanted)))
    for file in files:
        if file.name in wanted:
            check(tally, file, *wanted[file.name], package)
            spoil(tally, file, scratch / file.name, *wanted[file.name], package)


class Section:
    """The rail's outline in (f, q) about the tube's axis: vertices, and the centre of the arc after each or None."""

    def __init__(self, rail, liner):
        frame, axis = rail["frame"], np.array(liner["frame"]["axis"])
        along, right, up = (np.array(frame[key]) for key in ("along", "right", "up"))
        self.across = np.cross(along, axis) / np.linalg.norm(np.cross(along, axis))
        self.onward = np.cross(self.across, along)
        self.sine = float(self.onward @ axis)
        offset = np.array(frame["origin"]) - np.array(liner["frame"]["origin"])

        def seen(at):
            place = offset + right * at[0] + up * at[1]
            return np.array([place @ self.across, place @ self.onward])

        self.at = [seen(vertex["at"]) for vertex in rail["path"]]
        self.centres = [vertex["centre"] and seen(vertex["centre"]) for vertex in rail["path"]]
        if rail["girth"] is None:
            # From lip to lip.
            self.centres[-1] = None

    def sides(self):
        """(from, to, centre, start, sweep) of each; the sweep of an arc is the short way round, or half a turn."""
        for here, there, centre in zip(self.at, self.at[1:] + self.at[:1], self.centres):
            if centre is None:
                yield here, there, None, 0.0, 0.0
                continue
            a, b = here - centre, there - centre
            start = math.atan2(a[1], a[0])
            sweep = math.remainder(math.atan2(b[1], b[0]) - start, math.tau)
            yield here, there, centre, start, sweep

    def stops(self):
        """Every f where the outline goes on otherwise."""
        found = [float(at[0]) for at in self.at]
        for here, _, centre, start, sweep in self.sides():
            if centre is not None:
                radius = math.dist(here, centre)
                for crest in np.arange(-2, 3) * math.pi:
                    if 0 < (crest - start) * math.copysign(1, sweep) < abs(sweep):
                        found.append(float(centre[0] + radius * math.cos(crest)))
        return found

    def chord(self, f):
        met = []
        for here, there, centre, start, sweep in self.sides():
            if centre is None:
                if (here[0] - f) * (there[0] - f) <= 0 and here[0] != there[0]:
                    met.append(here[1] + (there[1] - here[1]) * (f - here[0]) / (there[0] - here[0]))
                continue
            radius = math.dist(here, centre)
            if abs(f - centre[0]) > radius:
                continue
            half = math.acos((f - centre[0]) / radius)
            for angle in (half, -half):
                turned = ((angle - start) * math.copysign(1, sweep)) % math.tau
                if turned <= abs(sweep) + 1e-12 or turned >= math.tau - 1e-12:
                    met.append(centre[1] + radius * math.sin(angle))
        return max(met) - min(met) if met else 0.0


def between(f, stops, low, high):
    """Integral between stops; each part by the angle of a sine, in which square roots at its ends are smooth."""
    stops = sorted({low, high, *(stop for stop in stops if low < stop < high)})
    total = 0.0
    for a, b in zip(stops, stops[1:]):
        total += quad(lambda t: f((a + b + (b - a) * math.sin(t)) / 2) * (b - a) / 2 * math.cos(t), -math.pi / 2, math.pi / 2, epsabs=0, epsrel=1e-13)[0]
    return total


def measures(rail, liner):
    """Volume, area of the outside, of the bore, of both ends."""
    section = Section(rail, liner)
    outer, inner = liner["outside"] / 2, liner["outside"] / 2 - liner["wall"]
    stops = section.stops()
    low, high = min(stops), max(stops)

    def ring(f):
        return 2 * (math.sqrt(max(outer**2 - f**2, 0)) - math.sqrt(max(inner**2 - f**2, 0)))

    levels = [-outer, -inner, inner, outer]
    volume = between(lambda f: section.chord(f) * ring(f), stops + levels, max(low, -outer), min(high, outer))
    tubes = []
    for radius in (outer, inner):
        # By the turn about the axis, f = R cos t, both halves.
        ends = [math.acos(max(-1.0, min(1.0, f / radius))) for f in (low, high)]
        turns = [math.acos(f / radius) for f in stops if abs(f) < radius]
        tubes.append(2 * radius * between(lambda t: section.chord(radius * math.cos(t)), turns, ends[1], ends[0]))
    ends = 0.0
    for here, there, centre, start, sweep in section.sides():
        if centre is None:
            run = there[0] - here[0]
            marks = [(level - here[0]) / run for level in levels] if run else []
            ends += math.dist(here, there) * between(lambda s: ring(here[0] + run * s), marks, 0.0, 1.0)
            continue
        radius = math.dist(here, centre)
        halves = [math.acos((level - centre[0]) / radius) for level in levels if abs(level - centre[0]) < radius]
        # At a crest that all but touches a radius the width all but has a corner.
        crests = [k * math.pi for k in range(-3, 4)]
        marks = [sign * half + turn for half in halves for sign in (1, -1) for turn in (-math.tau, 0.0, math.tau)]
        first, last = sorted((start, start + sweep))
        ends += radius * between(lambda t: ring(centre[0] + radius * math.cos(t)), marks + crests, first, last)
    return [part / section.sine for part in (volume, *tubes, ends)]


def check(tally, file, name, notch, package):
    liner = notch["liner"]
    rail = next(rail for rail in package.results["rails"] if rail["name"] == notch["rail"])
    warnings, units, said, shape = read(file)
    tally.ok(f"{file.name}: read without a warning", not warnings, "; ".join(warnings[:2]))
    tally.ok(f"{file.name}: unit", units == [UNITS[package.output.get("step_unit", "mm")]], ", ".join(units))
    tally.ok(f"{file.name}: product name", said == name, said)
    whole = shape is not None and shape.ShapeType() == TopAbs_ShapeEnum.TopAbs_SOLID
    tally.ok(f"{file.name}: one valid solid", whole and BRepCheck_Analyzer(shape).IsValid())
    if not whole:
        return
    volume, outside, bore, ends = measures(rail, liner)
    own = edge_measure.measure(shape)
    tally.within(f"{file.name}: volume", [own[0] / volume - 1], RELATIVE, "of the exact integral")
    tally.within(f"{file.name}: area", [own[1] / (outside + bore + ends) - 1], RELATIVE, "of the exact integral")
    found = faces(shape)
    kinds = {kind for kind, *_ in found}
    tally.ok(f"{file.name}: true planes and cylinders only", kinds <= {"plane", "cylinder"}, str(kinds))
    for what, radius, wanted in (
        ("outside", liner["outside"] / 2, outside), ("bore", liner["outside"] / 2 - liner["wall"], bore),
    ):
        own = [(area, surface.Cylinder()) for area, surface in edge_measure.skins(shape) if surface.GetType().name.endswith("Cylinder")]
        own = [(area, face) for area, face in own if abs(abs(face.Axis().Direction().Z()) - 1) < 1e-9 and abs(face.Radius() - radius) < 0.1]
        off = [math.hypot(face.Location().X(), face.Location().Y()) + abs(face.Radius() - radius) for _, face in own]
        tally.within(f"{file.name}: {what} round the axis", off, PLACE)
        tally.within(f"{file.name}: area of the {what}", [sum(area for area, _ in own) / wanted - 1], RELATIVE, "of the exact integral")
    other, area = size(scripted(rail, liner))
    tally.within(f"{file.name}: volume of the same by booleans", [size(shape)[0] / other - 1], BOOLEAN, "of it")
    tally.within(f"{file.name}: area of the same by booleans", [size(shape)[1] / area - 1], BOOLEAN, "of it")


def size(shape):
    props, skin = GProp_GProps(), GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, props, 1e-12)
    BRepGProp.SurfaceProperties_s(shape, skin, 1e-12)
    return props.Mass(), skin.Mass()


def scripted(rail, liner):
    """In vehicle axes: a long tube, common with the rail's outline carried along the rail."""
    frame = rail["frame"]
    along, right, up, origin = (np.array(frame[key]) for key in ("along", "right", "up", "origin"))
    reach = 4 * (liner["outside"] + liner["length"])
    middle = (np.array(liner["frame"]["origin"]) - origin) @ along

    def place(at):
        return gp_Pnt(*(origin + along * (middle - reach) + right * at[0] + up * at[1]))

    wire = BRepBuilderAPI_MakeWire()
    path = rail["path"]
    for here, there in zip(path, path[1:] + path[:1]):
        if here["centre"] is None or (there is path[0] and rail["girth"] is None):
            wire.Add(BRepBuilderAPI_MakeEdge(place(here["at"]), place(there["at"])).Edge())
            continue
        centre = np.array(here["centre"])
        a, b = np.array(here["at"]) - centre, np.array(there["at"]) - centre
        half = a + b
        half = half / np.linalg.norm(half) * np.linalg.norm(a)
        arc = GC_MakeArcOfCircle(place(here["at"]), place(centre + half), place(there["at"])).Value()
        wire.Add(BRepBuilderAPI_MakeEdge(arc).Edge())
    outline = BRepBuilderAPI_MakeFace(wire.Wire()).Face()
    prism = BRepPrimAPI_MakePrism(outline, gp_Vec(*(along * 2 * reach))).Shape()
    axis = np.array(liner["frame"]["axis"])
    start = gp_Ax2(gp_Pnt(*(np.array(liner["frame"]["origin"]) - axis * reach)), gp_Dir(*axis))
    outer = BRepPrimAPI_MakeCylinder(start, liner["outside"] / 2, 2 * reach).Shape()
    inner = BRepPrimAPI_MakeCylinder(start, liner["outside"] / 2 - liner["wall"], 2 * reach).Shape()
    return BRepAlgoAPI_Common(BRepAlgoAPI_Cut(outer, inner).Shape(), prism).Shape()


def spoil(tally, file, bad, name, notch, package):
    text = file.read_text("ascii")
    per_unit = MILLIMETRES[package.output.get("step_unit", "mm")]
    radius = notch["liner"]["outside"] / 2 / per_unit

    def wider(found):
        value = float(found[2])
        return f"{found[1]}{value + 0.001 / per_unit if abs(value - radius) < 1e-9 else found[2]})"

    for what, at, spoiled in (
        ("under another name", "product name", text.replace(f"'{name}'", "'another'")),
        ("with a face left out", "one valid solid", re.sub(r"(CLOSED_SHELL\('[^']*', \()#\d+, ", r"\1", text)),
        ("0.001 mm too large", "outside round the axis", re.sub(r"(CYLINDRICAL_SURFACE\('', #\d+, )([\d.]+)\)", wider, text)),
    ):
        if spoiled == text:
            tally.ok(f"refuses {file.name} {what}", False, "nothing was spoiled")
            continue
        bad.write_text(spoiled, "ascii")
        tally.refuses(f"{file.name} {what}", at, check, bad, name, notch, package)
