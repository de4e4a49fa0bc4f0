"""Books of every kind of support, with the heights of their joints.

Riser left and right, steep and low; a lone cover; level with tabs side by side, lapped, crossed
under a spine panel and without one, and one side flat.
"""

from cutfiles.bench.slip import slip_from

STEPS = {"RISER": 20.6, "RIGHT": -14.0, "LONE": 18.0, "STEEP": 31.0, "LOW": 6.0}
"""Number of a book: its left joint above its right one, mm; others lie level."""

_PLAIN = {"layers": 1, "gauge": "5 mil", "construction": "plain", "edges": "cut"}
"""Held, so that lengths are those of one film: what is chosen for a book is tested elsewhere."""
_BOOK = {"units": "mm", "support": _PLAIN, "title": "An invented herbal"}


def _book(number, height, widths, spine, rises, sides, weight, **more):
    names = ("left_width", "right_width"), ("left_rise", "right_rise"), ("left_side", "right_side")
    values = dict(_BOOK, number=number, height=height, spine_width=spine, weight=f"{weight} g")
    for (left, right), (a, b) in zip(names, (widths, rises, sides), strict=True):
        values |= {left: a, right: b}
    step = STEPS.get(number, 0.0)
    values |= {"left_joint": max(0.0, step), "right_joint": max(0.0, -step)}
    return values | more


BOOKS = {
    "RISER": _book("RISER", 190, (124, 124), 32, (87.7, 52.4), (5, 27), 543, opening="f. 12v"),
    "RIGHT": _book("RIGHT", 240, (170, 172), 38, (60.0, 95.0), (28, 10), 800, opening="p. 310"),
    "LONE": _book("LONE", 160, (110, 110), 24, (45.0, 0.0), (3, 22), 260, opening="title page"),
    "STEEP": _book("STEEP", 300, (210, 210), 32, (70.0, 150.0), (6, 28), 1100, opening="p. 40"),
    "LOW": _book("LOW", 150, (100, 100), 20, (52.0, 40.0), (8, 12), 220, opening="p. 91"),
    "LEVEL": _book("LEVEL", 160, (105, 112), 26, (38.0, 52.0), (13, 9), 260, opening="p. 84"),
    "CROSSED": _book("CROSSED", 210, (148, 148), 5, (74.0, 50.0), (3, 3), 60, opening="pp. 4-5"),
    "NONE": _book("NONE", 210, (148, 148), 2, (74.0, 50.0), (1, 1), 40, opening="pp. 2-3"),
    "LAPPED": _book("LAPPED", 152, (101, 101), 14, (43.0, 43.0), (7, 7), 150, opening="p. 60"),
    "FLAT": _book("FLAT", 180, (120, 120), 22, (0.0, 60.0), (11, 11), 300, opening="p. 8"),
}


def slip_of(number, **changed):
    if "support" in changed:
        changed["support"] = _PLAIN | changed["support"]
    return slip_from(BOOKS[number] | changed)


def in_inches(number):
    """Return the slip of a book whose bench counts in inches."""
    values = {
        key: f"{value} mm" if isinstance(value, int | float) else value
        for key, value in BOOKS[number].items()
    }
    return slip_from(values | {"units": "in"})
