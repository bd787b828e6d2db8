"""Full-scale SVG outlines as librsvg and resvg draw them at 600 dots an inch.

Looks at the size of the picture and at the rings of ink of the holes, whose centroids place them within a pixel.
"""

import io
import re
import subprocess

import numpy as np
import resvg_py
from PIL import Image

import svg_paths
from package import file_name
from template import Template

# librsvg grades an edge along the pixels in coarse steps: at 300 the two long sides of a slot come out unlike by 1.5 per
# cent and its middle 0.05 mm off, at 600 within 0.003 mm.
DPI = 600
PIXEL = 25.4 / DPI  # mm
CENTRE = 0.02  # mm: half a pixel, by the centroid of a ring's ink
RADIUS = 0.02  # mm
STRETCHES = 36  # of a ring; an even number, so that opposite ones balance
RING = 0.6  # mm to both sides of the ring looked for; the line is 0.1 mm wide


def by_librsvg(file):
    command = ["rsvg-convert", "--dpi-x", str(DPI), "--dpi-y", str(DPI), "--format", "png", file]
    return subprocess.run(command, capture_output=True, check=True).stdout


def by_resvg(file):
    return resvg_py.svg_to_bytes(svg_path=str(file), dpi=DPI, skip_system_fonts=True)


READERS = {"librsvg": by_librsvg, "resvg": by_resvg}


def check(tally, file, plate, drawn=None):
    """`drawn` is the file given to the readers, where it is not the one that says where things should be."""
    for name, reader in READERS.items():
        check_by(tally, file, plate, name, reader(drawn or file))


def check_by(tally, file, plate, reader, data):
    picture = Image.open(io.BytesIO(data))
    ink = np.asarray(picture.convert("RGBA"))[:, :, 3]
    # The places come from the results and the datum, in millimetres of the file's own paths.
    template = Template(svg_paths.read(file), y_up=False)
    box = [float(n) for n in svg_paths.root(file).get("viewBox").split()][2:]
    off = max(abs(pixels * PIXEL - side) for pixels, side in zip(picture.size, box))
    tally.near(f"{file.name}: size by {reader}", off, 0.0, PIXEL)
    centres, radii = [], []
    for number, hole in enumerate(plate["holes"], 1):
        if template.mark(number) is not None:
            continue  # a centre mark, no ring
        wanted = template.zero + template.axes @ np.array(hole["centre"])
        half = hole["diameter"] / 2 + (hole["slot"]["length"] / 2 if hole["slot"] else 0.0) + RING + 2 * PIXEL
        low, high = ((np.maximum(wanted + side * half, 0) / PIXEL).astype(int) for side in (-1, 1))
        part = ink[low[1] : high[1], low[0] : high[0]] / 255
        y, x = np.mgrid[low[1] : low[1] + part.shape[0], low[0] : low[0] + part.shape[1]]
        x, y = (x + 0.5) * PIXEL, (y + 0.5) * PIXEL
        reach = from_middle(x, y, wanted, template.axes, hole["slot"])
        ring = np.where(abs(reach - hole["diameter"] / 2) < RING, part, 0)
        # A reader grades a line's darkness by how it lies on the pixels, so each stretch of the ring counts alike.
        stretch = ((np.arctan2(y - wanted[1], x - wanted[0]) / np.pi + 1) * STRETCHES / 2).astype(int) % STRETCHES
        total = np.bincount(stretch.ravel(), ring.ravel(), STRETCHES)
        if total.min() < 1:
            centres.append(float("nan"))
            continue

        def mean(values):
            return (np.bincount(stretch.ravel(), (ring * values).ravel(), STRETCHES) / total).mean()

        found = np.array([mean(x), mean(y)])
        centres.append(float(np.linalg.norm(found - wanted)))
        radii.append(mean(from_middle(x, y, found, template.axes, hole["slot"])) - hole["diameter"] / 2)
    if centres:
        tally.within(f"{file.name}: hole centres by {reader}", centres, CENTRE)
        tally.within(f"{file.name}: hole radii by {reader}", radii, RADIUS)


def from_middle(x, y, centre, axes, slot):
    """How far each pixel is from a hole's centre, or from the line between a slot's end centres (mm)."""
    x, y = x - centre[0], y - centre[1]
    if not slot:
        return np.hypot(x, y)
    angle = np.radians(slot["angle"])
    way = axes @ [np.cos(angle), np.sin(angle)]
    along = x * way[0] + y * way[1]
    over = along - np.clip(along, -slot["length"] / 2, slot["length"] / 2)
    return np.hypot(over, y * way[0] - x * way[1])


def run(tally, package, scratch):
    for plate in package.results["plates"]:
        file = package.folder / f"cut/plate-{file_name(plate['name'])}.svg"
        check(tally, file, plate)
        text, bad = file.read_text("utf-8"), scratch / file.name
        # A bare number is a pixel: 96 to the inch (CSS 2.1), not 25.4.
        bad.write_text(re.sub(r'(width|height)="([\d.]+)mm"', r'\1="\2"', text), "utf-8")
        tally.refuses(f"{file.name} without its unit", "size by librsvg", check, bad, plate)
        if plate["holes"]:
            grown = r'<g class="drill" transform="scale(1.002)"'
            bad.write_text(text.replace('<g class="drill"', grown), "utf-8")
            for name in READERS:
                at = f"hole centres by {name}"
                tally.refuses(f"{file.name} with holes scaled by 0.2 %", at, check, file, plate, bad)
            wider = {**plate, "holes": [{**hole, "diameter": hole["diameter"] + 0.1} for hole in plate["holes"]]}
            tally.refuses(f"{file.name} with holes 0.1 mm too small", "hole radii by librsvg", check, file, wider)
