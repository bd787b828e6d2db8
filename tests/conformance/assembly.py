"""The whole linkage as OpenCASCADE reads it: products, instances, places, colours.

Reader: OpenCASCADE through the Python package cadquery-ocp. Places are those of the results: a shaft's own frame (but
for its turn about its axis), the crosses' centres, the plates' frames.
"""

import math
import re

from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.collections import Sequence_TDF_Label
from OCP.gp import gp_Pnt, gp_Vec
from OCP.GProp import GProp_GProps
from OCP.Quantity import Quantity_Color
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label
from OCP.TDocStd import TDocStd_Document
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.XCAFDoc import XCAFDoc_ColorType, XCAFDoc_DocumentTool, XCAFDoc_ShapeTool

from step_properties import RELATIVE, check_records
from step_solids import messages
from step_solids import read as read_part

PLACE = 1e-6  # mm


def run(tally, package, scratch):
    files = package.files("solids/assembly.step")
    tally.ok("an assembly", len(files) == 1)
    for file in files:
        check(tally, file, package)
        spoil(tally, file, scratch / file.name, package)


def name_of(label):
    name = TDataStd_Name()
    return name.Get().ToExtString() if label.FindAttribute(TDataStd_Name.GetID_s(), name) else ""


def is_coloured(colours, product):
    """Whether a product, or else every solid of it, has a colour."""
    kinds, colour = (XCAFDoc_ColorType.XCAFDoc_ColorGen, XCAFDoc_ColorType.XCAFDoc_ColorSurf), Quantity_Color()
    if any(colours.GetColor_s(product, kind, colour) for kind in kinds):
        return True
    walk, solids = TopExp_Explorer(XCAFDoc_ShapeTool.GetShape_s(product), TopAbs_ShapeEnum.TopAbs_SOLID), []
    while walk.More():
        solids.append(any(colours.GetColor(walk.Current(), kind, colour) for kind in kinds))
        walk.Next()
    return bool(solids) and all(solids)


class Instance:
    def __init__(self, name, product, shape, coloured):
        self.name, self.product, self.shape, self.coloured = name, product, shape, coloured
        where = shape.Location().Transformation()
        self.at = coordinates(gp_Pnt(0, 0, 0).Transformed(where))
        self.x, self.z = (coordinates(gp_Vec(*axis).Transformed(where)) for axis in ((1, 0, 0), (0, 0, 1)))


def coordinates(point):
    return (point.X(), point.Y(), point.Z())


def read(file):
    """(warnings, name of the whole, instances)."""
    document = TDocStd_Document(TCollection_ExtendedString("conformance"))
    reader = STEPCAFControl_Reader()
    reader.SetNameMode(True)
    reader.SetColorMode(True)
    reader.ReadFile(str(file))
    base = reader.ChangeReader()
    loaded = base.WS().ModelCheckList(False)
    reader.Transfer(document)
    warnings = [said for checks in (loaded, base.WS().TransferReader().LastCheckList()) for said in messages(checks)]
    tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    free, parts = Sequence_TDF_Label(), Sequence_TDF_Label()
    tool.GetFreeShapes(free)
    if len(free) != 1:
        return warnings + [f"{len(free)} free shapes"], "", []
    XCAFDoc_ShapeTool.GetComponents_s(free.Value(1), parts)
    found = []
    for i in range(1, len(parts) + 1):
        label, product = parts.Value(i), TDF_Label()
        XCAFDoc_ShapeTool.GetReferredShape_s(label, product)
        shape = XCAFDoc_ShapeTool.GetShape_s(label)
        found.append(Instance(name_of(label), name_of(product), shape, is_coloured(colours, product)))
    return warnings, name_of(free.Value(1)), found


def check(tally, file, package):
    warnings, name, found = read(file)
    tally.ok("assembly: read without a warning", not warnings, "; ".join(warnings[:2]))
    tally.ok("assembly: product name", name == "assembly", name)
    names = {instance.name: instance for instance in found}
    tally.ok("assembly: instances have names of their own", len(names) == len(found), str(len(found)))
    tally.ok("assembly: every solid valid", bool(found) and all(BRepCheck_Analyzer(i.shape).IsValid() for i in found))
    plain = [instance.name for instance in found if not instance.coloured]
    tally.ok("assembly: every instance coloured", not plain, ", ".join(plain[:3]))
    stands = [i.product for i in found if i.name.startswith(("joint ", "column ", "gear ", "obstacle "))]
    tally.ok("assembly: stand-ins say what they are", all("not for manufacture" in name for name in stands))
    shafts(tally, package, names)
    joints(tally, package, names)
    for plate in package.results["plates"]:
        if f"plate {plate['name']}" in names:
            placed(tally, names[f"plate {plate['name']}"], plate["frame"]["origin"], plate["frame"]["w"], plate["frame"]["u"])
    for notch in package.results["notches"]:
        liner = notch.get("liner") or {}
        if f"{liner.get('kind')} {notch['name']}" in names:
            frame = liner["frame"]
            placed(tally, names[f"{liner['kind']} {notch['name']}"], frame["origin"], frame["axis"], frame["x"])
        for doubler in notch.get("doublers", []):
            if f"doubler {notch['name']} {doubler['face']}" in names:
                frame = doubler["frame"]
                placed(tally, names[f"doubler {notch['name']} {doubler['face']}"], frame["origin"], frame["w"], frame["u"])
    for rail in package.results["rails"]:
        if f"rail {rail['name']}" in names:
            frame = rail["frame"]
            placed(tally, names[f"rail {rail['name']}"], frame["origin"], frame["right"], frame["along"])
    obstacles(tally, package, names)
    volumes(tally, package, found)
    check_records(tally, file, package)


def placed(tally, instance, at, z, x=None):
    off = [math.dist(instance.at, at), 500 * math.dist(instance.z, z)] + ([500 * math.dist(instance.x, x)] if x else [])
    tally.within(f"assembly: place of {instance.name}", off, PLACE)


def shafts(tally, package, names):
    for number, shaft in enumerate(package.results["shafts"]):
        frame = shaft["frame"]
        first = frame["x"] if number == 0 else None
        if not shaft.get("members"):
            instances = [(shaft["name"], 0.0)]
        else:
            instances = [(f"{shaft['name']}, {member['name']} member", member["from"]) for member in shaft["members"]]
        for name, start in instances:
            at = [o + z * start for o, z in zip(frame["origin"], frame["z"])]
            tally.ok(f"assembly: shaft {name}", name in names)
            if name in names:
                placed(tally, names[name], at, frame["z"], first)


def joints(tally, package, names):
    """A cross's arms run along the ears of both its yokes, square to both shafts, its centre where the results have it."""
    for joint in package.results["joints"]:
        name, crosses = joint["name"], joint["crosses"]
        sides = [("", crosses[0])] if len(crosses) == 1 else [("column-side ", crosses[0]), ("gear-side ", crosses[1])]
        for side, centre in sides:
            cross = names.get(f"joint {name}, {side}cross")
            tally.ok(f"assembly: joint {name}, {side}cross", cross is not None)
            if cross:
                tally.within(f"assembly: centre of joint {name}, {side}cross", [math.dist(cross.at, centre)], PLACE)
        upper, lower = (names.get(f"joint {name}, {side}-side yoke") for side in ("column", "gear"))
        if not upper or not lower:
            tally.ok(f"assembly: both yokes of joint {name}", False)
            continue
        angle = math.degrees(math.acos(max(-1.0, min(1.0, -sum(a * b for a, b in zip(upper.z, lower.z))))))
        tally.near(f"assembly: angle of joint {name} between its hubs", angle, joint["angle"], 1e-6, "deg")
        ends = [names[f"joint {name}, {sides[k][0]}cross"] for k in (0, -1)]
        second = tuple(ends[1].z[i] for i in range(3))
        arm = (
            second[1] * ends[1].x[2] - second[2] * ends[1].x[1],
            second[2] * ends[1].x[0] - second[0] * ends[1].x[2],
            second[0] * ends[1].x[1] - second[1] * ends[1].x[0],
        )
        offs = [500 * math.dist(upper.x, ends[0].x), 500 * math.dist(lower.x, arm)]
        tally.within(f"assembly: ears of joint {name} along its cross", offs, PLACE)


def obstacles(tally, package, names):
    """Volumes in closed form from the spec: boxes, balls, and tubes bent or mitred along their path (Pappus)."""
    for obstacle in package.spec.get("obstacle", []):
        if "beside" in obstacle:
            continue
        name = f"obstacle {obstacle['name']}"
        tally.ok(f"assembly: {name}", name in names)
        if name not in names:
            continue
        volume, middle = closed_form(obstacle, package)
        props = GProp_GProps()
        BRepGProp.VolumeProperties_s(names[name].shape, props)
        # The reader lays a mitre's ellipse on the cylinder by a fitted curve; its three integrators agree on 1e-6.
        allowed = 1e-5 if "tube" in obstacle and "bend" not in obstacle["tube"] else RELATIVE
        tally.within(f"assembly: volume of {name}", [props.Mass() / volume - 1], allowed, "of the closed form")
        if middle:
            tally.within(f"assembly: middle of {name}", [math.dist(coordinates(props.CentreOfMass()), middle)], PLACE)


def closed_form(obstacle, package):
    if "ball" in obstacle:
        radius, centre = package.length(obstacle["ball"]["diameter"]) / 2, package.point(obstacle["ball"]["centre"])
        return 4 / 3 * math.pi * radius**3, centre
    if "box" in obstacle:
        corner = package.point(obstacle["box"]["corner"])
        a, b, c = ([package.length(part) for part in edge] for edge in obstacle["box"]["edges"])
        cross = (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])
        middle = [p + (i + j + k) / 2 for p, i, j, k in zip(corner, a, b, c)]
        return abs(sum(i * j for i, j in zip(cross, c))), middle
    tube = obstacle["tube"]
    path = [package.point(point) for point in tube["path"]]
    length, before = 0.0, None
    for here, there in zip(path, path[1:]):
        leg = math.dist(here, there)
        way = [(q - p) / leg for p, q in zip(here, there)]
        length += leg
        if before and "bend" in tube:
            turn = math.acos(max(-1.0, min(1.0, sum(p * q for p, q in zip(before, way)))))
            length -= package.length(tube["bend"]) * (2 * math.tan(turn / 2) - turn)
        before = way
    return math.pi / 4 * package.length(tube["diameter"]) ** 2 * length, None


def volumes(tally, package, found):
    """A shaft or plate in the assembly is the one of its own file."""
    for file in package.files("solids/*-*.step"):
        _, _, name, shape = read_part(file)
        own = [instance for instance in found if instance.product == name]
        tally.ok(f"assembly: {name} is there once", len(own) == 1, str(len(own)))
        for instance in own:
            wanted, had = GProp_GProps(), GProp_GProps()
            BRepGProp.VolumeProperties_s(shape, wanted)
            BRepGProp.VolumeProperties_s(instance.shape, had)
            tally.within(f"assembly: volume of {name}", [had.Mass() / wanted.Mass() - 1], RELATIVE, "of its own file")


def spoil(tally, file, bad, package):
    text = file.read_text("ascii")
    bad.write_text(re.sub(r"(#\d+ = STYLED_ITEM\('colour', \()#\d+\)", r"\1)", text), "ascii")
    tally.refuses("assembly without its colours", "every instance coloured", check, bad, package)
    bad.write_text(text.replace("not for manufacture", "as good as new"), "ascii")
    tally.refuses("assembly with stand-ins unnamed", "stand-ins", check, bad, package)
    cross = package.results["joints"][0]["crosses"][0]
    if abs(cross[0]) < 1e-6:
        # A mock-up's first cross is zero, like many a point of the parts' own shapes.
        return
    per_unit = {"mm": 1.0, "in": 25.4}[package.output.get("step_unit", "mm")]
    point = re.compile(r"(CARTESIAN_POINT\('', \()([-+.\dE]+)(?=,)")

    def move(found):
        here = float(found[2])
        return found[1] + repr(here + 0.001 / per_unit) if abs(here - cross[0] / per_unit) < 1e-9 else found[0]

    bad.write_text(point.sub(move, text), "ascii")
    tally.refuses("assembly with a cross moved by 0.001 mm", "assembly: centre of joint", check, bad, package)
