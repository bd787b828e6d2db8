"""Plane curves as parameter functions, and what they enclose.

Lines, cubic Beziers and elliptical arcs; moments by Green's theorem with Gauss-Legendre points, exact to rounding for
the first two and to 1e-12 for arcs of at most 45 degrees. Arcs: SVG 1.1 (second edition), appendix F.6.5, from memory.
"""

import math

import numpy as np

NODES, WEIGHTS = np.polynomial.legendre.leggauss(12)
NODES, WEIGHTS = (NODES + 1) / 2, WEIGHTS / 2
SAMPLES = np.linspace(0, 1, 9)


def line(a, b):
    a, b = np.array(a, float), np.array(b, float)
    return [(lambda t: a + np.outer(t, b - a), lambda t: np.outer(np.ones_like(t), b - a))]


def cubic(a, b, c, d):
    p = np.array([a, b, c, d], float)

    def at(t):
        return np.stack([(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3], 1) @ p

    def slope(t):
        return np.stack([(1 - t) ** 2, 2 * t * (1 - t), t * t], 1) @ (3 * np.diff(p, axis=0))

    return [(at, slope)]


def arc(a, radii, turn, large, sweep, b):
    """SVG's endpoint form: radii, turn of the x axis (degrees), two flags."""
    a, b = np.array(a, float), np.array(b, float)
    rx, ry = abs(radii[0]), abs(radii[1])
    if rx == 0 or ry == 0 or np.allclose(a, b, atol=0, rtol=0):
        return line(a, b)
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    axes = np.array([[cos, -sin], [sin, cos]])
    x, y = axes.T @ ((a - b) / 2)
    grow = math.sqrt(x * x / rx**2 + y * y / ry**2)
    if grow > 1:  # F.6.6: radii too small for the ends are scaled up
        rx, ry = rx * grow, ry * grow
    rest = max(rx**2 * ry**2 - rx**2 * y * y - ry**2 * x * x, 0) / (rx**2 * y * y + ry**2 * x * x)
    middle = (1 if large != sweep else -1) * math.sqrt(rest) * np.array([rx * y / ry, -ry * x / rx])
    centre = axes @ middle + (a + b) / 2
    first = math.atan2((y - middle[1]) / ry, (x - middle[0]) / rx)
    last = math.atan2((-y - middle[1]) / ry, (-x - middle[0]) / rx)
    angle = last - first
    if sweep and angle < 0:
        angle += 2 * math.pi
    if not sweep and angle > 0:
        angle -= 2 * math.pi
    count = max(1, math.ceil(abs(angle) / (math.pi / 4)))
    step = angle / count

    def piece(start):
        def at(t):
            e = start + step * t
            return centre + np.stack([rx * np.cos(e), ry * np.sin(e)], 1) @ axes.T

        def slope(t):
            e = start + step * t
            return step * np.stack([-rx * np.sin(e), ry * np.cos(e)], 1) @ axes.T

        return at, slope

    return [piece(first + step * k) for k in range(count)]


def along(vertices):
    """A closed path of the results: each vertex is straight to the next, an arc about `centre`, or a cubic."""
    pieces = []
    for here, there in zip(vertices, vertices[1:] + vertices[:1]):
        a, b = here["at"], there["at"]
        if here.get("controls"):
            pieces += cubic(a, *here["controls"], b)
        elif here["centre"]:
            centre = np.array(here["centre"])
            first, last = (math.atan2(*(np.array(p) - centre)[::-1]) for p in (a, b))
            turn = (first - last if here.get("clockwise") else last - first) % (2 * math.pi)
            radius = math.dist(a, centre)
            # SVG's sweep is said of angles that grow, which is anticlockwise where y is up.
            pieces += arc(a, (radius, radius), 0.0, turn > math.pi, not here.get("clockwise"), b)
        else:
            pieces += line(a, b)
    return pieces


def dense(path, count=65):
    """Points along a path so close that their chords follow it."""
    places = np.linspace(0, 1, count, endpoint=False)
    return np.concatenate([at(places) for at, _ in path])


def holds(corners, points):
    """Whether a polygon holds each point (ray crossings)."""
    a, b = np.array(corners, float), np.roll(np.array(corners, float), -1, axis=0)
    inside = []
    for x, y in points:
        cut = (a[:, 1] <= y) != (b[:, 1] <= y)
        with np.errstate(divide="ignore", invalid="ignore"):
            at = a[:, 0] + (b[:, 0] - a[:, 0]) * (y - a[:, 1]) / (b[:, 1] - a[:, 1])
        inside.append(bool((cut & (at > x)).sum() % 2))
    return np.array(inside)


def ends(path):
    """Where the pieces begin, and where the last one ends."""
    first = np.concatenate([at(np.array([0.0])) for at, _ in path])
    return np.concatenate([first, path[-1][0](np.array([1.0]))])


def sample(path):
    """Points all along, as many on every piece."""
    return np.concatenate([at(SAMPLES) for at, _ in path])


def moments(path):
    """Signed area (anticlockwise positive, y up) and centroid of what a closed path encloses."""
    area, first = 0.0, np.zeros(2)
    for at, slope in path:
        p, d = at(NODES), slope(NODES)
        cross = p[:, 0] * d[:, 1] - p[:, 1] * d[:, 0]
        area += WEIGHTS @ cross / 2
        first += (WEIGHTS * cross) @ p / 3
    return area, first / area


def gap_to_polyline(points, corners):
    """Greatest distance from points to a closed polyline."""
    a, b = np.array(corners, float), np.roll(np.array(corners, float), -1, axis=0)
    d = b - a
    size = np.maximum((d * d).sum(1), 1e-300)
    off = np.array(points, float)[:, None, :] - a
    t = np.clip((off * d).sum(2) / size, 0, 1)
    return np.linalg.norm(off - t[:, :, None] * d, axis=2).min(1).max()
