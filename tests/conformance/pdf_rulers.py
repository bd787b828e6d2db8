"""Rulers as they come out of four rasterisers: poppler's two, mupdf, pdfium, at 300 dots an inch.

The marked paths say where a ruler's ends are; the ink of the two end ticks there says where they are printed. A pixel
is 0.085 mm, so each tick is placed by the centroid of its ink. The square's diagonal is measured between its ends, and
must have ink all along.
"""

import io
import subprocess

import numpy as np
import pikepdf
import pypdfium2
from PIL import Image

import outline
import pdf_paths
from pdf_places import rewrite

DPI = 300
PIXEL = 25.4 / DPI  # mm
LENGTH = 100.0  # mm
SQUARE, TILE = 50.0, 30.0  # mm: sides of the square on a sheet and on a tile
ALLOWED = 0.05  # mm
# Part of an end tick that no other ink is near (mm): from its foot on the ruler, and to both sides of it.
TICK, BESIDE = (0.8, 3.6), 1.3


def by_cairo(file, page, dpi):
    pages = ["-f", str(page), "-l", str(page), "-singlefile"]
    command = ["pdftocairo", "-png", "-gray", "-r", str(dpi), *pages, file, "-"]
    return grey(subprocess.run(command, capture_output=True, check=True).stdout)


def by_splash(file, page, dpi):
    command = ["pdftoppm", "-gray", "-r", str(dpi), "-f", str(page), "-l", str(page), "-singlefile", file]
    return grey(subprocess.run(command, capture_output=True, check=True).stdout)


def by_mupdf(file, page, dpi):
    command = ["mutool", "draw", "-q", "-r", str(dpi), "-c", "gray", "-F", "pgm", "-o", "-", file, str(page)]
    return grey(subprocess.run(command, capture_output=True, check=True).stdout)


def by_pdfium(file, page, dpi):
    # pypdfium2 rounds the picture's size up and stretches the page to it: a hair less keeps 3300.0000001 at 3300.
    scale = dpi / 72 * (1 - 1e-6)
    with pypdfium2.PdfDocument(file) as pdf:
        return 1 - np.asarray(pdf[page - 1].render(scale=scale, grayscale=True).to_numpy()).squeeze() / 255


# Poppler's Splash moves every line to whole pixels: 0.085 mm at 300 dots an inch, so it is asked for twice as many.
READERS = {"cairo": (by_cairo, DPI), "splash": (by_splash, 2 * DPI), "mupdf": (by_mupdf, DPI), "pdfium": (by_pdfium, DPI)}


def grey(data):
    """Ink of every pixel, 0 to 1, from the top row."""
    return 1 - np.asarray(Image.open(io.BytesIO(data)).convert("L"), float) / 255


def tick(ink, end, along, pixel=PIXEL):
    """Where a tick's ink stands along the ruler (mm from the page's left or lower edge)."""
    foot = np.array(end)
    low, high = foot.copy(), foot.copy()
    low[along], high[along] = foot[along] - BESIDE, foot[along] + BESIDE
    low[1 - along], high[1 - along] = foot[1 - along] + TICK[0], foot[1 - along] + TICK[1]
    height = ink.shape[0]
    columns = slice(int(low[0] / pixel), int(high[0] / pixel) + 1)
    rows = slice(height - int(high[1] / pixel) - 1, height - int(low[1] / pixel))
    patch = ink[rows, columns]
    if patch.sum() < 1:
        return float("nan")
    if along == 0:
        return (columns.start + 0.5 + patch.sum(0) @ np.arange(patch.shape[1]) / patch.sum()) * pixel
    row = rows.start + 0.5 + patch.sum(1) @ np.arange(patch.shape[0]) / patch.sum()
    return (height - row) * pixel


def inked(ink, a, b, pixel):
    """Least ink along a line, in the darkest of the three pixels across it."""
    least = 1.0
    for f in np.linspace(0.05, 0.95, 61):
        x, y = (np.array(a) + f * (np.array(b) - np.array(a))) / pixel
        row, column = ink.shape[0] - 1 - int(y), int(x)
        least = min(least, ink[row - 1 : row + 2, column - 1 : column + 2].max())
    return least


def check(tally, file, package):
    with pikepdf.open(file) as pdf:
        pages = [pdf_paths.read(page) for page in pdf.pages]
    ruled = [(number, paths) for number, paths in enumerate(pages, 1) if "ruler.x" in paths]
    # A book of a package without templates has none.
    templates = package.files("print/plate-*.pdf") + package.files("print/notch-*.pdf")
    tally.ok(f"{file.name}: rulers on a page", bool(ruled) == bool(templates))
    for number, paths in ruled:
        side = TILE if pdf_paths.WINDOW in paths else SQUARE
        a, b = outline.ends(paths["diagonal"][0])
        long = float(np.linalg.norm((b - a) * package.correction))
        tally.near(f"{file.name}: page {number}, diagonal", long, side * 2**0.5, ALLOWED)
        for name, (reader, dpi) in READERS.items():
            ink = reader(file, number, dpi)
            pixel = 25.4 / dpi
            # Words stand on part of it; a line 0.25 mm wide is three pixels.
            tally.ok(f"{file.name}: page {number}, ink along the diagonal by {name}", inked(ink, a, b, pixel) > 0.5)
            for along, key in enumerate(("ruler.x", "ruler.y")):
                ends = outline.ends(paths[key][0])
                found = tick(ink, ends[1], along, pixel) - tick(ink, ends[0], along, pixel)
                wanted = LENGTH / package.correction[along]
                tally.near(f"{file.name}: page {number}, {key} by {name}", found, wanted, ALLOWED)


def run(tally, package, scratch):
    files = package.files("print/*.pdf")
    for file in files:
        check(tally, file, package)
    for file in package.files("print/plate-*.pdf")[:1]:
        bad = scratch / file.name
        rewrite(file, bad, lambda stream: b"1.002 0 0 1.002 0 0 cm\n" + stream)
        for name in READERS:
            for key in ("ruler.x", "ruler.y"):
                tally.refuses(f"{file.name} scaled by 0.2 %", f"{key} by {name}", check, bad, package)
