"""Many supports from one list: made, nested on shared sheets, told in one set of tables.

One bad book stops no other: every row ends as made, unchanged or refused. A second run makes only
what changed; a run that was cut off, however, is taken up by the next and ends in the same bytes.
"""

import os
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import replace
from pathlib import Path
from typing import Any

from cutfiles.bench.film import Film
from cutfiles.bench.films import kinds_on
from cutfiles.disk.files import check_as_read, end_journal, folder_at, put, update
from cutfiles.disk.names import safe_name
from cutfiles.disk.refusals import told
from cutfiles.disk.sets import Held, held
from cutfiles.disk.system import state, sum_of
from cutfiles.errors import Fault, Place
from cutfiles.exhibit.films import choose_films
from cutfiles.exhibit.page import exhibit_page
from cutfiles.exhibit.pieces import owner_of, pieces_of, place_of
from cutfiles.exhibit.plan import ExhibitPlan, bounded, require_ready
from cutfiles.exhibit.prints import exhibit_prints
from cutfiles.exhibit.results import ExhibitResult, SheetResult, SupportResult
from cutfiles.exhibit.state import (
    JOURNAL,
    RECORD,
    Known,
    clear_stale,
    entry_of,
    load,
    note,
    record_of,
)
from cutfiles.exhibit.tables import exhibit_tables
from cutfiles.exhibit.work import Done, SheetTask, SupportTask, make_sheet, make_support
from cutfiles.exhibit.workers import each, pool_of
from cutfiles.film.layout import Layout, film_taken, lay_out, offcuts
from cutfiles.film.shelf import booked_text
from cutfiles.job.names import clashes, number_of, recorded
from cutfiles.lists.ledger import BookList, ListRow, read_list

Progress = Callable[[str, int, int], None]
"""Called with what is being made, how many are done, and how many there are."""


def make_exhibit(
    books: BookList | str | os.PathLike[str],
    folder: str | os.PathLike[str],
    plan: ExhibitPlan | None = None,
    *,
    executor: Executor | None = None,
    workers: int = 1,
    progress: Progress | None = None,
) -> ExhibitResult:
    """Make all supports of a list, their sheets, a page and tables, in a folder.

    Args:
        books: a list as read, or the path of one.
        folder: where; supports/ and sheets/ are made in it.
        plan: what is wanted beside; without it the usual.
        executor: any executor of `concurrent.futures` to work in.
        workers: without one, how many processes to start; 1 works in this one. A script that
            starts processes needs ``if __name__ == "__main__":`` around its own work.
        progress: called as the work goes on.

    Raises:
        FileError: the list cannot be read, or the folder cannot be written or holds others' files;
            or no coupon was judged for the film lot.
        FormatError: the cutter's profile lacks what every sheet would be refused for.

    """
    if plan is not None:
        require_ready(plan)
    if not isinstance(books, BookList):
        books = read_list(books, films=plan.order.films if plan else ())
    plan = bounded(plan or ExhibitPlan(name=Path(books.name).stem))
    to = folder_at(folder)
    with held(to, "exhibit") as record:
        with told(to):
            known = load(to)
        run = _Run(books, to, plan, known, record, progress or _silent)
        with pool_of(executor, workers, len(books.rows)) as pool:
            done = run.make(pool)
        end_journal(to / JOURNAL)
    return done


def _silent(what: str, done: int, total: int) -> None:
    del what, done, total


class _Run:
    """One run over one list: what is known, what is made, what is written at its end."""

    def __init__(
        self,
        books: BookList,
        to: Path,
        plan: ExhibitPlan,
        known: Known,
        record: Held,
        progress: Progress,
    ) -> None:
        self.books, self.to, self.plan, self.known = books, to, plan, known
        self.record, self.journal, self.progress = record, to / JOURNAL, progress
        self.table_sum = ""
        if plan.table is not None:
            self.table_sum = plan.at_hand.checksum or state(plan.table).digest
            check_as_read(plan.table, self.table_sum)
        self.made: dict[str, dict[str, dict[str, Any]]] = {
            "supports": {},
            "sheets": {},
            "lists": {},
        }

    def make(self, pool: Executor | None) -> ExhibitResult:
        """Make all; tables, page and record go to disk last."""
        at_hand = self.plan.at_hand
        kinds = at_hand.kinds or kinds_on(at_hand.shelf)
        slips = {
            row.row: row.slip if row.slip.films else replace(row.slip, films=kinds)
            for row in self.books.rows
            if row.slip
        }
        self.chosen = choose_films(slips, self.plan.order.trials, pool)
        supports, changed = self._supports(pool)
        layout = self._layout(supports)
        sheets = self._sheets(layout, pool)
        supports = _on_sheets(supports, layout, sheets)
        result = ExhibitResult(
            name=self.plan.name,
            books=self.books,
            supports=supports,
            sheets=sheets,
            layout=layout,
            changed=changed,
            films=self.chosen.films,
            unserved=self.chosen.unserved,
        )
        self._lists(result)
        with told(self.to):
            removed, left = clear_stale(self.known, self.made, self.to)
            before = {RECORD: (state(self.to / RECORD).digest,)}
        self._update_table(layout)
        self.record.put({RECORD: record_of(self.plan.name, self.made)}, before)
        return replace(result, removed=tuple(removed), left=tuple(left))

    # -- supports --------------------------------------------------------------------------------

    def _supports(self, pool: Executor | None) -> tuple[tuple[SupportResult, ...], tuple[str, ...]]:
        folder = folder_at(self.to, "supports")
        twins = _clashing_names(self.books, self.known, folder)
        results: dict[int, Done] = {}
        states: dict[int, str] = {}
        tasks: list[SupportTask] = []
        for row in self.books.rows:
            if row.slip is None or row.row in twins:
                continue
            task = SupportTask(
                row=row.row,
                slip=self.chosen.slips[row.row],
                order=self.plan.order,
                folder=str(folder),
                journal=str(self.journal),
            )
            before = self.known.unchanged("supports", row.number, task.key, folder)
            if before is None:
                tasks.append(task)
            else:
                results[row.row], states[row.row] = before, "unchanged"
        count = len(results)
        total = count + len(tasks)
        changed: list[str] = []
        for task, done in each(pool, make_support, tasks):
            results[task.row], states[task.row] = done, "made"
            count += 1
            self.progress("supports", count, total)
            if done.faults:
                continue
            note(self.journal, "supports", done)
            if line := _changed(self.known.entries["supports"].get(done.name), done):
                changed.append(line)
        out = []
        for row in self.books.rows:
            finished = results.get(row.row)
            faults = (*row.faults, *twins.get(row.row, ()), *(finished.faults if finished else ()))
            if finished and not faults:
                self.made["supports"][finished.name] = entry_of(finished)
            out.append(_result(row, finished, faults, states.get(row.row), self.plan.spares))
        return tuple(out), tuple(sorted(changed))

    # -- sheets ----------------------------------------------------------------------------------

    def _layout(self, supports: Sequence[SupportResult]) -> Layout:
        pieces = [piece for s in supports if s.facts for piece in pieces_of(s, s.facts)]
        self.progress("nesting", 0, 1)
        films = self.plan.at_hand.for_exhibit(self.plan.name)
        layout = lay_out(pieces, films, self.plan.rules)
        self.progress("nesting", 1, 1)
        return layout

    def _sheets(self, layout: Layout, pool: Executor | None) -> tuple[SheetResult, ...]:
        slips = {row.number: self.chosen.slips[row.row] for row in self.books.rows if row.slip}
        folder = folder_at(self.to, "sheets")
        tasks: list[SheetTask] = []
        results: dict[str, tuple[Done, bool]] = {}
        for index, sheet in enumerate(layout.sheets, start=1):
            number = f"sheet-{index:03d}"
            task = SheetTask(
                number=number,
                title=f"{self.plan.name}, {number}",
                gauge=sheet.gauge,
                size=(sheet.width, sheet.height),
                margin=self.plan.rules.margin,
                places=tuple(place_of(slips, lying) for lying in sheet.pieces),
                order=self.plan.order,
                folder=str(folder),
                journal=str(self.journal),
                known=self.known.files("sheets", number),
            )
            before = self.known.unchanged("sheets", number, task.key, folder)
            if before is None:
                tasks.append(task)
            else:
                results[number] = (before, True)
        count, total = len(results), len(layout.sheets)
        for task, done in each(pool, make_sheet, tasks):
            results[task.number] = (done, False)
            count += 1
            self.progress("sheets", count, total)
            if not done.faults:
                note(self.journal, "sheets", done)
        out: list[SheetResult] = []
        for index, sheet in enumerate(layout.sheets, start=1):
            done, same = results[f"sheet-{index:03d}"]
            if not done.faults:
                self.made["sheets"][done.name] = entry_of(done)
            out.append(
                SheetResult(
                    number=done.name,
                    film=sheet.film,
                    gauge=sheet.gauge,
                    width=sheet.width,
                    height=sheet.height,
                    pieces=sheet.pieces,
                    used=sheet.used,
                    state="refused" if done.faults else "unchanged" if same else "made",
                    faults=done.faults,
                    files=done.files,
                    findings=done.findings,
                    time=done.time,
                )
            )
        return tuple(out)

    # -- what is written last --------------------------------------------------------------------

    def _lists(self, result: ExhibitResult) -> None:
        tables = {**exhibit_tables(result), "index.html": exhibit_page(result)}
        if self.plan.order.paper is not None:
            tables |= exhibit_prints(result, self.plan.order.paper)
        done = Done(name="lists", key="", files={n: sum_of(data) for n, data in tables.items()})
        note(self.journal, "lists", done)
        known = self.known.files("lists", "lists")
        put(self.to, "lists", tables, known, replace=self.plan.order.replace)
        self.made["lists"]["lists"] = entry_of(done)

    def _update_table(self, layout: Layout) -> None:
        if self.plan.table is None:
            return
        data = booked_text(
            self.plan.at_hand,
            self.plan.name,
            dict(film_taken(layout)),
            list(offcuts(layout, self.plan.rules, self.plan.name)),
        )
        if sum_of(data) != self.table_sum:
            update(self.plan.table, data, self.table_sum)


def _result(
    row: ListRow, done: Done | None, faults: tuple[Fault, ...], state: str | None, spares: int
) -> SupportResult:
    if faults or done is None or state is None:
        return SupportResult(
            row=row.row,
            number=row.number,
            state="refused",
            copies=row.copies,
            values=row.values,
            faults=faults,
        )
    return SupportResult(
        row=row.row,
        number=row.number,
        state="unchanged" if state == "unchanged" else "made",
        copies=row.copies + spares,
        values=row.values,
        facts=done.facts,
    )


def _clashing_names(books: BookList, known: Known, folder: Path) -> dict[int, tuple[Fault, ...]]:
    """Return faults of rows whose supports may share a file's name: with a row, or in the folder.

    What an earlier run made of the same list is not counted: it gives way.
    """
    rows = [row for row in books.rows if row.slip is not None]
    names = [safe_name(row.number) for row in rows]
    ours = {*names, *(safe_name(number) for number in known.entries["supports"])}
    others = [name for name in recorded(folder) if name not in ours]
    met: dict[int, list[str]] = {}
    for one, two in clashes([*names, *others]):
        for place, twin in ((one, two), (two, one)):
            if place >= len(rows):
                continue
            if twin < len(rows):
                met.setdefault(place, []).append(f"row {rows[twin].row}")
            elif number := number_of(folder / f"{others[twin - len(rows)]}.json"):
                met.setdefault(place, []).append(f'the support "{number}" in {folder.name}')
    return {
        rows[place].row: (
            Fault(
                Place(file=books.name, row=rows[place].row),
                f'the number "{rows[place].number}", whose files are named as those of '
                + ", ".join(twins),
                "each support has files of its own",
                "give one of them another number",
            ),
        )
        for place, twins in met.items()
    }


def _changed(before: Mapping[str, Any] | None, done: Done) -> str:
    """Return one line on a support that was made before, and differently."""
    if before is None or before["key"] == done.key or done.facts is None:
        return ""
    old, new = before.get("facts") or {}, done.facts
    said = [
        f"{name} {old[key]:g} → {getattr(new, key):g}{unit}"
        for key, name, unit in (
            ("width", "length", " mm"),
            ("height", "breadth", " mm"),
            ("gauge", "gauge", " mm"),
            ("opening_angle", "opening", "°"),
            ("left_slope", "left slope", "°"),
            ("right_slope", "right slope", "°"),
        )
        if key in old and old[key] != getattr(new, key)
    ]
    return f"{done.name}: " + (", ".join(said) or "made anew")


def _on_sheets(
    supports: tuple[SupportResult, ...], layout: Layout, sheets: tuple[SheetResult, ...]
) -> tuple[SupportResult, ...]:
    """Say of each support on which sheets it lies, or why on none."""
    where: dict[str, list[str]] = {}
    nowhere: dict[str, str] = {}
    for sheet in sheets:
        for piece in sheet.pieces:
            number, _ = owner_of(piece.name)
            if sheet.faults:
                nowhere[number] = f"{sheet.number}, which holds it, could not be made"
            else:
                where.setdefault(number, []).append(sheet.number)
    for one in layout.unplaced:
        gauge = Film(gauge=one.piece.gauge).gauge_text
        nowhere[owner_of(one.piece.name)[0]] = (
            f"a piece of {one.piece.width:.0f} × {one.piece.height:.0f} mm, {gauge}: {one.found}; "
            f"it needs {one.needed}"
        )
    return tuple(
        replace(
            support,
            sheets=tuple(dict.fromkeys(where.get(support.number, ()))),
            unplaced=nowhere.get(support.number, ""),
        )
        if support.facts
        else support
        for support in supports
    )
