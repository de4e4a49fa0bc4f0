"""Small drawings and supports folded: places, lengths and angles on either side of each limit."""

import math
from dataclasses import replace
from itertools import count, cycle

from kept import Group
from kept.plain import said


def line(kind, *points, hole=False):
    """Return a line of a drawing."""
    from cutfiles.folding.graph import FoldLine
    from cutfiles.plane.shapes import Point

    return FoldLine(kind, tuple(Point(*p) for p in points), f"{kind} line", hole)


def box(left, bottom, right, top, hole=True):
    """Return a hole, or an outline."""
    corners = ((left, bottom), (right, bottom), (right, top), (left, top), (left, bottom))
    return line("B", *corners, hole=hole)


def sheet(*lines):
    """Return a sheet of 50 x 30 mm with these lines in it."""
    return [box(0, 0, 50, 30, hole=False), *lines]


def hub(kinds, *ways, hole=0.0):
    """Return a sheet on which creases run these ways, degrees, from one place, or from a hole."""
    at, lines = (23, 14), []
    for kind, way in zip(kinds, ways, strict=True):
        x, y = math.cos(math.radians(way)), math.sin(math.radians(way))
        far = min(27 / abs(x), 16 / abs(y), key=abs) if abs(x * y) > 1e-9 else 27 if x else 16
        near = hole * 0.9
        lines.append(line(kind, (23 + near * x, 14 + near * y), (23 + far * x, 14 + far * y)))
    return sheet(*lines, *([box(at[0] - hole, 14 - hole, 23 + hole, 14 + hole)] if hole else ()))


def nearly():
    """Yield small drawings whose lines nearly meet, nearly close, or nearly lie on one another."""
    up = line("M", (9, 0), (9, 30))
    for gap in (-3.1, -0.06, -0.04, 0.0, 0.04, 2.9, 3.1):  # beyond the edge, or short of it
        yield sheet(line("M", (20, gap), (21, 30 - gap)))
        yield sheet(line("V", (0, 12), (50, 14)), line("M", (30, 13.2 + gap), (29, 30)))
    for off in (0.04, 0.06, 0.09, 0.12, 0.2):
        below = line("M", (20 + off, 0), (20 + off, 11))
        yield sheet(line("M", (0, 11), (50, 11)), line("V", (20, 11), (20, 30)), below)
        yield [line("B", (0, 0), (50, 0), (50, 30), (0, 30), (off, 0)), up]
        yield sheet(up, line("V", (30, 20), (30 + off, 20 + off)))
        hole = line("B", (14, 9), (19, 9), (19, 16), (14, 16), (14, 9 + off), hole=True)
        yield sheet(line("M", (16, 0), (17, 30)), hole, line("V", (19 - off, 12), (50, 12)))
        yield sheet(up, line("M", (9 + off / 100, 0), (9 + off / 100, 30)))
        yield sheet(up, line("M", (9 + 1e-5 * off, 0), (9, 30)))
    yield sheet(line("M", (9, 0), (9, 0), (10, 15), (10, 15), (9, 30), (9, 30)))
    yield sheet(line("M", (9, 9), (9, 9)), line("C", (20, 10), (20, 20)), line("V", (3, 3), (9, 3)))
    yield sheet(box(10, 10, 12, 12), box(10.5, 13, 30, 20), line("M", (11, 5), (11, 15)))
    bare = line("B", (50, 0), (50, 30), (0, 30), (0, 0))
    yield [line("B", (0, 0), (50, 0)), bare, up, box(60, 3, 70, 9, hole=False)]
    yield [up]
    for more in (0.0, 0.4, 0.6, 40.0):
        for kinds in ("MMMV", "VVVM", "MMVV", "MVV"):
            ways = (0, 70, 180, 250 + more)[: len(kinds)]
            yield hub(kinds, *ways)
            yield hub(kinds, *ways, hole=1.5)


def nets(folder):
    """Return faces, edges and loose lines of small drawings, how creases meet, and fold."""
    from cutfiles.folding.fold import fold
    from cutfiles.folding.graph import build_graph
    from cutfiles.folding.isometry import isometry_findings
    from cutfiles.folding.vertices import meetings

    del folder
    out = []
    for lines, valley in zip(nearly(), cycle((1.1, math.pi, math.pi / 2)), strict=False):
        try:
            graph = build_graph(lines)
        except ValueError as error:
            out.append(str(error))
            continue
        ways = {"M": -math.pi, "V": valley}
        angles = {i: ways[e.kind] for i, e in enumerate(graph.edges) if e.kind in ways}
        folded = fold(graph, angles, len(graph.faces) - 1)
        met = [(one, one.maekawa, one.kawasaki) for one in meetings(graph, angles)]
        out += [said(graph), said([met, folded.hinges, folded.spots(), folded.gaps()])]
        out += [said(one) for limit in (0.01, 5.0) for one in isometry_findings(folded, limit)]
    return "\n".join(out)


def strips():
    """Yield strips of three panels: lengths, the third's breadth, and two angles, degrees.

    Folded over one another, through one another, or nearly so.
    """
    for low in (0.05, 0.115, 0.125, 0.129, 0.2):  # the third over the first, this high
        turn = math.degrees(math.asin(low / 20))
        for tilt in (0.0, 0.2, 4.9, -5.1):
            yield (20, 20, 30), 30.0, (turn, 180 - turn + tilt)
    for over in (0.03, 0.04, 0.9, 1.1):
        yield (20, 20, 20 + over), 30.0, (0.2, 180)
    for third in (19.9, 20.0, 20.04, 20.06, 20.2, 30.0):
        for broad in (0.9, 1.05, 1.2, 12.0):
            yield (20, 20, third), broad, (120, 120)
            yield (20, 9, third), broad, (-91, -150)
    for turn in (1.0, 3.0, 5.5):
        yield (20, 20, 40), 5.0, (turn, 180 - 2 * turn)


def through(folder):
    """Return which panels of strips pass through one another, or how near they lie."""
    from cutfiles.folding.clash import clashes
    from cutfiles.folding.fold import fold
    from cutfiles.folding.graph import build_graph

    del folder
    out = []
    for (a, b, c), broad, turns in strips():
        first, second, low, top = a, a + b, 15 - broad / 2, 15 + broad / 2
        edge = ((0, 0), (second, 0), (second, low), (second + c, low), (second + c, top))
        edge = (*edge, (second, top), (second, 30), (0, 30), (0, 0))
        creases = line("V", (first, 0), (first, 30)), line("V", (second, low), (second, top))
        graph = build_graph([line("B", *edge), *creases])
        xs = {first: turns[0], second: turns[1]}
        angles = {
            i: math.radians(xs[round(graph.vertices[e.a].x)])
            for i, e in enumerate(graph.edges)
            if e.kind == "V"
        }
        for root in range(len(graph.faces)):
            folded = fold(graph, angles, root)
            faces = range(len(graph.faces))
            out.append(said([list(clashes(folded, faces, thick)) for thick in (0.13, 0.4)]))
    return "\n".join(out)


def lines_of(pattern):
    """Return a pattern's own lines, as if a file had been read that loses nothing."""
    from cutfiles.folding.drawn import KINDS
    from cutfiles.folding.graph import FoldLine
    from cutfiles.pattern.pattern import Role
    from cutfiles.plane.measure import chords

    found = []
    for one in pattern.strokes:
        if one.role in KINDS:
            points = chords(one.path, 0.02)
            points = (*points, *points[:1]) if one.path.closed else points
            found.append(FoldLine(KINDS[one.role], points, one.name, one.role is Role.HOLES))
    return found


def stretched(one, aside, begin=0.0, end=1.0):
    """Return a straight line moved aside, from and to these shares of its length."""
    from cutfiles.plane.shapes import Point

    (x, y), (u, v) = one.points[0], one.points[-1]
    long = math.hypot(u - x, v - y)
    dx, dy = aside * (v - y) / long, -aside * (u - x) / long
    places = [(x + s * (u - x) + dx, y + s * (v - y) + dy) for s in (begin, end)]
    return replace(one, points=tuple(Point(*p) for p in places))


def harms(one):
    """Yield what may be drawn for a straight score."""
    long = math.dist(one.points[0], one.points[-1])
    for aside in (0.03, -0.049, 0.051, -0.09, 0.11, -0.3, 4.9, -5.1):
        yield [stretched(one, aside)]
    for short in (-0.3, 0.3):  # not quite nine tenths, less the gaps at both ends
        yield [stretched(one, 0.0, 0.02, 0.92 - (6 + short) / long)]
    for twice in (0.9, 1.1, 30.0):
        yield [stretched(one, 0.0, 0.0, 0.5), stretched(one, 0.0, 0.5 - twice / long, 1.0)]
    for on in (4.9, 5.1):
        yield [stretched(one, 0.0, 1.0 + (on - 2) / long, 1.0 + (on + 2) / long)]
    yield [replace(one, kind="M" if one.kind == "V" else "V")]
    first, last = one.points[0], stretched(one, 3.0).points[-1]
    yield [replace(one, points=(first, last))]
    yield [replace(one, points=(last, stretched(one, -2.0, 0.0, 0.6).points[-1], first))]
    yield [one, stretched(one, 0.003, 1.0, 0.0)]
    yield [stretched(one, 0.0, 0.0, 0.5), replace(stretched(one, 0.0, 0.5), kind="M")]
    yield [stretched(one, 0.0, 0.1, 0.3), stretched(one, 0.04, 0.3, 0.35), stretched(one, 0, 0.4)]


def supports():
    """Yield drafts of several kinds."""
    import tilted

    from cutfiles.draft import draft_of

    for number, more in {
        "LEVEL": {"layers": 3, "edges": "folded"},
        "CROSSED": {"edges": "folded", "deck_lift": "0.4 mm"},
        "STEEP": {"construction": "lips"},
        "NONE": {"edges": "cut"},
        "LOW": {"edges": "folded", "fore_inset": 2},
        "FLAT": {"layers": 3, "edges": "folded", "relief_diameter": 0},
        "LONE": {"construction": "posts", "edges": "folded"},
    }.items():
        yield draft_of(tilted.slip_of(number, support=more))


def _told(check):
    folded = check.folded and (check.folded.hinges, len(check.folded.graph.faces))
    faces = sorted(check.faces.items())
    return said([check.measures, check.findings, check.bows, folded, faces])


def scores(folder):
    """Return what is found wrong with drawings of which one score is drawn a little otherwise."""
    from cutfiles.folding.check import check_folds
    from cutfiles.folding.drawn import drawing_findings, matched

    del folder
    out, at = [], count(3, 5)
    for first, draft in enumerate(supports()):
        lines = lines_of(draft.pattern)
        numbers = [i for i, one in enumerate(lines) if one.kind in "MV"]
        for i in numbers[first::7]:
            for new in harms(lines[i]):
                found, extra = matched([*lines[:i], *new, *lines[i + 1 :]], draft.pattern)
                out += [said(one) for one in drawing_findings(found, extra, 0.05)]
        for number, step in zip(range(first % 3, 19, 3), cycle((0.0, 0.05, 0.1)), strict=False):
            i = numbers[next(at) % len(numbers)]
            new = list(harms(lines[i]))[number]
            harmed = [*lines[:i], *new, *lines[i + 1 :]]
            out.append(_told(check_folds(harmed, draft.pattern, draft.support, step)))
    return "\n".join(out)


def holes(folder):
    """Return what is found of holes across creases, in uprights, and where creases cross."""
    from cutfiles.folding.bows import relief_findings
    from cutfiles.folding.check import check_folds
    from cutfiles.folding.film import film_findings
    from cutfiles.plane.measure import box_of

    del folder
    out = []
    for draft in supports():
        pattern, lines, support = draft.pattern, lines_of(draft.pattern), draft.support
        names = [bearing.panel for bearing in support.bearings]
        middle = pattern.band("middle").box
        some = [box(1, 1, 2, 2)]
        for crease in pattern.creases[:3]:
            x = crease.position
            some += [box(x - 1, 60, x + 2, 60 + high) for high in (0.9, 1.1, 12)]
        for name in names:
            (left, right), low = pattern.span(name), middle.bottom + 3
            for share, near, far in ((0.45, 0.2, 0.6), (0.55, 0.2, 0.6), (0.7, 0.05, 0.06)):
                at = [left + one * (right - left) for one in (near, far, 0.51, 0.525)]
                some += [box(at[0], low, at[1], low + share * pattern.box.height)]
                some += [box(at[2], low, at[3], low + share * middle.height)]
        known = [one for one in lines if one.hole]
        for one in known[:1]:
            box_ = box_of([next(s.path for s in pattern.strokes if s.name == one.name)])
            for by, larger in ((0.15, 0.0), (0.25, 0.0), (0.0, 0.3), (0.0, 0.45), (0.0, 2.0)):
                wide, tall = box_.width / 2 + larger, box_.height / 2
                x, y = box_.centre.x + by, box_.centre.y
                some.append(box(x - wide, y - tall, x + wide, y + tall))
        out += [said(list(film_findings([one], pattern, names))) for one in some]
        out += [said(list(film_findings(some[k::3], pattern, names))) for k in range(3)]
        for size in (0.0, 0.5, 0.95, 0.99, 1.0, 1.3):
            for gauge, off in ((0.127, 0.0), (0.254, 0.3)):
                other = [resized(one, size, off) if one.hole else one for one in lines]
                out.append(said(list(relief_findings(other, pattern, gauge, 0.05))))
        cut = [*lines, some[1], some[-1]]
        out.append(_told(check_folds(cut, pattern, support)))
    return "\n".join(out)


def resized(one, size, off):
    """Return a hole so many times as large, a share of its breadth aside."""
    from cutfiles.folding.graph import bounds
    from cutfiles.plane.shapes import Point

    left, low, right, top = bounds(one.points)
    x, y, aside = (left + right) / 2, (low + top) / 2, off * (right - left)
    there = (Point(x + aside + size * (a - x), y + size * (b - y)) for a, b in one.points)
    return replace(one, points=tuple(there))


def upright(folder):
    """Return what comes of creases folded a tenth of a degree, or far, from what was designed."""
    from cutfiles.folding.check import check_folds

    del folder
    out, at = [], count(1)
    for draft in supports():
        lines, creases = lines_of(draft.pattern), draft.pattern.creases
        for degrees in (0.09, -0.11, 0.5, -2.0, 31.0, -75.0):
            i = next(at) % len(creases)
            turned = replace(creases[i].fold, angle=creases[i].angle + math.radians(degrees))
            others = (*creases[:i], replace(creases[i], fold=turned), *creases[i + 1 :])
            by = math.radians(degrees / 3)
            flanges = tuple(replace(one, angle=one.angle + by) for one in draft.pattern.flanges)
            bent = replace(draft.pattern, creases=others, flanges=flanges)
            out.append(_told(check_folds(lines, bent, draft.support)))
    return "\n".join(out)


def posts(folder):
    """Return what is found of posts turned, exchanged, gone, creased or cut otherwise."""
    import tilted

    from cutfiles.draft import draft_of
    from cutfiles.folding.coupons import check_coupon, check_post_coupon
    from cutfiles.folding.graph import bounds
    from cutfiles.folding.posts import check_posts, parted
    from cutfiles.pattern.coupons import coupon_of
    from cutfiles.plane.shapes import Point

    del folder
    out = []
    slip = tilted.slip_of("LEVEL", support={"construction": "posts", "posts": 2})
    meant = draft_of(slip).pattern.posts
    drawn = [lines_of(one) for one in meant]

    def there(lines, how):
        return [replace(x, points=tuple(Point(*how(*p)) for p in x.points)) for x in lines]

    ways = [lambda x, y: (x, y), lambda x, y: (70 - y, x + 3), lambda x, y: (-x, 9 - y)]
    ways += [lambda x, y, k=k: (x, y * k) for k in (1.0006, 1.002, 1.03, 1.2)]
    for how in ways:
        out.append(_posts(check_posts([there(one, how) for one in drawn], meant, 0.05, 0.0)))
    out.append(_posts(check_posts(drawn[::-1], meant[:1], 0.05, 0.1)))
    out.append(_posts(check_posts(drawn[1:], meant, 0.05, 0.0)))
    own = drawn[0]
    scored = [i for i, one in enumerate(own) if one.kind == "M"]
    for i in scored:
        for new in list(harms(own[i]))[i % 2 : -3 : 2]:
            harmed = [*own[:i], *new, *own[i + 1 :]]
            out.append(_posts(check_posts([harmed], meant[:1], 0.05, 0.0)))
    for off in (0.04, 0.06):
        tops = there(own, lambda x, y, off=off: (x, y + off if y > 20 else y))
        out.append(_posts(check_posts([tops], meant[:1], 0.05, 0.0)))
    _, _, right, top = bounds(p for one in own for p in one.points)
    for gap in (0.4, 0.6, -3.0):
        beside = there(own, lambda x, y, gap=gap: (x + right + gap, y * 0.9))
        above = there(own[:2], lambda x, y, gap=gap: (x, y + top + gap))
        bare = [box(right + 9 + gap, 80, right + 12, 85, hole=False), line("V", (0, 200), (3, 201))]
        out.append(said(parted([*beside, *above, *own, *bare])))
    out.append(said(parted([])))
    for name in ("corner", "crease"):
        for piece in coupon_of(name, 0.127).pieces[:2]:
            lines = lines_of(piece)
            for i in [i for i, one in enumerate(lines) if one.kind in "MV"][:5]:
                for new in list(harms(lines[i]))[2:-1:3]:
                    harmed = [*lines[:i], *new, *lines[i + 1 :]]
                    out.append(_told(check_coupon(harmed, piece, 0.01)))
    [piece, *_] = coupon_of("post", 0.127).pieces
    for how in ways:
        out.append(_told(check_post_coupon(there(lines_of(piece), how), piece, 0.02)))
    return "\n".join(out)


def _posts(told):
    folds, findings = told
    return said([findings, [(one.name, one.faces, one.folded is None) for one in folds]])


def groups():
    """Yield the groups."""
    yield Group("creased", [nets, through, scores, holes, upright, posts])
