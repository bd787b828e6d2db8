"""What every PDF must be before its places count: whole, on the right paper, unscaled, readable.

Readers: qpdf (structure), pikepdf (boxes, print dialogue), poppler (fonts); text by poppler, mupdf and pdfium.
Keys: ISO 32000-1:2008, 12.2 (viewer preferences) and 14.11.2 (page boxes), from memory.
"""

import re
import subprocess

import pikepdf
import pypdfium2

POINT = 72 / 25.4
# ISO 216 (A sizes); ANSI/ASME Y14.1 (letter, tabloid). Points.
SHEETS = {
    "letter": (612.0, 792.0),
    "tabloid": (792.0, 1224.0),
    "a4": (210 * POINT, 297 * POINT),
    "a3": (297 * POINT, 420 * POINT),
}
BOX = 0.001  # points: three decimals are written
# Layers by what is on a template; a name is what a viewer lists.
LAYERS = {"Frame", "Words"}
CUTS = {"Cut lines", "Scale check"}


def check_structure(tally, file):
    ran = subprocess.run(["qpdf", "--check", file], capture_output=True, text=True)
    # 3 stands for warnings.
    tally.ok(
        f"{file.name}: qpdf finds nothing wrong",
        ran.returncode == 0,
        ran.stderr.strip().split("\n")[0].replace(str(file), file.name),
    )


def check_boxes(tally, file, package):
    build = package.spec["build"]["units"]
    sheet = package.output.get("sheet", "letter" if build == "in" else "a4")
    asked = SHEETS[sheet] if isinstance(sheet, str) else [package.length(side) * POINT for side in sheet]
    with pikepdf.open(file) as pdf:
        boxes = [[[float(n) for n in page[key]] for key in ("/MediaBox", "/CropBox", "/TrimBox")] for page in pdf.pages]
    for number, (box, *others) in enumerate(boxes, 1):
        where = f"{file.name}: page {number}"
        same = all(other == box for other in others) and box[:2] == [0, 0]
        off = max(abs(a - b) for a, b in zip(sorted(box[2:]), sorted(asked)))
        tally.ok(f"{where}: boxes", same and off <= BOX, f"{box[2]:g} x {box[3]:g} points")


def check_printing(tally, file):
    with pikepdf.open(file) as pdf:
        wish = pdf.Root.get("/ViewerPreferences", {})
        none, held = (
            wish.get("/PrintScaling") == "/None",
            "/PrintScaling" in [str(key) for key in wish.get("/Enforce", [])],
        )
    tally.ok(f"{file.name}: PrintScaling None and enforced", none and held)


def check_layers(tally, file):
    with pikepdf.open(file) as pdf:
        layers = pdf.Root.OCProperties
        names = {str(layer.Name) for layer in layers.OCGs}
        listed = {str(layer.Name) for layer in layers.D.get("/Order", layers.OCGs)}
        hidden = len(layers.D.get("/OFF", []))
    wanted = LAYERS | (CUTS if file.name.startswith(("plate", "notch")) else set())
    found = f"{sorted(names)}, lost {sorted(wanted - names)}"
    tally.ok(f"{file.name}: layers listed, none hidden", wanted <= names and names == listed and not hidden, found)


def check_tags(tally, file):
    """ISO 32000-1, 14.7: a figure with alternative text on every page that draws, words as words."""
    with pikepdf.open(file) as pdf:
        marked = bool(pdf.Root.get("/MarkInfo", {}).get("/Marked", False))
        elements = [(str(e.S), str(e.get("/Alt", "")), e.Pg.objgen) for e in pdf.Root.StructTreeRoot.K.K]
        pages = [page.obj.objgen for page in pdf.pages]
        parents = pdf.Root.StructTreeRoot.ParentTree.Nums
        numbers = [int(page.StructParents) for page in pdf.pages]
        listed = [int(n) for n in list(parents)[::2]]
    named = all(alt for kind, alt, _ in elements if kind == "/Figure")
    figures = {page for kind, _, page in elements if kind == "/Figure"}
    words = {page for kind, _, page in elements if kind == "/P"}
    whole = words == set(pages) and numbers == listed == list(range(len(pages)))
    drawn = bool(figures) or file.parent.name == "record"
    tally.ok(f"{file.name}: tagged, figures with words", marked and named and whole and drawn, f"{len(figures)} figures")


def check_bookmarks(tally, file):
    with pikepdf.open(file) as pdf:
        count = len(pdf.pages)
        with pdf.open_outline() as outline:
            tops = list(outline.root)
    leaves = sum(len(top.children) or 1 for top in tops)
    wanted = count if count > 1 else 0
    tally.ok(f"{file.name}: a bookmark a page", leaves == wanted, f"{leaves} for {count} pages")


def check_contents(tally, file):
    """The contents, the bookmarks and the numbers in the margin of a print book, against its pages by poppler."""
    command = ["pdftotext", "-layout", file, "-"]
    texts = subprocess.run(command, capture_output=True, text=True, check=True).stdout.split("\f")[:-1]
    with pikepdf.open(file) as pdf:
        places = {page.obj.objgen: number for number, page in enumerate(pdf.pages, 1)}
        with pdf.open_outline() as outline:
            tops = [(top.title, places.get(top.destination[0].objgen)) for top in outline.root]
    numbered = [number for number, text in enumerate(texts, 1) if f"page {number} of {len(texts)}" not in text]
    tally.ok(f"{file.name}: every page has its number", not numbered, f"not {numbered}")
    listed, before = [], 0
    for text in texts:
        lines = text.split("\n")
        heads = [line.index("page") for line in lines if re.match(r"\s+page\s+what\s+sheets\s+scale\s+file", line)]
        if "Contents" not in text or not heads:
            break
        before += 1
        # A number further in belongs to a broken cell.
        rows = [re.match(r"( +)(\d+)  +\S", line) for line in lines]
        listed += [int(row[2]) for row in rows if row and abs(len(row[1]) - heads[0]) <= 2]
    parts = [place for title, place in tops if title != "Contents"]
    tally.ok(
        f"{file.name}: contents and bookmarks name the same pages",
        listed == parts and listed[:1] == [before + 1],
        f"{before} of contents, then {listed}; bookmarks {parts}",
    )


def check_glyphs(tally, file):
    """No letter is glyph 0, the empty box: a reader of text does not see it, a reader of paper does."""
    boxes, letters = [], 0
    with pikepdf.open(file) as pdf:
        drawn = {}
        for number, page in enumerate(pdf.pages, 1):
            drawn[number] = [page, *{form.objgen: form for form in page.Resources.get("/XObject", {}).values()}.values()]
        for number, streams in drawn.items():
            for stream in streams:
                for operands, operator in pikepdf.parse_content_stream(stream, "Tj TJ"):
                    runs = operands[0] if str(operator) == "TJ" else operands
                    # Two bytes a letter, the font's own glyph numbers (Identity-H, ISO 32000-1, 9.7.5.2).
                    for codes in (bytes(run) for run in runs if isinstance(run, pikepdf.String)):
                        letters += len(codes) // 2
                        if any(codes[i : i + 2] == b"\0\0" for i in range(0, len(codes), 2)):
                            boxes.append(number)
    tally.ok(f"{file.name}: every letter has its glyph", letters > 100 and not boxes, f"{letters} letters, boxes on {boxes}")


def check_fonts(tally, file):
    lines = subprocess.run(["pdffonts", file], capture_output=True, text=True, check=True).stdout.split("\n")[2:]
    # Columns from the right: object (2), unicode map, subset, embedded.
    fonts = [(line.split()[0], line.split()[-5], line.split()[-3]) for line in lines if line.strip()]
    tally.ok(
        f"{file.name}: fonts embedded, with a map to text",
        bool(fonts) and all(f[1:] == ("yes", "yes") for f in fonts),
        ", ".join(f[0] for f in fonts),
    )


def text_by_poppler(file):
    # In reading order: words wrapped in a cell of the title block follow one another.
    return subprocess.run(["pdftotext", file, "-"], capture_output=True, text=True, check=True).stdout


def text_by_mupdf(file):
    return subprocess.run(
        ["mutool", "draw", "-q", "-F", "txt", file], capture_output=True, text=True, check=True
    ).stdout


def text_by_pdfium(file):
    with pypdfium2.PdfDocument(file) as pdf:
        return "\n".join(page.get_textpage().get_text_range() for page in pdf)


def check_text(tally, file, package):
    """The words a shop files a sheet by, and the drawing signs that a simple font would lose."""
    build, spec = package.spec["build"], package.results["spec"]
    wanted = [build["title"], build.get("record", ""), spec["sha256"][:12]]
    if file.name.startswith(("plate", "notch")):
        wanted += ["100 mm"]
    if file.name.startswith("plate"):
        wanted += ["\N{DIAMETER SIGN}"]
    for name, reader in (("poppler", text_by_poppler), ("mupdf", text_by_mupdf), ("pdfium", text_by_pdfium)):
        text = " ".join(reader(file).split())
        lost = [word for word in wanted if " ".join(word.split()) not in text]
        tally.ok(
            f"{file.name}: text by {name}",
            not lost and "\N{REPLACEMENT CHARACTER}" not in text,
            f"lost {lost}" if lost else "",
        )


def run(tally, package, scratch):
    files = package.files("**/*.pdf")
    tally.ok("PDF files found", bool(files), str(len(files)))
    for file in files:
        check_structure(tally, file)
        check_boxes(tally, file, package)
        check_fonts(tally, file)
        check_text(tally, file, package)
        check_layers(tally, file)
        check_tags(tally, file)
        check_bookmarks(tally, file)
        if file.parent.name == "print":
            check_printing(tally, file)
        if file.name == "all.pdf":
            check_contents(tally, file)
            check_glyphs(tally, file)
    for file in package.files("print/*.pdf")[:1]:
        spoil(tally, file, scratch / file.name, package)
    for file in package.files("print/all.pdf"):
        misplace(tally, file, scratch / file.name)
        empty(tally, file, scratch / file.name)


def misplace(tally, file, bad):
    """A book whose third page comes second."""
    with pikepdf.open(file) as pdf:
        page = pdf.pages[2]
        del pdf.pages[2]
        pdf.pages.insert(1, page)
        pdf.save(bad)
    tally.refuses("a book with two pages changed over", "every page has its number", check_contents, bad)
    tally.refuses("a book with two pages changed over", "name the same pages", check_contents, bad)


def empty(tally, file, bad):
    """A document with one letter turned into the empty box."""
    with pikepdf.open(file) as pdf:
        page = pdf.pages[-1]
        commands = pikepdf.parse_content_stream(page)
        shown = next(i for i, (_, operator) in enumerate(commands) if str(operator) in ("Tj", "TJ"))
        operands, operator = commands[shown]
        run = bytes(operands[0] if str(operator) == "Tj" else next(o for o in operands[0] if isinstance(o, pikepdf.String)))
        commands[shown] = ([pikepdf.String(b"\0\0" + run[2:])], pikepdf.Operator("Tj"))
        page.Contents = pdf.make_stream(pikepdf.unparse_content_stream(commands))
        pdf.save(bad)
    tally.refuses("a letter that is an empty box", "has its glyph", check_glyphs, bad)


def spoil(tally, file, bad, package):
    bad.write_bytes(file.read_bytes().replace(b"endobj", b"endob ", 1))
    tally.refuses("a PDF with a broken object", "qpdf", check_structure, bad)

    def changed(change):
        with pikepdf.open(file) as pdf:
            change(pdf)
            pdf.save(bad)

    def widen(pdf):
        pdf.pages[0].MediaBox[2] = float(pdf.pages[0].MediaBox[2]) * 1.002

    changed(widen)
    tally.refuses("a page box 0.2 % wide", "page 1: boxes", check_boxes, bad, package)

    def loosen(pdf):
        del pdf.Root.ViewerPreferences.Enforce

    changed(loosen)
    tally.refuses("print scaling not enforced", "PrintScaling", check_printing, bad)

    def silence(pdf):
        for element in pdf.Root.StructTreeRoot.K.K:
            if element.S == "/Figure":
                element.Alt = ""

    changed(silence)
    tally.refuses("figures without words", "tagged", check_tags, bad)

    def hide(pdf):
        pdf.Root.OCProperties.D.OFF = pikepdf.Array([pdf.Root.OCProperties.OCGs[0]])

    changed(hide)
    tally.refuses("a hidden layer", "layers listed", check_layers, bad)

    def fonts(pdf):
        return pdf.pages[0].Resources.Font.values()

    def outsource(pdf):
        for font in fonts(pdf):
            del font.DescendantFonts[0].FontDescriptor["/FontFile2"]

    changed(outsource)
    tally.refuses("fonts not embedded", "fonts embedded", check_fonts, bad)

    def unmap(pdf):
        for font in fonts(pdf):
            del font["/ToUnicode"]

    changed(unmap)
    tally.refuses("fonts without a map to text", "text by poppler", check_text, bad, package)
    tally.refuses("fonts without a map to text", "text by mupdf", check_text, bad, package)
    tally.refuses("fonts without a map to text", "text by pdfium", check_text, bad, package)
