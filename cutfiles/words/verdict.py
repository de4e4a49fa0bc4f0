"""The verdict in words of the trade, and as data."""

import math
from typing import Any, assert_never

from cutfiles.bench.film import Film
from cutfiles.bench.questions import HEAVY, LIGHT, book_volume, weight_text
from cutfiles.bench.slip import Slip
from cutfiles.findings import Finding
from cutfiles.support.standing import SIDES, Support, board_of
from cutfiles.support.strength import (
    base_force,
    board_tension,
    leg_force,
    spine_tension,
    walking_friction,
)
from cutfiles.support.verdict import Change, Check, Verdict, loads
from cutfiles.units import Units, write_length

NO_TEST = "no load test stands behind this"


def sentence(verdict: Verdict, slip: Slip) -> str:
    """Return the verdict as one sentence of the trade.

    >>> from cutfiles.bench.slip import slip_from
    >>> from cutfiles.support.design import design
    >>> from cutfiles.support.verdict import assess
    >>> slip = slip_from({"number": "A1", "units": "mm", "height": 203, "width": 133,
    ...                   "spine_width": 34, "opening_angle": 120, "weight": "641 g"})
    >>> print(sentence(assess(design(slip)), slip))
    make a trial: left leg bears 0.39 × its load (1.25 needed); 10 mil in three layers carries it
    """
    if verdict.state is None or verdict.governing is None:
        return unknown_sentence(verdict, slip)
    why = check_text(verdict.governing, slip)
    if verdict.state == "adequate":
        thinner = verdict.thinnest
        more = ""
        if thinner is not None and thinner.stack < verdict.film.stack - 1e-6:
            more = f"; {thinner.stock_text} would do"
        return f"adequate: {why}{more}"
    does = "; ".join(change_text(change, slip) for change in verdict.changes[:1])
    return f"{verdict.state}: {why}; {does}"


def unknown_sentence(verdict: Verdict, slip: Slip) -> str:
    """Return what can be said of a book without a weight."""
    volume = book_volume(slip)
    return (
        f"weight not given: this film carries up to {weight_text(verdict.carries, slip)}, such a "
        f"book usually weighs {weight_text(LIGHT * volume, slip)} to "
        f"{weight_text(HEAVY * volume, slip)}"
    )


def proof_text(verdict: Verdict, slip: Slip) -> str:
    """Return how to prove it, for no load test stands behind a verdict."""
    if verdict.dummy is None:
        return f"{NO_TEST}: prove it with a dummy of 1.5 × the book's weight for 24 h"
    dummy = weight_text(verdict.dummy, slip)
    return f"{NO_TEST}: prove it with a dummy of {dummy} (1.5 × the weight) for 24 h"


def check_text(check: Check, slip: Slip) -> str:
    """Return one check with its number and its limit."""
    units = slip.units
    match check.name:
        case "leg":
            return f"{check.place} bears {check.measured:.2f} × its load ({check.limit:g} needed)"
        case "sag":
            sag, most = (small_text(mm, units) for mm in (check.measured, check.limit))
            return f"{check.place} panel sags {sag} (at most {most})"
        case "tape":
            return f"tape on the {check.place} used to {check.measured:.0%} (at most 100%)"
        case "stack":
            return f"all layers are {check.measured:.2f} mm thick (at most {check.limit:.2f} mm)"
        case "height":
            tall, most = (write_length(mm, units) for mm in (check.measured, check.limit))
            return f"the book is {tall} tall (at most {most} in film)"
        case "weight":
            heavy, most = (weight_text(g, slip) for g in (check.measured, check.limit))
            return f"the book weighs {heavy} (at most {most} in film)"
        case _:
            return f"{check.place} is {check.measured:.0f}° steep (at most {check.limit:g}°)"


def small_text(mm: float, units: Units) -> str:
    """Return a short length in inches for slips in inches, else in mm, also for slips in cm."""
    return write_length(mm, "in" if units == "in" else "mm")


def change_text(change: Change, slip: Slip) -> str:
    """Return what would hold."""
    film = "" if change.film is None else f"{change.film.stock_text} carries it"
    board = f"a stiff board {small_text(change.board, slip.units)} thick under the limp cover"
    match change.kind:
        case "film":
            return film
        case "board":
            return f"with {board} {film}"
        case "flatter":
            under = f", with {board}" if change.board else ""
            return (
                f"no steeper than {change.slope:.0f}°{under}, if the book opens so far by itself, "
                f"{film}"
            )
        case "support":
            return "choose another kind of support"
        case _:
            assert_never(change.kind)


# -- as data ---------------------------------------------------------------------------------------


def verdict_data(verdict: Verdict, support: Support) -> dict[str, Any]:
    """Return a verdict as data: mm, g, N, degrees.

    Keys: state (adequate, make a trial, another support, or null where the weight is not known),
    sentence, proof, weight_g, dummy_g, carries_g, tries_g, governing and checks [{check, place,
    measured, limit, unit, state}], thinnest and stocks [{name, gauge_mm, layers, state,
    carries_g}], changes [{change, gauge_mm, layers, board_mm, slope_deg, message}], load_path.
    """
    slip = support.slip
    return {
        "state": verdict.state,
        "sentence": sentence(verdict, slip),
        "proof": proof_text(verdict, slip),
        "weight_g": verdict.weight,
        "dummy_g": verdict.dummy,
        "carries_g": round(verdict.carries, 1),
        "tries_g": round(verdict.tries, 1),
        "governing": None if verdict.governing is None else _check_data(verdict.governing),
        "checks": [_check_data(check) for check in verdict.checks],
        "thinnest": None if verdict.thinnest is None else _film_data(verdict.thinnest),
        "stocks": [
            {**_film_data(one.film), "state": one.state, "carries_g": round(one.carries, 1)}
            for one in verdict.stocks
        ],
        "changes": [
            {
                "change": change.kind,
                **(_film_data(change.film) if change.film else {}),
                "board_mm": change.board or None,
                "slope_deg": change.slope or None,
                "message": change_text(change, slip),
            }
            for change in verdict.changes
        ],
        "load_path": None if verdict.weight is None else load_path(support, verdict.weight),
    }


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
    """Return the forces in a support under a book of this weight (g), N."""
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
                "base_N": round(base_force(leg), 4),
                "board_N": round(board_tension(leg, half.slope), 4),
                "spine_N": round(spine_tension(load, half.slope), 4),
            }
    path["friction"] = round(walking_friction(both, support.slopes), 4)
    return path


def _check_data(check: Check) -> dict[str, Any]:
    measured = round(check.measured, 4) if math.isfinite(check.measured) else None
    return {
        "check": check.name,
        "place": check.place,
        "measured": measured,
        "limit": round(check.limit, 4),
        "unit": check.unit,
        "state": check.state,
    }


def _film_data(film: Film) -> dict[str, Any]:
    return {"name": film.name, "gauge_mm": round(film.gauge, 4), "layers": film.layers}
