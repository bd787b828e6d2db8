"""Best phases of random chains against scipy.optimize.

Fifty chains of three and four single joints are drawn from one seed, written as specs, solved by `yokeline solve
--json` and searched anew: the error of a chain is computed here from rotations of vectors (a cross keeps its two
trunnion axes square), and scipy.optimize looks for the phases that make it least from many starting points. The
program's best must not be beaten by more than 1e-9 deg.
"""

import json
import subprocess

import numpy as np
from scipy.optimize import minimize

from package import REPOSITORY

ALLOWED = 1e-9
COUNT = 50


def unit(v):
    return v / np.linalg.norm(v)


def rotated(v, axis, angle):
    """Rodrigues."""
    return v * np.cos(angle) + np.cross(axis, v) * np.sin(angle) + axis * axis.dot(v) * (1 - np.cos(angle))


def chain(rng, joints):
    """Axes and cross centres of a chain that bends 6 to 34 degrees at every joint."""
    axis = unit(rng.normal(size=3))
    normal = unit(np.cross(rng.normal(size=3), axis))
    axes, centres = [axis], [rng.uniform(-300, 300, 3)]
    for i in range(joints):
        normal = rotated(normal, axis, rng.uniform(-np.pi, np.pi))
        axis = rotated(axis, normal, np.radians(rng.uniform(6, 34)))
        axes.append(axis)
        if i + 1 < joints:
            centres.append(centres[-1] + axis * rng.uniform(260, 420))
    return axes, centres


def spec(axes, centres):
    point = lambda p: "[" + ", ".join(repr(float(x)) for x in p) + "]"
    reach, depth = 40.0, 25.0
    column = centres[0] - axes[0] * (reach - depth)
    gear = centres[-1] + axes[-1] * (reach - depth)
    round_bar = '{ round = { diameter = 19.05 } }'
    text = f"""format = 1
[build]
title = "chain"
units = "mm"
[column]
end = {point(column)}
toward = {point(column - axes[0] * 400)}
form = {round_bar}
exposed = 60
[gear]
end = {point(gear)}
beyond = {point(gear - axes[-1] * 300)}
form = {round_bar}
exposed = 60
"""
    for i, centre in enumerate(centres):
        inner = f"centre = {point(centre)}\n" if 0 < i < len(centres) - 1 else ""
        text += f'[[joint]]\nname = "j{i}"\nswing = 40\nlimit = 40\n{inner}'
        for side in ("upper", "lower"):
            text += f"[joint.{side}]\nfits = {round_bar}\nreach = {reach}\ndepth = {depth}\nweld = true\n"
    for i in range(len(centres) - 1):
        text += f'[[shaft]]\nname = "s{i}"\nstock = {round_bar}\nmaterial = "1018-cold-drawn"\n'
    return text


def error(axes, twists):
    """Half of peak to peak (deg) of gear less column, from the map of trunnion axes.

    The gear yoke's trunnion axis for two column angles a quarter turn apart spans the map from the circle of the column
    yoke to the ellipse of the gear yoke's direction; its half axes s1, s2 give asin((s1 - s2) / (s1 + s2)).
    """
    columns = []
    first = unit(np.cross(axes[0], axes[1]))
    for start in (first, np.cross(axes[0], first)):
        trunnion = start
        for i in range(len(axes) - 1):
            # Linear in the trunnion axis; lengths are kept, for they make the ellipse.
            trunnion = np.cross(axes[i + 1], trunnion)
            if i + 2 < len(axes):
                trunnion = rotated(trunnion, axes[i + 1], twists[i])
        columns.append(trunnion)
    s = np.linalg.svd(np.array(columns), compute_uv=False)
    return np.degrees(np.arcsin((s[0] - s[1]) / (s[0] + s[1])))


def swept(axes, twists):
    """The same by turning the column through a whole turn, to prove the map."""
    leads = []
    first = unit(np.cross(axes[0], axes[1]))
    for theta in np.radians(np.arange(0, 360, 0.05)):
        v = rotated(first, axes[0], theta)
        for i in range(len(axes) - 1):
            v = unit(np.cross(axes[i + 1], v))
            if i + 2 < len(axes):
                v = rotated(v, axes[i + 1], twists[i])
        x = unit(np.cross(axes[-1], first))
        y = np.cross(axes[-1], x)
        leads.append(np.arctan2(v.dot(y), v.dot(x)) - theta)
    leads = np.unwrap(np.array(leads))
    return np.degrees((leads.max() - leads.min()) / 2)


def run(tally):
    program = REPOSITORY / "target/debug/yokeline"
    if not program.exists():
        subprocess.run(["cargo", "build", "--locked"], cwd=REPOSITORY, check=True)
    rng = np.random.default_rng(20260314)
    for number in range(COUNT):
        joints = 3 + number % 2
        name = f"best phases of chain {number}, {joints} joints"
        axes, centres = chain(rng, joints)
        command = [program, "solve", "--json", "-"]
        done = subprocess.run(command, input=spec(axes, centres), text=True, capture_output=True)
        tally.ok(f"{name}: solved", done.returncode == 0, done.stderr.strip()[:400])
        if done.returncode != 0:
            continue
        best = json.loads(done.stdout)["motion"]["best"]
        twists = np.radians(best["twists"])
        least = min(
            minimize(
                lambda t: error(axes, t),
                rng.uniform(0, np.pi, joints - 1),
                method="Nelder-Mead",
                options={"xatol": 1e-12, "fatol": 1e-13, "maxiter": 4000, "maxfev": 4000},
            ).fun
            for _ in range(8)
        )
        over = best["error"] - least
        tally.ok(f"{name}: scipy finds none better", over <= ALLOWED, f"{over:.3e} deg above {least:.12f}")
        off = abs(error(axes, twists) - best["error"])
        # Near nothing the error goes as the square root of rounding.
        tally.ok(f"{name}: its twists give its error", off <= 1e-9 or best["error"] < 1e-6, f"{off:.3e} deg")
        if number < 4:
            off = abs(swept(axes, twists) - error(axes, twists))
            tally.ok(f"{name}: over a whole turn", off <= 2e-5, f"{off:.3e} deg")
    # A phase put off on purpose must be seen.
    axes, _ = chain(rng, 3)
    good = minimize(lambda t: error(axes, t), [0.5, 1.0], method="Nelder-Mead")
    tally.ok("a phase 3 deg off is seen", error(axes, good.x + 0.05) > good.fun + ALLOWED, f"{good.fun:.9f} deg")
