"""Volume and faces of a finished shaft, or a member of one, in closed form, from the spec's bar and ends and the
results' dimples.

Source: integral calculus (circle segments, cones, discs of radius q cut by two chords), written out here and shared
with nothing in the program. Double-D: a disc of radius R cut by flats at h to both sides. A disc of radius q keeps

    A(q) = pi q^2                                   q <= h
    A(q) = 2 h sqrt(q^2 - h^2) + 2 q^2 asin(h/q)    q > h

A bar with cut ends is one such section after another, the shoulder between two the difference of their areas. A hole
from end to end is a section taken away, with the same walls. Teeth are a round of their outside diameter. A turned
chamfer of leg c at 45 degrees has the section A(q) where q runs from R - c to R over its length.
"""

import math
from dataclasses import dataclass

import numpy as np


FLAT = 180  # degrees: the drill angle of a hole with a flat floor, for a dog point


@dataclass
class Section:
    """A round of radius R, with flats at h to both sides or none; the clock of the first flat (degrees)."""

    radius: float
    half: float
    clock: float = 0.0

    @classmethod
    def of(cls, kind, sizes, clock=0.0):
        half = sizes["flats"] / 2 if kind == "dd" else math.inf
        return cls(sizes["diameter"] / 2, half, clock)

    @property
    def area(self):
        return section(self.radius, self.half)

    @property
    def round(self):
        """Length of the round part of its rim."""
        return 4 * self.radius * math.asin(min(self.half / self.radius, 1.0))

    @property
    def flats(self):
        """Length of both flats of its rim."""
        return 4 * root(self.radius, self.half) if self.half < self.radius else 0.0


@dataclass
class Piece:
    """One piece of bar: a whole shaft, or a member of a slip shaft (mm, degrees, its own frame)."""

    name: str
    file: str
    length: float
    chamfer: float
    bar: Section
    seat: tuple | None  # (section, from, to): turned for a bearing, stations from the upper end
    ends: list  # (section, length to the shoulder) or None, upper and lower
    hole: Section | None
    dimples: list
    grooves: list

    def at(self, end):
        cut = self.ends[0 if end == "upper" else 1]
        return cut[0] if cut else self.bar

    def stretches(self):
        """(section, length) from the upper end to the lower."""
        upper, lower = self.ends
        start = upper[1] if upper else 0.0
        stop = self.length - (lower[1] if lower else 0.0)
        body = [(self.bar, stop - start)]
        if self.seat:
            seat, a, b = self.seat
            body = [(self.bar, a - start), (seat, b - a), (self.bar, stop - b)]
        return [cut for cut in (upper, *body, lower) if cut]

    def shoulders(self):
        """(name, station) of every shoulder with a face."""
        found = []
        for end, name in enumerate(("upper", "lower")):
            cut = self.ends[end]
            if cut and self.bar.area - cut[0].area > 1e-9:
                found.append((f"{name} shoulder", cut[1] if end == 0 else self.length - cut[1]))
        if self.seat:
            found += [("seat's upper shoulder", self.seat[1]), ("seat's lower shoulder", self.seat[2])]
        return found


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


def measure(piece):
    found = Measures(volume=0.0, plane=0.0, cylinder=0.0, cone=0.0, tips=[])
    stretches, c = piece.stretches(), piece.chamfer
    for number, (own, length) in enumerate(stretches):
        tips = (number == 0) + (number == len(stretches) - 1)
        body, low = length - tips * c, own.radius - c
        found.volume += own.area * body + tips * span(section_integral(own.half), low, own.radius, own.half)
        found.plane += own.flats * body + tips * section(low, own.half)
        if own.half < own.radius:
            found.plane += tips * span(chord_integral(own.half), low, own.radius, own.half)
        found.cylinder += own.round * body
        found.cone += tips * math.sqrt(2) * span(rim_integral(own.half), low, own.radius, own.half)
    for cut in piece.ends:
        if cut:
            found.plane += piece.bar.area - cut[0].area
    if piece.seat:
        found.plane += 2 * (piece.bar.area - piece.seat[0].area)
    if piece.hole:
        found.volume -= piece.hole.area * piece.length
        found.plane += piece.hole.flats * piece.length - 2 * piece.hole.area
        found.cylinder += piece.hole.round * piece.length
    for dimple in piece.dimples:
        if dimple["spot"] == "drill":
            own = piece.at(dimple["end"])
            sink(found, dimple, own.half if dimple["on"] == "flat" else own.radius)
    for groove in piece.grooves:
        own = piece.at(groove["end"])
        file_across(found, groove, own, piece.hole.radius if piece.hole else 0.0)
    return found


def file_across(found, groove, own, bore):
    """A cylinder of the bolt's diameter laid square across the bar, from one side of the round to the other.

    With x from the shaft's axis toward the bolt's, the bolt takes from every x a strip 2 b sin t along the shaft and
    2 sqrt(R^2 - x^2) across it, x = offset - b cos t. It ends at the flat, or where the bolt leaves the round. Over t
    the integrands are smooth, and Gauss-Legendre of 80 points is exact to rounding.
    """
    radius, half = own.radius, own.half
    b, offset = groove["diameter"] / 2, groove["offset"]
    low, crest = offset - b, min(half, offset + b)
    if not math.isfinite(half):
        file_round(found, offset, b, radius, bore)
        return
    askew = (groove["clock"] - own.clock + 90) % 180 - 90
    # Where it faces is checked with the flats; here it only must lie along one.
    if abs(askew) > 0.01 or not max(bore, 0.0) < low < half < radius:
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


def file_round(found, offset, b, radius, bore):
    """The same across a plain round: the bolt's mouth lies wholly in it, and nothing of the bar is flat there.

    With x = m + k sin v between the bolt's lowest and the round's crest, and the angle a = a_most sin v on the round,
    the roots at both ends fall away.
    """
    low = offset - b
    if not max(bore, 0.0) < low < radius < offset + b:
        raise ValueError("no closed form written here for this groove: write one")
    node, weight = np.polynomial.legendre.leggauss(80)
    v, weight = node * math.pi / 2, weight * math.pi / 2
    x = (low + radius) / 2 + (radius - low) / 2 * np.sin(v)
    step = weight * (radius - low) / 2 * np.cos(v)
    half_strip, half_across = np.sqrt(b**2 - (offset - x) ** 2), np.sqrt(radius**2 - x**2)
    found.volume -= float(step @ (4 * half_strip * half_across))
    # On the bolt dt is dx / half_strip times 1 / b, on both sides of its lowest.
    found.cylinder += float(step @ (2 * 2 * half_across * b / half_strip))
    most = math.acos(low / radius)
    a = most * np.sin(v)
    strip = 2 * np.sqrt(np.maximum(b**2 - (offset - radius * np.cos(a)) ** 2, 0.0))
    found.cylinder -= float((weight * most * np.cos(v)) @ (strip * radius))


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
