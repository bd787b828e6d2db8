"""Solids as OpenCASCADE reads them: structure, unit, name, and every measure against a closed form.

Reader: OpenCASCADE through the Python package cadquery-ocp. Closed forms: shaft_form.py.
"""

import copy
import math
import re

from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
from OCP.BRepBuilderAPI import BRepBuilderAPI_NurbsConvert
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.collections import Sequence_TCollection_AsciiString, Sequence_TDF_Label
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.GProp import GProp_GProps
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.Message import Message
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.STEPControl import STEPControl_StepModelType, STEPControl_Writer
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDocStd import TDocStd_Document
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS
from OCP.XCAFDoc import XCAFDoc_DocumentTool

import shaft_form
from package import UNITS as MILLIMETRES
from package import file_name

RELATIVE = 1e-9  # of volume and areas
PLACE = 1e-6  # mm
UNITS = {"mm": "millimetre", "in": "INCH"}  # as OpenCASCADE names them
KINDS = {
    GeomAbs_SurfaceType.GeomAbs_Plane: "plane",
    GeomAbs_SurfaceType.GeomAbs_Cylinder: "cylinder",
    GeomAbs_SurfaceType.GeomAbs_Cone: "cone",
}


def read(file):
    """(warnings, units, name, shape); lengths in mm whatever the file's unit."""
    document = TDocStd_Document(TCollection_ExtendedString("conformance"))
    reader = STEPCAFControl_Reader()
    reader.SetNameMode(True)
    if reader.ReadFile(str(file)) != IFSelect_ReturnStatus.IFSelect_RetDone:
        return ["not readable"], [], "", None
    base = reader.ChangeReader()
    loaded = base.WS().ModelCheckList(False)
    reader.Transfer(document)
    warnings = [said for checks in (loaded, base.WS().TransferReader().LastCheckList()) for said in messages(checks)]
    units = [Sequence_TCollection_AsciiString() for _ in range(3)]
    base.FileUnits(*units)
    tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    labels = Sequence_TDF_Label()
    tool.GetFreeShapes(labels)
    if len(labels) != 1:
        return warnings + [f"{len(labels)} free shapes"], [], "", None
    label, name = labels.Value(1), TDataStd_Name()
    text = name.Get().ToExtString() if label.FindAttribute(TDataStd_Name.GetID_s(), name) else ""
    return warnings, [unit.ToCString() for unit in units[0]], text, tool.GetShape_s(label)


def messages(checks):
    """Every fail and warning of OpenCASCADE's check list."""
    found = []
    checks.Start()
    while checks.More():
        check = checks.Value()
        found += [check.CFail(k + 1) for k in range(check.NbFails())]
        found += [check.CWarning(k + 1) for k in range(check.NbWarnings())]
        checks.Next()
    return found


def faces(shape):
    """[(kind, area, surface, centre)] of every face; the centre is that of its area."""
    found, walk = [], TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_FACE)
    while walk.More():
        face = TopoDS.Face(walk.Current())
        surface, props = BRepAdaptor_Surface(face), GProp_GProps()
        BRepGProp.SurfaceProperties_s(face, props)
        found.append((KINDS.get(surface.GetType(), "other"), props.Mass(), surface, props.CentreOfMass()))
        walk.Next()
    return found


def check(tally, file, piece, package):
    warnings, units, name, shape = read(file)
    tally.ok(f"{file.name}: read without a warning", not warnings, "; ".join(warnings[:2]))
    tally.ok(f"{file.name}: unit", units == [UNITS[package.output.get("step_unit", "mm")]], ", ".join(units))
    tally.ok(f"{file.name}: product name", name == piece.name, name)
    whole = shape is not None and shape.ShapeType() == TopAbs_ShapeEnum.TopAbs_SOLID
    tally.ok(f"{file.name}: one valid solid", whole and BRepCheck_Analyzer(shape).IsValid())
    if not whole:
        return
    wanted = shaft_form.measure(piece)
    props = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, props)
    tally.within(f"{file.name}: volume", [props.Mass() / wanted.volume - 1], RELATIVE, "of the closed form")
    found = faces(shape)
    whole = wanted.plane + wanted.cylinder + wanted.cone
    tally.within(f"{file.name}: area", [sum(area for _, area, *_ in found) / whole - 1], RELATIVE, "of the closed form")
    count = {kind: sum(k == kind for k, *_ in found) for kind in ("plane", "cylinder", "cone", "other")}
    tally.ok(f"{file.name}: true planes, cylinders and cones only", count["other"] == 0, str(count))
    for kind in ("plane", "cylinder", "cone"):
        total = sum(area for k, area, *_ in found if k == kind)
        off = (total - getattr(wanted, kind)) / whole
        tally.within(f"{file.name}: area of each {kind}, summed", [off], RELATIVE, "of the whole")
    check_edges(tally, file, piece, shape)
    check_places(tally, file, piece, wanted, found)
    check_flats(tally, file, piece, found)


def edge_kinds(shape):
    """How many edges of each kind of curve."""
    found, seen, walk = {}, set(), TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_EDGE)
    while walk.More():
        edge = TopoDS.Edge(walk.Current())
        if edge.TShape() not in seen:
            seen.add(edge.TShape())
            kind = BRepAdaptor_Curve(edge).GetType().name.removeprefix("GeomAbs_").lower()
            found[kind] = found.get(kind, 0) + 1
        walk.Next()
    return found


def check_edges(tally, file, piece, shape):
    """Hyperbolas where a turned chamfer meets a flat, two on each; fitted edges only at what is cut into round sides."""
    found = edge_kinds(shape)
    stretches = piece.stretches()
    tips = [stretches[0][0], stretches[-1][0]] if piece.chamfer else []
    flats = sum(4 if own.half < own.radius - piece.chamfer else 2 for own in tips if own.half < own.radius)
    tally.ok(f"{file.name}: hyperbolas on the chamfers", found.get("hyperbola", 0) == flats, f"{found} for {flats}")
    cuts = len(piece.grooves) + sum(d["on"] != "flat" and d["spot"] == "drill" for d in piece.dimples)
    fitted = found.get("bsplinecurve", 0)
    tally.ok(f"{file.name}: fitted edges at grooves and round sides only", cuts <= fitted <= 4 * cuts, f"{fitted}, {cuts} such cuts")
    other = set(found) - {"line", "circle", "ellipse", "hyperbola", "bsplinecurve"}
    tally.ok(f"{file.name}: no other kind of edge", not other, str(found))


def check_flats(tally, file, piece, found):
    """Where the flats of each end, and of the hole, stand and face."""
    upper, lower = piece.ends
    shoulders = (upper[1] if upper else 0.0, piece.length - lower[1] if lower else piece.length)
    wanted = [("bar's", piece.bar, *shoulders), ("hole's", piece.hole, 0.0, piece.length)]
    wanted += [("upper end's", upper[0], 0.0, shoulders[0])] if upper else []
    wanted += [("lower end's", lower[0], shoulders[1], piece.length)] if lower else []
    for name, section, low, high in wanted:
        if not section or section.half >= section.radius:
            continue
        for side, clock in (("A", section.clock), ("B", section.clock + 180)):
            x, y = math.cos(math.radians(clock)), math.sin(math.radians(clock))
            offs = []
            for kind, _, surface, centre in found:
                if kind != "plane" or not low < centre.Z() < high:
                    continue
                normal, at = surface.Plane().Axis().Direction(), surface.Plane().Location()
                if abs(normal.Z()) > 0.5:
                    continue
                way = 1 if normal.X() * x + normal.Y() * y > 0 else -1
                # How far the plane is off where the flat should be, at its middle and at its edge.
                away = way * (normal.X() * at.X() + normal.Y() * at.Y()) - section.half
                turned = section.radius * math.hypot(way * normal.X() - x, way * normal.Y() - y)
                offs.append(abs(away) + turned)
            tally.within(f"{file.name}: {name} flat {side}", [min(offs, default=float("nan"))], PLACE)


def check_places(tally, file, piece, wanted, found):
    """Both ends, every shoulder and every dimple's tip, in the frame of the results."""
    stations = [
        surface.Plane().Location().Z()
        for kind, _, surface, _ in found
        if kind == "plane" and abs(surface.Plane().Axis().Direction().Z()) > 0.5
    ]
    faces = [("upper end face", 0.0), ("lower end face", piece.length), *piece.shoulders()]
    for face, z in faces:
        tally.within(f"{file.name}: {face}", [min((s - z for s in stations), key=abs, default=float("nan"))], PLACE)
    # Of a cone its apex, of a flat floor its middle.
    tips = [surface.Cone().Apex() for kind, _, surface, _ in found if kind == "cone"]
    tips += [centre for kind, _, _, centre in found if kind == "plane"]
    for number, tip in enumerate(wanted.tips, 1):
        off = [sum((a - b) ** 2 for a, b in zip((p.X(), p.Y(), p.Z()), tip)) ** 0.5 for p in tips]
        tally.within(f"{file.name}: tip of dimple {number}", [min(off, default=float("nan"))], PLACE)


def run(tally, package, scratch):
    # OpenCASCADE prints what it finds; the checks ask for it instead.
    Message.DefaultMessenger_s().ChangePrinters().Clear()
    found = {piece.file: piece for shaft in package.results["shafts"] for piece in pieces(package, shaft)}
    files = package.files("solids/shaft-*.step")
    tally.ok("a solid of every shaft, and no other", sorted(file.name for file in files) == sorted(found))
    for file in files:
        if file.name in found:
            check(tally, file, found[file.name], package)
            spoil(tally, file, scratch / file.name, found[file.name], package)


def pieces(package, shaft):
    """What one shaft is made of: one bar, or the two members of a slip shaft, from the spec's forms."""
    stated = package.named("shaft", shaft["name"])
    chamfer = package.length(stated.get("chamfer", 0))
    clocks = {end["end"]: end["clock"] or 0.0 for end in shaft.get("ends", [])}

    def bored(kind, sizes):
        return shaft_form.Section(sizes["bore"] / 2, math.inf) if sizes.get("bore") else None

    def cut(end):
        at = stated.get("ends", {}).get(end)
        if at:
            return shaft_form.Section.of(*package.form(at["form"]), clocks[end]), package.length(at["length"])

    def seat(start, length):
        """The seat turned for the bearing, its middle at the bearing's, where it lies on this piece."""
        journal = stated.get("journal")
        if not journal:
            return None
        across = package.length(journal["diameter"])
        half = package.length(journal.get("length", journal["diameter"])) / 2
        low, high = (shaft["bearing"]["z"] + side * half - start for side in (-1, 1))
        return (shaft_form.Section(across / 2, math.inf), low, high) if low > 0 and high < length else None

    stock, name = package.form(stated["stock"]), shaft["name"]
    if not shaft.get("members"):
        bar = shaft_form.Section.of(*stock)
        ends = [cut("upper"), cut("lower")]
        file = f"shaft-{file_name(name)}.step"
        return [shaft_form.Piece(name, file, shaft["cut_length"], chamfer, bar, seat(0.0, shaft["cut_length"]), ends, bored(*stock), shaft["dimples"], shaft["grooves"])]
    slip = stated["slip"]
    # The flats of both members that slide lie alike, those of the inner member's own end.
    slide = shaft["twist"]["flats"] if slip["outer_end"] == "upper" else 0.0
    made = []
    # Where both members lie under the bearing, the outer one has the seat.
    on_outer = any(
        seat(member["from"], member["cut_length"]) for member in shaft["members"] if member["end"] == slip["outer_end"]
    )
    for member in shaft["members"]:
        outer = member["end"] == slip["outer_end"]
        form = package.form(slip["outer"]) if outer else stock
        hole = shaft_form.Section.of(*package.form(slip.get("fits", stated["stock"])), slide) if outer else bored(*stock)
        ends = [cut(end) if end == member["end"] else None for end in ("upper", "lower")]
        file = f"shaft-{file_name(name)}-{member['name']}.step"
        made.append(
            shaft_form.Piece(
                f"{name}, {member['name']} member",
                file,
                member["cut_length"],
                chamfer,
                shaft_form.Section.of(*form, slide),
                seat(member["from"], member["cut_length"]) if outer or not on_outer else None,
                ends,
                hole,
                member["dimples"],
                member["grooves"],
            )
        )
    return made


def spoil(tally, file, bad, piece, package):
    text = file.read_text("ascii")

    def refuses(what, at, spoiled):
        if spoiled == text:
            tally.ok(f"refuses {file.name} {what}", False, "nothing was spoiled")
            return
        bad.write_text(spoiled, "ascii")
        tally.refuses(f"{file.name} {what}", at, check, bad, piece, package)

    refuses("with a record cut out", "without a warning", re.sub(r"#\d+ = DIRECTION\([^\n]*\n", "", text, count=1))
    unit = package.output.get("step_unit", "mm")
    metres = text.replace("SI_UNIT(.MILLI., .METRE.)", "SI_UNIT($, .METRE.)")
    # An inch is stated as 25.4 of the other unit: there the name stays and the size goes wrong.
    refuses("in metres", {"mm": "unit", "in": "volume"}[unit], metres)
    refuses("under another name", "product name", text.replace(f"'{piece.name}'", "'another'"))
    refuses("with a face left out", "one valid solid", re.sub(r"(CLOSED_SHELL\('[^']*', \()#\d+, ", r"\1", text))
    per_unit = MILLIMETRES[unit]
    longer = move_station(text, piece.length, 0.001, per_unit)
    refuses("0.001 mm too long", "volume", longer)
    refuses("0.001 mm too long", "area:", longer)
    refuses("0.001 mm too long", "lower end face", longer)
    refuses("with its upper end moved", "upper end face", move_station(text, 0.0, 0.001, per_unit))
    for shoulder, z in piece.shoulders():
        refuses(f"with its {shoulder} moved", shoulder, move_station(text, z, 0.001, per_unit))
    for end, name in enumerate(("upper end's", "lower end's")):
        if piece.ends[end] and piece.ends[end][0].half < piece.ends[end][0].radius:
            turned = copy.deepcopy(piece)
            turned.ends[end][0].clock += 0.001
            bad.write_text(text, "ascii")
            tally.refuses(f"{file.name} turned by 0.001 deg", f"{name} flat A", check, bad, turned, package)
    write_as_splines(file, bad)
    tally.refuses(f"{file.name} with its faces as splines", "true planes", check, bad, piece, package)
    for number, dimple in enumerate([dimple for dimple in piece.dimples if dimple["spot"] == "drill"], 1):
        moved = move_station(text, dimple["z"], 0.1, per_unit)
        refuses(f"with dimple {number} moved by 0.1 mm", f"tip of dimple {number}", moved)
        if dimple["on"] == "flat" and dimple["drill"] != shaft_form.FLAT:
            bare = without_dimple(text, dimple["z"] / per_unit)
            refuses(f"without dimple {number}", "volume", bare)
            refuses(f"without dimple {number}", "area of each cone", bare)
            refuses(f"without dimple {number}", f"tip of dimple {number}", bare)


# A point's record, up to its third coordinate.
POINT = re.compile(r"(CARTESIAN_POINT\('', \([^,]+, [^,]+, )([-+.\dE]+)(?=\)\);)")


def move_station(text, z, by, per_unit):
    """Adds to the station of every point that stands at z (mm)."""

    def move(found):
        here = float(found[2])
        return found[1] + repr(here + by / per_unit) if abs(here - z / per_unit) < 1e-9 else found[0]

    return POINT.sub(move, text)


def write_as_splines(file, bad):
    """The same solid as a writer without true surfaces leaves it: rational B-splines throughout."""
    writer = STEPControl_Writer()
    shape = BRepBuilderAPI_NurbsConvert(read(file)[3]).Shape()
    writer.Transfer(shape, STEPControl_StepModelType.STEPControl_ManifoldSolidBrep)
    writer.Write(str(bad))


def without_dimple(text, z):
    """Leaves out a dimple's cone and the loop in the flat that it filled: a whole solid, one dimple short."""
    records = dict(re.findall(r"#(\d+) = (.*);", text))

    def under(number):
        """References of a record."""
        return re.findall(r"#(\d+)", records[number])

    def edges(bound):
        [loop] = under(bound)
        return [under(oriented)[-1] for oriented in under(loop)]

    def at_station(edge):
        points = [records[under(vertex)[0]] for vertex in under(edge)[:2]]
        return any(abs(float(POINT.search(point + ";")[2]) - z) < 1e-9 for point in points)

    cones = [
        n
        for n, r in records.items()
        if r.startswith("ADVANCED_FACE") and records[under(n)[-1]].startswith("CONICAL_SURFACE")
    ]
    for cone in cones:
        around = [edge for bound in under(cone)[:-1] for edge in edges(bound)]
        rims = [edge for edge in around if around.count(edge) == 1 and at_station(edge)]
        loops = [n for n, r in records.items() if r.startswith("FACE_BOUND") and set(edges(n)) & set(rims)]
        for lost in (loops + [cone]) if loops else []:
            text = re.sub(rf", #{lost}(?=[,)])", "", text)
    return text
