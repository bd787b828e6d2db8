"""Plates as OpenCASCADE reads them: volume, area and walls against closed forms of the spec's sizes.

Reader: OpenCASCADE through the Python package cadquery-ocp. The outline is the spec's rectangle or, where the spec has
another, the results' outline summed by Green's theorem; ellipses by the complete elliptic integral of scipy.
"""

import math
import re

import bent_plates
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_ShapeEnum
from scipy.special import ellipe, ellipeinc

from package import UNITS as MILLIMETRES
from package import file_name
from step_solids import PLACE, RELATIVE, UNITS, faces, move_station, read
from tally import Tally


def run(tally, package, scratch):
    plates = {f"plate-{file_name(plate['name'])}.step": plate for plate in package.results["plates"]}
    files = package.files("solids/plate-*.step")
    whole = sorted(name for name, plate in plates.items() if not runs_together(package, plate))
    tally.ok("a solid of every plate whose cuts stand apart", sorted(file.name for file in files) == whole, str(whole))
    for file in files:
        if file.name in plates:
            check(tally, file, plates[file.name], package)
            spoil(tally, file, scratch / file.name, plates[file.name], package)
    doublers(tally, package)


def runs_together(package, plate):
    """Whether the rules found cuts of this plate that meet each other or its edge."""
    codes = ("hole-web", "hole-edge", "opening-edge")
    return any(
        found["rule"] in codes and found["status"] == "fail" and f"plate {plate['name']}" in found["subject"]
        and found["value"] is not None and found["value"] <= 0.05
        for found in package.results["checks"]
    )


def doublers(tally, package):
    """Doublers as the plates they are: one valid solid, volume and walls from the outline in the results."""
    wanted, found = {}, package.files("solids/doubler-*.step")
    for notch in package.results["notches"]:
        for doubler in notch.get("doublers", []):
            name = f"doubler {notch['name']} {doubler['face']}"
            loops = doubler["curves"]
            outer = [loop for loop in loops if enclosed(loop) > 0]
            openings = [{"name": "", "outline": turned(loop)} for loop in loops if enclosed(loop) < 0]
            if len(outer) == 1:
                wanted[f"{file_name(name)}.step"] = {
                    "name": name, "thick": doubler["thick"], "outline": outer[0], "holes": [], "openings": openings,
                }
    tally.ok("a solid of every doubler", sorted(file.name for file in found) == sorted(wanted), str(sorted(wanted)))
    for file in found:
        if file.name in wanted:
            check(tally, file, wanted[file.name], package)


def turned(loop):
    """The same loop the other way round: a vertex holds the arc to its next."""
    turned = []
    for before, vertex in zip(loop[-1:] + loop[:-1], loop):
        turned.append({**before, "at": vertex["at"], "clockwise": not before.get("clockwise", False)})
    return turned[::-1]


def enclosed(loop):
    corners = [vertex["at"] for vertex in loop]
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, corners[1:] + corners[:1])) / 2


def whole(tally, package):
    """The number of plates with a solid; every wrong line of any is told, the good ones counted."""
    plates = {f"plate-{file_name(plate['name'])}.step": plate for plate in package.results["plates"]}
    trial, files = Tally(quiet=True), package.files("solids/plate-*.step")
    for file in files:
        check(trial, file, plates[file.name], package)
    tally.ok(f"{package.folder.name}: {len(files)} plates, {trial.passed} measures", not trial.failed, "; ".join(trial.failed[:3]))
    return len(files)


class Walls:
    """Volume of a plate, area of both its sides, and what stands square to it: area by kind, and how many of each."""

    def __init__(self, thick):
        self.thick, self.volume, self.sides = thick, 0.0, 0.0
        self.area, self.count = {"plane": 0.0, "cylinder": 0.0, "cone": 0.0, "ellipse": 0.0}, {}

    def add(self, kind, area):
        self.area[kind] += area
        self.count[kind] = self.count.get(kind, 0) + 1

    def through(self, inside):
        """What is taken (less than 0) or given all through."""
        self.volume += inside * self.thick
        self.sides += 2 * inside

    def hole(self, hole):
        radius, slot = hole["diameter"] / 2, hole["slot"]
        cone, depth = hole.get("countersink"), hole.get("depth")
        disc = math.pi * radius**2
        if slot:
            self.through(-disc - 2 * radius * slot["length"])
            for _ in range(2):
                self.add("cylinder", math.pi * radius * self.thick)
                self.add("plane", slot["length"] * self.thick)
            return
        straight = self.thick if depth is None else depth
        self.volume -= disc * straight
        self.sides -= disc * (2 if depth is None else 1)
        if depth is not None:
            # The point of a 118 degree drill.
            point = radius / math.tan(math.radians(59))
            self.volume -= disc * point / 3
            self.add("cone", math.pi * radius * math.hypot(radius, point))
        if cone:
            wide, deep = cone["diameter"] / 2, cone["depth"]
            straight -= deep
            self.volume -= math.pi * deep / 3 * (wide**2 + wide * radius + radius**2) - disc * deep
            self.sides -= math.pi * wide**2 - disc
            self.add("cone", math.pi * (wide + radius) * math.hypot(wide - radius, deep))
        self.add("cylinder", 2 * math.pi * radius * straight)

    def outline(self, vertices, sign):
        """Along straights and arcs; Green's theorem for the area, elliptic integrals for the length."""
        inside = 0.0
        arcs = [vertex for vertex in vertices if vertex["centre"]]
        whole = len(arcs) == len(vertices) == 2 and math.dist(arcs[0]["centre"], arcs[1]["centre"]) < 1e-7
        for here, there in zip(vertices, vertices[1:] + vertices[:1]):
            (x, y), (u, v) = here["at"], there["at"]
            if not here["centre"]:
                inside += (x * v - u * y) / 2
                self.add("plane", math.hypot(u - x, v - y) * self.thick)
                continue
            cx, cy = here["centre"]
            radius = math.hypot(x - cx, y - cy)
            major, minor = here.get("axes") or ((radius, 0.0), (0.0, radius))
            a, b = math.hypot(*major), math.hypot(*minor)

            def turned(p, q):
                p, q = p - cx, q - cy
                return math.atan2((p * minor[0] + q * minor[1]) / b**2, (p * major[0] + q * major[1]) / a**2)

            way = -1 if here.get("clockwise") else 1
            start = turned(x, y)
            turn = way * ((way * (turned(u, v) - start)) % (2 * math.pi))
            # With q = p - centre, q x dq is a b dt.
            inside += (cx * (v - y) - cy * (u - x) + a * b * turn) / 2
            length = abs(arc_length(a, b, start + turn) - arc_length(a, b, start))
            kind = "ellipse" if here.get("axes") and abs(a - b) > 1e-7 else "cylinder"
            if whole and kind == "cylinder":
                self.area[kind] += length * self.thick
                self.count[kind] = self.count.get(kind, 0) + (here is arcs[0])
            else:
                self.add(kind, length * self.thick)
        self.through(sign * inside)


def arc_length(a, b, t):
    """From the end of the first semi-axis to a cos t, b sin t: with the second kind of elliptic integral."""
    # ds = sqrt(a^2 sin^2 t + b^2 cos^2 t) dt = a sqrt(1 - m cos^2 t) dt, m = 1 - b^2/a^2.
    m = 1 - (b / a) ** 2
    return a * (ellipeinc(t - math.pi / 2, m) + ellipe(m))


def planned(plate, package):
    walls, thick = Walls(plate["thick"]), plate["thick"]
    # The plates of a column's mount are not in the spec by themselves.
    stated = next((entry for entry in package.spec.get("plate", []) if entry["name"] == plate["name"]), {})
    if "size" in stated:
        width, height = (package.length(number) for number in stated["size"])
        corner = package.length(stated.get("corner", 0))
        walls.through(width * height - (4 - math.pi) * corner**2)
        for length in (width, height) * 2:
            walls.add("plane", (length - 2 * corner) * thick)
            if corner:
                walls.add("cylinder", math.pi / 2 * corner * thick)
    else:
        walls.outline(plate["outline"], 1)
    for hole in plate["holes"]:
        walls.hole(hole)
    for opening in plate["openings"]:
        walls.outline(opening["outline"], -1)
    return walls


def check(tally, file, plate, package):
    warnings, units, name, shape = read(file)
    tally.ok(f"{file.name}: read without a warning", not warnings, "; ".join(warnings[:2]))
    tally.ok(f"{file.name}: unit", units == [UNITS[package.output.get("step_unit", "mm")]], ", ".join(units))
    tally.ok(f"{file.name}: product name", name == plate["name"], name)
    whole = shape is not None and shape.ShapeType() == TopAbs_ShapeEnum.TopAbs_SOLID
    tally.ok(f"{file.name}: one valid solid", whole and BRepCheck_Analyzer(shape).IsValid())
    if not whole:
        return
    if plate.get("bends"):
        check_bent(tally, file, plate, package, shape)
        return
    walls = planned(plate, package)
    props = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, props)
    tally.within(f"{file.name}: volume", [props.Mass() / walls.volume - 1], RELATIVE, "of the closed form")
    found = [(wall_kind(kind, surface), area, surface) for kind, area, surface, _ in faces(shape)]
    area = walls.sides + sum(walls.area.values())
    tally.within(f"{file.name}: area", [sum(a for _, a, _ in found) / area - 1], RELATIVE, "of the closed form")
    counted = {kind: sum(k == kind for k, *_ in found) for kind in {k for k, *_ in found}}
    wanted = {**walls.count, "plane": walls.count.get("plane", 0) + 2}
    tally.ok(f"{file.name}: faces by kind", counted == wanted, f"{counted} for {wanted}")
    for kind, own in walls.area.items():
        total = sum(a for k, a, _ in found if k == kind)
        off = (total - (walls.sides if kind == "plane" else 0.0) - own) / area
        tally.within(f"{file.name}: area of each {kind}, summed", [off], RELATIVE, "of the whole")
    check_places(tally, file, plate, found)


def check_bent(tally, file, plate, package, shape):
    """A bent plate: volume and area from its flat pattern; cylinders and holes in place, and every rim opened flat."""
    thick = plate["thick"]
    walls = Walls(thick)
    walls.outline(plate["outline"], 1)
    for hole in plate["holes"]:
        walls.hole(hole)
    for opening in plate["openings"]:
        walls.outline(opening["outline"], -1)
    volume, sides, round_ = bent_plates.more(plate)
    volume += walls.volume
    area = walls.sides + sides + sum(walls.area.values()) + round_
    props = GProp_GProps()
    # To 1e-12 of itself: its plain rule is off by more than is allowed where a wall is ruled between two splines.
    BRepGProp.VolumeProperties_s(shape, props, 1e-12)
    tally.within(f"{file.name}: volume", [props.Mass() / volume - 1], RELATIVE, "of the exact integral")
    found = faces(shape)
    tally.within(f"{file.name}: area", [sum(a for _, a, *_ in found) / area - 1], RELATIVE, "of the exact integral")
    kinds = {kind for kind, *_ in found}
    clear = {hole["name"]: not bent_plates.in_bend(plate, hole) for hole in plate["holes"]}
    allowed = {"plane", "cylinder", "cone"} | (set() if all(clear.values()) else {"other"})
    tally.ok(f"{file.name}: true planes, cylinders and cones, ruled walls in bends only", kinds <= allowed, str(kinds))
    rounds = [surface.Cylinder() for kind, _, surface, _ in found if kind == "cylinder"]
    for bend in plate["bends"]:
        for side, radius in (("inside", bend["inside"]), ("outside", bend["inside"] + thick)):
            off = min((abs(face.Radius() - radius) for face in rounds), default=math.nan)
            tally.within(f"{file.name}: bend {bend['name']}, {side} radius", [off], PLACE)
    frame = plate["frame"]
    for hole in plate["holes"]:
        folded = hole["folded"]
        beside = [a - b for a, b in zip(folded["at"], frame["origin"])]
        at, way = ([sum(p * q for p, q in zip(v, frame[axis])) for axis in "uvw"] for v in (beside, folded["normal"]))
        if not hole["slot"] and clear[hole["name"]]:
            tally.within(f"{file.name}: hole {hole['name']}", [min(off_axis(face, at, way, hole["diameter"] / 2) for face in rounds)], PLACE)


def off_axis(face, at, way, radius):
    place, axis = face.Location(), face.Axis().Direction()
    beside = (place.X() - at[0], place.Y() - at[1], place.Z() - at[2])
    along = sum(p * q for p, q in zip(beside, way))
    square = 1 - abs(axis.X() * way[0] + axis.Y() * way[1] + axis.Z() * way[2])
    return math.dist(beside, [along * part for part in way]) + abs(face.Radius() - radius) + square


def wall_kind(kind, surface):
    if surface.GetType() == GeomAbs_SurfaceType.GeomAbs_SurfaceOfExtrusion:
        carried = surface.BasisCurve().GetType().name
        return "ellipse" if carried == "GeomAbs_Ellipse" else carried
    return kind


def check_places(tally, file, plate, found):
    """Axes of the holes and openings where the plan has them, drawn face at 0, back at -thick."""
    axes = []
    for kind, _, surface in found:
        if kind == "cylinder":
            at = surface.Cylinder().Location()
            axes.append((at.X(), at.Y(), surface.Cylinder().Radius()))
        elif kind == "ellipse":
            ellipse = surface.BasisCurve().Ellipse()
            axes.append((ellipse.Location().X(), ellipse.Location().Y(), ellipse.MinorRadius()))
    for hole in plate["holes"]:
        half = hole["slot"]["length"] / 2 if hole["slot"] else 0.0
        way = math.radians(hole["slot"]["angle"]) if hole["slot"] else 0.0
        for side in (-half, half):
            wanted = (hole["centre"][0] + side * math.cos(way), hole["centre"][1] + side * math.sin(way), hole["diameter"] / 2)
            off = min((math.dist(axis, wanted) for axis in axes), default=math.nan)
            tally.within(f"{file.name}: hole {hole['name']}", [off], PLACE)
    for opening in plate["openings"]:
        # Each arc's centre, and half the least width across it.
        off = 0.0
        for vertex in opening["outline"]:
            if vertex["centre"]:
                half = math.hypot(*vertex["axes"][1]) if vertex.get("axes") else math.dist(vertex["at"], vertex["centre"])
                off = max(off, min((math.dist(axis, (*vertex["centre"], half)) for axis in axes), default=math.nan))
        tally.within(f"{file.name}: opening {opening['name']}", [off], PLACE)
    levels = []
    for kind, _, surface in found:
        if kind == "plane" and abs(surface.Plane().Axis().Direction().Z()) > 0.5:
            levels.append(surface.Plane().Location().Z())
    for name, at in (("drawn face", 0.0), ("back", -plate["thick"])):
        tally.within(f"{file.name}: {name}", [min((z - at for z in levels), key=abs, default=math.nan)], PLACE)


def spoil(tally, file, bad, plate, package):
    text = file.read_text("ascii")
    per_unit = MILLIMETRES[package.output.get("step_unit", "mm")]

    def refuses(what, at, spoiled):
        if spoiled == text:
            tally.ok(f"refuses {file.name} {what}", False, "nothing was spoiled")
            return
        bad.write_text(spoiled, "ascii")
        tally.refuses(f"{file.name} {what}", at, check, bad, plate, package)

    if plate.get("bends"):
        refuses("under another name", "product name", text.replace(f"'{plate['name']}'", "'another'"))
        refuses("with a face left out", "one valid solid", re.sub(r"(CLOSED_SHELL\('[^']*', \()#\d+, ", r"\1", text))
        inside = plate["bends"][0]["inside"] / per_unit
        wider = re.sub(r"(CYLINDRICAL_SURFACE\('', #\d+, )([\d.]+)\)", lambda f: f"{f[1]}{float(f[2]) + 0.001 if abs(float(f[2]) - inside) < 1e-9 else f[2]})", text)
        refuses("with a bend 0.001 mm too wide", f"bend {plate['bends'][0]['name']}, inside", wider)
        return
    refuses("0.001 mm too thick", "volume", move_station(text, -plate["thick"], -0.001, per_unit))
    refuses("0.001 mm too thick", "back", move_station(text, -plate["thick"], -0.001, per_unit))
    refuses("under another name", "product name", text.replace(f"'{plate['name']}'", "'another'"))
    refuses("with a face left out", "one valid solid", re.sub(r"(CLOSED_SHELL\('[^']*', \()#\d+, ", r"\1", text))
    round_ = next((hole for hole in plate["holes"] if not hole["slot"]), None)
    if round_:
        u = round_["centre"][0]
        refuses("with a hole moved by 0.1 mm", f"hole {round_['name']}", move_hole(text, u, 0.1, per_unit))


# A point's record, up to its first coordinate.
FIRST = re.compile(r"(CARTESIAN_POINT\('', \()([-+.\dE]+)(?=,)")


def move_hole(text, u, by, per_unit):
    """Moves every point at the hole's u along the plate, its centre among them."""

    def move(found):
        here = float(found[2])
        return found[1] + repr(here + by / per_unit) if abs(here - u / per_unit) < 1e-9 else found[0]

    return FIRST.sub(move, text)
