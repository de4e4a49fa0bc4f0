"""The verdict in words of the trade, and as data."""

import math
from typing import Any, assert_never

from cutfiles.bench.book import SIDES
from cutfiles.bench.questions import HEAVY, LIGHT, weight_of, weight_text
from cutfiles.bench.slip import Slip
from cutfiles.findings import Finding
from cutfiles.lengths import Lengths, beside
from cutfiles.support.carried import carried
from cutfiles.support.constructions.plate import Capacity, Construction
from cutfiles.support.judge import Judged
from cutfiles.support.limits import Check, design_base_force
from cutfiles.support.loads import board_tension, leg_force, spine_tension, walking_friction
from cutfiles.support.lone import loads
from cutfiles.support.standing import Support, board_of
from cutfiles.support.states import State
from cutfiles.support.verdict import BEYOND, Change, Verdict
from cutfiles.words.made import bears_text, counted_text, fell_text, trials_text, way_text

ESTIMATED = " (weight estimated)"


def sentence(verdict: Verdict, slip: Slip) -> str:
    """Return the verdict as one sentence: state, construction, what it bears, what was counted.

    >>> from cutfiles.bench.slip import slip_from
    >>> from cutfiles.support.design import design
    >>> from cutfiles.support.verdict import assess
    >>> slip = slip_from({"number": "A1", "units": "mm", "height": 140, "width": 100,
    ...                   "spine_width": 25, "opening_angle": 120, "weight": "200 g"})
    >>> print(sentence(assess(design(slip)), slip).partition("; counted")[0])
    adequate: three layers of 5 mil bears 0.87 N for a load of 0.51 N, 1.73 × its load (1.25 needed)
    """
    told = [
        short_sentence(verdict, slip),
        counted_text(verdict.made),
        trials_text(verdict.tests, stood=verdict.stood),
        *_estimate(verdict, slip),
    ]
    return "; ".join(told)


def short_sentence(verdict: Verdict, slip: Slip) -> str:
    """Return state, construction and what it bears; where it does not hold, what would."""
    made, check = verdict.made, verdict.governing
    said = f"{state_text(verdict)}: {way_text(made.way, made.legs)} {bears_text(made)}"
    if check.name != "leg" and (check.state != "adequate" or not made.legs):
        said = f"{state_text(verdict)}: {check_text(check, slip)}; {said.partition(': ')[2]}"
    if slip.opening.joints == "guessed":
        said += "; heights of the joints are guessed"
    if verdict.fell:
        said += f"; {fell_text(verdict.fell, made.way)}"
    does = [change_text(change, slip, made) for change in verdict.changes[:1]]
    return "; ".join([said, *does])


def state_text(verdict: Verdict) -> str:
    """Return the state, and that the weight is estimated where it is."""
    return verdict.state + (ESTIMATED if verdict.estimated else "")


def _estimate(verdict: Verdict, slip: Slip) -> list[str]:
    """Return at which weights a book that nobody weighed was judged."""
    if verdict.light is None:
        return []
    heavy = weight_text(verdict.weight, slip)
    light = weight_text(verdict.weight * LIGHT / HEAVY, slip)
    same = "the same" if verdict.light == verdict.state else verdict.light
    return [f"judged at {heavy} ({HEAVY:g} g/cm³), at {light} ({LIGHT:g} g/cm³) it is {same}"]


def check_state(check: Check, verdict: Verdict) -> str:
    """Return the state of one check; a piece that stood has answered what wanted a trial."""
    answered = verdict.state == "proved" and check.state == "make a trial"
    return "it stood" if answered else check.state


def tick_state(state: State, verdict: Verdict) -> str:
    """Return the state of a foot creased anew; that of a piece that stood is to be proved again."""
    again = verdict.stood and state == "make a trial"
    return "to be proved again, for it is another piece then" if again else state


def proof_text(verdict: Verdict, slip: Slip) -> str:
    """Return how to prove it, for no load test stands behind a verdict until the studio's own.

    Of what no trial proves, that it is not to be used, and why.
    """
    if verdict.refused:
        return refusal_text(verdict, slip)
    tests = trials_text(verdict.tests, stood=verdict.stood)
    if verdict.stood:
        return f"{tests}: that holds for this piece, book and opening, below 30 °C"
    return (
        f"{tests}: prove it with a dummy of {dummy_text(verdict, slip)} (1.5 × the weight) for 24 h"
    )


def may_be_tried(verdict: Verdict) -> bool:
    """Return whether a trial with a dummy decides anything of what fails.

    It tells how much legs bear; it does not where something else fails than they, or than the
    size of the book: a board that sags, a slope that lets the book slide.
    """
    failed = {check.name for check in verdict.checks if check.state == "another support"}
    return failed <= {"leg", *BEYOND}


def refusal_text(verdict: Verdict, slip: Slip) -> str:
    """Return that a support is not to be used, why, and what a trial of it is worth."""
    why = check_text(verdict.governing, slip)
    if may_be_tried(verdict):
        worth = "at most tried with a dummy, never with the book, which does not prove it"
    else:
        worth = "no dummy that stands on it changes that"
    return f"not to be used{ESTIMATED if verdict.estimated else ''}: {why}; {worth}"


def dummy_text(verdict: Verdict, slip: Slip) -> str:
    """Return what the dummy weighs, marked where nobody weighed the book."""
    return weight_text(verdict.dummy, slip) + (ESTIMATED if verdict.estimated else "")


def check_text(check: Check, slip: Slip) -> str:
    """Return one check with its number and its limit; none rounds against its state."""
    says, found = Lengths(slip.units), beside(check.measured, check.limit)
    match check.name:
        case "leg":
            return f"{check.place} bears {found} × its load ({check.limit:g} needed)"
        case "sag" | "across":
            across = " across, head to tail" if check.name == "across" else ""
            sag, most = says.against(check.measured, check.limit), says.both(check.limit)
            return f"{check.place} panel sags {sag}{across} (at most {most})"
        case "tape":
            used = beside(100 * check.measured, 100, 0)
            return f"tape on the {check.place} used to {used}% (at most 100%)"
        case "riser":
            used = beside(100 * check.measured, 100, 0)
            return f"{check.place} used to {used}% (at most 100%)"
        case "stack":
            return f"all layers are {found} mm thick (at most {check.limit:.2f} mm)"
        case "gauge":
            return f"{check.measured:.3f} mm film in three layers (at most {check.limit:.3f} mm)"
        case "spine rises":
            return f"inner layers rise {found} mm towards the spine (at most {check.limit:g} mm)"
        case "leg bows":
            return f"inner layers bow {found} mm in the {check.place} (at most {check.limit:.1f})"
        case "height":
            tall, most = says.against(check.measured, check.limit), says.both(check.limit)
            return f"the book is {tall} tall (at most {most} in film)"
        case "joints":
            return (
                f"the {check.place} was not measured, and probably stands "
                f"{says.both(check.measured)} higher"
            )
        case "leaves":
            return f"the leaves open {check.measured:.0f}° less than the support"
        case "weight":
            heavy, most = (weight_text(g, slip) for g in (check.measured, check.limit))
            if heavy == most and check.state != "adequate":
                heavy, most = (f"{g:.1f} g" for g in (check.measured, check.limit))
            lone = check.measured < weight_of(slip)[0]  # the table carries the rest of the book
            what = "the lone cover" if lone else "the book"
            return f"{what} weighs {heavy} (at most {most} in film)"
        case "slope":
            slope, limit = (math.degrees(angle) for angle in (check.measured, check.limit))
            return f"{check.place} is {beside(slope, limit, 0)}° steep (at most {limit:.0f}°)"
        case _:
            assert_never(check.name)


def change_text(change: Change, slip: Slip, made: Judged | None = None) -> str:
    """Return what would hold."""
    way = "" if change.way is None else _way(change.way, made)
    board = f"a stiff board {Lengths(slip.units).both(change.board)} thick under the limp cover"
    match change.kind:
        case "measure" if change.field == "page_angle":
            return "measure page_angle again, with the book as far open as its leaves lie"
        case "measure":
            return f'prop the book and measure {change.field}, or write both joints "0"'
        case "way":
            return f"adequate in {way}"
        case "board":
            return f"adequate with {board} in {way}"
        case "flatter":
            under = f", with {board}" if change.board else ""
            return (
                f"adequate no steeper than {change.slope:.0f}°{under}, if the book opens so far "
                f"by itself, in {way}"
            )
        case "support":
            return "choose another kind of support"
        case _:
            assert_never(change.kind)


def _way(one: Judged, made: Judged | None) -> str:
    said = f"{way_text(one.way, one.legs)} ({one.sure:.2f} ×)"
    same = made is not None and made.way.film == one.way.film
    return f"{said}, from offcuts of the same film" if one.posts and same else said


# -- as data ---------------------------------------------------------------------------------------


def verdict_data(verdict: Verdict, support: Support) -> dict[str, Any]:
    """Return a verdict as data: mm, g, N, degrees; ways, checks and forces to 0.0001.

    The other ways to make it are told in brief: how each does, not why (that `way_data` tells).

    Keys: state (proved, adequate, make a trial, another support), sentence, proof, made and
    least (see `way_data`), counted, tests {rule, count, bound, used}, weight_g,
    weight_estimated, state_if_light, dummy_g, carries_g, tries_g, governing and checks [{check,
    place, measured, limit, share, state}], ways [{words, state, sure}], changes [{change, way,
    board_mm, slope_deg, field, message}], load_path.
    """
    slip = support.slip
    return {
        "state": verdict.state,
        "sentence": sentence(verdict, slip),
        "proof": proof_text(verdict, slip),
        "made": way_data(verdict.made),
        "least": None if verdict.least is None else way_data(verdict.least),
        "counted": counted_text(verdict.made),
        "tests": {
            "rule": verdict.tests.rule,
            "count": verdict.tests.tests,
            "bound": verdict.tests.bound,
            "used": verdict.tests.used,
        },
        "weight_g": verdict.weight,
        "weight_estimated": verdict.estimated,
        "state_if_light": verdict.light,
        "dummy_g": verdict.dummy,
        "carries_g": _fine(verdict.carries),
        "tries_g": _fine(verdict.tries),
        "governing": _check_data(verdict.governing),
        "checks": [_check_data(check) for check in verdict.checks],
        "ways": [
            {"words": way_text(one.way, one.legs), "state": one.state, "sure": _fine(one.sure)}
            for one in verdict.ways
        ],
        "changes": [
            {
                "change": change.kind,
                "way": None if change.way is None else way_data(change.way),
                "board_mm": change.board or None,
                "slope_deg": change.slope or None,
                "field": change.field or None,
                "message": change_text(change, slip, verdict.made),
            }
            for change in verdict.changes
        ],
        "load_path": load_path(support, verdict.weight),
    }


def way_data(one: Judged) -> dict[str, Any]:
    """Return a way to make a support as data.

    Keys: film, gauge_mm, layers, construction, edge, state, sure, legs [{construction where it is
    not the way's, capacity_N, load_N, posts where there are any}], film_g, price, folds, words.
    """
    way = one.way
    return {
        "film": way.film.name,
        "gauge_mm": _fine(way.film.gauge),
        "layers": way.layers,
        "construction": way.construction,
        "edge": way.edge,
        "state": one.state,
        "sure": _fine(one.sure),
        "legs": [_leg_data(leg, way.construction) for leg in one.legs],
        "film_g": _fine(one.grams),
        "price": one.price,
        "folds": one.folds,
        "words": way_text(way, one.legs),
    }


def _leg_data(leg: Capacity, usual: Construction) -> dict[str, Any]:
    own = {} if leg.construction == usual else {"construction": leg.construction}
    posts = {"posts": leg.posts} if leg.posts else {}
    return {**own, "capacity_N": _fine(leg.newtons), "load_N": _fine(leg.load), **posts}


def finding_data(finding: Finding) -> dict[str, Any]:
    """Return a finding as data."""
    measured = finding.measured
    return {
        "rule": finding.rule,
        "place": finding.place,
        "message": finding.message,
        "measured": None if measured is None else round(measured, 4),
        "limit": finding.limit,
        "severity": finding.severity,
    }


def load_path(support: Support, weight: float) -> dict[str, Any]:
    """Return the forces in a support under a book of this weight (g), N, to 0.0001.

    Keys: left and right {side_N, and where it stands leg_N, base_N, board_N, spine_N}, friction; of
    a book on both halves riser_N, low_joint_N, push_N, centre_mm, margin_mm, tips_at_deg,
    slides_at_deg.
    """
    slip = support.slip
    path: dict[str, Any] = {}
    both = loads(slip, weight)
    for side, load in zip(SIDES, both, strict=True):
        half = support.half(side)
        path[side] = {"side_N": round(load, 4)}
        if half is not None and half.stands:
            leg = leg_force(load, board_of(slip, side).width, support.length("board", side))
            path[side] |= {
                "leg_N": round(leg, 4),
                "base_N": round(design_base_force(leg), 4),
                "board_N": round(board_tension(leg, half.slope), 4),
                "spine_N": round(spine_tension(load, half.slope), 4),
            }
    path["friction"] = round(walking_friction(both, support.slopes), 4)
    found = carried(support, weight)
    if found is not None:
        path["friction"] = _fine(found.friction_needed)
        path |= {
            "riser_N": _fine(found.riser),
            "low_joint_N": _fine(found.low_joint),
            "push_N": _fine(found.push),
            "centre_mm": [_fine(found.centre.x), _fine(found.centre.y)],
            "margin_mm": _fine(found.margin),
            "tips_at_deg": _fine(math.degrees(found.tips_at)),
            "slides_at_deg": _fine(math.degrees(found.slides_at)),
        }
    return path


def _check_data(check: Check) -> dict[str, Any]:
    return {
        "check": check.name,
        "place": check.place,
        "measured": _fine(check.measured),
        "limit": _fine(check.limit),
        "share": _fine(check.share),
        "state": check.state,
    }


def _fine(number: float) -> float | None:
    """Return a number to 0.0001, finer than anything it is computed from; none for endless."""
    return round(number, 4) if math.isfinite(number) else None
