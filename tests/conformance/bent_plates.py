"""Bent plates from their flat patterns: volume and area as exact integrals, and a bend opened flat again.

A place of the flat pattern stands for the neutral line's length, so across a bend of angle A, inside radius R and
allowance L every length of it is stretched by A r / L at the radius r. What is cut before bending is cut there too, and
its walls stand square to the sheet all the way round: a rim on the flat pattern sweeps the wall from R to R + t. All
integrands are smooth between the lines where bends begin and end, and Gauss's rule takes them to the last digits.
"""

import math

import numpy as np

NODES, WEIGHTS = np.polynomial.legendre.leggauss(48)


class Piece:
    """A straight or an arc of a loop: place and derivative at t from 0 to 1."""

    def __init__(self, here, there):
        self.at, self.to = np.array(here["at"], float), np.array(there["at"], float)
        self.centre = None
        if not here["centre"]:
            return
        self.centre = np.array(here["centre"], float)
        arm = self.at - self.centre
        major, minor = here.get("axes") or ((math.hypot(*arm), 0.0), (0.0, math.hypot(*arm)))
        self.major, self.minor = np.array(major, float), np.array(minor, float)
        way = -1 if here.get("clockwise") else 1
        self.start = self.turned(self.at)
        self.turn = way * ((way * (self.turned(self.to) - self.start)) % math.tau)

    def turned(self, place):
        arm = place - self.centre
        return math.atan2(arm @ self.minor / (self.minor @ self.minor), arm @ self.major / (self.major @ self.major))

    def __call__(self, t):
        t = np.asarray(t)[:, None]
        if self.centre is None:
            return self.at + (self.to - self.at) * t, np.broadcast_to(self.to - self.at, (len(t), 2))
        angle = self.start + self.turn * t
        return (
            self.centre + self.major * np.cos(angle) + self.minor * np.sin(angle),
            self.turn * (self.minor * np.cos(angle) - self.major * np.sin(angle)),
        )

    def meets(self, across, level):
        """Where on it, t from 0 to 1, the coordinate along `across` has that level."""
        if self.centre is None:
            run = (self.to - self.at) @ across
            return [(level - self.at @ across) / run] if run else []
        a, b, off = self.major @ across, self.minor @ across, level - self.centre @ across
        size = math.hypot(a, b)
        if size == 0 or abs(off) >= size:
            return []
        middle, half = math.atan2(b, a), math.acos(off / size)
        turns = [(angle - self.start) / self.turn for angle in (middle - half, middle + half)]
        return [t + k * math.tau / abs(self.turn) for t in turns for k in (-2, -1, 0, 1, 2)]


def loops(plate):
    """[(pieces, +1 or -1)] of the flat pattern: the outline, and what is cut through it."""
    found = [(plate["outline"], 1)] + [(opening["outline"], -1) for opening in plate["openings"]]
    for hole in plate["holes"]:
        (u, v), radius, slot = hole["centre"], hole["diameter"] / 2, hole["slot"]
        half, way = (slot["length"] / 2, math.radians(slot["angle"])) if slot else (0.0, 0.0)
        along, side = np.array([math.cos(way), math.sin(way)]), np.array([-math.sin(way), math.cos(way)])
        ends = [np.array([u, v]) + along * half, np.array([u, v]) - along * half]
        rim = [{"at": ends[0] - side * radius, "centre": list(ends[0])}, {"at": ends[0] + side * radius, "centre": None}]
        rim += [{"at": ends[1] + side * radius, "centre": list(ends[1])}, {"at": ends[1] - side * radius, "centre": None}]
        found.append((rim if slot else [rim[0], {**rim[2]}], -1))
    return [([Piece(a, b) for a, b in zip(loop, loop[1:] + loop[:1])], sign) for loop, sign in found]


class Bend:
    """Where on the flat pattern a bend begins, and the ways across and along it."""

    def __init__(self, bend):
        near, far = np.array(bend["tangents"], float)
        way = (near[1] - near[0]) / np.linalg.norm(near[1] - near[0])
        self.across = np.array([-way[1], way[0]])
        if (far[0] - near[0]) @ self.across < 0:
            self.across = -self.across
        self.along = np.array([self.across[1], -self.across[0]])
        self.near, self.begins = near[0], near[0] @ self.across
        self.inside, self.up = bend["inside"], bend["up"]
        self.angle, self.length = math.radians(bend["angle"]), bend["allowance"]

    def pieces(self, piece):
        """The parts of a piece inside the bend, as (places, derivatives, weights)."""
        stops = [t for edge in (0, self.length) for t in piece.meets(self.across, self.begins + edge) if 0 < t < 1]
        stops = sorted([0.0, *stops, 1.0])
        for low, high in zip(stops, stops[1:]):
            [middle], _ = piece([(low + high) / 2])
            if 0 < middle @ self.across - self.begins < self.length:
                yield *piece(low + (high - low) * (NODES + 1) / 2), WEIGHTS * (high - low) / 2

    def area(self, plate):
        """Of the flat pattern inside the bend: Green's theorem, the coordinate across held between its two ends."""
        total = 0.0
        for pieces, sign in loops(plate):
            inside = 0.0
            for piece in pieces:
                stops = [t for edge in (0, self.length) for t in piece.meets(self.across, self.begins + edge) if 0 < t < 1]
                stops = sorted([0.0, *stops, 1.0])
                for low, high in zip(stops, stops[1:]):
                    places, steps = piece(low + (high - low) * (NODES + 1) / 2)
                    held = np.clip(places @ self.across - self.begins, 0, self.length)
                    inside += (high - low) / 2 * WEIGHTS @ (held * (steps @ self.along))
            total += sign * abs(inside)
        return total

    def walls(self, plate):
        """What the walls of the loops inside the bend measure more than on the flat pattern."""
        thick, more = plate["thick"], 0.0
        radii = self.inside + thick * (NODES + 1) / 2
        for pieces, _ in loops(plate):
            for piece in pieces:
                for _, steps, weights in self.pieces(piece):
                    round_ = np.outer(radii * self.angle / self.length, steps @ self.across)
                    length = np.hypot(round_, steps @ self.along)
                    more += thick / 2 * WEIGHTS @ length @ weights - thick * np.hypot(*steps.T) @ weights
        return more

    def opened(self, place, thick):
        """(u, v) on the flat pattern and depth under the drawn face of a place in the plate's frame; one bend only."""
        radius = self.inside if self.up else self.inside + thick
        past, high = place[:2] @ self.across - self.begins, (-1 if self.up else 1) * place[2]
        level = place[:2] @ self.along
        if past <= 0 and -1e-6 < -place[2] < thick + 1e-6:
            return self.across * (past + self.begins) + self.along * level, -place[2]
        # From the axis; the turn counts from where the bend begins, and a flange turned past square leans back over it.
        turn = math.atan2(past, high + radius) % math.tau
        if turn < self.angle:
            round_, off = turn * self.length / self.angle, math.hypot(past, high + radius) - radius
        else:
            c, s = math.cos(self.angle), math.sin(self.angle)
            round_, off = self.length + past * c - (high + radius) * s, past * s + (high + radius) * c - radius
        return self.across * (round_ + self.begins) + self.along * level, off if self.up else -off


def more(plate):
    """(volume, area of both faces, area of walls) by which the bent plate is more than its flat pattern."""
    volume = sides = walls = 0.0
    for bend in map(Bend, plate["bends"]):
        strip, thick = bend.area(plate), plate["thick"]
        twice = (2 * bend.inside + thick) * bend.angle / bend.length
        volume += strip * thick * (twice / 2 - 1)
        sides += strip * (twice - 2)
        walls += bend.walls(plate)
    return volume, sides, walls


def in_bend(plate, hole):
    """Whether a hole's rim reaches into a bend."""
    reach = hole["diameter"] / 2 + (hole["slot"]["length"] / 2 if hole["slot"] else 0.0)
    middles = ((bend, np.array(hole["centre"]) @ bend.across - bend.begins) for bend in map(Bend, plate["bends"]))
    return any(-reach < past < bend.length + reach for bend, past in middles)
