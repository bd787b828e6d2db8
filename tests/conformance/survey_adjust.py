"""The adjustment of a survey, done anew by scipy's least_squares from the readings in the spec."""

import numpy as np
from scipy.optimize import least_squares

PLACE = 1e-6  # mm: finer than any file carries
SIGMA = 1e-7  # of a standard deviation: scipy's slopes are differences, good to about that
AXES = {"x": 0, "y": 1, "z": 2}
VIEWS = {"side": ("z", "x"), "plan": ("y", "x")}  # rise over run


def degrees(value):
    return float(value.removesuffix("deg").strip()) if isinstance(value, str) else float(value)


def model(package):
    """Names of the unknown points, and the readings as (function of all places, reading, standard deviation)."""
    survey = package.spec["survey"]
    if "rake" in survey or "roll" in survey:
        raise ValueError("a frame out of level is not read here")
    fixed = {mark["name"]: np.array(package.point(mark["name"])) for mark in survey["mark"]}
    fixed.update({name: np.array(package.point(name)) for name in package.spec.get("points", {})})
    names = [point["name"] for point in package.results["survey"]["points"]]
    at = lambda places, name: fixed[name] if name in fixed else places[names.index(name)]
    hand = package.length(survey.get("tape_sigma", "1.5 mm"))
    finder = degrees(survey.get("level_sigma", "0.2 deg"))
    rows = []
    for tape in survey.get("tape", []):
        shows = lambda p, t=tape: np.linalg.norm(at(p, t["to"]) - at(p, t["from"])) - package.length(t.get("skin", 0)) / 2
        rows.append((shows, package.length(tape["reads"]), package.length(tape["sigma"]) if "sigma" in tape else hand))
    for offset in survey.get("offset", []):
        shows = lambda p, o=offset: at(p, o["of"])[AXES[o["along"]]]
        rows.append((shows, package.length(offset["reads"]), package.length(offset["sigma"]) if "sigma" in offset else hand))
    for slope in survey.get("slope", []):

        def shows(p, s=slope):
            span = at(p, s["to"]) - at(p, s["from"])
            if s["view"] == "true":
                return np.degrees(np.arctan2(abs(span[2]), np.hypot(span[0], span[1])))
            rise, run = (span[AXES[axis]] for axis in VIEWS[s["view"]])
            return np.degrees(np.arctan2(abs(rise), abs(run)))

        rows.append((shows, degrees(slope["reads"]), degrees(slope["sigma"]) if "sigma" in slope else finder))
    return names, rows


def check(tally, package, reads=None):
    """`reads` are readings in place of the spec's own."""
    names, rows = model(package)
    found = package.results["survey"]["points"]
    reads = [row[1] for row in rows] if reads is None else reads
    misfit = lambda x: [
        (shows(x.reshape(-1, 3)) - read) / sigma for (shows, _, sigma), read in zip(rows, reads)
    ]
    # From 20 mm off, so that it has something to do.
    start = np.array([point["at"] for point in found]).ravel() + 20.0 * np.cos(np.arange(3 * len(names)))
    answer = least_squares(misfit, start, jac="3-point", x_scale="jac", xtol=1e-15, ftol=1e-15, gtol=1e-15)
    covariance = np.linalg.inv(answer.jac.T @ answer.jac)
    sigmas = np.sqrt(np.diag(covariance)).reshape(-1, 3)
    for point, place, sigma in zip(found, answer.x.reshape(-1, 3), sigmas):
        tally.within(f"survey: place of {point['name']}", place - np.array(point["at"]), PLACE)
        tally.within(f"survey: sigma of {point['name']}", np.array(point["sigma"]) / sigma - 1.0, SIGMA, "of it")


def textbook(tally):
    """Ghilani, Adjustment Computations, ch. 14: data as printed, feet; tests/survey.rs holds the program to this."""
    stations = np.array([[865.40, 4527.15], [2432.55, 2047.25], [2865.22, 27.15]])
    distances = np.array([6049.00, 4736.83, 5446.49])
    misfit = lambda p: np.hypot(*(stations - p).T) - distances
    answer = least_squares(misfit, [6000.0, 4000.0], jac="3-point", xtol=1e-15, ftol=1e-15, gtol=1e-15)
    sigmas = np.sqrt(np.diag(np.linalg.inv(answer.jac.T @ answer.jac)))
    tally.within("a textbook's trilateration", answer.x - [6861.316788, 3727.818566], 1e-6, "ft")
    tally.within("its standard deviations for one of 1 ft", sigmas - [0.793845, 1.579458], 1e-6, "ft")


def run(tally, package, scratch):
    if "survey" not in package.spec:
        return
    textbook(tally)
    check(tally, package)
    moved = [row[1] for row in model(package)[1]]
    moved[0] += 0.5
    tally.refuses("a survey with a tape read 0.5 mm longer", "place of", check, package, moved)
