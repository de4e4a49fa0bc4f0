"""What a trial asks for, bag by bag, and what its record says."""

import math
from collections.abc import Sequence
from typing import Any, NamedTuple

from cutfiles.bench.questions import weight_text
from cutfiles.draft import Draft
from cutfiles.lengths import beside
from cutfiles.support.bags import DUMMY
from cutfiles.support.states import SAFE
from cutfiles.support.trials import Trial, by_test, factor_of, load_to_prove, six_month_ratio
from cutfiles.support.verdict import legs_on_trial
from cutfiles.words.made import fell_text
from cutfiles.words.verdict import may_be_tried, refusal_text, sentence, short_sentence

_EARLY = 0.5
"""What collapses under this part of what was sure was not made as it was meant."""


def trial_plan(draft: Draft) -> str:
    """Return how to try a support: which bags on which side, for how long, what to record.

    Of one that no trial decides about, why it is not to be used.
    """
    slip, verdict = draft.slip, draft.verdict
    lines = [draft.drawing.title, f"  verdict    {sentence(verdict, slip)}"]
    if verdict.refused:
        lines.append(f"  beware     {refusal_text(verdict, slip)}")
        if not may_be_tried(verdict):
            return "\n".join(lines) + "\n"
    bags = ", ".join(
        f"{weight_text(one.total, slip)} on the {one.side} board" for one in verdict.bags
    )
    lines.append(f"  bags       {bags}: lay them along the middle of each board, never a book")
    each = ", ".join(
        f"{one.many} × {weight_text(one.grams, slip)} {one.side}" for one in verdict.bags
    )
    lines.append(f"  by turns   {each}, left and right, one at a time")
    lines += [
        f"  {leg.panel:<10} {_up(DUMMY * leg.load):.2f} N of it; "
        f"{_up(load_to_prove(60) * leg.load):.2f} N if it is only to stand for an hour"
        for leg in legs_on_trial(draft.support, verdict.made)
    ]
    lines.append("  look       after 1 min, 1 h, 24 h: legs upright, no crease along a leg")
    lines.append("  beware     keep hands and anything fragile from under the boards")
    return "\n".join(lines) + "\n"


def _up(newtons: float) -> float:
    """Return a load to a hundredth, none under what is asked for."""
    return math.ceil(100 * newtons - 1e-9) / 100


class Recorded(NamedTuple):
    """A test just recorded, and what it does.

    Attributes:
        rows: of the test, one a leg.
        before: the support that was tried, as judged before.
        after: the same support, made the same way.
        anew: the support that is made of its slip from now on.

    """

    rows: Sequence[Trial]
    before: Draft
    after: Draft
    anew: Draft

    @property
    def out(self) -> bool:
        """Whether the way that was tried is not made again."""
        return self.anew.verdict.made.way != self.after.verdict.made.way

    @property
    def early(self) -> float | None:
        """At which part of what was sure it collapsed, under half of it; None where it did not."""
        modulus = self.after.verdict.made.way.film.modulus
        tests = by_test((one, factor_of(one, modulus)) for one in self.rows)
        return next((at for result, at in tests if result == "collapsed" and at < _EARLY), None)


def trial_told(made: Recorded) -> str:
    """Return what rows just recorded say of their support, and what is made from now on."""
    rows, after = made.rows, made.after.verdict
    lines = [
        f"{one.support}: {one.construction}, leg {one.leg:.1f} mm, {one.load:.2f} N for "
        f"{one.minutes:g} min: {one.result}"
        for one in rows
    ]
    if said := _early_text(made):
        lines.append(f"  STOP       {said}")
    legs = {round(leg.load, 9) for leg in after.made.legs}
    if legs and rows and all(one.result == "stood" for one in rows):
        ratio = min(
            six_month_ratio(one.load / leg.load, one.minutes)
            for one, leg in zip(rows, after.made.legs, strict=False)
        )
        lines.append(
            f"  for six months that is {beside(ratio, SAFE)} × its load ({SAFE:g} proves it)"
        )
    lines.append(f"  before     {made.before.verdict.state}")
    fell = f"; {fell_text(after.fell, after.made.way)}" if after.fell and not made.out else ""
    out = ", made the way that was tried: that way is out" if made.out else ""
    lines.append(f"  now        {after.state}{out}{fell}")
    if made.out:
        lines.append(f"  instead    {short_sentence(made.anew.verdict, made.anew.slip)}")
    return "\n".join(lines) + "\n"


def _early_text(made: Recorded) -> str:
    """Return what to do where it collapsed far too early, or nothing."""
    if made.early is None:
        return ""
    return (
        f"it collapsed at {made.early:.2f} of what was counted as sure; make no other before you "
        "know what was wrong: a fold, a lap, the film, the opening"
    )


def trial_data(made: Recorded) -> dict[str, Any]:
    """Return the same as data: rows as in the table, the states before and now, what is made."""
    after, anew = made.after.verdict, made.anew
    return {
        "rows": [one._asdict() for one in made.rows],
        "before": made.before.verdict.state,
        "state": after.state,
        "instead": short_sentence(anew.verdict, anew.slip) if made.out else None,
        "stop": _early_text(made) or None,
        "tests": after.tests._asdict(),
    }
