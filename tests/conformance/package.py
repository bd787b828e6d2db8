"""A package on disk: its spec (tomllib), its results (json) and the lengths a fabricator writes."""

import hashlib
import json
import re
import tomllib
from pathlib import Path

INCH = 25.4  # mm, exact: international yard and pound agreement, 1959
UNITS = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": INCH, '"': INCH}
REPOSITORY = Path(__file__).parents[2]


class Package:
    def __init__(self, folder):
        self.folder = Path(folder)
        text = (self.folder / "linkage.toml").read_bytes()
        self.sha256 = hashlib.sha256(text).hexdigest()
        self.spec = tomllib.loads(text.decode("utf-8"))
        self.results = json.loads((self.folder / "results.json").read_text("utf-8"))
        self.output = self.spec.get("output", {})
        self.correction = self.output.get("print_correction", [1.0, 1.0])

    def files(self, pattern):
        return sorted(self.folder.glob(pattern))

    def length(self, value):
        """Millimetres of a length as the spec writes it: a number in build.units, or "2 1/4 in"."""
        build = self.spec["build"]["units"]
        if isinstance(value, (int, float)):
            return value * UNITS[build]
        found = re.fullmatch(r"\s*(-?)(?:(\d+(?:\.\d+)?)(?![/\d]))?[ -]*(?:(\d+)/(\d+))?\s*(mm|cm|m|in|\")?\s*", value)
        if not found or not (found[2] or found[3]):
            raise ValueError(f"a length not read here: {value!r}")
        size = float(found[2] or 0) + (int(found[3]) / int(found[4]) if found[3] else 0.0)
        return (-size if found[1] else size) * UNITS[found[5] or build]

    def point(self, value):
        """Vehicle coordinates (mm): stated, or named under [points], as a mark, or as a point the survey found."""
        if not isinstance(value, str):
            return [self.length(number) for number in value]
        survey = self.spec.get("survey", {})
        stated = {**self.spec.get("points", {}), **{mark["name"]: mark["at"] for mark in survey.get("mark", [])}}
        if value in stated:
            return self.point(stated[value])
        return next(point["at"] for point in self.results["survey"]["points"] if point["name"] == value)

    def form(self, form):
        """Sizes (mm) of an end form: inline in the spec, or by name from the catalogue."""
        if isinstance(form, str):
            catalogue = tomllib.loads((REPOSITORY / "templates/parts/forms.toml").read_text("utf-8"))
            form = next(entry["shape"] for entry in catalogue["form"] if entry["name"] == form)
        [(kind, sizes)] = form.items()
        return kind, {key: self.length(size) for key, size in sizes.items() if key in ("diameter", "flats", "bore")}

    def named(self, table, name):
        """The spec's entry of that name."""
        return next(entry for entry in self.spec[table] if entry["name"] == name)

    def opening(self, plate, number):
        """What the spec asks of a plate's opening. The plate of a column mount has one, an ellipse round the column."""
        for name, mount in self.spec["column"].get("mount", {}).items():
            if plate == f"{name} plate" and "plate" in mount:
                return {"around": "column", "clearance": mount["plate"]["clearance"], "shape": "ellipse"}
        return self.named("plate", plate)["opening"][number - 1]


def file_name(name):
    """How a part's name stands in its file's name: small letters and digits, the rest hyphens."""
    return re.sub(r"[^\w]+", "-", name.lower()).strip("-")
