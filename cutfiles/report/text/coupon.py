"""What the record of a coupon says, as text and as data."""

import math
from collections.abc import Sequence
from typing import Any

from cutfiles.lengths import beside
from cutfiles.support.coupons import (
    BAD_POST,
    CREASES_NEEDED,
    FLAT,
    POSTS_ASKED,
    corner_expected,
    coupons_of,
    crease_length,
    creases_of,
    is_bad_post,
    posts_are_bad,
)
from cutfiles.support.trials import CouponName, Trial, factor_of


def coupon_told(name: CouponName, row: Trial, trials: Sequence[Trial], modulus: float) -> str:
    """Return what a coupon just recorded says, and what all of its kind and gauge do.

    Args:
        name: which coupon.
        row: its record.
        trials: all of the table, this one included.
        modulus: short-term, of the film, MPa.

    """
    rows = coupons_of(trials, name, row.gauge)
    said = {"crease": _crease, "post": _post, "corner": _corner}[name](row, rows, modulus)
    return "\n".join([f"{row.support}: {said[0]}", *(f"  {line}" for line in said[1:])]) + "\n"


def coupon_data(
    name: CouponName, row: Trial, trials: Sequence[Trial], modulus: float
) -> dict[str, Any]:
    """Return the same as data.

    Keys: coupon, row, tests, told; crease: length_mm, counted_mm; post: factor, bad; corner:
    expected_mm, flat.
    """
    rows = coupons_of(trials, name, row.gauge)
    data: dict[str, Any] = {"coupon": name, "row": row._asdict(), "tests": len(rows)}
    if name == "crease":
        data["length_mm"] = crease_length(row, modulus)
        data["counted_mm"] = creases_of(trials, row.gauge, modulus).length
    elif name == "post":
        data |= {"factor": factor_of(row, modulus), "bad": posts_are_bad(rows, modulus)}
    else:
        data |= {"expected_mm": corner_expected(row.gauge).bow, "flat": row.bow < FLAT}
    return data | {"told": coupon_told(name, row, trials, modulus)}


def _crease(row: Trial, rows: Sequence[Trial], modulus: float) -> list[str]:
    said = [
        f"{row.load:.4f} N at {row.leg:.1f} mm turned it by {math.degrees(row.turned):.1f}°: "
        f"L* = {crease_length(row, modulus):.0f} mm"
    ]
    found = creases_of(rows, row.gauge, modulus)
    if found.length is None:
        left = CREASES_NEEDED - found.tests
        return [*said, f"{found.tests} of {CREASES_NEEDED}: {left} more of this film are needed"]
    return [*said, f"{found.tests} of this film: L* of {found.length:.0f} mm may be counted on"]


def _post(row: Trial, rows: Sequence[Trial], modulus: float) -> list[str]:
    found = factor_of(row, modulus)
    said = [
        f"{row.load:.2f} N for {row.minutes:g} min: {row.result}, {beside(found, BAD_POST)} × what "
        "is counted of it"
    ]
    if posts_are_bad(rows, modulus):
        return [
            *said,
            f"two of the last {POSTS_ASKED} collapsed under {BAD_POST:g}: lap or folds are bad; no "
            "post of this film under a book before they are better",
        ]
    if is_bad_post(row, modulus):
        return [*said, f"under {BAD_POST:g}: look at its lap and folds, and try another"]
    if len(rows) < POSTS_ASKED:
        return [*said, f"{len(rows)} of {POSTS_ASKED}: try another"]
    return [*said, "lap and folds hold"]


def _corner(row: Trial, rows: Sequence[Trial], modulus: float) -> list[str]:
    wanted = corner_expected(row.gauge).bow
    said = [f"the inmost layer bows {row.bow:.1f} mm, {wanted:.1f} expected"]
    if row.bow < FLAT:
        return [
            *said,
            "it lies flat: layers slip, and the model of strips in three layers is wrong; use one "
            "layer, and tell who keeps this program",
        ]
    return [*said, "layers bow, as they should"]
