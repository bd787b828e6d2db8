#!/usr/bin/env python3
"""Draws the pictures of README.md from the sample package, at arm's length size.

Needs Pillow, pdftoppm (poppler-utils), chromium and the DejaVu Sans Mono font (fonts-dejavu-core).
Usage: pictures.py PROGRAM, in the project's folder.
"""

import re
import subprocess
import sys
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

SAMPLE = Path("output-samples/heron-roadster")
PICTURES = Path("output-samples/pictures")
SHEETS = {
    "shaft": "drawings/shaft-intermediate.pdf",
    "notch": "print/notch-left-rail-notch.pdf",
    "plate": "print/plate-column-bracket.pdf",
}
# Ink of a plain dark terminal, by the codes the program uses.
INK = {"31": (240, 110, 100), "32": (130, 200, 130), "33": (235, 200, 100), "36": (120, 200, 215), "2": (150, 150, 150)}
PLAIN = (220, 220, 220)


def page(name: str, file: str) -> None:
    """First page of a PDF at 100 dpi."""
    target = PICTURES / name
    subprocess.run(["pdftoppm", "-r", "100", "-f", "1", "-l", "1", "-png", "-singlefile", SAMPLE / file, target], check=True)
    with Image.open(target.with_suffix(".png")) as image:
        image.convert("P", palette=Image.Palette.ADAPTIVE, colors=32).save(target.with_suffix(".png"), optimize=True)


def record() -> None:
    """Top of the record's page as a desk and as a phone show it, side by side."""
    shots = []
    for width, height in ((900, 1100), (390, 1100)):
        target = PICTURES / f"record-{width}.png"
        subprocess.run(
            ["chromium", "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--force-device-scale-factor=1",
             f"--window-size={width},{height}", f"--screenshot={target}", (SAMPLE / "record/build-record.html").absolute().as_uri()],
            check=True, capture_output=True,
        )
        with Image.open(target) as image:
            shots.append(image.convert("RGB"))
        target.unlink()
    both = Image.new("RGB", (sum(shot.width for shot in shots) + 40, shots[0].height), (140, 146, 154))
    left = 0
    for shot in shots:
        both.paste(shot, (left, 0))
        left += shot.width + 40
    both.convert("P", palette=Image.Palette.ADAPTIVE, colors=64).save(PICTURES / "record.png", optimize=True)


def terminal(program: str) -> None:
    """What `solve` prints, as a terminal of 80 columns shows it."""
    command = ["script", "-qec", f"{program} solve examples/heron-roadster/linkage.toml", "/dev/null"]
    text = subprocess.run(command, check=True, capture_output=True, text=True).stdout.replace("\r", "")
    font = ImageFont.truetype("DejaVuSansMono.ttf", 15)
    bold = ImageFont.truetype("DejaVuSansMono-Bold.ttf", 15)
    wide, tall = font.getlength("x"), 20
    lines = text.rstrip("\n").split("\n")
    image = Image.new("RGB", (int(82 * wide), tall * (len(lines) + 1)), (24, 26, 30))
    draw = ImageDraw.Draw(image)
    ink, face = PLAIN, font
    for row, line in enumerate(lines):
        x = wide
        for piece in re.split(r"(\x1b\[[0-9;]*m)", line):
            if piece.startswith("\x1b["):
                codes = piece[2:-1].split(";")
                face = bold if "1" in codes else font
                ink = next((INK[code] for code in codes if code in INK), PLAIN)
            else:
                draw.text((x, tall * (row + 0.5)), piece, font=face, fill=ink)
                x += wide * len(piece)
    image.convert("P", palette=Image.Palette.ADAPTIVE, colors=128).save(PICTURES / "solve.png", optimize=True)


if __name__ == "__main__":
    PICTURES.mkdir(parents=True, exist_ok=True)
    for name, file in SHEETS.items():
        page(name, file)
    record()
    terminal(sys.argv[1])
