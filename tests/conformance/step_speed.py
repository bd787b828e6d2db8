"""How long the roadster's shaft takes as a STEP file, here and scripted over OpenCASCADE: `step_speed.py PROGRAM`.

Prints both times and their ratio, and the sizes of both files; judges nothing, for machines differ. The script does what
a user of that library would: a cylinder cut to flats, turned chamfers, cones cut out for the dimples, written as AP214.
PROGRAM should be the release build; its time is that of all solids of the package.
"""

import json
import math
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from OCP.BRepAlgoAPI import BRepAlgoAPI_Common, BRepAlgoAPI_Cut
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakeCone, BRepPrimAPI_MakeCylinder
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.GProp import GProp_GProps
from OCP.Message import Message
from OCP.STEPControl import STEPControl_StepModelType, STEPControl_Writer

from package import REPOSITORY, Package

ROUNDS = 5


def main(program):
    Message.DefaultMessenger_s().ChangePrinters().Clear()
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "out"
        source = REPOSITORY / "examples/heron-roadster/linkage.toml"
        told = subprocess.run([program, "make", source, "-o", folder, "-q", "--timings"], capture_output=True, text=True)
        package = Package(folder)
        [shaft] = package.results["shafts"]
        form = package.form(package.named("shaft", shaft["name"])["stock"])[1]
        other = Path(scratch) / "scripted.step"
        times = []
        for _ in range(ROUNDS):
            start = time.perf_counter()
            shape = scripted(shaft, form)
            writer = STEPControl_Writer()
            writer.Transfer(shape, STEPControl_StepModelType.STEPControl_AsIs)
            writer.Write(str(other))
            times.append(time.perf_counter() - start)
        props = GProp_GProps()
        BRepGProp.VolumeProperties_s(shape, props)
        file = folder / "solids/shaft-intermediate.step"
        stated = float(re.search(r"VOLUME_MEASURE\(([\d.]+)\)", file.read_text("ascii"))[1])
        solids = sum(path.stat().st_size for path in folder.glob("solids/*.step"))
        print("\n".join(line for line in told.stderr.splitlines() if "solid" in line))
        print(f"the shaft scripted over OpenCASCADE: {1e3 * min(times):.1f} ms, {other.stat().st_size} bytes")
        print(f"the same shaft here: {file.stat().st_size} bytes; all solids {solids} bytes")
        print(f"volumes agree to {props.Mass() / stated - 1:.1e}")
        spent = re.search(r"solids?\s+([\d.]+)\s*(ms|µs|us|s)", told.stderr)
        if spent:
            ours = float(spent[1]) * {"s": 1.0, "ms": 1e-3, "µs": 1e-6, "us": 1e-6}[spent[2]]
            print(json.dumps({"all solids here / one shaft there": round(ours / min(times), 4)}))


def scripted(shaft, form):
    """The bar along z from its upper end, its flats across x."""
    radius, half, length = form["diameter"] / 2, form["flats"] / 2, shaft["cut_length"]
    bar = BRepPrimAPI_MakeCylinder(radius, length).Shape()
    block = BRepPrimAPI_MakeBox(gp_Pnt(-half, -2 * radius, -1), gp_Pnt(half, 2 * radius, length + 1)).Shape()
    bar = BRepAlgoAPI_Common(bar, block).Shape()
    for dimple in shaft["dimples"]:
        turn = math.radians(dimple["clock"])
        out = (math.cos(turn), math.sin(turn), 0.0)
        crest = half if dimple["on"] == "flat" else radius
        tip = [part * (crest - dimple["depth"]) for part in out[:2]] + [dimple["z"]]
        rise = dimple["depth"] + 1.0
        wide = rise * math.tan(math.radians(dimple["drill"]) / 2)
        cone = BRepPrimAPI_MakeCone(gp_Ax2(gp_Pnt(*tip), gp_Dir(*out)), 0.0, wide, rise).Shape()
        bar = BRepAlgoAPI_Cut(bar, cone).Shape()
    return bar


if __name__ == "__main__":
    main(sys.argv[1])
