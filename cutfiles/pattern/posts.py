"""Posts laid flat: each a piece of its own, and the marks on the base where it stands.

A blank lies with its outer face up: faces A, B, C and the lap from left to right, its foot below.
"""

from collections.abc import Iterator
from itertools import groupby

from cutfiles.pattern.lettering import text_strokes, text_width
from cutfiles.pattern.pattern import Band, Crease, Pattern, Role, Stroke
from cutfiles.plane.moves import quarter_turn, shift
from cutfiles.plane.shapes import Box, Point, open_path, rectangle
from cutfiles.support.construct import POST_FOLDS, post_names
from cutfiles.support.constructions.corners import rounded
from cutfiles.support.constructions.outline import Piece
from cutfiles.support.constructions.posts import CREASES, FACE, LAP, TURN, PostBlank, ticks
from cutfiles.support.profile import Fold, Panel, Root

_TALLEST, _SMALLEST = 3.0, 0.7
_CLEAR = 2.5


def post_patterns(
    number: str, piece: Piece, facts: tuple[tuple[str, str], ...]
) -> tuple[Pattern, ...]:
    """Return the posts of a piece laid flat, leg by leg, tail before head.

    Args:
        number: of the support.
        piece: the strip with its posts.
        facts: what a file states of the support.

    """
    return tuple(
        blank_pattern(number, name, f"{number} {name[0].upper()}", post.blank, facts)
        for name, post in zip(post_names(piece), piece.posts, strict=True)
    )


def blank_pattern(
    number: str, name: str, text: str, blank: PostBlank, facts: tuple[tuple[str, str], ...]
) -> Pattern:
    """Return one post laid flat.

    Args:
        number: of the support, or coupon.
        name: of the post.
        text: its label.
        blank: its measures.
        facts: what a file states of it.

    """
    box = Box(0.0, 0.0, CREASES[-1] + LAP, blank.height)
    creases = tuple(
        Crease(i, Fold(f"{name}, {between}", None, i, TURN), x)
        for i, (between, x) in enumerate(zip(POST_FOLDS, CREASES, strict=True), start=1)
    )
    tops = (blank.height, blank.height - blank.drop, blank.height)
    strokes = [
        *(
            Stroke(
                Role.GUIDE,
                f"tape of {name}, on the outer face",
                rectangle(Box(*tape)),
                "tape",
                of=name,
            )
            for tape in (blank.tape, blank.lap_tape)
        ),
        *_label(text, f"label {name}", blank),
        *(
            Stroke(
                Role.MOUNTAIN,
                crease.name,
                open_path((crease.position, 0.0), (crease.position, top)),
                of=crease.name,
                band="middle",
            )
            for crease, top in zip(creases, tops, strict=True)
        ),
        Stroke(Role.OUTLINE, f"{name}, outline", rounded(blank.corners)),
    ]
    return Pattern(
        number=number,
        name=name,
        box=box,
        panels=(
            *(Panel(f"{name}, {face}", None, FACE) for face in "ABC"),
            Panel(f"{name}, lap", None, LAP),
        ),
        root=Root(f"{name}, A", Point(0.0, 0.0)),
        bands=(Band("middle", 0, box),),
        creases=creases,
        long_folds=(),
        strokes=tuple(strokes),
        notes=(),
        facts=facts,
    )


def _label(text: str, name: str, blank: PostBlank) -> Iterator[Stroke]:
    """Yield the label on face A, upright: there the lap and the leg cover it."""
    room = blank.height - 2 * _CLEAR
    size = min(_TALLEST, room / text_width(text, 1.0))
    if size < _SMALLEST:
        return
    long = text_width(text, size)
    for path in text_strokes(text, (0.0, 0.0), size):
        yield Stroke(
            Role.LABEL,
            name,
            shift(quarter_turn(path, 0.0), (FACE + size) / 2, (blank.height - long) / 2),
        )


def post_ticks(piece: Piece, left: float, middle: float) -> list[Stroke]:
    """Return the marks of the posts' faces on the bases, hidden under the book.

    Args:
        piece: the strip with its posts.
        left: x of the strip's left end in the pattern, mm.
        middle: y of its middle, mm.

    """
    strip, strokes = piece.strip, []
    for leg, posts in groupby(piece.posts, key=lambda post: post.leg):
        right = strip.apex_on_right(leg)
        foot = strip.starts[leg] if right else strip.ends[leg]
        places = tuple(post.y for post in posts)
        name = f"tick, {strip.panels[leg].name.removesuffix(' leg')} post"
        for x, y, to_x, to_y in ticks(foot, -1.0 if right else 1.0, places):
            path = open_path((left + x, middle + y), (left + to_x, middle + to_y))
            strokes.append(Stroke(Role.LABEL, name, path))
    return strokes
