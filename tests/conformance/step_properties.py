"""What STEP files state beside the shape: validation properties, texts, and the syntax by a second reader.

Readers: OpenCASCADE (cadquery-ocp) for the properties, and steputils for ISO 10303-21. No kept checker of files against
the EXPRESS schemas is to be had from PyPI, so that is not done.
"""

import math
import re

from OCP.BRepGProp import BRepGProp
from OCP.collections import Sequence_TDF_Label
from OCP.GProp import GProp_GProps
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDocStd import TDocStd_Document
from OCP.XCAFDoc import XCAFDoc_Area, XCAFDoc_Centroid, XCAFDoc_DocumentTool, XCAFDoc_Volume
from steputils import p21

import edge_measure

RELATIVE = 1e-9  # of volume and area
PLACE = 1e-6  # mm


def run(tally, package, scratch):
    for file in package.files("solids/*.step"):
        if file.name == "assembly.step":
            continue
        check(tally, file, package)
        spoil(tally, file, scratch / file.name, package)


def check(tally, file, package):
    shape, stated = read(file)
    volume, area, middle = measured(file, shape)
    tally.within(f"{file.name}: volume stated", [stated.get("volume", math.nan) / volume - 1], RELATIVE, "of the measured")
    tally.within(f"{file.name}: area stated", [stated.get("area", math.nan) / area - 1], RELATIVE, "of the measured")
    off = math.dist(stated.get("centroid", (math.nan,) * 3), middle)
    tally.within(f"{file.name}: centroid stated", [off], PLACE)
    check_records(tally, file, package)


def read(file):
    """The shape, and volume, area and centroid as the file states them: all in mm, whatever the file's unit."""
    document = TDocStd_Document(TCollection_ExtendedString("conformance"))
    reader = STEPCAFControl_Reader()
    reader.SetPropsMode(True)
    reader.ReadFile(str(file))
    reader.Transfer(document)
    tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    labels = Sequence_TDF_Label()
    tool.GetFreeShapes(labels)
    label, stated = labels.Value(1), {}
    volume, area, centroid = XCAFDoc_Volume(), XCAFDoc_Area(), XCAFDoc_Centroid()
    if label.FindAttribute(XCAFDoc_Volume.GetID_s(), volume):
        stated["volume"] = volume.Get()
    if label.FindAttribute(XCAFDoc_Area.GetID_s(), area):
        stated["area"] = area.Get()
    if label.FindAttribute(XCAFDoc_Centroid.GetID_s(), centroid):
        at = centroid.Get()
        stated["centroid"] = (at.X(), at.Y(), at.Z())
    return tool.GetShape_s(label), stated


def measured(file, shape):
    """Volume, area and centroid by OpenCASCADE; of liners and sleeves along its edges, as edge_measure.py says why."""
    if file.name.startswith(("liner-", "sleeve-")):
        return edge_measure.measure(shape)
    props, skin = GProp_GProps(), GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, props)
    BRepGProp.SurfaceProperties_s(shape, skin)
    middle = props.CentreOfMass()
    return props.Mass(), skin.Mass(), (middle.X(), middle.Y(), middle.Z())


def check_records(tally, file, package):
    """The second reader: every reference has its record, the texts are the spec's."""
    try:
        records = p21.readfile(str(file))
    except Exception as error:
        tally.ok(f"{file.name}: read by the second reader", False, repr(error))
        return
    [section] = records.data
    lost = sorted(set(re.findall(r"#\d+", file.read_text("ascii"))) - set(section.instances))
    tally.ok(f"{file.name}: read by the second reader", not lost, f"no record {lost[:3]}" if lost else "")
    texts = {}
    for instance in section.instances.values():
        entity = getattr(instance, "entity", None)
        if entity is not None and entity.name == "DESCRIPTIVE_REPRESENTATION_ITEM":
            name, text = entity.params
            texts.setdefault(str(name), []).append(str(text))
    build = package.spec["build"]
    for name, key in (("revision", "revision"), ("vehicle", "vehicle")):
        if build.get(key):
            found = plain(texts.get(name, [""])[0])
            tally.ok(f"{file.name}: {name} stated", found == build[key], found)
    tally.ok(f"{file.name}: spec's hash stated", set(texts.get("spec SHA-256", [])) == {package.sha256})
    tally.ok(f"{file.name}: notes", any("sharp edges" in note for note in texts.get("note", [])), str(texts.get("note")))


def plain(text):
    """A string without the escapes of Part 21."""
    hexadecimal = re.sub(r"\\X2\\([0-9A-F]+)\\X0\\", lambda found: bytes.fromhex(found[1]).decode("utf-16-be"), text)
    return hexadecimal.replace("\u2019", "'")


def spoil(tally, file, bad, package):
    text = file.read_text("ascii")
    for kind, what in (("VOLUME", "volume"), ("AREA", "area")):
        bad.write_text(re.sub(rf"{kind}_MEASURE\(([\d.]+)", lambda f: f"{kind}_MEASURE({float(f[1]) * 1.00001!r}", text), "ascii")
        tally.refuses(f"{file.name} with another {what} stated", f"{what} stated", check, bad, package)
    bad.write_text(re.sub(r"('centre point', \()([-+.\dE]+)", lambda f: f"{f[1]}{float(f[2]) + 1!r}", text), "ascii")
    tally.refuses(f"{file.name} with another centroid stated", "centroid stated", check, bad, package)
