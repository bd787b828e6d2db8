"""Marked paths of a PDF page, read by pikepdf (qpdf). Operators: ISO 32000-1:2008, annex A, from memory.

A `/key MP` names the path painted after it. Answers millimetres from the page's lower left corner, y up.
"""

import numpy as np
import pikepdf

import outline

# Name of a tile's window among its paths: two opposite corners. No marked path can have it.
WINDOW = "(window)"
POINT = 25.4 / 72  # mm; ISO 32000-1, 8.3.2.3


def matrix(numbers):
    a, b, c, d, e, f = (float(n) for n in numbers)
    return np.array([[a, b, 0], [c, d, 0], [e, f, 1]])


def read(page, correction=(1.0, 1.0)):
    """{key: list of subpaths}, each a list of pieces; a print correction about the page's middle is taken out again.

    A page may show a form under a rectangular window: the form's paths are there whole, the window as `WINDOW`.
    """
    (kx, ky), (w, h) = correction, (float(page.MediaBox[k]) * POINT for k in (2, 3))
    found = {}
    walk(page, matrix([POINT * kx, 0, 0, POINT * ky, (1 - kx) * w / 2, (1 - ky) * h / 2]), found)
    return found


def walk(source, to_page, found):
    stack, key, paths, start, now = [], None, [], None, None

    def put(x, y):
        return (np.array([float(x), float(y), 1.0]) @ to_page)[:2]

    for operands, operator in pikepdf.parse_content_stream(source):
        match str(operator):
            case "q":
                stack.append(to_page)
            case "Q":
                to_page = stack.pop()
            case "cm":
                to_page = matrix(operands) @ to_page
            case "MP":
                key = str(operands[0])[1:]
            case "m":
                start = now = put(*operands)
                paths.append([])
            case "l":
                then = put(*operands)
                paths[-1] += outline.line(now, then)
                now = then
            case "c":
                points = [put(*operands[k : k + 2]) for k in (0, 2, 4)]
                paths[-1] += outline.cubic(now, *points)
                now = points[-1]
            case "h":
                if np.linalg.norm(now - start) > 1e-9:
                    paths[-1] += outline.line(now, start)
                now = start
            case "re":
                x, y, w, h = (float(n) for n in operands)
                found[WINDOW] = np.sort([put(x, y), put(x + w, y + h)], axis=0)
            case "v" | "y":
                raise ValueError(f"operator {operator} not read here")
            case "S" | "s" | "f" | "f*" | "B" | "B*" | "b" | "b*" | "n":
                if key:
                    if key in found:
                        raise ValueError(f"two paths marked {key!r}")
                    found[key] = [path for path in paths if path]
                key, paths = None, []
            case "Do":
                form = source.Resources.XObject[str(operands[0])]
                if form.Subtype == "/Form":
                    own = matrix(form.get("/Matrix", [1, 0, 0, 1, 0, 0]))
                    walk(form, own @ to_page, found)
