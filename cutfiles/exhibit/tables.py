"""The tables of an exhibit: supports, order, cutting, install, the ledger, and the short report.

CSV in UTF-8 with its mark, a comma between cells; a text that a spreadsheet would run as a formula
has a ' before it. Lengths in mm unless a column says otherwise.
"""

import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any, get_args

from cutfiles.bench.film import Film
from cutfiles.disk.sets import Content
from cutfiles.errors import Fault
from cutfiles.exhibit.buying import buying_lines, is_of_film, order_rows
from cutfiles.exhibit.films import KindsTold
from cutfiles.exhibit.pieces import owners, pieces_told
from cutfiles.exhibit.results import ExhibitResult, SheetResult, SupportResult
from cutfiles.exhibit.stages import Stage
from cutfiles.exhibit.totals import total_rows, totals, totals_data
from cutfiles.files.record import Long, record_parts
from cutfiles.lists.causes import cause_key, cause_lines, causes_of
from cutfiles.lists.ledger import csv_parts, ledger_table
from cutfiles.version import VERSION
from cutfiles.words.counts import counted

SUPPORTS_FILE = "supports.json"
"""Of these tables the one that is read back."""


def csv_bytes(rows: Iterable[Sequence[object]]) -> bytes:
    """Return rows as CSV in which nothing runs."""
    return b"".join(_in_parts(rows))


def _in_parts(rows: Iterable[Sequence[object]]) -> Iterator[bytes]:
    return csv_parts([" ".join(str(cell).split()) for cell in row] for row in rows)


def exhibit_tables(done: ExhibitResult) -> dict[str, Content]:
    """Return file names to contents."""
    return {
        "supports.csv": _in_parts(supports_rows(done)),
        SUPPORTS_FILE: record_parts(Long(done.supports, support_data)),
        "order.csv": csv_bytes(order_rows(done)),
        "cutting.csv": csv_bytes(cutting_rows(done)),
        "totals.csv": csv_bytes(total_rows(done)),
        "install.csv": _in_parts(install_rows(done)),
        "import.csv": _in_parts(ledger_table(done.books)),
        "report.txt": (report_text(done) + "\n").encode(),
    }


def exhibit_data(done: ExhibitResult) -> dict[str, Any]:
    """Return how a run ended as data.

    Keys: counts {made, unchanged, refused}, supports (see `support_data`), sheets, films (see
    `films_data`), totals (see `totals_data`), and of what an earlier run made: changed, removed,
    left.
    """
    return {
        "counts": dict(done.counts),
        "supports": [support_data(support) for support in done.supports],
        "sheets": [sheet.number for sheet in done.sheets],
        "films": films_data(done),
        "totals": totals_data(done),
        "changed": list(done.changed),
        "removed": list(done.removed),
        "left": list(done.left),
    }


def support_data(support: SupportResult) -> dict[str, Any]:
    """Return one support as data; a second run gives the same.

    Keys: row, number, made, copies, what the list says of it, refused [{place, found, needed,
    remedy}], lengths in mm, angles in degrees, sheets, files, findings, verdict where there is one.
    """
    facts = support.facts
    data: dict[str, Any] = {
        "row": support.row,
        "number": support.number,
        "made": facts is not None,
        "copies": support.copies,
        "list": dict(support.values),
        "refused": [fault.words for fault in support.faults],
        "unplaced": support.unplaced,
        "sheets": list(support.sheets),
        "stage": support.stage._asdict(),
    }
    if facts is not None:
        told = facts.told
        data |= {
            "piece_mm": [facts.width, facts.height],
            "gauge_mm": facts.gauge,
            "layers": facts.layers,
            "opening_angle_deg": facts.opening_angle,
            "slopes_deg": [facts.left_slope, facts.right_slope],
            "rises_mm": [facts.left_rise, facts.right_rise],
            "cut_mm": facts.cut,
            "score_mm": facts.score,
            "creases": facts.creases,
            "tape_mm": facts.tape,
            "strap_mm": facts.strap,
            "findings": list(told.findings),
            "files": sorted(f"supports/{name}" for name in told.files),
        }
        if facts.verdict:
            data["verdict"] = facts.verdict
    return data


def supports_rows(done: ExhibitResult) -> Iterator[Sequence[object]]:
    """Yield one row a support, the header first."""
    verdicts = any(s.facts and s.facts.verdict for s in done.supports)
    yield (
        "row",
        "number",
        "title",
        "shelf_mark",
        "opening",
        "case",
        "made",
        "copies",
        "stage",
        "stage_date",
        "stage_initials",
        *(["verdict"] if verdicts else []),
        "gauge_mm",
        "layers",
        "length_mm",
        "breadth_mm",
        "opening_angle_deg",
        "left_slope_deg",
        "right_slope_deg",
        "left_rise_mm",
        "right_rise_mm",
        "sheets",
        "note",
        "why_not",
    )
    for support in done.supports:
        says, facts = support.values.get, support.facts
        numbers: list[object] = [""] * 9
        if facts:
            numbers = [
                facts.gauge,
                facts.layers,
                facts.width,
                facts.height,
                facts.opening_angle,
                facts.left_slope,
                facts.right_slope,
                facts.left_rise,
                facts.right_rise,
            ]
        yield (
            support.row,
            support.number,
            says("title", ""),
            says("shelf_mark", ""),
            says("opening", ""),
            says("case", ""),
            "yes" if facts else "no",
            support.copies,
            *(support.stage if facts else ("", "", "")),
            *([facts.verdict if facts else ""] if verdicts else []),
            *numbers,
            " ".join(support.sheets),
            " / ".join(facts.findings) if facts else "",
            " / ".join(map(str, support.faults)) or support.unplaced,
        )


def cutting_rows(done: ExhibitResult) -> Iterator[Sequence[object]]:
    """Yield the sheets in the order they are cut, the header first."""
    yield (
        "sheet",
        "film",
        "gauge",
        "width_mm",
        "length_mm",
        "pieces",
        "supports",
        "used_percent",
        "cut_m",
        "score_m",
        "time",
        "cut",
        "note",
    )
    facts = {support.number: support.facts for support in done.supports if support.facts}
    for sheet in done.cut:
        numbers = [piece[0] for piece in sheet.pieces]
        cut, score = (
            sum(getattr(facts[n], what) for n in numbers if n in facts) / 1000
            for what in ("cut", "score")
        )
        yield (
            sheet.number,
            sheet.film.name,
            Film(gauge=sheet.gauge).gauge_text,
            f"{sheet.width:.1f}",
            f"{sheet.height:.1f}",
            len(numbers),
            " ".join(dict.fromkeys(numbers)),
            f"{sheet.used * 100:.1f}",
            f"{cut:.2f}",
            f"{score:.2f}",
            sheet.time,
            "cut, stays as it is" if sheet.frozen else "",
            " / ".join([*(["trials only"] if sheet.apart else []), *sheet.findings]),
        )


def in_case_order(supports: Iterable[SupportResult]) -> list[SupportResult]:
    """Return supports case by case and place by place, those without one last, as in the list."""
    return sorted(
        supports,
        key=lambda s: (natural(s.values.get("case", "")), natural(s.values.get("place", ""))),
    )


def natural(text: str) -> tuple[bool, list[tuple[bool, int, str]]]:
    """Return what orders cases and places: numbers by their size and before words, nothing last.

    >>> sorted(["case 10", "", "case 2", "3"], key=natural)
    ['3', 'case 2', 'case 10', '']
    """
    parts = re.findall(r"[0-9]+|[^0-9]+", text.casefold())
    return not text, [
        (False, int(part), "") if part[0] in "0123456789" else (True, 0, part) for part in parts
    ]


def install_rows(done: ExhibitResult) -> Iterator[Sequence[object]]:
    """Yield the supports case by case, the header first; with places where the list has them."""
    placed = any(support.values.get("place") for support in done.supports)
    yield (
        "case",
        *(["place"] if placed else []),
        "number",
        "title",
        "shelf_mark",
        "opening",
        "copies",
        "made",
        "light_lux",
        "left_rise_mm",
        "right_rise_mm",
        "note",
    )
    for support in in_case_order(done.supports):
        says, facts = support.values.get, support.facts
        yield (
            says("case", ""),
            *([says("place", "")] if placed else []),
            support.number,
            says("title", ""),
            says("shelf_mark", ""),
            says("opening", ""),
            support.copies,
            ("not to be used" if support.is_barred else "yes") if facts else "no",
            says("lux", ""),
            facts.left_rise if facts else "",
            facts.right_rise if facts else "",
            says("note", ""),
        )


def report_text(done: ExhibitResult, said: Callable[[Fault], Fault] = lambda one: one) -> str:
    """Return the short report: counts, what could not be made and why, what was read otherwise.

    Args:
        done: the exhibit.
        said: how a fault is worded.

    """
    rows = len(done.supports)
    made = sum(support.facts is not None for support in done.supports)
    pieces = pieces_told(piece for sheet in done.sheets for piece in sheet.pieces)
    lines = [
        f"{done.name}, from {done.books.name}, by cutfiles {VERSION}",
        "",
        f"{counted(rows, 'row')}: {made} made, {rows - made} refused",
        f"{counted(len(done.sheets), 'sheet')} with {pieces}, {used_share(done.sheets):.1%} used",
    ]
    stages = Counter(s.stage.stage for s in done.supports if s.facts)
    if set(stages) - {"planned"}:
        lines.append(
            ", ".join(f"{stages[name]} {name}" for name in get_args(Stage) if stages[name])
        )
    verdicts = Counter(s.facts.verdict for s in done.supports if s.facts)
    if verdicts:
        counts = ", ".join(f"{count} {verdict}" for verdict, count in sorted(verdicts.items()))
        lines.append(
            f"verdicts: {counts}; an adequate one too is proved with its dummy before "
            "its book lies on it"
        )
    lines += [*film_lines(done), *buying_lines(done)]
    lines += ["", "In all", *(f"  {one.told}" for one in totals(done))]
    if done.reuse:
        lines += ["", "Supports that there are, by the table of fit; prove them with these books"]
        lines += [f"  {line}" for line in done.reuse]
    refused = [support for support in done.supports if support.faults]
    if refused:
        lines += ["", "Not made", *_causes(refused, said)]
    unplaced = [support for support in done.supports if support.unplaced]
    if unplaced:
        lines += ["", "Made, but on no sheet"]
        lines += [f"  {support.number}: {support.unplaced}" for support in unplaced]
    not_made = [sheet for sheet in done.sheets if sheet.faults]
    if not_made:
        lines += ["", "Sheets not made"]
    for sheet in not_made:
        lines.append(f"  {sheet.number}, with {', '.join(owners(sheet.pieces))}")
        lines += [f"    {said(fault)}" for fault in sheet.faults]
    of_film = [s.number for s in done.supports if s.facts and is_of_film(s.facts)]
    if of_film:
        lines += ["", "Straps of film lie on no sheet: cut NUMBER.straps in supports/, for"]
        lines.append(f"  {', '.join(of_film)}")
    findings = Counter(text for sheet in done.sheets for text in sheet.findings)
    if findings:
        lines += ["", "Sheets"]
        lines += [f"  {text} ({count} ×)" for text, count in findings.items()]
    lines += ["", f"Cells read otherwise than they stood: {len(done.books.ledger)}, see import.csv"]
    lines += [
        "",
        "No load test stands behind a cradle: prove each one empty, then with a dummy of "
        "1.5 times the",
        "book's weight for 24 hours.",
    ]
    return "\n".join(lines)


def _causes(refused: Sequence[SupportResult], said: Callable[[Fault], Fault]) -> Iterator[str]:
    """Yield why rows are refused, each cause once, with all that it refuses."""
    whose: dict[tuple[str, ...], list[str]] = {}
    for support in refused:
        for key in dict.fromkeys(map(cause_key, support.faults)):
            whose.setdefault(key, []).append(_told(support))
    for cause in causes_of(fault for support in refused for fault in support.faults):
        yield from (f"  {line}" for line in cause_lines(cause, said))
        yield f"    {', '.join(whose[cause_key(cause.fault)])}"


def _told(support: SupportResult) -> str:
    return f"{support.called} {support.values.get('title', '')}".rstrip()


def film_lines(done: ExhibitResult) -> list[str]:
    """Return which film was chosen for all, and for which books none is adequate."""
    lines = []
    if done.films:
        kinds = "one kind that serves" if len(done.films) == 1 else "the fewest kinds that serve"
        lines.append(f"film: {', '.join(done.films)}, {kinds} every book that can be served")
    if done.kinds:
        chosen, *least = (kinds_text(one) for one in done.kinds)
        what = "the least cost" if done.kinds[0].priced else "the least film"
        cheaper = f"; {what} would be {least[0]}" if least else f", {what}"
        lines.append(f"chosen: {chosen}{cheaper}")
    if done.unserved:
        lines.append(f"not adequate in any film that may be taken: {', '.join(done.unserved)}")
    return lines


def films_data(done: ExhibitResult) -> dict[str, Any]:
    """Return the films chosen, what they fold and cost, and what would cost least, if less."""
    told = [
        {
            "films": list(one.films),
            "folds": one.folds,
            "price" if one.priced else "film_g": round(one.cost, 2),
        }
        for one in done.kinds
    ]
    return dict(zip(("chosen", "least_cost"), told, strict=False))


def kinds_text(kinds: KindsTold) -> str:
    """Return what a choice of films folds and costs.

    >>> kinds_text(KindsTold(films=("5 mil", "7 mil"), folds=210, cost=412.34, priced=False))
    '2 kinds of film (5 mil, 7 mil), 210 folds, 412.3 g'
    """
    cost = f"price {kinds.cost:.2f}" if kinds.priced else f"{kinds.cost:.1f} g"
    said = f"{counted(len(kinds.films), 'kind')} of film ({', '.join(kinds.films)})"
    return f"{said}, {kinds.folds} folds, {cost}"


def used_share(sheets: Sequence[SheetResult]) -> float:
    """Return the share of the film's area that is covered by pieces."""
    area = sum(sheet.width * sheet.height for sheet in sheets)
    return sum(s.used * s.width * s.height for s in sheets) / area if area else 0.0
