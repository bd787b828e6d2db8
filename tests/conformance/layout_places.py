"""The three views of the layout sheet against the spec. Reader: xml.etree; places by numpy from the spec's own points."""

import re

import numpy as np

import svg_paths

# What a view shows of (x, y, z): rearward, right, up.
VIEWS = {"side": (0, 2), "plan": (0, 1), "rear": (1, 2)}
# Files carry four decimals of a millimetre.
ON_PAPER = 2e-3


def axis(end, name):
    """Down the column, or into the gear."""
    way = end.get("toward", end.get("beyond")) - end["end"]
    out = ("toward" in end) == (name == "column")
    return (-way if out else way) / np.linalg.norm(way)


def point(package, value):
    return np.array(package.point(value))


def unit(vector):
    return vector / np.linalg.norm(vector)


def check_crosses(tally, package):
    """Angles and double joints from the crosses alone; the first and last cross on the axes of column and gear."""
    spec, joints = package.spec, package.results["joints"]
    crosses = [[np.array(cross) for cross in joint["crosses"]] for joint in joints]
    ends = {}
    for name, cross in (("column", crosses[0][0]), ("gear", crosses[-1][-1])):
        taped = [key for key in ("end", "toward", "beyond") if key in spec[name]]
        points = {key: point(package, spec[name][key]) for key in taped}
        ends[name] = axis(points, name)
        tally.near(f"cross off the {name}'s axis", np.linalg.norm(np.cross(cross - points["end"], ends[name])), 0, 1e-6)
    runs = [unit(b[0] - a[-1]) for a, b in zip(crosses, crosses[1:])]
    ways = [ends["column"], *runs, ends["gear"]]
    angle = lambda a, b: np.degrees(np.arctan2(np.linalg.norm(np.cross(a, b)), np.dot(a, b)))
    for joint, own, above, below, stated in zip(joints, crosses, ways, ways[1:], spec["joint"]):
        tally.near(f"angle of {joint['name']}", joint["angle"], angle(above, below), 1e-6, "deg")
        if "double" in stated:
            housing = unit(own[1] - own[0])
            tally.near(f"upper half of {joint['name']}", angle(above, housing), joint["angle"] / 2, 1e-6, "deg")
            tally.near(f"lower half of {joint['name']}", angle(housing, below), joint["angle"] / 2, 1e-6, "deg")
            span = package.length(stated["double"]["span"])
            tally.near(f"span of {joint['name']}", np.linalg.norm(own[1] - own[0]), span, 1e-6)
    for shaft, found, a, run in zip(spec["shaft"], package.results["shafts"], crosses, runs):
        at = shaft.get("bearing", {}).get("at")
        if isinstance(at, str) and at in spec.get("points", {}):
            eye = point(package, at) - a[-1]
            tally.near(f"{shaft['name']} off its bearing", np.linalg.norm(np.cross(eye, run)), 0, 1e-6)
            tally.near(f"bearing of {shaft['name']}", found["bearing"]["station"], eye @ run, 1e-6)


def check(tally, file, package):
    text = file.read_text("utf-8")
    scale = float(re.search(r'aria-label="1:(\d+)"', text)[1])
    paths = svg_paths.read(file)
    joints = package.results["joints"]
    wanted = {}
    for i, (a, b) in enumerate(zip(joints, joints[1:])):
        wanted[f"axis.{i + 1}"] = np.array(b["crosses"][0]) - np.array(a["crosses"][-1])
    for i, joint in enumerate(joints):
        if len(joint["crosses"]) > 1:
            wanted[f"housing.{i + 1}"] = np.array(joint["crosses"][1]) - np.array(joint["crosses"][0])
    for view, (across, up) in VIEWS.items():
        for key, way in wanted.items():
            numbers = re.search(r'd="M (\S+) (\S+) L (\S+) (\S+)" id="' + re.escape(f"{view}.{key}") + '"', text)
            if not numbers or f"{view}.{key}" not in paths:
                tally.ok(f"{file.name}: {view}.{key}", False, "not there")
                continue
            x1, y1, x2, y2 = (float(n) for n in numbers.groups())
            # y runs down in the file.
            errors = [x2 - x1 - way[across] / scale, y1 - y2 - way[up] / scale]
            tally.within(f"{file.name}: {view}.{key} at 1:{scale:.0f}", errors, ON_PAPER)


def run(tally, package, scratch):
    # A mock-up alone has no places to compare with.
    if "end" in package.spec["column"]:
        check_crosses(tally, package)
    file = package.folder / "drawings/layout.svg"
    check(tally, file, package)
    text = file.read_text("utf-8")
    bad = scratch / file.name
    # Of a shaft that runs along the line of sight a view shows no length, and nothing to mirror.
    first, second = (np.array(joint["crosses"][0]) for joint in package.results["joints"][:2])
    view = max(VIEWS, key=lambda view: np.linalg.norm((second - first)[list(VIEWS[view])]))
    turned = r'd="M (\S+ \S+) L (\S+ \S+)" (id="' + view + '.axis.1")'
    for what, at, spoiled in (
        (f"with its {view} view mirrored", f"{view}.axis.1", re.sub(turned, r'd="M \2 L \1" \3', text)),
        ("at another scale", "side.axis.1", re.sub(r'aria-label="1:\d+"', 'aria-label="1:7"', text)),
        ("with an axis lost", "rear.axis.1", re.sub(r'<path [^>]* id="rear.axis.1"/>', "", text)),
    ):
        bad.write_text(spoiled, "utf-8")
        tally.refuses(f"{file.name} {what}", at, check, bad, package)
