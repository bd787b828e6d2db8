"""Keyed paths of an SVG file, read by the standard library's xml.etree and a grammar of our own (SVG 1.1, 8.3).

Only what a full-scale outline needs: absolute M, L, A, Z, one path an id, no transform. Anything else is an error.
Answers user units, which svg_places.py proves to be millimetres, from the upper left, y down.
"""

import re
import xml.etree.ElementTree as tree

import numpy as np

import outline

SVG = "{http://www.w3.org/2000/svg}"
NUMBERS = {"M": 2, "L": 2, "C": 6, "A": 7, "Z": 0}


def root(file):
    """The root element."""
    found = tree.parse(file).getroot()
    if found.tag != SVG + "svg":
        raise ValueError(f"not an SVG file: {found.tag}")
    return found


def read(file):
    """{id: list of subpaths}."""
    found = {}
    for element in root(file).iter():
        if element.get("transform"):
            raise ValueError("a transform in a full-scale outline")
        if element.tag == SVG + "path" and element.get("id"):
            found[element.get("id")] = parse(element.get("d"))
    return found


def parse(text):
    paths, now, start = [], None, None
    for letter, rest in re.findall(r"([A-Za-z])([^A-Za-z]*)", text):
        numbers = [float(n) for n in re.findall(r"[-+]?(?:\d+\.?\d*|\.\d+)", rest)]
        if letter not in NUMBERS or len(numbers) != NUMBERS[letter]:
            raise ValueError(f"path command not read here: {letter}{rest}")
        if letter == "M":
            now = start = np.array(numbers)
            paths.append([])
        elif letter == "L":
            paths[-1] += outline.line(now, numbers)
            now = np.array(numbers)
        elif letter == "C":
            paths[-1] += outline.cubic(now, numbers[:2], numbers[2:4], numbers[4:])
            now = np.array(numbers[4:])
        elif letter == "A":
            paths[-1] += outline.arc(now, numbers[:2], numbers[2], bool(numbers[3]), bool(numbers[4]), numbers[5:])
            now = np.array(numbers[5:])
        elif np.linalg.norm(now - start) > 0:
            paths[-1] += outline.line(now, start)
            now = start
    return [path for path in paths if path]
