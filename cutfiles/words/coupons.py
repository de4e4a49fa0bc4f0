"""What to do with a coupon that is tried by hand, and what to read off it."""

from typing import assert_never

from cutfiles.bench.film import MODULUS
from cutfiles.dataclass import dataclass
from cutfiles.support.coupons import (
    CREASES_NEEDED,
    FLAT,
    POSTS_ASKED,
    RELAX,
    corner_expected,
    crease_expected,
    post_expected,
)
from cutfiles.support.trials import CouponName

NOT_A_SUPPORT = (
    "a coupon says something of film and folds, and proves no support: that takes its own dummy; "
    "never press a coupon with a book, only with a loose board"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class CouponWords:
    """A coupon's card in words.

    Attributes:
        title: what it asks.
        make: how it is folded, step by step.
        load: how it is held and loaded.
        read: what is read off, and where.
        expected: what the model expects of this gauge, and what follows.
        columns: of the table to fill in, after number, date, lot and gauge.
        rows: what is tried, a row each.

    """

    title: str
    make: tuple[str, ...]
    load: tuple[str, ...]
    read: tuple[str, ...]
    expected: tuple[str, ...]
    columns: tuple[str, ...]
    rows: tuple[str, ...]


def coupon_words(name: CouponName, gauge: float, modulus: float = MODULUS) -> CouponWords:
    """Return what to do with a coupon of film of this gauge (mm), and what to read off it."""
    match name:
        case "crease":
            return _crease(gauge, modulus)
        case "post":
            return _post(gauge, modulus)
        case "corner":
            return _corner(gauge)
        case _:
            assert_never(name)


def _crease(gauge: float, modulus: float) -> CouponWords:
    found = crease_expected(gauge, modulus)
    (short, long), (light, heavy) = found.lengths, found.grams
    return CouponWords(
        title="Crease coupon: how stiff is a crease?",
        make=(
            f"Cut all {CREASES_NEEDED}. Score and fold them as your supports: over a rule, once, "
            "to a square; press, let go.",
            "The inside of the fold is the side on which the number does not read.",
        ),
        load=(
            "Tape the held half to the front of a block with upright sides, its crease along the "
            "block's top edge, the inside of the fold in front and below.",
            "The free half now stands out and up by itself. Lean the block until it stands 15 to "
            "45° above level.",
            "Slide a small weight along the free half until that lies level: paper clips, weighed "
            f"ten together, {light:.1f} to {heavy:.1f} g for 40 mm and 30°.",
        ),
        read=(
            "turned: by how many degrees the weight brought it down, from a protractor.",
            "arm: from the crease to the middle of the weight, at the ticks.",
            "weight: all that was slid on, to a tenth of a gram.",
        ),
        expected=(
            f"L* = D/κ, κ = weight × arm / (breadth × turned): {short:.0f} to {long:.0f} mm "
            "(100 to 1000 gauges, from memory).",
            f"The longest of {CREASES_NEEDED}, × {RELAX:g} because creases relax, is what may be "
            "counted on. Fewer say nothing.",
        ),
        columns=("turned °", "arm mm", "weight g"),
        rows=tuple(str(i + 1) for i in range(CREASES_NEEDED)),
    )


def _post(gauge: float, modulus: float) -> CouponWords:
    found = post_expected(gauge, modulus)
    return CouponWords(
        title="Post coupon: do lap and folds hold?",
        make=(
            f"Cut all {POSTS_ASKED}. Fold each at its three scores by 120°, all one way, the "
            "number outside.",
            "Tape 6 mm wide on face A (where the number reads), the lap down on it. No tape on the "
            "lap's outer face: here it meets nothing.",
            "Without its tape a post is worth an eighth.",
        ),
        load=(
            "Stand it upright on a kitchen scale, and set the scale to zero.",
            "Lay a loose stiff board on it, level, and press with the flat hand, straight down, "
            "slowly: a minute at most.",
            f"Stop at {1.5 * found.ripples:.0f} g: then it stood.",
        ),
        read=(
            "ripples: what the scale shows when the first face ripples.",
            "most: what it shows when the post collapses, or when you stop.",
            "ended: collapsed, or stood.",
        ),
        expected=(
            f"Ripples from {found.ripples:.0f} g, and no collapse below. Sure for six months: "
            f"{found.lasting:.0f} g.",
            f"Two of three that collapse under {found.bad:.0f} g: lap or folds are bad. Fold and "
            "tape anew, and try again before posts stand under a book.",
            "However much it stands, posts are not counted surer for it: a board bears unevenly.",
        ),
        columns=("ripples g", "most g", "ended"),
        rows=tuple(str(i + 1) for i in range(POSTS_ASKED)),
    )


def _corner(gauge: float) -> CouponWords:
    found = corner_expected(gauge)
    first, second = found.shifts
    return CouponWords(
        title="Corner coupon: do inner layers bow, or slip?",
        make=(
            "Cut both pieces, of the thickest film that you fold in three.",
            "Fold each in three: first the lower flap under, then the upper one "
            "over it. Then both creases as scored: the first by 120°, the second square.",
        ),
        load=("None: lay it on its side, the creases upright.",),
        read=(
            "bow: a rule across the middle of the leg, on the inside: how far the inmost layer "
            "stands off it.",
            "beside: on the shifted piece, how far its flap's score lies beside the corner, at "
            "both creases.",
        ),
        expected=(
            f"A bow of {found.bow:.1f} mm in both pieces: film that is {found.excess:.2f} mm too "
            "long cannot slip.",
            f"On the shifted piece scores {first:.1f} and {second:.1f} mm beside their corners.",
            f"If the shifted piece lies flat (under {FLAT:g} mm), layers do slip, and the model of "
            "strips in three layers is wrong: use one layer, and let us know.",
        ),
        columns=("bow mm", "beside mm", "beside mm"),
        rows=("even", "shifted"),
    )
