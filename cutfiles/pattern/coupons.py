"""Coupons that are tried by hand, laid flat: patterns like a support's, with scores to fold."""

from collections.abc import Iterator
from typing import assert_never

from cutfiles.bench.choices import Choices
from cutfiles.bench.film import MATERIAL, Film
from cutfiles.dataclass import dataclass
from cutfiles.errors import DesignError
from cutfiles.pattern.bands import crease_score, long_folds, relief, runs, three_bands
from cutfiles.pattern.facts import PROGRAM
from cutfiles.pattern.lettering import text_strokes, text_width
from cutfiles.pattern.pattern import Band, Crease, Pattern, Role, Stroke, by_role
from cutfiles.pattern.posts import blank_pattern
from cutfiles.plane.moves import round_corners, shift
from cutfiles.plane.shapes import Box, Point, open_path, rectangle
from cutfiles.support.constructions.posts import THINNEST
from cutfiles.support.constructions.thirds import THICKEST
from cutfiles.support.coupons import (
    BROAD,
    CORNER,
    CREASES_NEEDED,
    ENDS,
    FOLD,
    FREE,
    HELD,
    POST,
    POSTS_ASKED,
    TALL,
    WIDE,
    corner_shifts,
    coupon_number,
)
from cutfiles.support.profile import Fold, Panel, Root
from cutfiles.support.trials import CouponName
from cutfiles.version import VERSION

CORNER_RADIUS = 3.0
SHIFTED = "shifted"
"""The piece whose flaps' creases follow the bend, as no film folds: that is what it is to show."""
APART = 5.0
"""Between two pieces, mm."""
TICK = 10.0
"""Along the free half of the crease coupon, from the crease, mm."""
_CLEAR = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Coupon:
    """A coupon of one film.

    Attributes:
        name: which of them.
        film: what it is cut from.
        pieces: laid flat, each by itself: as many as are to be tried.
        places: lower left corner of each, mm.

    """

    name: CouponName
    film: Film
    pieces: tuple[Pattern, ...]
    places: tuple[Point, ...]

    @property
    def number(self) -> str:
        """What it is called."""
        return coupon_number(self.name, self.film.gauge)


def coupon_of(name: CouponName, gauge: float) -> Coupon:
    """Return a coupon of film of this gauge (mm).

    Raises:
        DesignError: no support is made so of this gauge: posts of thin film, three layers of thick.

    >>> [piece.name for piece in coupon_of("corner", 0.127).pieces]
    ['even', 'shifted']
    >>> len(coupon_of("crease", 0.127).pieces), len(coupon_of("post", 0.127).pieces)
    (5, 3)

    """
    film = Film(gauge=gauge, layers=3 if name == "corner" else 1)
    if name == "post" and gauge < THINNEST:
        raise _other(film, "posts are made of 4 mil or thicker", "choose thicker film")
    if name == "corner" and gauge > THICKEST:
        raise _other(film, "three layers are folded up to 5 mil", "choose thinner film")
    facts = _facts(name, film)
    pieces: tuple[Pattern, ...]
    number = dict(facts)["number"]
    match name:
        case "crease":
            pieces = (_crease(facts),) * CREASES_NEEDED
            places = [Point(0.0, i * (WIDE + APART)) for i in range(len(pieces))]
        case "post":
            post = blank_pattern(number, "post", number, POST, facts)
            pieces = (post,) * POSTS_ASKED
            places = [Point(i * (post.box.width + APART), 0.0) for i in range(len(pieces))]
        case "corner":
            even = _corner(gauge, facts, "even")
            pieces = (even, _corner(gauge, facts, SHIFTED))
            places = [Point(0.0, 0.0), Point(even.box.width + APART, 0.0)]
        case _:
            assert_never(name)
    return Coupon(name=name, film=film, pieces=pieces, places=tuple(places))


def _other(film: Film, needed: str, remedy: str) -> DesignError:
    return DesignError(f"film of {film.gauge_text}", needed, remedy)


def _facts(name: CouponName, film: Film) -> tuple[tuple[str, str], ...]:
    return (
        ("number", coupon_number(name, film.gauge)),
        ("unit", "mm"),
        ("view", "book face up, head up"),
        ("material", MATERIAL),
        ("gauge", film.gauge_text),
        ("layers", str(film.layers)),
        ("coupon", name),
        (PROGRAM, f"cutfiles {VERSION}"),
    )


def _crease(facts: tuple[tuple[str, str], ...]) -> Pattern:
    """Return a strip with one mountain; ticks every 10 mm on the half that is free."""
    box = Box(0.0, 0.0, HELD + FREE, WIDE)
    crease = Crease(1, Fold("crease", None, 1, FOLD), HELD)
    strokes = [
        *_said(dict(facts)["number"], Box(0.0, WIDE / 2, HELD, WIDE)),
        *_said("hold here", Box(0.0, 0.0, HELD, WIDE / 2)),
        *_ticks(),
        Stroke(
            Role.MOUNTAIN,
            "crease, middle",
            open_path((HELD, 0.0), (HELD, WIDE)),
            of="crease",
            band="middle",
        ),
        _outline(box),
    ]
    return Pattern(
        number=dict(facts)["number"],
        box=box,
        panels=(Panel("held half", None, HELD), Panel("free half", None, FREE)),
        root=Root("held half", Point(0.0, 0.0)),
        bands=(Band("middle", 0, box),),
        creases=(crease,),
        long_folds=(),
        strokes=tuple(strokes),
        notes=(),
        facts=facts,
    )


def _ticks() -> Iterator[Stroke]:
    """Yield a tick every 10 mm from the crease, its distance beside it."""
    for i in range(1, int(FREE / TICK)):
        x = HELD + i * TICK
        path = open_path((x, _CLEAR), (x, _CLEAR + 4.0))
        yield Stroke(Role.LABEL, f"tick {i}", path)
        text = f"{i * TICK:g}"
        left = x - text_width(text, 2.5) / 2
        for one in text_strokes(text, (left, _CLEAR + 6.0), 2.5):
            yield Stroke(Role.LABEL, f"tick {i}", one)


def _said(text: str, box: Box) -> Iterator[Stroke]:
    """Yield a text in a box, as tall as it has room, up to 3 mm."""
    size = min(3.0, (box.width - 2 * _CLEAR) / text_width(text, 1.0))
    x, y = box.centre
    at = (x - text_width(text, size) / 2, y - size / 2)
    for path in text_strokes(text, at, size):
        yield Stroke(Role.LABEL, f"label {text}", path)


def _outline(box: Box) -> Stroke:
    path = round_corners(rectangle(box), frozenset(range(4)), CORNER_RADIUS)
    return Stroke(Role.OUTLINE, "outline", path)


def _corner(gauge: float, facts: tuple[tuple[str, str], ...], name: str) -> Pattern:
    """Return a strip in three layers with two creases; those of the shifted one follow the bend."""
    usual = Choices()
    length = ENDS + TALL + ENDS
    bands = three_bands(length, BROAD, gauge, usual.fold_gap, usual.edge_gap)
    _, middle, outer = bands
    box = Box(0.0, 0.0, length, outer.box.top)
    creases = tuple(
        Crease(i, Fold(part, None, i, angle), x)
        for i, (part, angle, x) in enumerate(
            zip(("apex", "foot"), CORNER, (ENDS, ENDS + TALL), strict=True), start=1
        )
    )
    strokes = [
        *_said(
            f"{dict(facts)['number']} {name}", Box(0.0, middle.box.bottom, ENDS, middle.box.top)
        ),
        *(
            crease_score(crease, band, crease.position + move, run)
            for band, run in zip(bands, runs(bands, usual.score_gap), strict=True)
            for crease, move in _moved(creases, gauge, band, name == SHIFTED)
        ),
        *long_folds(bands, length),
        *_reliefs(bands, creases, gauge, name == SHIFTED),
        _outline(box),
    ]
    return Pattern(
        number=dict(facts)["number"],
        name=name,
        box=box,
        panels=tuple(
            Panel(part, None, size)
            for part, size in (("upper end", ENDS), ("leg", TALL), ("lower end", ENDS))
        ),
        root=Root("upper end", Point(0.0, 0.0)),
        bands=bands,
        creases=creases,
        long_folds=(middle.box.bottom, middle.box.top),
        strokes=by_role(strokes),
        notes=(),
        facts=facts,
    )


def _moved(
    creases: tuple[Crease, ...], gauge: float, band: Band, shifted: bool
) -> Iterator[tuple[Crease, float]]:
    """Yield each crease, and how far to the right it lies on a band, mm."""
    yield from zip(
        creases, corner_shifts(gauge, band.layer) if shifted else (0.0, 0.0), strict=True
    )


def _reliefs(
    bands: tuple[Band, Band, Band], creases: tuple[Crease, ...], gauge: float, shifted: bool
) -> Iterator[Stroke]:
    """Yield a relief hole where a crease crosses a long fold, as large as in a strip."""
    inner, middle, outer = bands
    for flap, y in ((inner, middle.box.bottom), (outer, middle.box.top)):
        for crease, move in _moved(creases, gauge, flap, shifted):
            yield relief(crease, flap, (crease.position + move / 2, y), gauge)


def strokes_of(coupon: Coupon) -> tuple[tuple[Stroke, ...], Box]:
    """Return the strokes of all pieces of a coupon, each at its place, and what they cover."""
    strokes: list[Stroke] = []
    right = top = 0.0
    for piece, (x, y) in zip(coupon.pieces, coupon.places, strict=True):
        strokes += [one.along(shift(one.path, x, y)) for one in piece.strokes]
        right, top = max(right, x + piece.box.width), max(top, y + piece.box.height)
    return tuple(strokes), Box(0.0, 0.0, right, top)
