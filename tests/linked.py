"""Supports of the kinds the level table has no row for, put together from their linkages.

`row` is a row of `KINDS` that designs riser, lone cover, crossed and the rest for the books
in `BOOKS`, told by their numbers; the heights of their joints stand here.
"""

import math

from cutfiles.bench.slip import slip_from
from cutfiles.plane.shapes import Point
from cutfiles.support.contacts import Contacts, Tape, tape_place
from cutfiles.support.design import Kind
from cutfiles.support.linkages.choose import lay_out
from cutfiles.support.linkages.linkage import BoardLie, Wanted
from cutfiles.support.profile import Fold, Panel, Profile, Root
from cutfiles.support.standing import SIDES, Bearing, Half, Support, board_of
from cutfiles.support.steps import FoldStep, FoldTo, first_steps

STEPS = {"RISER": 20.6, "RIGHT": -14.0, "LONE": 18.0, "STEEP": 31.0, "LOW": 6.0}
"""Number of a book: its left joint above its right one, mm; others lie level."""

_BOOK = {"units": "mm", "support": {"layers": 1}, "title": "An invented herbal"}


def _book(number, height, widths, spine, rises, sides, weight, **more):
    names = ("left_width", "right_width"), ("left_rise", "right_rise"), ("left_side", "right_side")
    values = dict(_BOOK, number=number, height=height, spine_width=spine, weight=f"{weight} g")
    for (left, right), (a, b) in zip(names, (widths, rises, sides), strict=True):
        values |= {left: a, right: b}
    return values | more


BOOKS = {
    "RISER": _book("RISER", 190, (124, 124), 32, (87.7, 52.4), (5, 27), 543, opening="f. 12v"),
    "RIGHT": _book("RIGHT", 240, (170, 172), 38, (60.0, 95.0), (28, 10), 800, opening="p. 310"),
    "LONE": _book("LONE", 160, (110, 110), 24, (45.0, 0.0), (3, 22), 260, opening="title page"),
    "STEEP": _book("STEEP", 300, (210, 210), 32, (70.0, 150.0), (6, 28), 1100, opening="p. 40"),
    "LOW": _book("LOW", 150, (100, 100), 20, (52.0, 40.0), (8, 12), 220, opening="p. 91"),
    "CROSSED": _book("CROSSED", 210, (148, 148), 5, (74.0, 50.0), (3, 3), 60, opening="pp. 4-5"),
    "NONE": _book("NONE", 210, (148, 148), 2, (74.0, 50.0), (1, 1), 40, opening="pp. 2-3"),
    "LAPPED": _book("LAPPED", 152, (101, 101), 14, (43.0, 43.0), (7, 7), 150, opening="p. 60"),
    "FLAT": _book("FLAT", 180, (120, 120), 22, (0.0, 60.0), (11, 11), 300, opening="p. 8"),
}


def slip_of(number, **changed):
    return slip_from(BOOKS[number] | changed)


def in_inches(number):
    """Return the slip of a book whose bench counts in inches."""
    values = {
        key: f"{value} mm" if isinstance(value, int | float) else value
        for key, value in BOOKS[number].items()
    }
    return slip_from(values | {"units": "in"})


def row():
    """Return the row of kinds that designs them."""
    return Kind("linked", lambda slip: slip.book.number in BOOKS, support_of)


def wanted(slip):
    choices, film = slip.choices, slip.film
    boards = [
        BoardLie(
            panel=board.width - choices.fore_inset, slope=math.radians(board.slope), rise=board.rise
        )
        for board in (slip.opening.left, slip.opening.right)
    ]
    return Wanted(
        left=boards[0],
        right=boards[1],
        spine=slip.opening.spine_width + choices.spine_clearance,
        step=STEPS.get(slip.book.number, 0.0),
        stack=film.stack,
        tape=choices.tape_thickness,
    )


def support_of(slip):
    """Return the support of a book, laid out as a linkage."""
    asked = wanted(slip)
    strip = lay_out(asked)
    panels = tuple(_panel(name, length) for name, length in strip.panels)
    folds = tuple(Fold(*_split(name), after, angle) for name, after, angle in strip.folds)
    pairs = zip(strip.places, strip.places[1:], strict=False)
    ends = dict(zip([p.name for p in panels], pairs, strict=True))
    halves = tuple(_half(slip, side, ends, strip) for side in SIDES)
    base = next(n for n in ("left base", "right base") if n in ends)
    tapes = tuple(_tape(slip, contact, ends, panels) for contact in strip.contacts)
    legs = [Bearing(f"{h.side} leg", h.side) for h in halves if h.stands]
    legs += [Bearing(p.name, p.side, "joint") for p in panels if p.part == "riser"]
    return Support(
        slip=slip,
        kind=strip.kind if strip.kind == "riser" else f"level, {strip.kind}",
        breadth=slip.book.height - 2 * slip.choices.end_inset,
        deck_lift=strip.lift,
        profile=Profile(panels, folds, Root(base, ends[base][0], math.pi)),
        places=strip.places,
        halves=halves,
        bearings=tuple(sorted(legs, key=lambda leg: leg.side)),
        contacts=Contacts(tapes=tapes, table=tuple(f"{h.side} base" for h in halves if h.stands)),
        steps=_steps(slip, strip, tapes),
    )


def _split(name):
    side, _, part = name.partition(" ")
    return (part, side) if part else (name, None)


def _panel(name, length):
    return Panel(*_split(name), length)


def _half(slip, side, ends, strip):
    start, end = ends[f"{side} board"]
    joint, apex = (end, start) if side == "left" else (start, end)
    lo, hi = joint, joint
    if "spine" in ends:
        lo, hi = ends["spine"]
    width = slip.opening.spine_width
    middle = Point((lo.x + hi.x) / 2, (lo.y + hi.y) / 2)
    long = math.dist(lo, hi) or 1.0
    share = (width / 2 / long if "spine" in ends else 0.0) * (-1 if side == "left" else 1)
    book = Point(middle.x + share * (hi.x - lo.x), middle.y + share * (hi.y - lo.y))
    stands = f"{side} leg" in ends
    slope = math.radians(board_of(slip, side).slope) if stands else 0.0
    return Half(side=side, slope=slope, joint=joint, apex=apex, book=book, stands=stands)


def _tape(slip, contact, ends, panels):
    length = next(p.length for p in panels if p.name == contact.on)
    inset = slip.choices.tape_inset
    left = contact.on == panels[0].name
    if contact.on in (panels[0].name, panels[-1].name):
        clear, width = tape_place(length, inset)
    else:
        width = min(12.0, length - 2 * inset)
        clear, left = (length - width) / 2, True
    return Tape(
        panel=contact.on,
        face=contact.face,
        to=contact.onto,
        to_face=contact.onto_face,
        end="left" if left else "right",
        clear=clear,
        width=width,
    )


VERBS = {
    "spine": "Raise",
    "apex": "Bend",
    "foot": "Turn in",
    "heel": "Roll",
    "toe": "Roll",
    "joint": "Raise",
}


def _steps(slip, strip, tapes):
    steps = [*first_steps(slip.film)]
    for step in strip.steps:
        folds = tuple(FoldTo(name, strip.angle_of(name)) for name in step.folds)
        stuck = tuple(tape for tape in tapes if tape.panel in step.sticks)
        groups = {}
        for fold in folds:
            part = fold.crease.rpartition(" ")[2]
            groups.setdefault(VERBS.get(part, "Roll"), []).append(fold)
        steps += [FoldStep(verb, tuple(some)) for verb, some in groups.items()]
        if stuck:
            steps.append(FoldStep("Stick", taped=stuck))
    return (*steps, FoldStep("Check"))
