"""Strokes dashed and ordered, marks fitted, formats told apart: what few sheets show."""

from kept import SAMPLES, Group
from kept.profiles import changed
from kept.tooled import rounded


def dashed(_):
    """Tell the dashes of scores that cross one another, edges and holes."""
    from cutfiles.errors import FormatError
    from cutfiles.machine.perforate import perforate, stops_on
    from cutfiles.pattern.pattern import Role, Stroke
    from cutfiles.plane.shapes import Box, circle, open_path, rectangle

    scores = [
        Stroke(Role.VALLEY, "long", open_path((2, 10), (58, 10))),
        Stroke(Role.MOUNTAIN, "across", open_path((20, 4), (23, 35))),
        Stroke(Role.VALLEY, "slanting", open_path((2, 30), (58, 12))),
    ]
    strokes = [
        *scores,
        Stroke(Role.LABEL, "label", open_path((30, 0), (30, 40))),
        Stroke(Role.HOLES, "relief", circle((40, 10), 3)),
        Stroke(Role.HOLES, "slit", open_path((50, 0), (51, 40))),
        Stroke(Role.OUTLINE, "edge", rectangle(Box(0, 0, 60, 40))),
    ]
    said = [str([stops_on(score, strokes) for score in scores])]
    for dash, land, lands in (
        (3, 1, {}),
        (2, 2.5, {"long": 0.5}),
        (0.3, 0.3, {}),
        (9, 4, None),
        (30, 9, None),
    ):
        try:
            said += [f"{s.name} {rounded(s.path)}" for s in perforate(strokes, dash, land, lands)]
        except FormatError as error:
            said.append(str(error))
    return "\n".join(said)


def ordered(_):
    """Tell the order of strokes of every role, outlines within outlines, from two homes."""
    from cutfiles.machine.order import in_order, travel_of
    from cutfiles.machine.passes import PENS
    from cutfiles.machine.profile.read import cutter_from
    from cutfiles.machine.time import pass_seconds
    from cutfiles.pattern.pattern import Role, Stroke
    from cutfiles.plane.shapes import Box, circle, open_path, rectangle

    roles = [Role.OUTLINE, Role.LABEL, Role.HOLES, Role.VALLEY, Role.REGISTRATION, Role.MOUNTAIN]
    strokes = [
        Stroke(r, f"line {i}", open_path((9 * i, 50), (5 * i, 90 - i)))
        for i, r in enumerate(roles * 2)
    ]
    strokes += [
        Stroke(Role.OUTLINE, f"box {n}", rectangle(Box(n, 2 * n, 60 - n, 40 - n)))
        for n in (3, 0, 9)
    ]
    strokes += [
        Stroke(Role.HOLES, "hole", circle((30, 20), 4)),
        Stroke(Role.OUTLINE, "disc", circle((80, 9), 8)),
    ]
    said = []
    material = {
        "gauge": "5 mil",
        "cut_passes": 2,
        "score_speed": 9,
        "cut_speed": 31,
        "mark_speed": 77,
    }
    for home, pens, more in (
        ((0, 0), PENS, {}),
        (
            (100, 70),
            {**PENS, "label": 9, "cut-outline": 0},
            {"pens": {"label": 5}, "material": [material]},
        ),
    ):
        made = cutter_from(changed(more), "x.toml")
        found = in_order(strokes, pens, home)
        settings = {
            r: s
            for m in made.materials
            for r, s in (("cut-holes", m.settings["cut"]), ("line 3", m.settings["score"]))
        }
        said += [f"{s.name} {rounded(s.path)}" for s in found]
        said.append(f"{travel_of(found, home):.4f} {pass_seconds(found, made, settings, home):.4f}")
    return "\n".join(said)


def fitted(_):
    """Tell the moves that bring few marks, and marks on one line, where they were found."""
    from cutfiles.machine.fit import KINDS, best_fit, fit
    from cutfiles.plane.shapes import Point

    given = [
        [(0, 0), (9, 1)],
        [(0, 0), (9, 0), (30, 0)],
        [(5, 0), (5, 9), (5, 30)],
        [(2, 2)] * 3,
        [(0, 0), (90, 5), (80, 70), (3, 60)],
        [(0, 0), (90, 5), (80, 70), (3, 60), (40, 41)],
    ]
    said = []
    for places in given:
        marks = [Point(*place) for place in places]
        for a, b in ((0.01, 0), (0, 0.01), (-0.006, 0.02)):
            found = [
                Point(x + a * x + b * y + 3, y - b * x + 2 + 0.03 * (i % 3))
                for i, (x, y) in enumerate(marks)
            ]
            moves = [fit(kind, marks, found) for kind in KINDS]
            moves += [best_fit(marks, found, good) for good in (0.02, 0.0201, 0.05)]
            said += [
                f"{m.kind} {[round(n, 7) + 0.0 for n in (m.a, m.b, m.c, m.d, m.e, m.f, *m.scales)]}"
                for m in moves
            ]
    return "\n".join(said)


def formats(_):
    """Tell how files are recognised, and what may be ordered by name."""
    from cutfiles.machine.formats import FORMATS, choices, drawn_formats, recognised, usual_formats

    names = ("x.plt", "X.HPG", "x.nc", "x.svg", "x.txt", "x.gcode")
    heads = [
        b"",
        b"\xef\xbb\xbf \nIN;",
        b"(x)",
        b"<svg",
        b"<svg %PDF-",
        b" " * 4090 + b"<svg",
        b" " * 4093 + b"<svg",
        b"a" * 1019 + b"%PDF-",
        b"a" * 1020 + b"%PDF-",
        b"0\nSECTION",
        b"G0",
    ]
    heads += [path.read_bytes() for path in sorted((SAMPLES / "files").glob("A1.*"))]
    found = [[getattr(recognised(head, name), "key", None) for name in names] for head in heads]
    told = [
        (
            f.key,
            f.suffix,
            f.shared,
            f.title,
            f.step,
            f.curve,
            f.text,
            f.size,
            f.palette,
            f.pens,
            f.unit,
            f.kinds,
            f.wire,
            f.bound,
            f.folded,
            f.noted,
            f.usual,
            f.endings,
        )
        for f in FORMATS.values()
    ]
    return "\n".join(
        map(str, (*found, *told, choices(), drawn_formats(), usual_formats(), usual_formats(True)))
    )


def groups():
    """Yield the groups."""
    yield Group("strokes", [dashed, ordered, fitted, formats])
