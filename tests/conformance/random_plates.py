"""A hundred random plates: every hole's centre as worked out here, on PDF, SVG and STEP and, once bent, in space.

The specs are written here, from a fixed seed, and made by the program; what each hole's centre must be follows from
the spec by plain arithmetic in this file. Bent plates have one flange: its allowance A (R + K t) is any sheet-metal
text's, and the folded place of a hole is found by turning it about the line where the two faces would meet. Readers:
pikepdf, the path reader here, and OpenCASCADE for the solids: axes of the bores of flat plates, of bent ones the rims,
opened flat again by bent_plates.py. The solids are judged whole too.
"""

import math
import random
import re
import subprocess
import tomllib

import numpy as np
import pikepdf
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS

import bent_plates
import outline
import pdf_paths
import plate_solids
import step_solids
import svg_paths
from package import REPOSITORY, Package
from template import Template

PLACE = 0.01  # mm
EACH, SPECS = 25, 4
DRILLS = (5.0, 6.5, 8.0, 10.0)


def run(tally, scratch, program):
    numbers = random.Random(20260314)
    worst = {"results": 0.0, "pdf": 0.0, "svg": 0.0, "step": 0.0, "folded": 0.0}
    holes, bored_flat, bored_bent, whole = 0, 0, 0, 0
    for spec in range(SPECS):
        plates = [drawn(numbers, f"plate {spec}-{n}") for n in range(EACH)]
        # Every other package has its solids in inches.
        head = inch_solids(linkage()) if spec % 2 else linkage()
        text = head + "\n".join(written for written, _ in plates)
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
            read = judge(tally, worst, package, f"plate-plate-{spec}-{number}", wanted, solved)
            bored_flat, bored_bent = bored_flat + (read == "flat"), bored_bent + (read == "bent")
        whole += plate_solids.whole(tally, package)
    tally.ok("random plates: holes measured", holes > 600, str(holes))
    tally.ok("random plates: flat ones with a solid", bored_flat > 30, str(bored_flat))
    tally.ok("random plates: bent ones with a solid", bored_bent > 30, str(bored_bent))
    tally.ok("random plates: judged whole", whole == bored_flat + bored_bent, str(whole))
    for reader, off in worst.items():
        tally.near(f"random plates: hole centres by {reader}, worst", off, 0.0, PLACE)


def judge(tally, worst, package, stem, wanted, solved):
    if len(solved["holes"]) != len(wanted):
        tally.ok(f"{stem}: holes counted", False, f"{len(solved['holes'])} for {len(wanted)}")
        return None
    flat = np.array([at for at, _ in wanted])
    found = {"results": np.array([hole["centre"] for hole in solved["holes"]])}
    with pikepdf.open(package.folder / f"print/{stem}.pdf") as pdf:
        [page] = [paths for page in pdf.pages if "ruler.x" in (paths := pdf_paths.read(page, package.correction))]
    found["pdf"] = centres(Template(page, y_up=True), len(wanted))
    found["svg"] = centres(Template(svg_paths.read(package.folder / f"cut/{stem}.svg"), y_up=False), len(wanted))
    solid = package.folder / f"solids/{stem}.step"
    if solid.exists():
        found["step"] = rimmed(tally, solid, solved) if solved.get("bends") else bored(tally, solid, flat)
    for reader, places in found.items():
        off = float(np.linalg.norm(places - flat, axis=1).max())
        worst[reader] = max(worst[reader], off if math.isfinite(off) else math.inf)
    for hole, (_, space) in zip(solved["holes"], wanted):
        if space is not None:
            off = float(np.linalg.norm(np.array(hole["folded"]["at"]) - space))
            worst["folded"] = max(worst["folded"], off)
    return ("bent" if solved.get("bends") else "flat") if "step" in found else None


def bored(tally, file, wanted):
    """Of every hole the nearest axis of a wall in the solid, whose frame is the plate's (u, v, w); no axis is two holes'."""
    warnings, _, _, shape = step_solids.read(file)
    tally.ok(f"{file.name}: read without a warning", not warnings and shape is not None, "; ".join(warnings[:2]))
    axes = set()
    for kind, _, surface, _ in step_solids.faces(shape):
        if kind != "cylinder" or not any(abs(2 * surface.Cylinder().Radius() - drill) < 1e-6 for drill in DRILLS):
            continue
        axis = surface.Cylinder().Axis()
        square = abs(abs(axis.Direction().Z()) - 1) < 1e-9
        tally.ok(f"{file.name}: hole square to its face", square)
        axes.add((round(axis.Location().X(), 6), round(axis.Location().Y(), 6)))
    tally.ok(f"{file.name}: as many bores as holes", len(axes) == len(wanted), f"{len(axes)} for {len(wanted)}")
    axes = np.array(sorted(axes))
    return np.array([axes[np.linalg.norm(axes - at, axis=1).argmin()] for at in wanted])


def rimmed(tally, file, plate):
    """Of every hole of a bent plate the centre of its rim on the drawn face, opened flat: a circle all round."""
    warnings, _, _, shape = step_solids.read(file)
    tally.ok(f"{file.name}: read without a warning", not warnings and shape is not None, "; ".join(warnings[:2]))
    [bend], thick = [bent_plates.Bend(bend) for bend in plate["bends"]], plate["thick"]
    rims, walk = [], TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_EDGE)
    while walk.More():
        curve = BRepAdaptor_Curve(TopoDS.Edge(walk.Current()))
        ends = curve.FirstParameter(), curve.LastParameter()
        places = [(p.X(), p.Y(), p.Z()) for p in map(curve.Value, np.linspace(*ends, 17))]
        opened = [bend.opened(np.array(place), thick) for place in places]
        if all(abs(depth) < 1e-6 for _, depth in opened):
            rims.append(np.array([at for at, _ in opened]))
        walk.Next()
    found = []
    for hole in plate["holes"]:
        radius = hole["diameter"] / 2
        off = [np.linalg.norm(rim - hole["centre"], axis=1) - radius for rim in rims]
        own = [rim for rim, away in zip(rims, off) if np.all(np.abs(away) < 0.1)]
        rim = np.concatenate(own) if own else np.full((3, 2), math.nan)
        # x^2 + y^2 = 2 a x + 2 b y + c: a circle's centre (a, b).
        circle, *_ = np.linalg.lstsq(np.column_stack([2 * rim, np.ones(len(rim))]), (rim**2).sum(1)) if own else [[math.nan] * 3]
        centre = np.array(circle[:2])
        turns = np.sort(np.arctan2(*(rim - centre).T))
        gap = max(np.diff(turns, append=turns[0] + math.tau)) if own else math.nan
        rough = np.max(np.abs(np.linalg.norm(rim - centre, axis=1) - radius))
        good = gap < 0.5 and rough < 1e-6
        if not good:
            tally.ok(f"{file.name}: rim of {hole['name']}", False, f"gap {gap:.3f} rad, out of round by {rough:.2e} mm")
        found.append(centre)
    return np.array(found)


def centres(template, count):
    return np.array([outline.moments(template.path(f"hole.{n}"))[1] for n in range(1, count + 1)])


def drawn(numbers, name):
    """A plate drawn again, most times, until its holes lie apart and inside: others have no solid."""
    for _ in range(200 if numbers.random() < 0.75 else 1):
        text, wanted, corners = plate(numbers, name)
        at = [np.array(place) for place, _ in wanted]
        apart = all(np.linalg.norm(p - q) > 11 for i, p in enumerate(at) for q in at[:i])
        if apart and all(edge(p, corners) > 7 for p in at):
            break
    return text, wanted


def edge(point, corners):
    """How far inside a convex outline a point lies; negative outside."""
    inside = []
    for a, b in zip(corners, corners[1:] + corners[:1]):
        run = np.subtract(b, a)
        off = np.subtract(point, a)
        inside.append((run[0] * off[1] - run[1] * off[0]) / np.hypot(*run))
    return min(inside)


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
        return "\n".join(lines) + "\n", [(at, None) for at in centres], corners
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
    return "\n".join(lines) + "\n", wanted, corners


def rounded(values):
    return [round(value, 3) for value in values]


def linkage():
    """The van's linkage without its plates and what must be cleared, so that only plates are at stake."""
    text = (REPOSITORY / "examples/otter-van/linkage.toml").read_text("utf-8")
    # Its column's mount makes plates and bolts of its own.
    text = re.sub(r"\n\[column\.mount\].*?(?=\n\[gear\])", "", text, flags=re.DOTALL)
    start = min(text.index(f"\n[[{table}]]") for table in ("rail", "plate") if f"\n[[{table}]]" in text)
    head = text[:start]
    # A comment over the first table left out goes with it.
    head = head[: head.rindex("\n\n") + 1] if head.rstrip().rsplit("\n", 1)[-1].startswith("#") else head
    tomllib.loads(head)
    return head + "\n"


def inch_solids(text):
    """A spec with its solids in inches under the other schema."""
    text = re.sub(r"(?m)^step_(unit|schema)\s*=.*\n", "", text)
    said = '[output]\nstep_unit = "in"\nstep_schema = "ap214"\n'
    # A spec begins with its own keys; a table of that name need not be in it.
    return text.replace("[output]\n", said, 1) if "[output]\n" in text else text.replace("[build]\n", said + "[build]\n", 1)
