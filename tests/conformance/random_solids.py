"""Random shafts as OpenCASCADE reads them, half of them in inches, and samples anew in inches under AP214, one with a sleeve.

The specs are written here, from a fixed start, and made by the program: lines of joints with a shaft between each two, of
bar as drawn, or round bar milled at both ends or with teeth at one.
Each file is judged as those of the samples are: one valid solid, no warning, volume and area to 1e-9 of a closed form.
Random plates are read by random_plates.py; shafts and plates together are two hundred.
"""

import random
import re
import subprocess

import assembly
import liner_solids
import plate_solids
import rail_solids
import random_plates
import step_properties
import step_solids
from package import REPOSITORY, Package
from tally import Tally

SHAFTS, LINES = 7, 18
# A channel rail, plates with openings; written anew in inches under the other schema.
AGAIN = "otter-van"


def run(tally, scratch, program):
    numbers = random.Random(20260315)
    solids = 0
    for number in range(LINES):
        package = made(tally, scratch, program, f"line-{number}", line(numbers, number % 2 == 1))
        solids += judge(tally, package) if package else 0
    tally.ok("random shafts: read by OpenCASCADE", solids == LINES * SHAFTS, str(solids))
    inches(tally, scratch, program)
    sleeve(tally, scratch, program)


def made(tally, scratch, program, name, text):
    source, folder = scratch / f"{name}.toml", scratch / name
    source.write_text(text, "utf-8")
    # 1: rules fail, as they may on parts like these; the package is written all the same.
    ran = subprocess.run([program, "make", source, "-o", folder], capture_output=True, text=True)
    tally.ok(f"{source.name}: made and audited", ran.returncode in (0, 1) and folder.is_dir(), ran.stderr[-300:])
    return Package(folder) if folder.is_dir() else None


def judge(tally, package):
    """The number of shafts read; every wrong line is told, the good ones counted."""
    trial = Tally(quiet=True)
    shafts = {piece.file: piece for shaft in package.results["shafts"] for piece in step_solids.pieces(package, shaft)}
    files = package.files("solids/shaft-*.step")
    for file in files:
        step_solids.check(trial, file, shafts[file.name], package)
    bad = "; ".join(trial.failed[:3])
    tally.ok(f"{package.folder.name}: {len(files)} shafts, {trial.passed} measures", not trial.failed and bool(files), bad)
    return len(files)


def stock(numbers, kind):
    if kind == "drawn":
        return ['stock = "dd-3/4"']
    milled = '{ form = { dd = { diameter = 0.75, flats = 0.55 } }, length = %.3f }'
    toothed = '{ form = { serrated = { teeth = 36, diameter = 0.75 } }, length = %.3f }'
    upper = (toothed if kind == "teeth" else milled) % numbers.uniform(1.2, 1.6)
    lower = milled % numbers.uniform(1.2, 1.6)
    return ["stock = { round = { diameter = 0.75 } }", f"ends = {{ upper = {upper}, lower = {lower} }}"]


def inches(tally, scratch, program):
    """A sample's spec with its solids in inches: every check on solids holds, what they state too."""
    text = (REPOSITORY / "examples" / AGAIN / "linkage.toml").read_text("utf-8")
    package = made(tally, scratch, program, f"{AGAIN}-in-inches", random_plates.inch_solids(text))
    if not package:
        return
    tally.ok("in inches", judge(tally, package) > 0 and plate_solids.whole(tally, package) > 0)
    for rail in package.results["rails"]:
        file = package.folder / f"solids/rail-{rail_solids.file_name(rail['name'])}.step"
        rail_solids.check(tally, file, rail, package)
    for file in package.files("solids/*-*.step"):
        step_properties.check(tally, file, package)


def sleeve(tally, scratch, program):
    """The roadster with a rail so deep that its shaft goes right through it, in a sleeve; its solids in inches."""
    text = (REPOSITORY / "examples/heron-roadster/linkage.toml").read_text("utf-8")
    text = text[: text.index("\n[[plate]]")]
    for was, now in (
        ("[30.0, -13.0, 6.0]", "[30.0, -13.0, 10.3]"),
        ("[[30.0, -11.0, 6.0], [0.0, -11.0, 6.0]]", "[[30.0, -11.0, 10.3], [0.0, -11.0, 10.3]]"),
        ('height = "4 in"', 'height = "6 in"'),
        ('clearance = "3/8 in"\ncorner    = "3/8 in"', 'clearance = "5/16 in"'),
        ('liner     = { outside = "1 3/4 in", wall', "sleeve    = { wall"),
    ):
        tally.ok(f"sleeve: {was} in the roadster's spec", was in text)
        text = text.replace(was, now, 1)
    package = made(tally, scratch, program, "sleeve", random_plates.inch_solids(text))
    if not package:
        return
    liner_solids.run(tally, package, scratch)
    for file in package.files("solids/sleeve-*.step"):
        step_properties.check(tally, file, package)
    assembly.check(tally, package.folder / "solids/assembly.step", package)


def line(numbers, inch):
    """A line of joints that goes up and down, with a bearing on every shaft but the first."""
    joints = SHAFTS + 1
    far = 12 * (joints - 1)
    lines = [
        "format = 1",
        "[build]",
        'title = "line"',
        'units = "in"',
        "[output]",
        f'step_unit = "{"in" if inch else "mm"}"',
        "[column]",
        "end = [0, 0, 0]",
        "beyond = [12, 0, 2]",
        'form = "dd-3/4"',
        "exposed = 2",
        "[gear]",
        f"end = [{far + 1.2}, 0, 1]",
        f"toward = [{far + 13.2}, 0, 2]",
        'form = "dd-3/4"',
        "exposed = 2",
    ]
    # Bar as drawn, round bar milled at both ends, round bar with teeth at its upper end.
    kinds = [numbers.choice(["drawn", "milled", "teeth"]) for _ in range(SHAFTS)]
    for number in range(joints):
        toothed = number < SHAFTS and kinds[number] == "teeth"
        lines += ["[[joint]]", f'name = "j{number}"', f'part = "single-3/4{"-36" if toothed else ""}"']
        if 0 < number < joints - 1:
            at = [12 * number + numbers.uniform(-2, 2), numbers.uniform(0, 2), 2 * (number % 2) + numbers.uniform(0, 1)]
            lines.append(f"centre = {random_plates.rounded(at)}")
    for number in range(1, joints):
        lines += ["[[shaft]]", f'name = "s{number}"', 'material = "1018-cold-drawn"', *stock(numbers, kinds[number - 1])]
        if numbers.random() < 0.7:
            lines.append(f"chamfer = {numbers.uniform(0.005, 0.04):.4f}")
        if number > 1:
            lines.append("bearing = { at = 6, bore = 0.757 }")
    return "\n".join(lines) + "\n"
