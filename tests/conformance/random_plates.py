"""A hundred random plates: every hole's centre as worked out here, on the PDF, in the SVG and, once bent, in space.

The specs are written here, from a fixed seed, and made by the program; what each hole's centre must be follows from
the spec by plain arithmetic in this file. Bent plates have one flange: its allowance A (R + K t) is any sheet-metal
text's, and the folded place of a hole is found by turning it about the line where the two faces would meet.
"""

import math
import random
import subprocess
import tomllib

import numpy as np
import pikepdf

import outline
import pdf_paths
import svg_paths
from package import REPOSITORY, Package
from template import Template

PLACE = 0.01  # mm
EACH, SPECS = 25, 4
DRILLS = (5.0, 6.5, 8.0, 10.0)


def run(tally, scratch, program):
    numbers = random.Random(20260314)
    worst = {"results": 0.0, "pdf": 0.0, "svg": 0.0, "folded": 0.0}
    holes = 0
    for spec in range(SPECS):
        plates = [plate(numbers, f"plate {spec}-{n}") for n in range(EACH)]
        text = linkage() + "\n".join(written for written, _ in plates)
        source = scratch / f"random-{spec}.toml"
        source.write_text(text, "utf-8")
        folder = scratch / f"random-{spec}"
        # 1: rules fail, as they may on plates like these; the package is written all the same.
        ran = subprocess.run([program, "make", source, "-o", folder], capture_output=True, text=True)
        tally.ok(f"{source.name}: made and audited", ran.returncode in (0, 1) and folder.is_dir(), ran.stderr[-300:])
        if not folder.is_dir():
            continue
        package = Package(folder)
        for number, ((_, wanted), solved) in enumerate(zip(plates, package.results["plates"])):
            holes += len(wanted)
            judge(tally, worst, package, f"plate-plate-{spec}-{number}", wanted, solved)
    tally.ok("random plates: holes measured", holes > 600, str(holes))
    for reader, off in worst.items():
        tally.near(f"random plates: hole centres by {reader}, worst", off, 0.0, PLACE)


def judge(tally, worst, package, stem, wanted, solved):
    if len(solved["holes"]) != len(wanted):
        tally.ok(f"{stem}: holes counted", False, f"{len(solved['holes'])} for {len(wanted)}")
        return
    flat = np.array([at for at, _ in wanted])
    found = {"results": np.array([hole["centre"] for hole in solved["holes"]])}
    with pikepdf.open(package.folder / f"print/{stem}.pdf") as pdf:
        [page] = [paths for page in pdf.pages if "ruler.x" in (paths := pdf_paths.read(page, package.correction))]
    found["pdf"] = centres(Template(page, y_up=True), len(wanted))
    found["svg"] = centres(Template(svg_paths.read(package.folder / f"cut/{stem}.svg"), y_up=False), len(wanted))
    for reader, places in found.items():
        worst[reader] = max(worst[reader], float(np.linalg.norm(places - flat, axis=1).max()))
    for hole, (_, space) in zip(solved["holes"], wanted):
        if space is not None:
            off = float(np.linalg.norm(np.array(hole["folded"]["at"]) - space))
            worst["folded"] = max(worst["folded"], off)


def centres(template, count):
    return np.array([outline.moments(template.path(f"hole.{n}"))[1] for n in range(1, count + 1)])


def plate(numbers, name):
    """One plate as TOML, and each hole's centre: flat (u, v), and in vehicle axes where the plate is bent."""
    wide, tall = numbers.uniform(90, 140), numbers.uniform(80, 120)
    cut = numbers.uniform(8, 25)
    corners = [[0, 0], [wide, 0], [wide, tall - cut], [wide - cut, tall], [0, tall]]
    origin, thick = [numbers.uniform(500, 900) for _ in range(3)], numbers.uniform(1.0, 5.0)
    lines = [
        "[[plate]]",
        f'name = "{name}"',
        f"origin = {rounded(origin)}",
        # Seen from the rear: u to the vehicle's right, v up.
        f"right = {rounded([origin[0], origin[1] + 50, origin[2]])}",
        f"up = {rounded([origin[0], origin[1], origin[2] + 50])}",
        f"outline = {{ polygon = {[rounded(c) for c in corners]}, corner = {round(numbers.uniform(0, 4), 3)} }}",
        f"thick = {round(thick, 3)}",
    ]
    origin, thick = rounded(origin), round(thick, 3)
    centres = []
    for n, kind in enumerate(numbers.sample(["at", "ring", "grid", "mirror"], 3)):
        centre = rounded([numbers.uniform(25, wide - 25), numbers.uniform(25, tall - 25)])
        lines += ["[[plate.hole]]", f'name = "set {n}"', f"drill = {numbers.choice(DRILLS)}"]
        if kind == "at":
            points = [rounded([numbers.uniform(5, wide - 5), numbers.uniform(5, tall - 5)]) for _ in range(3)]
            lines.append(f"at = {points}")
        elif kind == "ring":
            count, across = numbers.randint(3, 7), round(numbers.uniform(10, 30), 3)
            start = round(numbers.uniform(0, 360), 2)
            lines.append(f'ring = {{ centre = {centre}, diameter = {across}, count = {count}, start = "{start} deg" }}')
            turns = [math.radians(start) + math.tau * i / count for i in range(count)]
            points = [[centre[0] + across / 2 * math.cos(t), centre[1] + across / 2 * math.sin(t)] for t in turns]
        elif kind == "grid":
            step = rounded([numbers.uniform(8, 14), numbers.uniform(8, 14)])
            lines.append(f"grid = {{ from = {centre}, step = {step}, count = [3, 2] }}")
            points = [[centre[0] + step[0] * i, centre[1] + step[1] * j] for j in range(2) for i in range(3)]
        else:
            across = round(numbers.uniform(30, wide - 30), 3)
            lines += [f"at = [{centre}]", f"mirror = {{ u = {across} }}"]
            points = [centre] + ([[2 * across - centre[0], centre[1]]] if abs(across - centre[0]) > 0.01 else [])
        centres += points
    if numbers.random() < 0.5:
        return "\n".join(lines) + "\n", [(at, None) for at in centres]
    line, angle = round(wide * 0.55, 3), round(numbers.uniform(20, 95), 2)
    inside, k, up = round(numbers.uniform(1, 6), 3), round(numbers.uniform(0.3, 0.5), 3), numbers.random() < 0.5
    lines += [
        "[[plate.bend]]",
        'name = "bend"',
        f"line = [[{line}, 0], [{line}, {tall}]]",
        f'angle = "{angle} deg"',
        f'way = "{"up" if up else "down"}"',
        f"inside = {inside}",
        f"k = {k}",
    ]
    turn = math.radians(angle)
    setback = (inside if up else inside + thick) * math.tan(turn / 2)
    allowance = turn * (inside + k * thick)
    wanted = []
    for u, v in centres:
        # Inside the curve the opened width is drawn together evenly.
        share = min(max((u - line + setback) / (2 * setback), 0), 1)
        beyond = max(u - line, 0)
        out = beyond * math.sin(turn) * (1 if up else -1)
        space = np.array([origin[0] + out, origin[1] + min(u, line) + beyond * math.cos(turn), origin[2] + v])
        wanted.append(([u - (2 * setback - allowance) * share, v], space))
    return "\n".join(lines) + "\n", wanted


def rounded(values):
    return [round(value, 3) for value in values]


def linkage():
    """The van's linkage without its plates and what must be cleared, so that only plates are at stake."""
    text = (REPOSITORY / "examples/otter-van/linkage.toml").read_text("utf-8")
    start = min(text.index(f"\n[[{table}]]") for table in ("rail", "plate") if f"\n[[{table}]]" in text)
    head = text[:start]
    # A comment over the first table left out goes with it.
    head = head[: head.rindex("\n\n") + 1] if head.rstrip().rsplit("\n", 1)[-1].startswith("#") else head
    tomllib.loads(head)
    return head + "\n"
