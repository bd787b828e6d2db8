"""The print test: its lengths by four rasterisers, every sign by three readers of text."""

import numpy as np
import pikepdf

import outline
import pdf_document
import pdf_paths
from pdf_places import rewrite
from pdf_rulers import ALLOWED, READERS, tick

# What a drawing of the trade may need beside letters and figures (ISO 129-1, from memory, and common fractions).
SIGNS = "⌀°±×÷−″′∠≤≥→←↑↓²³·½¼¾⅛⅜⅝⅞"
LENGTHS = {"rule.x": 150.0, "rule.y": 200.0}


def check(tally, file):
    with pikepdf.open(file) as pdf:
        paths = pdf_paths.read(pdf.pages[0])
    for name, (reader, dpi) in READERS.items():
        ink = reader(file, 1, dpi)
        for along, (key, wanted) in enumerate(LENGTHS.items()):
            ends = outline.ends(paths[key][0])
            # The upright rule's ticks point left.
            flip = ink if along == 0 else ink[:, ::-1]
            width = ink.shape[1] * 25.4 / dpi
            ends = [e if along == 0 else np.array([width - e[0], e[1]]) for e in ends]
            found = tick(flip, ends[1], along, 25.4 / dpi) - tick(flip, ends[0], along, 25.4 / dpi)
            tally.near(f"{file.name}: {key} by {name}", found, wanted, ALLOWED)
    for key in ("diagonal", "diagonal.2"):
        a, b = outline.ends(paths[key][0])
        tally.near(f"{file.name}: {key}", float(np.linalg.norm(b - a)), 100 * 2**0.5, ALLOWED)
    readers = {
        "poppler": pdf_document.text_by_poppler,
        "mupdf": pdf_document.text_by_mupdf,
        "pdfium": pdf_document.text_by_pdfium,
    }
    for name, reader in readers.items():
        text = reader(file)
        lost = [sign for sign in SIGNS if sign not in text]
        tally.ok(f"{file.name}: every sign by {name}", not lost, f"lost {lost}" if lost else "")


def run(tally, file, scratch):
    check(tally, file)
    pdf_document.check_structure(tally, file)
    pdf_document.check_printing(tally, file)
    pdf_document.check_fonts(tally, file)
    pdf_document.check_glyphs(tally, file)
    bad = scratch / file.name
    rewrite(file, bad, lambda stream: b"1.002 0 0 1.002 0 0 cm\n" + stream)
    for key in LENGTHS:
        tally.refuses(f"{file.name} scaled by 0.2 %", f"{key} by cairo", check, bad)
