"""What is laid flat, part by part: labels, notes, slots, flanges and coupons, and their checks."""

import math
from dataclasses import replace
from functools import partial
from itertools import islice, product

from kept import Group
from kept.plain import read_or_not, said

LENGTHS = (4.0, 5.7, 6.6, 9.0, 14.0, 31.0, 80.0, 260.0)


def written(folder):
    """Return labels, panels' names and posts' marks in more and in less room."""
    from cutfiles.pattern.guides import panel_notes
    from cutfiles.pattern.labels import label
    from cutfiles.pattern.pattern import Band
    from cutfiles.pattern.posts import blank_pattern
    from cutfiles.plane.shapes import Box
    from cutfiles.support.constructions.posts import PostBlank
    from cutfiles.support.profile import Panel

    del folder
    out = []
    for number, wide, tall in product(("A1", "iii", "Ms 12/b (2)"), LENGTHS, (7.0, 19.0, 120.0)):
        for side in ("left", "right")[: 1 + (wide > 14)]:
            strokes = label(number, side, Box(3.0, 7.0, 3.0 + wide, 7.0 + tall))
            out.append(said([(one.name, one.path.points) for one in strokes[::3]]))
    for tall in (2.0, 11.0, 90.0):
        panels = [Panel(f"panel {i}", None, long) for i, long in enumerate(LENGTHS)]
        spans = tuple((10.0 * i, 10.0 * i + long) for i, long in enumerate(LENGTHS))
        band = Band("inner flap", 1, Box(0.0, 5.0, 400.0, 5.0 + tall))
        out.append(said(panel_notes(tuple(panels), spans, band)))
    for height, text in product((9.0, 11.2, 13.0, 40.0), ("A1 L", "Ms 12/b (2) R")):
        made = blank_pattern(
            "A1", "left post 2", text, PostBlank(height=height, drop=1.5, offset=0.2), ()
        )
        out.append(said([(s.role, s.name, s.use, s.of, s.band) for s in made.strokes]))
        out.append(said([s.path.points for s in made.strokes]))
    return "\n".join(out)


def sheets():
    """Yield drafts of several kinds, in three layers and in one."""
    import tilted

    from cutfiles.draft import draft_of

    for number, more in {
        "LEVEL": {"layers": 3, "strap_slots": "yes", "nesting": 1, "gauge": "5 mil"},
        "STEEP": {"edges": "folded", "strap_slots": "yes", "adjust": 3},
        "RISER": {"construction": "lips", "edges": "folded", "tape_inset": 5, "corner_radius": 12},
        "FLAT": {"layers": 3, "fold_gap": 2, "score_gap": 2.5, "adjust": 2},
        "CROSSED": {"edges": "folded", "corner_radius": 0.5},
        "LONE": {"construction": "posts", "posts": 3, "edges": "folded"},
        "LAPPED": {"construction": "posts", "corner_radius": 7},
    }.items():
        yield draft_of(tilted.slip_of(number, support=more))
    other = {"left_rise": 0, "right_rise": 45, "left_joint": 0, "right_joint": 18}
    other |= {"left_side": 22, "right_side": 3}  # lone on the other side
    yield draft_of(tilted.slip_of("LONE", **other, support={"edges": "folded", "gauge": "7 mil"}))
    for joints in ("measured", "guess"):
        more, unknown = {"joints": joints}, {"left_joint": None, "right_joint": None}
        yield draft_of(tilted.slip_of("RIGHT", **unknown, support=more))


def flat(folder):
    """Return all that is drawn of some supports, letters left out, and what is said of them."""
    from cutfiles.pattern.pattern import Role

    del folder
    out = []
    for draft in sheets():
        one = draft.pattern
        drawn = [s for s in one.strokes if s.role is not Role.LABEL or "tick" in s.name]
        out += [said(s) for s in drawn]
        out += [said(part) for part in (one.notes, one.flanges, one.bands, one.box, one.facts[:-1])]
    return "\n".join(out)


def harms(pattern):
    """Yield a pattern with one thing drawn otherwise that only one check can see."""
    from cutfiles.pattern.pattern import Role, Stroke
    from cutfiles.plane.moves import shift
    from cutfiles.plane.shapes import Path, Point, open_path

    strokes = pattern.strokes
    for i, one in enumerate(strokes):
        others = (strokes[:i], strokes[i + 1 :])
        ways: list[tuple[float, float]] = []
        if one.use == "slot":
            ways = [(0.0, 2e-6), (0.0, 0.3), (2e-6, 0.0), (-0.2, 0.0), (9.0, 1.0), (-3.0, -4.2)]
        if one.role is Role.OUTLINE:
            longer = [Point(x + (7 if x > 100 else 0), y) for x, y in one.path.points]
            new = one.along(Path(tuple(longer), one.path.bulges, one.path.closed))
            yield replace(pattern, strokes=(*others[0], new, *others[1]))
            ways = [(0.0, 2e-6), (-2e-6, 0.0), (0.0, -1.0)]
        for dx, dy in ways:
            new = one.along(shift(one.path, dx, dy))
            yield replace(pattern, strokes=(*others[0], new, *others[1]))
        if one.band and one.role in (Role.MOUNTAIN, Role.VALLEY) and i % 5 == 0:
            (near, far), role = (one.path.points[0], one.path.points[-1]), Role.MOUNTAIN
            for aslant in (2e-5, 9.0):
                new = one.along(open_path(near, (far.x + aslant, far.y)))
                yield replace(pattern, strokes=(*others[0], new, *others[1]))
            again = replace(one, path=shift(one.path, 3.0, 0.0))
            yield replace(pattern, strokes=(*strokes, again))
            turned = Role.VALLEY if one.role is role else role
            yield replace(pattern, strokes=(*others[0], replace(one, role=turned), *others[1]))
        if "long fold" in one.name:
            turned = replace(one, role=Role.VALLEY)
            yield replace(pattern, strokes=(*others[0], turned, *others[1]))
            yield replace(pattern, strokes=others[0] + others[1])
    for name, panel in (("label left", "left base"), ("label right", "right base")):
        if any(one.name == panel for one in pattern.panels):
            (left, right), middle = pattern.span(panel), pattern.band("middle").box
            x, y = (left + right) / 2, middle.centre.y
            for dx, dy in ((left - 0.5, y), (right + 0.5, y), (x, middle.bottom - 0.5)):
                stray = Stroke(Role.LABEL, name, open_path((x, y), (dx, dy)))
                yield replace(pattern, strokes=(*strokes, stray))
            over = Stroke(Role.LABEL, name, open_path((x, y), (x, middle.top + 0.5)))
            yield replace(pattern, strokes=(*strokes, over))
            without = tuple(one for one in strokes if one.name != name)
            yield replace(pattern, strokes=without)
    for k, by in ((0, 3.0), (-1, 3.0), (-1, 0.4), (0, 0.1)):
        band = pattern.bands[k]
        low, high = (band.box.bottom - by, band.box.top) if k == 0 else (band.box.bottom, 0.0)
        high = high or band.box.top + by
        broad = replace(band, box=band.box._replace(bottom=low, top=high))
        bands = (broad, *pattern.bands[1:]) if k == 0 else (*pattern.bands[:-1], broad)
        yield replace(pattern, bands=bands)


def checked(folder):
    """Return what the checks find in patterns of which one thing was drawn otherwise."""
    from cutfiles.pattern.checks import check_pattern

    del folder
    return "\n".join(
        said(list(check_pattern(one, draft.support)))
        for draft in islice(sheets(), 5)
        for one in (draft.pattern, *harms(draft.pattern))
    )


def slotted(sizes):
    """Return what a book of these sizes gets that has a use of its own: tape and slots."""
    import tilted

    from cutfiles.draft import draft_of

    pattern = draft_of(tilted.slip_of("LEVEL", **sizes)).pattern
    return [pattern.box, [stroke.name for stroke in pattern.strokes if stroke.use]]


def small(folder):
    """Return whether slots find room in boards ever smaller, and labels on their bases."""
    del folder
    out = []
    sides = [(wide, 150) for wide in (17, 18, 19, 20, 21, 22, 23, 24, 26)]
    for wide, high in (*sides, *((60, high) for high in (24, 24.9, 25.1, 26, 36.5, 37.2, 39))):
        sizes = {"left_width": wide + 3, "right_width": wide, "height": high}
        sizes |= {"left_rise": 0.3 * wide, "right_rise": 0.5 * wide}
        for more in ({"fore_inset": 1, "layers": 1}, {"edges": "folded"}):
            sizes["support"] = {"strap_slots": "yes", **more}
            out.append(read_or_not(partial(slotted, dict(sizes))))
    return "\n".join(out)


def stated(folder):
    """Return what slip a file's statements amount to, whichever of them tell the slope."""
    from cutfiles.pattern.facts import slip_of_facts

    del folder
    whole = {"number": "A 1", "height": "203.00 mm", "spine width": "34.00 mm"}
    whole |= {"left width": "133.00 mm", "right width": "131.50 mm", "layers": "1"}
    out = []
    for left, right in product(("44.90 deg", "45.10 deg", "9.5 deg", "61.123 deg", ""), repeat=2):
        for more in (
            {"left rise": "40.00 mm", "right rise": "71.25 mm", "joints": "guessed"},
            {"left rise": "90.00 mm", "right rise": "20.00 mm", "gauge": "0.178 mm (7 mil)"},
            {"joints": "not measured", "left joint": "9.00 mm", "right joint": "2.00 mm"},
            {"left rise": "30.00 mm", "settings": "construction plain; end_inset 2.00 mm; "},
        ):
            slopes = {"left slope": left, "right slope": right}

            def told(facts=whole | slopes | more):
                slip = slip_of_facts(facts, "x.svg")
                return [slip.book, slip.opening, slip.film, slip.choices, slip.settled]

            out.append(read_or_not(told))
    return "\n".join(out)


def tried(folder):
    """Return coupons of film of several gauges laid flat, or why there are none."""
    from cutfiles.pattern.coupons import coupon_of, strokes_of

    del folder
    out = []
    for name, gauge in product(("crease", "post", "corner"), (0.05, 0.1016, 0.127, 0.13, 0.35)):

        def told(name=name, gauge=gauge):
            made = coupon_of(name, gauge)
            strokes, box = strokes_of(made)
            facts = [one.facts[:-1] for one in made.pieces]
            rest = [(one.box, one.panels, one.root, one.bands, one.creases) for one in made.pieces]
            names = [(one.name, one.number, one.long_folds, one.notes) for one in made.pieces]
            drawn = [[s.role, s.name, s.use, s.of, s.band, s.path.points] for s in strokes[::2]]
            return [made.number, made.film, made.places, box, facts, rest, names, drawn]

        out.append(read_or_not(told))
    return "\n".join(out)


def bent(folder):
    """Return how far layers move where creases bend, by arcs and by sharp corners."""
    from cutfiles.pattern.layers import layer_moves, thirds

    del folder
    out = [thirds(breadth, gauge, 1.0, 0.5) for breadth, gauge in ((90, 0.05), (210.5, 0.3))]
    for draft in sheets():
        for step, bend in ((0.127, abs), (1.0, lambda angle: 2 * math.tan(angle / 2))):
            out.append(layer_moves(draft.support.profile, step, bend))
    return said(out)


def groups():
    """Yield the groups."""
    yield Group("unfolded", [written, flat, checked, small, stated, tried, bent])
