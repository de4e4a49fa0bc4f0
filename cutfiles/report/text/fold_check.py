"""A fold check for people, and as data for programs."""

from typing import Any

from cutfiles.files.fold_check import FoldedFile
from cutfiles.folding.bows import LayerBow
from cutfiles.folding.shape import Measure
from cutfiles.words.verdict import finding_data

_MEASURED = {
    "height": "{} above the table",
    "upright": "{} off the upright",
    "level": "{} off the level",
    "lift": "spine panel above the {}",
    "width": "{}",
}


def measured_text(measure: Measure) -> str:
    """Return what was measured, in words."""
    return _MEASURED[measure.rule].format(measure.place)


def found_text(measure: Measure) -> str:
    """Return the number found with its unit, to 0.01; what is less is noise of the computation."""
    found = 0.0 if abs(measure.found) < 5e-3 else measure.found
    return f"{found:.2f}{unit_of(measure)}"


def unit_of(measure: Measure) -> str:
    """Return the unit of a measure, as it stands behind a number."""
    return "°" if measure.rule in ("upright", "level") else " mm"


def bow_text(one: LayerBow) -> str:
    """Return what the inmost layer of a panel does, or the film above it, in words."""
    if one.excess < 0:
        does = f"film on the book face {-one.excess:.2f} too long, rises {one.bow:.1f} mm"
    else:
        does = f"layer {one.layer} {one.excess:.2f} too long, bows {one.bow:.1f} mm"
    return f"{one.panel:<36} {does}"


def fold_check_table(checked: FoldedFile) -> str:
    """Return a fold check for people: one line a measure, one sentence a finding."""
    check = checked.check
    inmost = max((one.layer for one in check.bows), default=0)
    lines = [f"{checked.name}: " + ("folds into its support" if check.folds else "does not")]
    for m in check.measures:
        number, unit = found_text(m).removesuffix(unit_of(m)), unit_of(m)
        meant = "" if m.meant == 0 else f" (designed {m.meant:.2f})"
        lines.append(f"  {measured_text(m):<36} {number:>9}{unit}{meant}")
    lines += [f"  {bow_text(one)}" for one in check.bows if one.layer == inmost]
    for f in check.findings:
        lines.append(f"  {'note' if f.severity == 'advise' else 'wrong':<8} {f.message}")
    return "\n".join(lines)


def fold_check_data(checked: FoldedFile) -> dict[str, Any]:
    """Return a fold check as data, lengths in mm, angles in degrees.

    Keys: file, number, folds, measures [{rule, place, found, meant, limit}], bows [{panel, layer,
    excess, bow, limit}], findings [{rule, place, message, measured, limit, severity}].
    """
    check = checked.check
    return {
        "file": checked.name,
        "number": checked.draft.slip.book.number,
        "folds": check.folds,
        "measures": [
            {
                "rule": m.rule,
                "place": m.place,
                "found": round(m.found, 4) + 0.0,
                "meant": round(m.meant, 4),
                "limit": m.limit,
            }
            for m in check.measures
        ],
        "bows": [
            {
                "panel": one.panel,
                "layer": one.layer,
                "excess": round(one.excess, 4) + 0.0,
                "bow": round(one.bow, 4),
                "limit": None if one.most is None else round(one.most, 4),
            }
            for one in check.bows
        ],
        "findings": [finding_data(finding) for finding in check.findings],
    }
