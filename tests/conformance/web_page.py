"""The record's web page by html-validate, by axe-core at phone and desktop width, and by the browser itself."""

import json
import os
import subprocess
from pathlib import Path

HERE = Path(__file__).resolve().parent
NODE = HERE.parents[1] / "target/conformance-web"


def read(pages):
    """What the readers in web/check.mjs say of each page."""
    done = subprocess.run(
        ["node", str(NODE / "check.mjs"), str(HERE / "web/rules.json"), *(str(page.resolve()) for page in pages)],
        capture_output=True, text=True, cwd=NODE, env={**os.environ, "SCREENSHOTS": ""}, timeout=300,
    )
    if done.returncode:
        raise RuntimeError(done.stderr)
    return [json.loads(line) for line in done.stdout.splitlines()]


def spoil(page, scratch):
    """The page with one fault for each reader, and what must then be said."""
    text = page.read_text("utf-8")
    faults = {
        "html-validate": (text.replace("</h1>", "</h2>", 1), lambda said: said["invalid"]),
        "axe-core": (text.replace('<html lang="en"', "<html", 1), lambda said: said["axe"]["phone"]),
        "requests": (text.replace("</main>", '<img src="there.png" alt="x"/></main>', 1), lambda said: said["fetched"]),
        "width": (text.replace("</main>", '<p>' + "&#160;".join(["wide"] * 200) + "</p></main>", 1)
                  .replace("overflow-wrap: anywhere", "overflow-wrap: normal"), lambda said: said["wide"]["phone"] > 0),
    }
    for name, (spoiled, seen) in faults.items():
        file = scratch / f"spoiled-{name}.html"
        file.write_text(spoiled, "utf-8")
        yield name, file, seen


def run(tally, package, scratch):
    pages = package.files("record/*.html")
    tally.ok("record/build-record.html is there", len(pages) == 1)
    spoiled = list(spoil(pages[0], scratch))
    said, *faulty = read([*pages, *(file for _, file, _ in spoiled)])
    name = "record/build-record.html"
    tally.ok(f"{name}: html-validate finds nothing", not said["invalid"], said["invalid"][:5])
    tally.ok(f"{name}: nothing is fetched", not said["fetched"], said["fetched"][:5])
    for screen in ("phone", "desktop"):
        tally.ok(f"{name}: axe-core finds nothing, {screen}", not said["axe"][screen], said["axe"][screen])
        tally.ok(f"{name}: no wider than the screen, {screen}", said["wide"][screen] <= 0, said["wide"][screen])
    tally.ok(f"{name}: prints", said["printed"] > 3, said["printed"])
    for (reader, _, seen), found in zip(spoiled, faulty):
        tally.ok(f"{name}, spoiled: {reader} sees it", bool(seen(found)))
