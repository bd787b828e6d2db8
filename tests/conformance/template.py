"""A full-scale template against the results: the same questions of a PDF's paths and of an SVG's.

Every place is taken from the L named `datum` (10 mm along u, zero, 10 mm along v), so that it does not matter where the
part lies on the paper. The openings are proved from the spec alone: each point of the rim stands off the column's axis
by the radius asked for, on the front face or on the back one (solid geometry; no other source needed).
"""

import numpy as np

import outline

PLACE = 0.01  # mm: centres, sizes, corners
EXCESS = 0.02  # mm: of a fitted outline, by no more metal than that
ARM = 10.0  # mm
AREA = 1e-4  # of the whole: 0.01 mm along the rim of a plate of 200 mm


class Template:
    """Keyed paths in part coordinates (u, v); `hand` is +1 where u to v turns anticlockwise as the reader sees it."""

    def __init__(self, paths, y_up):
        [self.key] = [key for key in paths if key == "datum" or key.startswith("datum.")]
        (along, zero, up) = outline.ends(paths[self.key][0])
        self.arms = [along - zero, up - zero]
        u, v = (arm / np.linalg.norm(arm) for arm in self.arms)
        self.square = float(u @ v)
        self.hand = float(np.sign(u[0] * v[1] - u[1] * v[0])) * (1 if y_up else -1)
        self.zero, self.axes, self.paths, self.y_up = zero, np.stack([u, v], 1), paths, y_up

    def path(self, key):
        """The pieces of all subpaths of a key, in part coordinates."""
        if key not in self.paths:
            raise KeyError(f"no path named {key!r}")
        return [
            (lambda t, at=at: (at(t) - self.zero) @ self.axes, lambda t, slope=slope: slope(t) @ self.axes)
            for path in self.paths[key]
            for at, slope in path
        ]

    def mark(self, number):
        """Where the cross of a centre mark stands; None without one. Only a file for a cutter has them for holes."""
        keys = [f"centre.{number}.1.{arm}" for arm in "uv"]
        if self.y_up or any(key not in self.paths for key in keys):
            return None
        # A mark is two lines that halve each other.
        return np.mean([outline.ends(self.path(key)).mean(axis=0) for key in keys], axis=0)

    def loops(self, prefix):
        keys = sorted((key for key in self.paths if key.startswith(prefix)), key=lambda key: int(key[len(prefix) :]))
        return [self.path(key) for key in keys]


def check_datum(tally, where, template, hand):
    for name, arm in zip("uv", template.arms):
        tally.near(f"{where}: datum, arm along {name}", float(np.linalg.norm(arm)), ARM, PLACE)
    tally.near(f"{where}: datum, square", template.square, 0.0, PLACE / ARM, "rad")
    tally.ok(f"{where}: not mirrored", template.hand == hand)


def check_plate(tally, where, template, plate, package):
    check_datum(tally, where, template, 1.0)
    corners = outline.ends(template.path("outline"))
    tally.within(f"{where}: outline corners", nearest(plate["outline"], corners), PLACE)
    check_holes(tally, where, template, plate)
    # Every loop encloses one patch, whichever way it runs.
    net = abs(outline.moments(template.path("outline"))[0])
    for prefix in ("hole.", "opening."):
        net -= sum(abs(outline.moments(loop)[0]) for loop in template.loops(prefix))
    # A hole too small or not through is a centre mark to the cutter, and no hole.
    marked = [n for n, _ in enumerate(plate["holes"], 1) if template.mark(n) is not None]
    net -= sum(np.pi * plate["holes"][n - 1]["diameter"] ** 2 / 4 for n in marked)
    tally.within(f"{where}: net area", [net / plate["area"] - 1], AREA, "of the whole")
    counted = len(template.loops("opening.")) == len(plate["openings"])
    tally.ok(f"{where}: openings counted", counted, f"{len(plate['openings'])} asked for")
    if not counted:
        return
    for number, opening in enumerate(plate["openings"], 1):
        rim = template.path(f"opening.{number}")
        tally.within(f"{where}: opening.{number}, corners", nearest(opening["outline"], outline.ends(rim)), PLACE)
        if (stands := stand_off(rim, plate, number, package)) is not None:
            tally.within(f"{where}: opening.{number}, clear of the axis all round", stands, PLACE)


def check_holes(tally, where, template, plate):
    holes = plate["holes"]
    marks = {n: at for n in range(1, len(holes) + 1) if (at := template.mark(n)) is not None}
    counted = len(template.loops("hole.")) + len(marks) == len(holes)
    tally.ok(f"{where}: holes counted", counted, f"{len(holes)} asked for")
    if not counted:
        return
    centres, sizes = {}, {}
    for number, hole in enumerate(holes, 1):
        if number in marks:
            centres[f"centre.{number}"] = float(np.linalg.norm(marks[number] - hole["centre"]))
            continue
        area, centre = outline.moments(template.path(f"hole.{number}"))
        slot = hole["slot"]["length"] if hole["slot"] else 0.0
        # A slot is a round carried along: area = pi d^2/4 + d l, solved for d.
        size = (np.sqrt(slot**2 + np.pi * abs(area)) - slot) * 2 / np.pi
        centres[f"hole.{number}"] = float(np.linalg.norm(centre - hole["centre"]))
        sizes[f"hole.{number}"] = size - hole["diameter"]
    for what, errors in (("centre", centres), ("diameter", sizes)):
        if errors:
            worst = max(errors, key=lambda key: abs(errors[key]))
            tally.within(f"{where}: hole {what}, worst at {worst}", errors.values(), PLACE)


def nearest(vertices, corners):
    """How far each vertex of the results is from the nearest corner on the paper."""
    return [float(np.linalg.norm(corners - vertex["at"], axis=1).min()) for vertex in vertices]


def stand_off(rim, plate, number, package):
    """Radius error along the curved rim of an opening round the column; None for other openings."""
    entry = package.opening(plate["name"], number)
    if entry.get("around") != "column":
        return None
    column = package.spec["column"]
    ends = [np.array(package.point(column[key])) for key in ("end", "toward")]
    axis = (ends[1] - ends[0]) / np.linalg.norm(ends[1] - ends[0])
    radius = package.length(column["tube"]) / 2 + package.length(entry["clearance"])
    origin, u, v, w = (np.array(plate["frame"][key]) for key in ("origin", "u", "v", "w"))

    def off(points, depth):
        space = origin + points @ np.stack([u, v]) - depth * w - ends[0]
        return np.linalg.norm(np.cross(space, axis), axis=1) - radius

    points = outline.sample(rim)
    nearer = np.minimum(off(points, 0.0), off(points, plate["thick"]))
    # A shape of the shop's choice encloses both rounds and need not touch them all along.
    if "shape" in entry:
        return np.minimum(nearer, 0.0)
    # The curves of the rim touch the round on one face; the straight joins between them only stay clear of it.
    return np.where(on_joins(rim), np.minimum(nearer, 0.0), nearer)


def on_joins(rim):
    """Whether each sampled point lies on a straight piece."""
    straight = [np.ptp(slope(outline.SAMPLES), axis=0).max() < 1e-9 for _, slope in rim]
    return np.repeat(straight, len(outline.SAMPLES))


def check_notch(tally, where, template, notch, package):
    # Seen from outside, with u to the right, v runs down the page (results: clockwise seen along +u).
    check_datum(tally, where, template, -1.0)
    entry = package.named("notch", notch["name"])
    rail = package.named("rail", notch["rail"])
    mark = next((package.length(m["at"]) for m in rail.get("mark", []) if m["name"] == entry.get("datum")), 0.0)
    zero = mark + float(template.key[len("datum.") :] or 0)
    rail_holes(tally, where, template, notch["rail"], zero, package)
    loops = template.loops("notch.shop.")
    tally.ok(f"{where}: loops counted", len(loops) == len(notch["shop"]), f"{len(notch['shop'])} asked for")
    for number, (loop, wanted) in enumerate(zip(loops, notch["shop_curves"]), 1):
        found, solved = outline.dense(loop) + [zero, 0.0], outline.along(wanted)
        there, back = outline.gap_to_polyline(outline.sample(solved), found), outline.gap_to_polyline(outline.sample(loop) + [zero, 0.0], outline.dense(solved))
        tally.near(f"{where}: notch.shop.{number}, greatest distance from the results", max(there, back), 0.0, PLACE)
        # On the safe side of the points that were traced: outside of them, and hardly.
        points = notch["shop"][number - 1]
        tally.ok(f"{where}: notch.shop.{number} holds all that was traced", outline.holds(found, points)[free(points)].all())
        tally.within(f"{where}: notch.shop.{number}, beyond what was traced", [outline.gap_to_polyline(found, points)], EXCESS)


def check_drill(tally, where, template, rail, package):
    """A rail's drilling template: zero on a mark of the rail, or that far from one as its name says."""
    check_datum(tally, where, template, -1.0)
    marks = [package.length(m["at"]) for m in package.named("rail", rail["name"]).get("mark", [])] or [0.0]
    away = float(template.key[len("datum.") :] or 0)
    # It counts from the mark nearest to one of its holes; the others would put them elsewhere.
    places = [hole["u"] for hole in holes_of(rail["name"], package)]
    best = min(marks, key=lambda mark: min(abs(u - mark) for u in places))
    rail_holes(tally, where, template, rail["name"], best + away, package)
    tally.ok(f"{where}: holes on it", len(template.loops("hole.")) > 0)


def holes_of(rail, package):
    """Every hole of a bolt in a rail, in the order of their numbers."""
    all_of = [{**one, "diameter": bolt["diameter"]} for bolt in package.results.get("bolts", []) for one in bolt["passes"]]
    return [one for one in all_of if (one["kind"], one["part"]) == ("rail", rail)]


def rail_holes(tally, where, template, rail, zero, package):
    """Bolts' holes where the results have them, a turn of a closed rail aside."""
    girth = next(one.get("girth") for one in package.results["rails"] if one["name"] == rail)
    for number, hole in enumerate(holes_of(rail, package), 1):
        if f"hole.{number}" not in template.paths:
            continue
        area, centre = outline.moments(template.path(f"hole.{number}"))
        off = centre + [zero, 0.0] - [hole["u"], hole["v"]]
        if girth:
            off[1] -= girth * round(off[1] / girth)
        tally.near(f"{where}: hole.{number}, centre from the results", float(np.linalg.norm(off)), 0.0, PLACE)
        size = 2 * float(np.sqrt(abs(area) / np.pi))
        tally.near(f"{where}: hole.{number}, diameter", size, hole["diameter"], PLACE)


def free(points):
    """Which corners of an outline do not lie on a border that runs along an axis: a rail's end, a channel's lip."""
    a = np.array(points)
    d = np.abs(np.roll(a, -1, axis=0) - a)
    level = (d.min(axis=1) == 0) & (d.max(axis=1) > 1)
    return ~(level | np.roll(level, 1))
