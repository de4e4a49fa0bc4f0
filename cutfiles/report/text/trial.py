"""What a trial asks for, bag by bag, and what its record says."""

import math
from collections.abc import Sequence
from typing import Any

from cutfiles.bench.questions import weight_text
from cutfiles.draft import Draft
from cutfiles.lengths import beside
from cutfiles.support.bags import DUMMY
from cutfiles.support.states import SAFE
from cutfiles.support.trials import Trial, load_to_prove, six_month_ratio
from cutfiles.support.verdict import Verdict, legs_on_trial
from cutfiles.words.verdict import may_be_tried, refusal_text, sentence


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


def trial_told(rows: Sequence[Trial], before: Verdict, after: Verdict) -> str:
    """Return what rows just recorded say of their support."""
    lines = [
        f"{one.support}: {one.construction}, leg {one.leg:.1f} mm, {one.load:.2f} N for "
        f"{one.minutes:g} min: {one.result}"
        for one in rows
    ]
    legs = {round(leg.load, 9) for leg in after.made.legs}
    if legs and rows and all(one.result == "stood" for one in rows):
        ratio = min(
            six_month_ratio(one.load / leg.load, one.minutes)
            for one, leg in zip(rows, after.made.legs, strict=False)
        )
        lines.append(
            f"  for six months that is {beside(ratio, SAFE)} × its load ({SAFE:g} proves it)"
        )
    lines.append(f"  before     {before.state}")
    lines.append(f"  now        {after.state}")
    return "\n".join(lines) + "\n"


def trial_data(rows: Sequence[Trial], before: Verdict, after: Verdict) -> dict[str, Any]:
    """Return the same as data: rows as in the table, the states before and now."""
    return {
        "rows": [one._asdict() for one in rows],
        "before": before.state,
        "state": after.state,
        "tests": after.tests._asdict(),
    }
