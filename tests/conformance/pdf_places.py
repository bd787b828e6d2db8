"""Places on full-scale PDF templates. Reader: pikepdf's content stream parser (qpdf), by the marked paths."""

import re

import pikepdf

import pdf_paths
from package import file_name
from template import Template, check_drill, check_notch, check_plate


def check(tally, file, part, judge, package):
    with pikepdf.open(file) as pdf:
        found = [pdf_paths.read(page, package.correction) for page in pdf.pages]
    pages = [(number, paths) for number, paths in enumerate(found, 1) if "ruler.x" in paths]
    tiles = [paths for _, paths in pages if pdf_paths.WINDOW in paths]
    # One page, or tiles that each put the whole drawing under a window.
    if len(pages) != max(1, len(tiles)):
        raise ValueError(f"{file.name}: {len(pages)} pages with rulers, {len(tiles)} of them tiles")
    for number, paths in pages:
        name = f"{file.name} page {number}" if tiles else file.name
        judge(tally, name, Template(paths, y_up=True), part, package)


def run(tally, package, scratch):
    for plate in package.results["plates"]:
        file = package.folder / f"print/plate-{file_name(plate['name'])}.pdf"
        check(tally, file, plate, check_plate, package)
        spoil(tally, file, scratch / file.name, plate, check_plate, package)
    for notch in package.results["notches"]:
        file = package.folder / f"print/notch-{file_name(notch['name'])}.pdf"
        check(tally, file, notch, check_notch, package)
        spoil(tally, file, scratch / file.name, notch, check_notch, package)
    for rail in package.results["rails"]:
        # One paper, or several with numbers: of no other rail whose name begins alike.
        for file in package.files(f"print/drill-{file_name(rail['name'])}*.pdf"):
            if re.fullmatch(rf"drill-{re.escape(file_name(rail['name']))}(-\d+)?", file.stem):
                check(tally, file, rail, check_drill, package)


MOVED = b"1 0 0 1 0.1 0"  # inside a page drawn in millimetres
STRETCHED = b"1.02 0 0 1 0 0"
PAGES = {
    "scaled by 0.2 % in x": (b"1.002 0 0 1 0 0", "arm along u", "arm along v"),
    "scaled by 0.2 % in y": (b"1 0 0 1.002 0 0", "arm along v", "arm along u"),
    "sheared by 0.2 %": (b"1 0 0.002 1 0 0", "datum, square"),
    "mirrored": (b"-1 0 0 1 612 0", "not mirrored"),
}


def spoil(tally, file, bad, part, judge, package):
    def refuses(what, at, change, forms=False):
        rewrite(file, bad, change, forms)
        tally.refuses(f"{file.name} {what}", at, check, bad, part, judge, package)

    for what, (under, *ats) in PAGES.items():
        # A part may lie on its side on the paper: then x is its v.
        at = ats[0] if len(ats) == 1 or not on_its_side(file, package) else ats[1]
        refuses(what, at, lambda stream: under + b" cm\n" + stream)
    paths = []
    if part.get("holes"):
        paths += [
            ("hole.1", MOVED, "hole centre"),
            ("hole.1", STRETCHED, "hole diameter"),
            ("hole.1", None, "holes counted"),
        ]
    if part.get("openings"):
        paths += [
            ("opening.1", MOVED, "opening.1, corners"),
            ("opening.1", MOVED, "opening.1, clear of the axis"),
            ("opening.1", None, "openings counted"),
        ]
    if judge is check_plate:
        paths += [("outline", MOVED, "outline corners"), ("outline", STRETCHED, "net area")]
    if part.get("shop"):
        paths += [("notch.shop.1", MOVED, "notch.shop.1"), ("notch.shop.1", None, "loops counted")]
    for key, under, at in paths:
        if at.endswith("axis") and package.opening(part["name"], 1).get("around") != "column":
            continue
        how = {MOVED: "moved by 0.1 mm", STRETCHED: "stretched by 2 %", None: "not marked"}[under]
        refuses(f"with {key} {how}", at, lambda stream: put_path_under(stream, key.encode(), under), forms=True)


def on_its_side(file, package):
    with pikepdf.open(file) as pdf:
        paths = next(paths for page in pdf.pages if "ruler.x" in (paths := pdf_paths.read(page)))
    arm = Template(paths, y_up=True).arms[0]
    return abs(arm[1]) > abs(arm[0])


def rewrite(file, bad, change, forms=False):
    """Writes the PDF with every page's content changed, and that of the forms it shows."""
    with pikepdf.open(file) as pdf:
        shown = [form for page in pdf.pages for form in page.Resources.get("/XObject", {}).values()] if forms else []
        for form in {form.objgen: form for form in shown}.values():
            form.write(change(form.read_bytes()))
        for page in pdf.pages:
            page.contents_coalesce()
            page.Contents = pdf.make_stream(change(page.Contents.read_bytes()))
        pdf.save(bad)


def put_path_under(stream, key, matrix):
    """Draws one marked path under a matrix of its own; without one, takes its mark away."""
    marked = rb"/" + re.escape(key) + rb" MP\b(.*?\s[SfB]\*?\s)"
    drawn = rb"\1" if matrix is None else rb"/" + key + rb" MP q " + matrix + rb" cm\1Q\n"
    return re.sub(marked, drawn, stream, count=1, flags=re.S)
