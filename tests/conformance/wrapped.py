"""Notch templates cut out and wrapped on their rails: paper closes, folds meet corners, outlines clear the shaft in space.

Reader: pikepdf's content stream; the rail is built from the spec's sizes and the frame of the results, the paper is bent
round it by arc length (a developable surface keeps lengths; no other source needed). `wrapped.py PACKAGE PICTURE` draws
the first template of a package on its rail.
"""

import math
import sys

import numpy as np
import pikepdf

import outline
import pdf_paths
from package import Package, file_name
from rail_solids import Section
from template import Template

CLOSED = 0.02  # mm: two places on paper that are one on the rail
PLACE = 0.01  # mm
SAFE = 1e-3  # mm under the clearance, of the PDF's rounding
LOOSE = 0.03  # mm over it, where the shaft alone is near: what a fitted outline may take more, and rounding


class Rail:
    """The outside of a rail in vehicle axes, from the unrolled vertices of the results and the spec's sizes."""

    def __init__(self, rail, package):
        self.rail, self.section = rail, Section(rail, package)
        self.girth = self.section.girth
        frame = rail["frame"]
        self.origin, self.along, self.right, self.up = (np.array(frame[key]) for key in ("origin", "along", "right", "up"))
        path = rail["path"]
        ends = [there["v"] for there in path[1:]] + [self.girth]
        pairs = zip(path, path[1:] + path[:1], ends)
        self.pieces = [(here, there, end) for here, there, end in pairs if end is not None]

    def place(self, u, v):
        """Point of the outside and the normal out of it."""
        if self.girth is not None:
            v %= self.girth
        here, there, end = next((piece for piece in self.pieces if piece[0]["v"] <= v <= piece[2]), self.pieces[-1])
        at, s = np.array(here["at"]), v - here["v"]
        if here["centre"]:
            centre = np.array(here["centre"])
            radius = np.linalg.norm(at - centre)
            # Clockwise seen along the rail.
            turn = math.atan2(*(at - centre)[::-1]) - s / radius
            out = np.array([math.cos(turn), math.sin(turn)])
            at = centre + radius * out
        else:
            way = (np.array(there["at"]) - at) / np.linalg.norm(np.array(there["at"]) - at)
            at, out = at + way * s, np.array([-way[1], way[0]])
        space = lambda q: self.right * q[0] + self.up * q[1]
        return self.origin + self.along * u + space(at), space(out)


def template(file, notch, package):
    """The drawing as the paper shows it: keyed paths in (u, v) of the rail."""
    with pikepdf.open(file) as pdf:
        paths = next(paths for page in pdf.pages if "ruler.x" in (paths := pdf_paths.read(page, package.correction)))
    found = Template(paths, y_up=True)
    entry, rail = package.named("notch", notch["name"]), package.named("rail", notch["rail"])
    mark = next((package.length(m["at"]) for m in rail.get("mark", []) if m["name"] == entry.get("datum")), 0.0)
    zero = np.array([mark + float(found.key[len("datum.") :] or 0), 0.0])
    return found, zero


def check(tally, file, notch, package):
    found, zero = template(file, notch, package)
    rail = Rail(next(r for r in package.results["rails"] if r["name"] == notch["rail"]), package)
    points = lambda key: outline.ends(found.path(key)) + zero
    trim = points("trim")
    low, high = trim.min(0), trim.max(0)
    if rail.girth is not None and abs(high[1] - low[1] - rail.girth) < 1:
        # Both edges of the paper, and the ends of the station lines on them, are one line on the rail.
        us = [low[0], high[0], *(points(f"station.{n}")[0, 0] for n in (1, 2))]
        apart = [np.linalg.norm(rail.place(u, low[1])[0] - rail.place(u, high[1])[0]) for u in us]
        tally.within(f"{file.name}: the closing edges meet, and the marks on them", apart, CLOSED)
        for n in (1, 2):
            ends = points(f"station.{n}")[:, 1]
            tally.within(f"{file.name}: station line {n} from edge to edge", [ends.min() - low[1], ends.max() - high[1]], PLACE)
    # A fold line lies where a flat turns into a corner: on the section's own tangent points, from the spec's sizes.
    folds = [points(key)[0, 1] for key in found.paths if key.startswith("fold.")]
    if folds and rail.section.corner > 0:
        tally.within(f"{file.name}: fold lines where the corners begin", [min(abs(v - fold) for fold in rail.section.folds()) for v in folds], PLACE)
    shafts = [(np.array(s["frame"]["origin"]), np.array(s["frame"]["z"]), s["cut_length"], widest(package, s["name"]) / 2) for s in package.results["shafts"]]
    need = package.length(package.named("notch", notch["name"])["clearance"])
    gaps = []
    for key in (key for key in found.paths if key.startswith("notch.true.")):
        for u, v in outline.dense(found.path(key), 9) + zero:
            at, out = rail.place(u, v)
            wall = at - np.outer(np.linspace(0, rail.section.wall, 7), out)
            gaps.append(min(clear(wall, *shaft) for shaft in shafts) - need)
    if gaps and is_plain(package, notch):
        tally.within(f"{file.name}: the dashed outline on the rail clears the shafts, short by", np.minimum(gaps, 0), SAFE)
        if notch.get("liner", {}).get("kind") == "sleeve":
            tally.within(f"{file.name}: and by no more than it must", gaps, LOOSE)


def widest(package, shaft):
    """Diameter of a shaft's stock."""
    return package.form(package.named("shaft", shaft)["stock"])[1]["diameter"]


def clear(points, origin, axis, length, radius):
    """Least distance of points from a cylinder with flat ends."""
    along = (points - origin) @ axis
    off = np.linalg.norm(points - origin - np.outer(along, axis), axis=1) - radius
    beyond = np.maximum(np.maximum(-along, along - length), 0)
    return float(np.hypot(np.maximum(off, 0), beyond).min())


def run(tally, package, scratch):
    for notch in package.results["notches"]:
        if notch["shop"]:
            file = package.folder / f"print/notch-{file_name(notch['name'])}.pdf"
            check(tally, file, notch, package)
            if is_plain(package, notch):
                # A rail that lies a tenth of a millimetre off: the outline runs round the shaft, so one side comes nearer.
                frame = next(r["frame"] for r in package.results["rails"] if r["name"] == notch["rail"])
                kept, frame["origin"] = frame["origin"], [x + 0.1 * d for x, d in zip(frame["origin"], frame["along"])]
                tally.refuses(f"{file.name} wrapped 0.1 mm off", "clears the shafts", check, file, notch, package)
                frame["origin"] = kept


def is_plain(package, notch):
    """Whether everything stands still and the notch clears every part."""
    return not package.spec.get("motion") and "for" not in package.named("notch", notch["name"])


def picture(package, target):
    """The template cut out and wrapped on its rail, seen from two sides."""
    import matplotlib

    matplotlib.use("Agg")
    from matplotlib import pyplot
    from mpl_toolkits.mplot3d.art3d import Poly3DCollection

    notch = next(n for n in package.results["notches"] if n["shop"])
    found, zero = template(package.folder / f"print/notch-{file_name(notch['name'])}.pdf", notch, package)
    rail = Rail(next(r for r in package.results["rails"] if r["name"] == notch["rail"]), package)
    trim = outline.ends(found.path("trim")) + zero
    low, high = trim.min(0), trim.max(0)
    figure = pyplot.figure(figsize=(13, 6))
    frame = np.stack([rail.along, rail.right, rail.up])
    local = lambda p: frame @ (p - rail.origin)
    lift = lambda u, v, by: local(sum(part * scale for part, scale in zip(rail.place(u, v), (1, by))))

    def band(u0, u1, v0, v1, by, step=2.0):
        vs = np.linspace(v0, v1, max(2, int((v1 - v0) / step)))
        return [[lift(u0, a, by), lift(u1, a, by), lift(u1, b, by), lift(u0, b, by)] for a, b in zip(vs, vs[1:])]

    v_end = rail.girth if rail.girth is not None else rail.pieces[-1][2]
    shops = [outline.dense(found.path(key), 9) + zero for key in found.paths if key.startswith("notch.shop.")]
    for number, (rise, turn) in enumerate(((22, -60), (-22, 120)), 1):
        axes = figure.add_subplot(1, 2, number, projection="3d", computed_zorder=False)
        axes.set_proj_type("ortho")
        axes.view_init(elev=rise, azim=turn)
        rise, turn = math.radians(rise), math.radians(turn)
        eye = np.array([math.cos(rise) * math.cos(turn), math.cos(rise) * math.sin(turn), math.sin(rise)])
        faces = lambda v: frame @ rail.place(0, v)[1] @ eye > -0.02
        metal = [q for q, v in zip(band(low[0] - 60, high[0] + 60, 0, v_end, 0), np.linspace(0, v_end, int(v_end / 2))) if faces(v)]
        axes.add_collection3d(Poly3DCollection(metal, facecolor="#9aa4ad", edgecolor="#9aa4ad", lw=0.6, zorder=1))
        vs = np.linspace(low[1], high[1], int((high[1] - low[1]) / 2))
        paper = [q for q, v in zip(band(low[0], high[0], low[1], high[1], 0.3), vs) if faces(v)]
        axes.add_collection3d(Poly3DCollection(paper, facecolor="#fbf6e6", edgecolor="#fbf6e6", lw=0.6, zorder=2))

        def line(points, **style):
            seen = np.array([lift(u, v, 0.6) if faces(v) else [np.nan] * 3 for u, v in points])
            axes.plot(*seen.T, **style)

        for shop in shops:
            if all(faces(v) for _, v in shop):
                axes.add_collection3d(Poly3DCollection([[lift(u, v, 0.5) for u, v in shop]], facecolor="#30363c", zorder=3))
            line(np.vstack([shop, shop[:1]]), color="#a01020", lw=1.6, zorder=5)
        for key in found.paths:
            if key.startswith(("fold.", "station.")):
                ends = outline.ends(found.path(key)) + zero
                line(np.linspace(ends[0], ends[-1], 200), color="#1c6b5a", lw=0.8, ls="--" if key[0] == "f" else "-", zorder=4)
        for edge in (low[1], high[1]):
            line(np.linspace([low[0], edge], [high[0], edge], 50), color="#102090", lw=1.2, zorder=6)
        spot = lift((low[0] + high[0]) / 2, low[1], 0)
        size = (high[0] - low[0]) * 0.62 + 20
        axes.set(xlim=(spot[0] - size, spot[0] + size), ylim=(-size, size), zlim=(-size - 60, size - 60), box_aspect=(1, 1, 1))
        axes.set_box_aspect((1, 1, 1), zoom=1.9)
        axes.set_axis_off()
    figure.suptitle(f"{notch['name']}: template wrapped on {notch['rail']}; red: cut line, blue: the paper's two edges, which close on one line", fontsize=9)
    figure.savefig(target, dpi=90)


if __name__ == "__main__":
    picture(Package(sys.argv[1]), sys.argv[2])
