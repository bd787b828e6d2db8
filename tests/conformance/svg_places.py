"""Places on full-scale SVG outlines. Reader: xml.etree and our own arc reading after SVG 1.1, appendix F.6."""

import re

import svg_paths
from package import file_name
from template import Template, check_notch, check_plate


def check_unit(tally, file):
    root = svg_paths.root(file)
    size = [root.get("width", ""), root.get("height", "")]
    box = [float(n) for n in root.get("viewBox", "").split()]
    stated = [float(text.removesuffix("mm")) if text.endswith("mm") else 0.0 for text in size]
    tally.ok(f"{file.name}: one user unit is one millimetre", [0.0, 0.0, *stated] == box, f"{size}, viewBox {box}")


def check(tally, file, part, judge, package):
    check_unit(tally, file)
    paths = svg_paths.read(file)
    judge(tally, file.name, Template(paths, y_up=False), part, package)


def run(tally, package, scratch):
    for file in package.files("drawings/*.svg"):
        check_unit(tally, file)
    for part in package.results["plates"]:
        file = package.folder / f"cut/plate-{file_name(part['name'])}.svg"
        check(tally, file, part, check_plate, package)
        spoil(tally, file, scratch / file.name, part, check_plate, package)
    for part in package.results["notches"]:
        file = package.folder / f"cut/notch-{file_name(part['name'])}.svg"
        if not part["shop"]:
            tally.ok(f"{file.name}: none where nothing is cut", not file.exists())
            continue
        check(tally, file, part, check_notch, package)
        spoil(tally, file, scratch / file.name, part, check_notch, package)


def spoil(tally, file, bad, part, judge, package):
    text = file.read_text("utf-8")

    def refuses(what, at, spoiled):
        if spoiled == text:
            tally.ok(f"refuses {file.name} {what}", False, "nothing was spoiled")
            return
        bad.write_text(spoiled, "utf-8")
        tally.refuses(f"{file.name} {what}", at, check, bad, part, judge, package)

    refuses("in pixels", "user unit", re.sub(r'width="([\d.]+)mm"', r'width="\1px"', text, count=1))
    refuses(
        "mirrored",
        "not mirrored",
        re.sub(r'd="M (.*?) L (.*?) L (.*?)" id="datum', r'd="M \3 L \2 L \1" id="datum', text),
    )
    keys = []
    if part.get("holes"):
        flat = re.sub(r'<path d="[^"]*" id="hole.1"', lambda m: re.sub(r"A [\d.]+ [\d.]+", "A 99 99", m[0]), text)
        refuses("with hole.1 flattened", "hole diameter", flat)
        refuses("with hole.1 lost", "holes counted", re.sub(r'<path [^>]* id="hole.1"/>', "", text))
        keys += [("hole.1", "hole centre")]
    if part.get("openings"):
        keys += [("opening.1", "opening.1, corners"), ("outline", "outline corners")]
    if judge is check_notch:
        keys += [("notch.shop.1", "notch.shop.1")]
    for key, at in keys:
        refuses(f"with {key} moved by 0.1 mm", at, move_path(text, key, 0.1))


def move_path(text, key, by):
    """Adds to every x of one path."""

    def move(found):
        return re.sub(r"([ML] |A \S+ \S+ \S+ \d \d )([\d.]+)", lambda m: f"{m[1]}{float(m[2]) + by:.4f}", found[0])

    return re.sub(r'<path d="[^"]*" id="' + re.escape(key) + '"', move, text)
