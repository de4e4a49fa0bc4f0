"""What `check` tells of one support, and of several: tables for people, and data."""

import math
from collections.abc import Iterable, Sequence
from typing import Any

from cutfiles.bench.book import SIDES
from cutfiles.bench.film import Machine
from cutfiles.bench.questions import weight_text
from cutfiles.bench.slip import Slip
from cutfiles.draft import Draft
from cutfiles.findings import Finding
from cutfiles.lengths import Lengths, beside
from cutfiles.report.text.columns import aligned, padded
from cutfiles.support.advice import rooms
from cutfiles.support.constructions.plate import Construction, Edge
from cutfiles.support.judge import Judged
from cutfiles.support.limits import Check
from cutfiles.support.states import SAFE
from cutfiles.support.tolerance import Effect, error_effects, matters_most
from cutfiles.support.verdict import Verdict
from cutfiles.words.cautions import cautions
from cutfiles.words.made import way_text
from cutfiles.words.marks import MARKS
from cutfiles.words.verdict import (
    change_text,
    check_state,
    check_text,
    finding_data,
    load_path,
    proof_text,
    sentence,
    state_text,
    verdict_data,
    way_data,
)

LABELS = {"ask": "question", "advise": "note"}
_SHOWN_ELSEWHERE = ("strength",)


def fits_case(draft: Draft) -> bool:
    """Tell whether the book on its support fits the case, as far as the slip gives it."""
    return all(room.left >= 0 for room in rooms(draft.support))


def refused(draft: Draft) -> bool:
    """Tell whether `check` refuses a support: its film does not carry the book, or no room."""
    return draft.verdict.refused or not fits_case(draft)


def verdict_lines(verdict: Verdict, slip: Slip) -> list[str]:
    """Return the verdict, its mark in the margin, and how to prove it."""
    mark = MARKS[verdict.state].plain
    return [f"{mark} verdict    {sentence(verdict, slip)}", f"{'':<15}{proof_text(verdict, slip)}"]


def note_lines(findings: Iterable[Finding]) -> list[str]:
    """Return questions first, then notes; the verdict has lines of its own."""
    shown = [one for one in findings if one.rule not in _SHOWN_ELSEWHERE]
    shown.sort(key=lambda one: one.severity != "ask")
    return [f"  {LABELS.get(one.severity, 'note'):<10} {one.message}" for one in shown]


def most_lines(draft: Draft) -> list[str]:
    """Return the field that matters most, in one line; nothing where none was measured."""
    most = matters_most(error_effects(draft.support, draft.trials))
    if most is None:
        return []
    says = Lengths(draft.slip.units)
    does = f"moves a leg by {says.both(most.leg)} and a base by {says.both(most.base)}"
    if most.fails:
        does += "; no cradle follows at one end of it"
    elif most.states:
        does += f"; the verdict may be: {', '.join(most.states)}"
    return [f"  matters    {most.field} most: its usual error of {_error(most, says)} {does}"]


def check_table(draft: Draft, machine: Machine = "knife") -> str:
    """Return all that `check` tells of one support."""
    slip, verdict = draft.slip, draft.verdict
    lines = [draft.drawing.title, *verdict_lines(verdict, slip)]
    lines += [
        f"  {'or':<10} {change_text(change, slip, verdict.made)}" for change in verdict.changes[1:]
    ]
    lines.append(f"  {'kind':<10} {draft.support.kind}")
    lines.append(f"  {'made':<10} {_made(verdict)}")
    lines += _forces(draft)
    lines += [
        f"  {'' if i else 'checks':<10} {check_text(check, slip)}: {check_state(check, verdict)}"
        for i, check in enumerate(verdict.checks)
    ]
    lines += _ways(verdict)
    lines += _least(verdict)
    lines += _millimetres(draft)
    lines += note_lines(draft.findings)
    lines += [f"  beware     {one.text}" for one in cautions(slip, machine)]
    return "\n".join(lines) + "\n"


def check_data(draft: Draft, machine: Machine = "knife") -> dict[str, Any]:
    """Return all that `check` tells of one support, as data: mm, g, N, degrees.

    Keys: number, title, units, kind, refused, verdict (see `verdict_data`; its ways in full, see
    `way_data`), errors [{field, error, unit, leg_mm, base_mm, opening_deg, states, fails}],
    matters_most, case [{name, case_mm, needed_mm}], findings, cautions.
    """
    effects = error_effects(draft.support, draft.trials)
    most = matters_most(effects)
    return {
        "number": draft.slip.book.number,
        "title": draft.slip.book.title,
        "units": draft.slip.units,
        "kind": draft.support.kind,
        "refused": refused(draft),
        "verdict": {
            **verdict_data(draft.verdict, draft.support),
            "ways": [way_data(one) for one in draft.verdict.ways],
        },
        "errors": [
            {
                "field": one.field,
                "error": one.error,
                "unit": one.unit,
                "leg_mm": round(one.leg, 3),
                "base_mm": round(one.base, 3),
                "opening_deg": round(one.opening, 3),
                "states": list(one.states),
                "fails": one.fails,
            }
            for one in effects
        ],
        "matters_most": None if most is None else most.field,
        "case": [
            {"name": room.name, "case_mm": round(room.case, 2), "needed_mm": round(room.needed, 2)}
            for room in rooms(draft.support)
        ],
        "findings": [finding_data(finding) for finding in draft.findings],
        "cautions": [
            {"rule": one.rule, "message": one.text} for one in cautions(draft.slip, machine)
        ],
    }


# -- one support -----------------------------------------------------------------------------------


def _made(verdict: Verdict) -> str:
    made = verdict.made
    price = "" if made.price is None else f", {made.price:.2f} of film"
    return f"{way_text(made.way, made.legs)}: {made.grams:.1f} g, {made.folds} folds{price}"


def _forces(draft: Draft) -> list[str]:
    path = load_path(draft.support, draft.verdict.weight)
    parts = [f"{side} leg {path[side]['leg_N']:.2f} N" for side in SIDES if "leg_N" in path[side]]
    if path.get("riser_N"):
        parts += [f"riser {path['riser_N']:.2f} N", f"low joint {path['low_joint_N']:.2f} N"]
    if path.get("push_N"):
        parts.append(f"leaves lean on the spine panel by up to {path['push_N']:.2f} N")
    lines = [f"  loads      {', '.join(parts)}; friction needed {path['friction']:.2f}"]
    if "margin_mm" in path:
        margin = Lengths(draft.slip.units).both(path["margin_mm"])
        lines.append(
            f"  tipping    the weight lies {margin} inside the nearer foot: it slides at "
            f"{path['slides_at_deg']:.0f}° of tilt, before it tips at {path['tips_at_deg']:.0f}°"
        )
    return lines


_COLUMNS_OF_WAYS: tuple[tuple[str, Construction, Edge], ...] = (
    ("plain", "plain", "cut"),
    ("lips", "lips", "cut"),
    ("posts", "posts", "cut"),
    ("three layers", "plain", "thirds"),
)
"""Hemmed edges carry as cut ones do, within a hundredth: a column stands for both."""


def _ways(verdict: Verdict) -> list[str]:
    """Return what each film at hand bears in each construction, times the load."""
    films = {one.way.film.name: one.way.film for one in verdict.ways}
    cells = [("at hand", *(head for head, _, _ in _COLUMNS_OF_WAYS))]
    for name in films:
        found = {
            (one.way.construction, one.way.edge): one
            for one in verdict.ways
            if one.way.film.name == name
        }
        cells.append((name, *(_sure(found.get((c, e))) for _, c, e in _COLUMNS_OF_WAYS)))
    return [f"  {'' if i else 'ways':<10} {line}" for i, line in enumerate(aligned(cells))]


def _sure(one: Judged | None) -> str:
    """Return a ratio, and why a way that bears its load is not adequate all the same."""
    if one is None:
        return "–"
    failed = next((check.name for check in one.checks if check.state != "adequate"), "")
    said = beside(one.sure, SAFE) if math.isfinite(one.sure) else "no leg"
    posts = f" ({one.posts})" if one.posts else ""
    return f"{said}{posts}" + (f", {failed}" if failed else "")


def _least(verdict: Verdict) -> list[str]:
    """Return the adequate way with the least film beside the one made; that may take less."""
    least = verdict.least
    if least is None:
        return []
    said = f"{way_text(least.way, least.legs)}: {beside(least.sure, SAFE)} × its load"
    name = "least film" if least.grams < verdict.made.grams else "runner-up"
    return [f"  {name:<10} {said}, {least.grams:.1f} g, {least.folds} folds"]


def _millimetres(draft: Draft) -> list[str]:
    effects, says = error_effects(draft.support, draft.trials), Lengths(draft.slip.units)
    if not effects:
        return []
    room, wide = (20, 15) if draft.slip.units == "in" else (12, 10)  # inches stand behind mm
    lines = [
        f"  {'measured':<10} {'':<14}{'usual error':>{room}}{'leg, mm':>{wide}}{'base, mm':>{wide}}"
        f"{'opening':>10}  verdict"
    ]
    most = matters_most(effects)
    for one in effects:
        moved = [f"±{says.short(mm)}" if mm > 5e-4 else "–" for mm in (one.leg, one.base)]
        angle = f"±{one.opening:.1f}°" if one.opening > 0.05 else "–"
        state = "no cradle" if one.fails else ", ".join(one.states) or "the same"
        mark = "  matters most" if one is most else ""
        lines.append(
            f"  {'':<10} {one.field:<14}{_error(one, says):>{room}}{moved[0]:>{wide}}"
            f"{moved[1]:>{wide}}{angle:>10}  {state}{mark}"
        )
    return lines


def _error(one: Effect, says: Lengths) -> str:
    if one.unit == "mm":
        return f"±{says.both(one.error)}"
    return f"±{one.error:g}{'°' if one.unit == '°' else ' ' + one.unit}"


# -- several supports ------------------------------------------------------------------------------

_COLUMNS = ("number", "title", "verdict", "governing", "found", "limit", "made of")
_WIDEST = 28


def check_row(draft: Draft) -> tuple[str, ...]:
    """Return one support's row of the table for several."""
    slip, verdict = draft.slip, draft.verdict
    check, made = verdict.governing, verdict.made
    state = state_text(verdict)
    if not fits_case(draft):
        state += ", does not fit its case"
    cells = (check.place + _part(check.name), *_numbers(check, slip))
    return (slip.book.number, slip.book.title, state, *cells, way_text(made.way, made.legs))


def refused_row(number: str, title: str, why: str) -> tuple[str, ...]:
    """Return the row of a slip from which no cradle follows."""
    return (number, title, "refused", why, "", "", "")


def rows_table(rows: Sequence[tuple[str, ...]]) -> str:
    """Return rows as a table; a long title is shortened."""
    short = [
        tuple(_shortened(cell) if i == 1 else cell for i, cell in enumerate(row)) for row in rows
    ]
    wide = [
        max([len(name), *(len(row[i]) for row in short if row[2] != "refused" or i < 3)])
        for i, name in enumerate(_COLUMNS)
    ]
    return "\n".join(padded((_COLUMNS, *short), wide))


def _part(name: str) -> str:
    parts = {
        "sag": " panel's sag",
        "tape": "'s tape",
        "height": "'s height",
        "weight": "'s weight",
        "slope": "'s slope",
        "stack": "'s stack",
        "across": " panel's sag across",
    }
    return parts.get(name, "")


def _numbers(check: Check, slip: Slip) -> tuple[str, str]:
    found, limit = check.measured, check.limit
    match check.name:
        case "sag" | "across" | "height" | "stack":
            says = Lengths(slip.units)
            return says.against(found, limit), says.both(limit)
        case "weight":
            return weight_text(found, slip), weight_text(limit, slip)
        case "slope":
            degrees = math.degrees(limit)
            return f"{beside(math.degrees(found), degrees, 0)}°", f"{degrees:.0f}°"
        case _:
            return beside(found, limit), f"{limit:.2f}"


def _shortened(text: str) -> str:
    return text if len(text) <= _WIDEST else text[: _WIDEST - 1].rstrip() + "…"
