"""`cutfiles exhibit`: dozens of supports from one list."""

import os
import sys
import time
from typing import TYPE_CHECKING, Any

import click

from cutfiles.cli import opening
from cutfiles.cli.common import INTERRUPTED, REFUSED, known_columns, refuse, with_edits
from cutfiles.cli.options import MACHINE_FILES, GroupedCommand, option, options, order_from
from cutfiles.cli.planned import PLAN, plan_from
from cutfiles.cli.remedies import worded
from cutfiles.cli.taken import is_taken, print_data
from cutfiles.disk.names import safe_name
from cutfiles.errors import CutfilesError

if TYPE_CHECKING:
    from cutfiles.exhibit.plan import ExhibitPlan
    from cutfiles.exhibit.results import ExhibitResult
    from cutfiles.lists.ledger import BookList

_MOST = 12
"""So many files that were removed are named; all of them with --json."""


@click.command("exhibit", cls=GroupedCommand, no_args_is_help=True)
@click.argument("path", metavar="LIST", type=click.Path())
@option("--to", required=True, default=None, help="folder for all that is made")
@option("--open", help="show the page to look through")
@options("--format", "--png", "--paper", "--no-cards", "--json", "--films", "--trials")
@options("--strict", "--anyway", "--replace", *MACHINE_FILES, "--machine")
@option("--bed", metavar="WxL", help="the largest sheet the cutter takes: '600x1000 mm'")
@options("--name", "--units", "--mapping", *PLAN, "--anew", "--workers")
def command(
    path: str,
    folder: str,
    as_json: bool,
    name: str | None,
    units: str | None,
    mapping: str | None,
    workers: int | None,
    anew: bool,
    open_it: bool,
    **given: Any,
) -> None:
    """Make all supports of a list of books (CSV, XLSX or ODS), nested on sheets.

    In DIR: supports/ with every support's files, sheets/ with the sheets ready to cut, index.html
    to look through, supports.csv and .json, order.csv, cutting.csv, totals.csv, install.csv,
    case, strap and cut cards to print, import.csv with each cell read differently from how it
    stood, and report.txt with what could not be made and why. A second run makes only what
    changed, and leaves sheets alone that are marked as cut (cutfiles mark): changes.txt tells
    what changed and why. See first how the list is read: cutfiles list LIST.

    \b
    cutfiles exhibit objects.xlsx --to out
    cutfiles exhibit objects.csv --units in --shelf film.toml --to out
    cutfiles exhibit objects.csv --bed "600x1000 mm" --to out

    \b
    A table of films at hand, in which offcuts are offered first:
        [[roll]]                      [[sheet]]               [[offcut]]
        gauge = "5 mil"               gauge = "3 mil"         gauge = "5 mil"
        width = "1016 mm"             width = "610 mm"        width = "400 mm"
        length = "30 m"               length = "1016 mm"      length = "700 mm"
        price = 9.50  # a metre       count = 20

    Where the grain matters: creases = "along" or "across" the film's length. What an exhibit
    takes and the offcuts it leaves are kept at the file's end, by the exhibit's name.

    \b
    Knives: stand to cut, free hand out of the blade's path.
    Lasers: extraction on, watch the whole run. The machine's manual comes first;
    a conservator decides how far a book opens.
    """
    from dataclasses import replace

    from cutfiles.exhibit.plan import left_out
    from cutfiles.lists.ledger import read_list

    order = order_from(given)
    name = name or os.path.splitext(os.path.basename(path))[0]
    if is_taken("folder"):
        folder = os.path.join(folder, safe_name(name))  # an exhibit has a folder of its own
    try:
        plan = replace(plan_from(given), name=name, order=order, anew=anew)
        films = order.films or plan.at_hand.kinds
        books = read_list(path, known_columns(mapping, units), films)
        numbers = [row.number for row in books.rows if row.slip]
        plan = replace(plan, order=with_edits(order, path, *numbers))
        for said in left_out(plan):
            click.echo(said, err=True)
        done = _run(books, folder, plan, workers or os.cpu_count() or 1)
    except CutfilesError as error:
        refuse(error)
    except KeyboardInterrupt:
        click.echo("\nstopped; run it again to go on from here", err=True)
        sys.stderr.flush()
        os._exit(INTERRUPTED)
    _tell(done, folder, as_json)
    opening.show(os.path.join(folder, "index.html"))
    if not done.complete:
        sys.exit(REFUSED)


def _run(books: "BookList", folder: str, plan: "ExhibitPlan", workers: int) -> "ExhibitResult":
    from cutfiles.exhibit.run import make_exhibit

    shown = _Bar() if sys.stderr.isatty() else None
    try:
        return make_exhibit(books, folder, plan, workers=workers, progress=shown)
    finally:
        if shown:
            shown.end()


class _Bar:
    """A line on the terminal: what is made, how many, how fast, how long it still takes."""

    def __init__(self) -> None:
        self.what, self.began, self.first, self.last = "", 0.0, 0, 0.0

    def __call__(self, what: str, done: int, total: int) -> None:
        now = time.monotonic()
        if what != self.what:
            self.what, self.began, self.first = what, now, done
        elif done < total and now - self.last < 0.1:
            return
        self.last = now
        since, made = now - self.began, done - self.first
        rate = (
            f", {made / since:.1f} a second, {(total - done) * since / made:.0f} s left"
            if (made and since > 0.5 and done < total)
            else ""
        )
        filled = "█" * (20 * done // max(1, total))
        click.echo(f"\r\033[K{what:<9} {filled:<20} {done} of {total}{rate}", nl=False, err=True)

    def end(self) -> None:
        """Clear the line."""
        click.echo("\r\033[K", nl=False, err=True)


def _tell(done: "ExhibitResult", folder: str, as_json: bool) -> None:
    from cutfiles.exhibit.tables import exhibit_data, report_text

    if as_json:
        print_data([exhibit_data(done)])
        return
    for line in done.changed:
        click.echo(f"changed    {line}")
    for name in done.removed[:_MOST]:
        click.echo(f"removed    {name}, which held what is no longer so")
    if len(done.removed) > _MOST:
        click.echo(f"removed    {len(done.removed) - _MOST} more such files")
    for name in done.left:
        click.echo(f"left alone {name} is out of date, but was changed since it was made", err=True)
    click.echo(report_text(done, worded))
    if done.report and done.new_report:
        click.echo("\n" + done.report[-1])
    said = ", ".join(f"{count} {state}" for state, count in done.counts.items())
    click.echo(f"\nthis run: {said}\nlook at {os.path.join(folder, 'index.html')}")
