"""Plates as OpenCASCADE reads them: volume, area and walls against closed forms of the spec's sizes.

Reader: OpenCASCADE through the Python package cadquery-ocp. The outline is the spec's rectangle or, where the spec has
another, the results' outline summed by Green's theorem; ellipses by the complete elliptic integral of scipy.
"""

import math
import re

from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_ShapeEnum
from scipy.special import ellipe

from package import UNITS as MILLIMETRES
from package import file_name
from step_solids import PLACE, RELATIVE, UNITS, faces, move_station, read


def run(tally, package, scratch):
    plates = {f"plate-{file_name(plate['name'])}.step": plate for plate in package.results["plates"]}
    files = package.files("solids/plate-*.step")
    whole = sorted(name for name, plate in plates.items() if not runs_together(package, plate))
    tally.ok("a solid of every plate whose cuts stand apart", sorted(file.name for file in files) == whole, str(whole))
    for file in files:
        if file.name in plates:
            check(tally, file, plates[file.name], package)
            spoil(tally, file, scratch / file.name, plates[file.name], package)


def runs_together(package, plate):
    """Whether the rules found cuts of this plate that meet each other or its edge."""
    codes = ("hole-web", "hole-edge", "opening-edge")
    return any(
        found["rule"] in codes and found["status"] == "fail" and f"plate {plate['name']}" in found["subject"]
        and found["value"] is not None and found["value"] <= 0.05
        for found in package.results["checks"]
    )


class Walls:
    """What stands square to the plate: area by kind of wall, and how many of each."""

    def __init__(self):
        self.inside, self.length, self.count = 0.0, {"plane": 0.0, "cylinder": 0.0, "ellipse": 0.0}, {}

    def add(self, kind, length):
        self.length[kind] += length
        self.count[kind] = self.count.get(kind, 0) + 1

    def slot(self, diameter, length):
        self.inside -= math.pi * diameter**2 / 4 + diameter * length
        if not length:
            self.add("cylinder", math.pi * diameter)
            return
        for _ in range(2):
            self.add("cylinder", math.pi * diameter / 2)
            self.add("plane", length)

    def opening(self, major, minor, drift):
        a, b = major / 2, minor / 2
        self.inside -= math.pi * a * b + 2 * b * drift
        round_ = abs(a - b) < 1e-7
        if round_ and not drift:
            self.add("cylinder", 2 * math.pi * a)
            return
        for _ in range(2):
            self.add("cylinder" if round_ else "ellipse", 2 * a * ellipe(1 - (b / a) ** 2))
            if drift:
                self.add("plane", drift)

    def outline(self, vertices):
        for here, there in zip(vertices, vertices[1:] + vertices[:1]):
            (x, y), (u, v) = here["at"], there["at"]
            self.inside += (x * v - u * y) / 2
            if not here["centre"]:
                self.add("plane", math.hypot(u - x, v - y))
                continue
            # Anticlockwise about its centre: the sector beyond the chord.
            cx, cy = here["centre"]
            radius = math.hypot(x - cx, y - cy)
            turn = (math.atan2(v - cy, u - cx) - math.atan2(y - cy, x - cx)) % (2 * math.pi)
            self.inside += radius**2 * (turn - math.sin(turn)) / 2
            self.add("cylinder", radius * turn)


def planned(plate, package):
    walls = Walls()
    stated = package.named("plate", plate["name"])
    if "size" in stated and "outline" not in stated:
        width, height = (package.length(number) for number in stated["size"])
        corner = package.length(stated.get("corner", 0))
        walls.inside += width * height - (4 - math.pi) * corner**2
        for length in (width, height) * 2:
            walls.add("plane", length - 2 * corner)
            if corner:
                walls.add("cylinder", math.pi / 2 * corner)
    else:
        walls.outline(plate["outline"])
    for hole in plate["holes"]:
        walls.slot(hole["diameter"], hole["slot"]["length"] if hole["slot"] else 0.0)
    for opening in plate["openings"]:
        centres = [vertex["centre"] for vertex in opening["outline"] if vertex["centre"]]
        walls.opening(opening["major"], opening["minor"], math.dist(centres[0], centres[-1]))
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
    walls, thick = planned(plate, package), plate["thick"]
    props = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, props)
    tally.within(f"{file.name}: volume", [props.Mass() / (walls.inside * thick) - 1], RELATIVE, "of the closed form")
    found = [(wall_kind(kind, surface), area, surface) for kind, area, surface, _ in faces(shape)]
    area = 2 * walls.inside + sum(walls.length.values()) * thick
    tally.within(f"{file.name}: area", [sum(a for _, a, _ in found) / area - 1], RELATIVE, "of the closed form")
    counted = {kind: sum(k == kind for k, *_ in found) for kind in {k for k, *_ in found}}
    wanted = {**walls.count, "plane": walls.count.get("plane", 0) + 2}
    tally.ok(f"{file.name}: faces by kind", counted == wanted, f"{counted} for {wanted}")
    for kind, length in walls.length.items():
        total = sum(a for k, a, _ in found if k == kind)
        sides = 2 * walls.inside if kind == "plane" else 0.0
        off = (total - sides - length * thick) / area
        tally.within(f"{file.name}: area of each {kind}, summed", [off], RELATIVE, "of the whole")
    check_places(tally, file, plate, found)


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
        wanted = (*opening["centre"], opening["minor"] / 2)
        off = min((math.dist(axis, wanted) for axis in axes), default=math.nan)
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
