"""Many supports from one list: made, nested on shared sheets, told in one set of tables.

One bad book stops no other: every row ends as made, unchanged or refused. A second run makes only
what changed; a run that was cut off, however, is taken up by the next and ends in the same bytes.
"""

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import replace
from pathlib import Path

from cutfiles.bench.films import kinds_on
from cutfiles.bench.slip import Slip
from cutfiles.disk.files import add_line, check_as_read, end_journal, folder_at, put, update
from cutfiles.disk.refusals import told
from cutfiles.disk.sets import Held, held
from cutfiles.disk.system import state, sum_of
from cutfiles.exhibit.changes import Before, change_report, changed_supports, waste_on
from cutfiles.exhibit.compared import Compared, compared
from cutfiles.exhibit.entries import JOURNAL, RECORD
from cutfiles.exhibit.films import MadeSo, choose_films
from cutfiles.exhibit.lists import lists_of
from cutfiles.exhibit.memory import Memory, memory_lines, read_memory, remember
from cutfiles.exhibit.outcome import Lie, clashing_names, is_laid, on_sheets, result_of
from cutfiles.exhibit.pieces import owner_of, owners, pieces_of, place_of
from cutfiles.exhibit.plan import ExhibitPlan, bounded, require_ready
from cutfiles.exhibit.results import ExhibitResult, SheetResult, SupportResult, Told
from cutfiles.exhibit.sheets import rules_text, sheet_name, with_film
from cutfiles.exhibit.stages import read_stages, require_known
from cutfiles.exhibit.state import (
    LISTS,
    Kind,
    Known,
    Made,
    booked_name,
    clear_stale,
    load,
    note,
    note_booked,
    record_of,
)
from cutfiles.exhibit.work import (
    Done,
    SheetTask,
    SupportTask,
    Task,
    make_sheet,
    make_support,
    with_own_edits,
)
from cutfiles.exhibit.workers import each, pool_of
from cutfiles.film.compare import film_missing
from cutfiles.film.late import KeptSheet, Relaid, Work, relay
from cutfiles.film.layout import Piece, film_taken, offcuts
from cutfiles.film.shelf import booked_text
from cutfiles.lists.ledger import BookList, read_list

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

    What is known of a support at length (`SupportFacts.told`: its picture, its files and so on) is
    kept on disk alone, and read from the folder's record each time it is asked for.

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
        known.entries.end()
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
        self.stages = read_stages(to)
        self.memory = Memory() if plan.memory is None else read_memory(plan.memory)
        require_known(self.stages, (sheet_name(one.number) for one in known.before.sheets), to)
        self.booked, self.rules = booked_name(known, plan), rules_text(plan.rules)
        self.shelf, self.pieces = plan.at_hand.for_exhibit(self.booked), list[Piece]()
        self.table_sum = ""
        if plan.table is not None:
            self.table_sum = plan.at_hand.checksum or state(plan.table).digest
            check_as_read(plan.table, self.table_sum)
        self.made = Made()

    def make(self, pool: Executor | None) -> ExhibitResult:
        """Make all; tables, page and record go to disk last."""
        if self.known.begun:
            add_line(self.journal, "")  # its last line may be cut off: what follows begins anew
        slips = {row.row: row.slip for row in self.books.rows if row.slip}
        self.chosen = choose_films(
            self._among_films(slips), self.plan.order.trials, pool, self._made_so()
        )
        supports = self._supports(pool)
        relaid = self._layout(supports, pool)
        sheets = self._sheets(relaid.sheets, pool)
        lie = Lie(
            sheets=sheets,
            unplaced=relaid.unplaced,
            stages=self.stages,
            trials=self.plan.order.trials,
            anyway=self.plan.order.anyway,
        )
        supports = on_sheets(supports, lie)
        uncut = [one.laid for one in relaid.sheets if not one.frozen]
        spread = pool.map if pool else None
        saved = compared(self.known.before.saved, uncut, self.pieces, self.plan.rules, spread)
        left = self._left(supports, relaid.sheets, saved)
        result = ExhibitResult(
            name=self.plan.name,
            books=self.books,
            supports=supports,
            sheets=sheets,
            changed=tuple(sorted(changed_supports(self.known.before, supports))),
            report=left.said,
            new_report=left.said != self.known.before.said,
            booked=self.booked,
            reuse=tuple(memory_lines(self.memory, supports, slips, self.booked)),
            shelf=self.shelf,
            missing=film_missing(relaid.unplaced, self.shelf, self.plan.rules),
            savings=saved.savings(uncut),
            films=self.chosen.films,
            kinds=self.chosen.told,
            unserved=self.chosen.unserved,
            cutter=self.plan.order.cutter.name if self.plan.order.cutter else "",
            fold_minutes=self.plan.fold_minutes,
        )
        self._lists(result, pool)
        with told(self.to):
            removed, stay = clear_stale(self.known, self.made, self.to)
            before = {RECORD: (state(self.to / RECORD).digest,)}
        self._update_table(relaid.sheets)
        if self.plan.memory is not None:
            remember(self.plan.memory, self.memory, result)
        self.record.put({RECORD: record_of(self.plan.name, self.made, left)}, before)
        return replace(result, removed=tuple(removed), left=tuple(stay))

    def _among_films(self, slips: Mapping[int, Slip]) -> dict[int, Slip]:
        """Return slips with the film at hand to choose among, where they name none."""
        at_hand = self.plan.at_hand
        kinds = at_hand.kinds or kinds_on(at_hand.shelf)
        return {row: one if one.films else replace(one, films=kinds) for row, one in slips.items()}

    def _left(
        self, supports: Sequence[SupportResult], kept: tuple[KeptSheet, ...], saved: Compared
    ) -> Before:
        """Return what the next run finds, the report of what changed among it."""
        before = self.known.before
        waste = waste_on(kept, self.pieces)
        said = change_report(before, supports, kept, waste, self.rules)
        return Before(
            sheets=kept,
            said=(*before.said, said) if said else before.said,
            rules=self.rules,
            name=self.booked,
            last=max((before.last, *(one.number for one in kept))),
            waste=waste,
            saved=saved,
        )

    def _made_so(self) -> dict[int, MadeSo]:
        """Return how supports were made by the last run: so they stay, where that holds."""
        before, cut = self.known.before, {*self.stages.cut}
        on_cut, elsewhere = set[str](), set[str]()
        for sheet in before.sheets:
            lie = on_cut if sheet_name(sheet.number) in cut else elsewhere
            lie.update(owners(sheet.laid.pieces))
        return {
            row.row: MadeSo(
                facts.way, facts.gauge, cut=row.number in on_cut, whole=row.number not in elsewhere
            )
            for row in self.books.rows
            if (facts := before.facts.get(row.number))
            and (row.number in on_cut or not self.plan.anew)
        }

    def _each(
        self,
        kind: Kind,
        work: Callable[[Task], Done],
        tasks: Sequence[Task],
        pool: Executor | None,
        ready: int = 0,
    ) -> Iterator[tuple[Task, Done, bool]]:
        """Yield each task with what came of it, and whether an earlier run had done it.

        Args:
            kind: of the tasks.
            work: does one, in any process.
            tasks: of all that is not ready.
            pool: to work in.
            ready: how many more of this kind there are, which need nothing done.

        """
        due: list[Task] = []
        for task in tasks:
            before = self.known.unchanged(kind, task.number, task.key, Path(task.folder))
            if before is None:
                due.append(task)
            elif before.facts and isinstance(before.facts.teller, Told):  # of another program
                yield task, note(self.known, kind, before), True
            else:
                yield task, before, True
        total = ready + len(tasks)
        for nth, (task, done) in enumerate(each(pool, work, due), start=total - len(due) + 1):
            self.progress(kind, nth, total)
            yield task, done if done.faults else note(self.known, kind, done), False

    # -- supports --------------------------------------------------------------------------------

    def _supports(self, pool: Executor | None) -> tuple[SupportResult, ...]:
        folder = folder_at(self.to, "supports")
        twins = clashing_names(self.books, self.known, folder)
        tasks = [
            SupportTask(
                row=row.row,
                slip=self.chosen.slips[row.row],
                order=with_own_edits(self.plan.order, (row.number,)),
                folder=str(folder),
                journal=str(self.journal),
            )
            for row in self.books.rows
            if row.slip is not None and row.row not in twins
        ]
        made = {
            task.row: (done, same)
            for task, done, same in self._each("supports", make_support, tasks, pool)
        }
        out = []
        for row in self.books.rows:
            one = made.get(row.row)
            faults = (*row.faults, *twins.get(row.row, ()), *(one[0].faults if one else ()))
            if one and one[0].facts and not faults:
                self.made.supports[row.number] = one[0].facts
            out.append(result_of(row, one, faults, self.plan.spares))
        return tuple(out)

    # -- sheets ----------------------------------------------------------------------------------

    def _layout(self, supports: Sequence[SupportResult], pool: Executor | None) -> Relaid:
        """Return where all pieces lie: as in the last run, but for what changed since."""
        self.progress("nesting", 0, 1)
        order, before = self.plan.order, self.known.before
        laid = [s for s in supports if is_laid(s, self.stages, anyway=order.anyway)]
        self.pieces = [p for s in laid if s.facts for p in pieces_of(s, s.facts)]
        films = self.shelf
        anew = self.plan.anew or before.rules != self.rules
        kept = [
            replace(with_film(one, films), frozen=frozen)
            for one in before.sheets
            if (frozen := sheet_name(one.number) in self.stages.cut) or not anew
        ]
        work = Work(
            pieces=self.pieces,
            films=films,
            rules=self.plan.rules,
            owner=lambda name: owner_of(name)[0],
            spread=None if pool is None else pool.map,
        )
        relaid = relay(kept, work, before.last if kept else 0)
        self.progress("nesting", 1, 1)
        return relaid

    def _sheets(self, kept: Sequence[KeptSheet], pool: Executor | None) -> tuple[SheetResult, ...]:
        """Make the sheets that are not cut; those that are stay as they are."""
        slips = {row.number: self.chosen.slips[row.row] for row in self.books.rows if row.slip}
        folder, tasks = folder_at(self.to, "sheets"), list[SheetTask]()
        results: dict[str, tuple[Done, bool]] = {}
        for sheet in kept:
            number, laid = sheet_name(sheet.number), sheet.laid
            if sheet.frozen:
                results[number] = (self.known.cut_sheet(number, folder), True)
                continue
            places = tuple(place_of(slips, lying) for lying in laid.pieces)
            numbers = {slip.book.number for slip, *_ in places}
            tasks.append(
                SheetTask(
                    number=number,
                    title=f"{self.booked}, {number}{', for trials' if laid.apart else ''}",
                    gauge=laid.gauge,
                    size=(laid.width, laid.height),
                    margin=self.plan.rules.margin,
                    places=places,
                    order=with_own_edits(self.plan.order, numbers),
                    folder=str(folder),
                    journal=str(self.journal),
                    known=self.known.files("sheets", number),
                )
            )
        for task, done, same in self._each("sheets", make_sheet, tasks, pool, ready=len(results)):
            results[task.number] = (done, same)
        return tuple(self._sheet(sheet, *results[sheet_name(sheet.number)]) for sheet in kept)

    def _sheet(self, sheet: KeptSheet, done: Done, same: bool) -> SheetResult:
        if not done.faults:
            self.made.sheets[done.name] = done
        laid = sheet.laid
        return SheetResult(
            number=done.name,
            film=laid.film,
            gauge=laid.gauge,
            width=laid.width,
            height=laid.height,
            pieces=laid.pieces,
            used=laid.used,
            state="refused" if done.faults else "unchanged" if same else "made",
            faults=done.faults,
            files=done.files,
            findings=done.findings,
            seconds=done.seconds,
            frozen=sheet.frozen,
            apart=laid.apart,
        )

    # -- what is written last --------------------------------------------------------------------

    def _lists(self, result: ExhibitResult, pool: Executor | None) -> None:
        marked = bool(self.stages.marks)
        lists = lists_of(result, self.plan, self.known, self.to, pool, marked=marked)

        def made(sums: Mapping[str, str]) -> None:
            for done in lists.done(sums):
                self.made.lists[done.name] = note(self.known, LISTS, done)

        known = self.known.own(LISTS)
        put(self.to, LISTS, lists.files, known, replace=self.plan.order.replace, note=made)

    def _update_table(self, kept: Sequence[KeptSheet]) -> None:
        if self.plan.table is None:
            return
        note_booked(self.journal, self.booked)
        laid = {one.number: one.laid for one in kept}
        data = booked_text(
            self.plan.at_hand,
            self.booked,
            film_taken(laid.values()),
            list(offcuts(laid, self.plan.rules, self.booked)),
        )
        if sum_of(data) != self.table_sum:
            update(self.plan.table, data, self.table_sum)
