"""Tiles of a template too large for the sheet: what two of them show of the same place is the same.

The numbered marks are drawn on each tile, the part is one form under a window. Where two tiles overlap, the ink of the
part, the marks and trim lines left out, is laid over each other by the marks; what shift is left is found from the
slopes of the ink (Lucas and Kanade 1981, from memory).
"""

import re

import numpy as np
import pikepdf

import outline
import pdf_paths
from pdf_places import rewrite
from pdf_rulers import DPI, PIXEL, READERS

ALLOWED = 0.03  # mm
MARK = 6.5  # mm: half a mark and its number
SEAM = 0.8  # mm to both sides of a trim line
EDGE = 1.0  # mm: off the window's edge


def marks(paths):
    """{name: centre} of the rings on a page (mm)."""
    rings = {key: path[0] for key, path in paths.items() if key.startswith("mark.")}
    return {key: outline.ends(path)[:-1].mean(0) for key, path in rings.items()}


def soft(ink):
    """Ink spread over some pixels, so that slopes are those of the picture and not of its grain."""
    for axis in (0, 1):
        for _ in range(3):
            ink = (np.roll(ink, 1, axis) + ink * 2 + np.roll(ink, -1, axis)) / 4
    return ink


def shown(picture, x, y):
    """Ink at places (mm from the lower left corner), between pixels by the four around."""
    ink, (wide, tall) = picture
    column, row = x / wide - 0.5, ink.shape[0] - y / tall - 0.5
    c, r = np.floor(column).astype(int), np.floor(row).astype(int)
    u, v = column - c, row - r
    return (
        ink[r, c] * (1 - u) * (1 - v) + ink[r, c + 1] * u * (1 - v) + ink[r + 1, c] * (1 - u) * v + ink[r + 1, c + 1] * u * v
    )


def shift(one, other, first, second):
    """How far (mm) the part on the second tile lies off that on the first, by their marks; None without enough ink."""
    common = sorted(set(first["marks"]) & set(second["marks"]))
    move = np.mean([second["marks"][key] - first["marks"][key] for key in common], axis=0)
    (a, b), (c, d) = first["window"], second["window"]
    low, high = np.maximum(a, c - move) + EDGE, np.minimum(b, d - move) - EDGE
    if np.any(high - low < 5):
        return None
    x, y = np.meshgrid(np.arange(low[0], high[0], PIXEL), np.arange(low[1], high[1], PIXEL))
    keep = np.ones_like(x, bool)
    for centre in first["marks"].values():
        keep &= np.maximum(abs(x - centre[0]), abs(y - centre[1])) > MARK
    for key in common:
        # A mark stands on its trim line, and the line runs through the whole window.
        keep &= (abs(x - first["marks"][key][0]) > SEAM) & (abs(y - first["marks"][key][1]) > SEAM)
    here, there = shown(one, x, y), shown(other, x + move[0], y + move[1])
    slope_y, slope_x = np.gradient((here + there) / 2, PIXEL)
    keep &= np.hypot(slope_x, slope_y) > 0.2
    gx, gy, off = slope_x[keep], slope_y[keep], (here - there)[keep]
    matrix = np.array([[gx @ gx, gx @ gy], [gx @ gy, gy @ gy]])
    # Lines of one direction alone say nothing along them.
    sizes, ways = np.linalg.eigh(matrix)
    good = sizes > 0.02 * max(sizes.max(), 1e-9)
    if keep.sum() < 200:
        return None
    return float(np.linalg.norm([(ways[:, k] @ [gx @ off, gy @ off]) / sizes[k] for k in (0, 1) if good[k]]))


def check(tally, file, readers=READERS):
    with pikepdf.open(file) as pdf:
        pages = [(number, pdf_paths.read(page)) for number, page in enumerate(pdf.pages, 1)]
        sizes = [[float(side) * pdf_paths.POINT for side in list(page.MediaBox)[2:]] for page in pdf.pages]
        drawings = {form.objgen for page in pdf.pages for form in page.Resources.get("/XObject", {}).values()}
    tiles = [
        {"page": number, "size": sizes[number - 1], "marks": marks(paths), "window": paths[pdf_paths.WINDOW]}
        for number, paths in pages
        if pdf_paths.WINDOW in paths
    ]
    tally.ok(f"{file.name}: one drawing on {len(tiles)} tiles", len(drawings) == 1 and tiles, str(len(drawings)))
    if len(tiles) == 1:
        return  # a whole sheet of its own: nothing to join
    alone = [tile["page"] for tile in tiles if len(tile["marks"]) < 2]
    tally.ok(f"{file.name}: two marks or more on each tile", not alone, str(alone))
    for name, (reader, _) in readers.items():
        if name == "splash":
            continue  # moves lines to whole pixels
        pictures = {}
        for tile in tiles:
            ink = reader(file, tile["page"], DPI)
            # pypdfium2 stretches the page to whole pixels: 0.09 mm over an A4 sheet.
            pixel = [side / count for side, count in zip(tile["size"], ink.shape[::-1])] if name == "pdfium" else [PIXEL] * 2
            pictures[tile["page"]] = soft(ink), pixel
        compared = []
        for i, first in enumerate(tiles):
            for second in tiles[i + 1 :]:
                if len(set(first["marks"]) & set(second["marks"])) >= 2:
                    compared.append(shift(pictures[first["page"]], pictures[second["page"]], first, second))
        tally.within(f"{file.name}: overlapping tiles by {name}", [c for c in compared if c is not None], ALLOWED)


def joined(file):
    with pikepdf.open(file) as pdf:
        return sum(pdf_paths.WINDOW in pdf_paths.read(page) for page in pdf.pages) > 1


def run(tally, package, scratch):
    files = []
    for file in package.files("print/plate-*.pdf") + package.files("print/notch-*.pdf"):
        with pikepdf.open(file) as pdf:
            if any(len(page.Resources.get("/XObject", {})) for page in pdf.pages):
                files.append(file)
    for file in files:
        check(tally, file)
    for file in [file for file in files if joined(file)][:1]:
        bad = scratch / file.name
        count = 0

        def shifted(stream):
            nonlocal count
            count += b" Do" in stream
            # The first tile's drawing by 0.06 mm, a hair over what is allowed once it is shared out.
            return stream if count != 1 else re.sub(rb"(re W n\n)", rb"\g<1>1 0 0 1 0.06 0.06 cm\n", stream)

        rewrite(file, bad, shifted)
        some = {"cairo": READERS["cairo"]}
        tally.refuses(f"{file.name} with a tile shifted by 0.06 mm", "overlapping tiles by cairo", check, bad, some)
