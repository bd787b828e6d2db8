"""Volume and faces of a finished shaft in closed form, from the spec's stock and the results' dimples.

Source: integral calculus (circle segments, cones, discs of radius q cut by two chords), written out here and shared
with nothing in the program. Double-D: a disc of radius R cut by flats at h to both sides. A disc of radius q keeps

    A(q) = pi q^2                                   q <= h
    A(q) = 2 h sqrt(q^2 - h^2) + 2 q^2 asin(h/q)    q > h

A turned chamfer of leg c at 45 degrees has the section A(q) where q runs from R - c to R over its length.
"""

import math
from dataclasses import dataclass

import numpy as np


FLAT = 180  # degrees: the drill angle of a hole with a flat floor, for a dog point


@dataclass
class Measures:
    """mm^3, mm^2 by kind of face, and where the dimples have their tips (mm, the shaft's own frame)."""

    volume: float
    plane: float
    cylinder: float
    cone: float
    tips: list


def section(q, h):
    return math.pi * q * q if q <= h else 2 * h * root(q, h) + 2 * q * q * math.asin(h / q)


def root(q, h):
    return math.sqrt(max(q * q - h * h, 0.0))


def span(f, low, high, h):
    """F(high) - F(low) of an antiderivative that has one form below h and another above."""
    if high <= h or low >= h:
        return f(high, high > h) - f(low, high > h)
    return f(h, False) - f(low, False) + f(high, True) - f(h, True)


def section_integral(h):
    """Antiderivative of A(q)."""

    def f(q, over):
        if not over:
            return math.pi * q**3 / 3
        w = root(q, h)
        log = math.log(q + w)
        return h * (q * w - h * h * log) + 2 * (q**3 / 3 * math.asin(min(h / q, 1.0)) + h / 6 * (q * w + h * h * log))

    return f


def rim_integral(h):
    """Antiderivative of the length of the round part of a section's rim: 2 pi q, or 4 q asin(h/q)."""
    return lambda q, over: 2 * q * q * math.asin(min(h / q, 1.0)) + 2 * h * root(q, h) if over else math.pi * q * q


def chord_integral(h):
    """Antiderivative of the length of the four half chords: 4 sqrt(q^2 - h^2) where there are any."""

    def f(q, over):
        w = root(q, h)
        return 2 * (q * w - h * h * math.log(q + w)) if over else 0.0

    return f


def measure(kind, sizes, chamfer, shaft):
    if kind not in ("dd", "round") or shaft.get("members"):
        raise ValueError("no closed form written here for this shaft: write one")
    radius, length, bore = sizes["diameter"] / 2, shaft["cut_length"], sizes.get("bore", 0.0) / 2
    half = sizes["flats"] / 2 if kind == "dd" else math.inf
    body, low = length - 2 * chamfer, radius - chamfer
    flat = kind == "dd"
    found = Measures(
        volume=section(radius, half) * body
        + 2 * span(section_integral(half), low, radius, half)
        - math.pi * bore**2 * length,
        plane=2 * (section(low, half) - math.pi * bore**2)
        + (4 * root(radius, half) * body + 2 * span(chord_integral(half), low, radius, half) if flat else 0.0),
        cylinder=(4 * radius * math.asin(half / radius) if flat else 2 * math.pi * radius) * body
        + 2 * math.pi * bore * length,
        cone=2 * math.sqrt(2) * span(rim_integral(half), low, radius, half),
        tips=[],
    )
    for dimple in shaft["dimples"]:
        if dimple["spot"] == "drill":
            sink(found, dimple, half if dimple["on"] == "flat" else radius)
    for groove in shaft["grooves"]:
        file_across(found, groove, radius, half, bore)
    return found


def file_across(found, groove, radius, half, bore):
    """A cylinder of the bolt's diameter laid square across the bar, from one side of the round to the other.

    With x from the shaft's axis toward the bolt's, the bolt takes from every x a strip 2 b sin t along the shaft and
    2 sqrt(R^2 - x^2) across it, x = offset - b cos t. It ends at the flat, or where the bolt leaves the round. Over t
    the integrands are smooth, and Gauss-Legendre of 80 points is exact to rounding.
    """
    b, offset = groove["diameter"] / 2, groove["offset"]
    low, crest = offset - b, min(half, offset + b)
    if not math.isfinite(half) or groove["clock"] % 180 or not max(bore, 0.0) < low < half < radius:
        raise ValueError("no closed form written here for this groove: write one")
    if offset + b <= half:
        raise ValueError("no closed form written here for a bolt hole within the bar: write one")
    end = math.acos((offset - crest) / b)
    node, weight = np.polynomial.legendre.leggauss(80)
    t, weight = (node + 1) * end / 2, weight * end / 2
    across = 2 * np.sqrt(radius**2 - (offset - b * np.cos(t)) ** 2)
    strip = 2 * b * np.sin(t)
    found.volume -= float(weight @ (strip * across * b * np.sin(t)))
    found.cylinder += float(weight @ (2 * b * across))
    # Two sides of the round lose a strip each: dx on the round is R dx / sqrt(R^2 - x^2) long.
    found.cylinder -= float(weight @ (2 * strip * radius / (across / 2) * b * np.sin(t)))
    found.plane -= 2 * b * math.sin(end) * 2 * root(radius, half)


def sink(found, dimple, crest):
    """A cone of the drill's angle down to `depth` under the crest, and above it a straight wall of its diameter."""
    r, depth = dimple["diameter"] / 2, dimple["depth"]
    tan = math.tan(math.radians(dimple["drill"] / 2))
    clock = math.radians(dimple["clock"])
    found.tips.append(((crest - depth) * math.cos(clock), (crest - depth) * math.sin(clock), dimple["z"]))
    slant, wall = math.hypot(1, 1 / tan), max(depth - r / tan, 0.0)
    if wall < 1e-9:
        wall = 0.0
    if dimple["on"] == "flat":
        found.volume -= math.pi * r * r * (r / tan / 3 + wall)
        found.plane -= math.pi * r * r
        if dimple["drill"] == FLAT:
            found.plane += math.pi * r * r
        else:
            found.cone += math.pi * r * r * slant
        found.cylinder += 2 * math.pi * r * wall
        return
    if dimple["drill"] == FLAT:
        raise ValueError("no closed form written here for a flat floor on the round side: write one")
    # On the round, in polar coordinates (s, a) about the drill: the surface stands at sqrt(R^2 - s^2 sin^2 a), the tool
    # at R - depth + s/tan. Over s in closed form; over a by the trapezoidal rule, exact to rounding for a smooth rim.
    a = (np.arange(720) + 0.5) * (2 * math.pi / 720)
    sin2, tip = np.sin(a) ** 2, crest - depth
    # Rim: (tip + s/tan)^2 + s^2 sin^2 a = R^2, or the wall where that lies outside it.
    p, q = 1 / tan**2 + sin2, tip / tan
    s = np.minimum((np.sqrt(q * q - p * (tip**2 - crest**2)) - q) / p, r)
    rest = np.sqrt(crest**2 - s * s * sin2)
    under = (crest**3 - rest**3) / (3 * sin2) - tip * s**2 / 2 - s**3 / (3 * tan)
    mean = 2 * math.pi
    found.volume -= mean * under.mean()
    found.cylinder += (
        mean * (r * np.maximum(rest - tip - s / tan, 0.0) * (s >= r) - crest * (crest - rest) / sin2).mean()
    )
    found.cone += mean * (s * s * slant / 2).mean()
