"""What `check` tells of one support, and of several: tables for people, and data."""

from collections.abc import Iterable, Sequence
from typing import Any

from cutfiles.bench.questions import weight_text
from cutfiles.bench.slip import Slip
from cutfiles.draft import Draft
from cutfiles.findings import Finding
from cutfiles.support.advice import rooms
from cutfiles.support.standing import SIDES, Support
from cutfiles.support.tolerance import Effect, error_effects, matters_most
from cutfiles.support.verdict import Carried, Verdict
from cutfiles.units import MM_PER_INCH, Units
from cutfiles.words.cautions import Machine, cautions
from cutfiles.words.verdict import (
    change_text,
    check_text,
    finding_data,
    load_path,
    proof_text,
    sentence,
    small_text,
    verdict_data,
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
    """Return the verdict and how to prove it."""
    return [f"  verdict    {sentence(verdict, slip)}", f"             {proof_text(verdict, slip)}"]


def note_lines(findings: Iterable[Finding]) -> list[str]:
    """Return questions first, then notes; the verdict has lines of its own."""
    shown = [one for one in findings if one.rule not in _SHOWN_ELSEWHERE]
    shown.sort(key=lambda one: one.severity != "ask")
    return [f"  {LABELS.get(one.severity, 'note'):<10} {one.message}" for one in shown]


def most_lines(support: Support) -> list[str]:
    """Return the field that matters most, in one line; nothing where none was measured."""
    most = matters_most(error_effects(support))
    if most is None:
        return []
    units = support.slip.units
    does = f"moves a leg by {_mm(most.leg, units)} and a base by {_mm(most.base, units)}"
    if most.fails:
        does += "; no cradle follows at one end of it"
    elif most.states:
        does += f"; the verdict may be: {', '.join(most.states)}"
    return [f"  matters    {most.field} most: its usual error of {_error(most, units)} {does}"]


def check_table(draft: Draft, machine: Machine = "knife") -> str:
    """Return all that `check` tells of one support."""
    slip, verdict = draft.slip, draft.verdict
    lines = [draft.sheet.title, *verdict_lines(verdict, slip)]
    lines += [f"  {'or':<10} {change_text(change, slip)}" for change in verdict.changes[1:]]
    lines += _forces(draft)
    lines += [
        f"  {'checks' if i == 0 else '':<10} {check_text(check, slip)}: {check.state}"
        for i, check in enumerate(verdict.checks)
    ]
    lines += _stocks(verdict, slip)
    lines += _millimetres(draft.support)
    lines += note_lines(draft.findings)
    lines += [f"  beware     {one.text}" for one in cautions(slip, machine)]
    return "\n".join(lines) + "\n"


def check_data(draft: Draft, machine: Machine = "knife") -> dict[str, Any]:
    """Return all that `check` tells of one support, as data: mm, g, N, degrees.

    Keys: number, title, units, refused, verdict (see `verdict_data`), errors [{field, error, unit,
    leg_mm, base_mm, opening_deg, states, fails}], matters_most, case [{name, case_mm, needed_mm}],
    findings, cautions.
    """
    effects = error_effects(draft.support)
    most = matters_most(effects)
    return {
        "number": draft.slip.book.number,
        "title": draft.slip.book.title,
        "units": draft.slip.units,
        "refused": refused(draft),
        "verdict": verdict_data(draft.verdict, draft.support),
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


def _forces(draft: Draft) -> list[str]:
    if draft.verdict.weight is None:
        return []
    path = load_path(draft.support, draft.verdict.weight)
    said = ", ".join(
        f"{side} leg {path[side]['leg_N']:.2f} N" for side in SIDES if "leg_N" in path[side]
    )
    return [f"  loads      {said}; friction needed {path['friction']:.2f}"]


def _stocks(verdict: Verdict, slip: Slip) -> list[str]:
    """Return what each gauge at hand carries, in one layer and in three."""
    if not verdict.stocks:
        return []
    rows: dict[tuple[float, str], dict[int, Carried]] = {}
    for one in verdict.stocks:
        rows.setdefault((one.film.gauge, one.film.name), {})[one.film.layers] = one
    cells = [("at hand", "one layer up to", "three layers up to")]
    cells += [
        (name, _carried(layers.get(1), slip), _carried(layers.get(3), slip))
        for (_, name), layers in sorted(rows.items())
    ]
    wide = [max(len(row[i]) for row in cells) for i in range(2)]
    return [
        f"  {'' if i else 'stocks':<10} {row[0]:<{wide[0]}}  {row[1]:<{wide[1]}}  {row[2]}".rstrip()
        for i, row in enumerate(cells)
    ]


def _carried(one: Carried | None, slip: Slip) -> str:
    if one is None:
        return ""
    text = weight_text(one.carries, slip)
    return f"{text}, {one.state}" if one.state in ("adequate", "make a trial") else text


def _millimetres(support: Support) -> list[str]:
    effects, units = error_effects(support), support.slip.units
    if not effects:
        return []
    unit = "in" if units == "in" else "mm"
    lines = [
        f"  {'measured':<10} {'':<14}{'usual error':>12}{f'leg {unit}':>10}{f'base {unit}':>10}"
        f"{'opening':>10}  verdict"
    ]
    most = matters_most(effects)
    for one in effects:
        moved = [f"±{_number(mm, units)}" if mm > 5e-4 else "–" for mm in (one.leg, one.base)]
        angle = f"±{one.opening:.1f}°" if one.opening > 0.05 else "–"
        state = "no cradle" if one.fails else ", ".join(one.states) or "the same"
        mark = "  matters most" if one is most else ""
        lines.append(
            f"  {'':<10} {one.field:<14}{_error(one, units):>12}{moved[0]:>10}{moved[1]:>10}"
            f"{angle:>10}  {state}{mark}"
        )
    return lines


def _error(one: Effect, units: Units) -> str:
    if one.unit == "mm":
        return f"±{_mm(one.error, units)}"
    return f"±{one.error:g}{'°' if one.unit == '°' else ' ' + one.unit}"


def _mm(mm: float, units: Units) -> str:
    return f"{_number(mm, units)} {'in' if units == 'in' else 'mm'}"


def _number(mm: float, units: Units) -> str:
    return f"{mm / MM_PER_INCH:.2f}" if units == "in" else f"{mm:.1f}"


# -- several supports ------------------------------------------------------------------------------

_COLUMNS = ("number", "title", "verdict", "governing", "found", "limit", "thinnest stock")
_WIDEST = 28


def check_row(draft: Draft) -> tuple[str, ...]:
    """Return one support's row of the table for several."""
    slip, verdict = draft.slip, draft.verdict
    check, thinnest = verdict.governing, verdict.thinnest
    state: str = verdict.state or "weight not given"
    if not fits_case(draft):
        state += ", does not fit its case"
    cells = ["", "", ""]
    if check is not None and verdict.state is not None:
        cells = [
            check.place + _part(check.name),
            *_numbers(check.measured, check.limit, check.unit, slip.units),
        ]
    at_hand = thinnest.stock_text if thinnest else "none" if verdict.weight is not None else ""
    return (slip.book.number, slip.book.title, state, *cells, at_hand)


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
    lines = [
        "  ".join(f"{cell:<{width}}" for cell, width in zip(row, wide, strict=True)).rstrip()
        for row in (_COLUMNS, *short)
    ]
    return "\n".join(lines)


def _part(name: str) -> str:
    parts = {
        "sag": " panel's sag",
        "tape": "'s tape",
        "height": "'s height",
        "weight": "'s weight",
        "slope": "'s slope",
        "stack": "'s stack",
    }
    return parts.get(name, "")


def _numbers(measured: float, limit: float, unit: str, units: Units) -> tuple[str, str]:
    if unit == "mm":
        return small_text(measured, units), small_text(limit, units)
    end = "°" if unit == "°" else f" {unit}" if unit else ""
    digits = 0 if unit in ("g", "°") else 2
    return f"{measured:.{digits}f}{end}", f"{limit:.{digits}f}{end}"


def _shortened(text: str) -> str:
    return text if len(text) <= _WIDEST else text[: _WIDEST - 1].rstrip() + "…"
