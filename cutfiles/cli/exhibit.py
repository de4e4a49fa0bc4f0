"""`cutfiles exhibit`: dozens of supports from one list."""

import os
import sys
import time
from typing import TYPE_CHECKING

import click

from cutfiles.cli.common import (
    REFUSED,
    chosen_formats,
    cutter_of,
    cutter_options,
    format_option,
    options_from,
    paper_option,
    refuse,
)
from cutfiles.errors import CutfilesError

if TYPE_CHECKING:
    from cutfiles.bench.films import FilmAtHand
    from cutfiles.exhibit.results import ExhibitResult
    from cutfiles.exhibit.run import ExhibitPlan
    from cutfiles.machine.profile.cutter import Cutter
    from cutfiles.report.printed.paper import PaperName

EFFORTS = {"quick": 800_000, "usual": 8_000_000, "thorough": 60_000_000}
INTERRUPTED = 130


@click.command("exhibit", no_args_is_help=True)
@click.argument("path", metavar="LIST", type=click.Path())
@click.option(
    "--to",
    "folder",
    required=True,
    metavar="DIR",
    type=click.Path(file_okay=False),
    help="folder for all that is made",
)
@click.option(
    "--stock",
    "stocks",
    multiple=True,
    metavar="STOCK",
    help="a stock file, which is updated; or film of any gauge, as in 'roll 1016 mm' or "
    "'sheet 610 mm x 1016 mm' (may be repeated); default: rolls 1016 mm wide",
)
@click.option(
    "--units",
    type=click.Choice(["mm", "cm", "in"]),
    help="what bare lengths count in where neither cell nor column says it",
)
@click.option(
    "--mapping",
    type=click.Path(),
    metavar="FILE",
    help="what the columns hold, as cutfiles list --save-mapping writes it",
)
@format_option
@click.option("--bed", metavar="WxL", help="the largest sheet the cutter takes: '600x1000 mm'")
@click.option(
    "--longest",
    metavar="LENGTH",
    default="1500 mm",
    show_default=True,
    help="longest sheet cut off a roll",
)
@click.option(
    "--margin",
    metavar="LENGTH",
    default="10 mm",
    show_default=True,
    help="between pieces and the film's edge",
)
@click.option(
    "--spacing", metavar="LENGTH", default="3 mm", show_default=True, help="between two pieces"
)
@click.option(
    "--spares",
    type=click.IntRange(0, 20),
    default=0,
    show_default=True,
    help="how many more of each support are cut",
)
@click.option(
    "--effort",
    type=click.Choice(list(EFFORTS)),
    default="usual",
    show_default=True,
    help="how long to search for a layout that takes less film",
)
@click.option(
    "--workers",
    type=click.IntRange(1, 256),
    default=None,
    show_default="one a processor",
    help="processes to work in",
)
@click.option("--name", metavar="NAME", help="of the exhibit; default: the list's name")
@click.option("--replace", is_flag=True, help="also replace files that others made or changed")
@click.option("--json", "as_json", is_flag=True, help="print the result as data")
@click.option("--no-sheet", is_flag=True, help="leave bench sheets and printed sheets out")
@paper_option
@cutter_options
def command(
    path: str,
    folder: str,
    stocks: tuple[str, ...],
    units: str | None,
    mapping: str | None,
    formats: tuple[str, ...],
    bed: str | None,
    longest: str,
    margin: str,
    spacing: str,
    spares: int,
    effort: str,
    workers: int | None,
    name: str | None,
    replace: bool,
    as_json: bool,
    no_sheet: bool,
    paper: "PaperName",
    cutter: str | None,
    lot: str,
    hpgl_range: int,
    pens: tuple[str, ...],
) -> None:
    """Make all supports of a list of books (CSV, XLSX or ODS), nested on sheets.

    In DIR: supports/ with every support's files, sheets/ with the sheets ready to cut, index.html
    to look through, supports.csv and .json, order.csv, cutting.csv, install.csv,
    case, strap and cut sheets to print, import.csv with each cell read differently from how it
    stood, and report.txt with what could not be made and why. A second run makes only what
    changed. See first how the list is read: cutfiles list LIST.

    \b
    cutfiles exhibit objects.xlsx --to out
    cutfiles exhibit objects.csv --units in --stock film.toml --bed "600x1000 mm" --to out

    \b
    A stock file, in which offcuts are offered first:
        [[roll]]                      [[sheet]]               [[offcut]]
        gauge = "5 mil"               gauge = "3 mil"         gauge = "5 mil"
        width = "1016 mm"             width = "610 mm"        width = "400 mm"
        length = "30 m"               length = "1016 mm"      length = "700 mm"
        price = 9.50  # a metre       count = 20
    Where the grain matters: creases = "along" or "across" the film's length. What an exhibit takes
    and the offcuts it leaves are kept at the file's end, by the exhibit's name.

    \b
    Knives: stand to cut, free hand out of the blade's path. Lasers: extraction on, watch the
    whole run. The machine's manual comes first; a conservator decides how far a book opens.
    """
    from cutfiles.cli.list import known_columns
    from cutfiles.lists.ledger import read_list

    if cutter and (bed or pens):
        raise click.UsageError("bed and pens stand in the profile that --cutter names")
    if lot and not cutter:
        raise click.UsageError("--lot needs --cutter: the profile knows what its coupon has shown")
    try:
        options = options_from(hpgl_range, pens, bed)
        books = read_list(path, known_columns(mapping, units))
        plan = _plan(
            name or os.path.splitext(os.path.basename(path))[0],
            stocks,
            (margin, spacing, longest),
            spares,
            EFFORTS[effort],
        )
        plan = _with_making(
            plan,
            chosen_formats(formats),
            options,
            replace,
            None if no_sheet else paper,
            cutter_of(cutter),
            lot,
        )
        done = _run(books, folder, plan, workers or os.cpu_count() or 1)
    except CutfilesError as error:
        refuse(error)
    except KeyboardInterrupt:
        click.echo("\nstopped; run it again to go on from here", err=True)
        sys.stderr.flush()
        os._exit(INTERRUPTED)
    _tell(done, folder, as_json)
    if not done.complete:
        sys.exit(REFUSED)


def _plan(
    name: str, stocks: tuple[str, ...], lengths: tuple[str, str, str], spares: int, effort: int
) -> "ExhibitPlan":
    from cutfiles.errors import ReadingError
    from cutfiles.exhibit.run import ExhibitPlan
    from cutfiles.film.layout import Rules
    from cutfiles.units import read_length

    read = []
    limits = {"margin": (4.0, 200.0), "spacing": (0.0, 200.0), "longest": (140.0, 100_000.0)}
    for (option, (least, most)), text in zip(limits.items(), lengths, strict=True):
        try:
            value = read_length(text)
            if not least <= value <= most:
                raise ReadingError(f'"{text}"', f"from {least:g} to {most:g} mm", "choose another")
        except ReadingError as error:
            raise click.BadParameter(str(error), param_hint=f"--{option}") from None
        read.append(value)
    stock, path = _stock(stocks)
    rules = Rules(margin=read[0], spacing=read[1], longest=read[2], effort=effort)
    return ExhibitPlan(name=name, rules=rules, stock=stock, stock_path=path, spares=spares)


def _stock(stocks: tuple[str, ...]) -> "tuple[FilmAtHand, str | None]":
    from cutfiles.bench.films import USUAL_SHELF, FilmAtHand, read_films
    from cutfiles.errors import ReadingError
    from cutfiles.film.shelf import supply_from_text

    files = [text for text in stocks if not text.startswith(("roll ", "sheet "))]
    if len(files) > 1 or (files and len(stocks) > 1):
        raise click.BadParameter("name one stock file and nothing beside it", param_hint="--stock")
    if files:
        return read_films(files[0]), files[0]
    if not stocks:
        return USUAL_SHELF, None
    try:
        shelf = tuple(supply_from_text(text) for text in dict.fromkeys(stocks))
    except ReadingError as error:
        raise click.BadParameter(str(error), param_hint="--stock") from None
    return FilmAtHand(shelf=shelf), None


def _with_making(
    plan: "ExhibitPlan",
    formats: tuple[str, ...] | None,
    options: object,
    replace_: bool,
    paper: "PaperName | None",
    cutter: "Cutter | None",
    lot: str,
) -> "ExhibitPlan":
    """Add formats and cutter; the bed, and the range of HP-GL where it is named, bound sheets."""
    from dataclasses import replace

    from cutfiles.exhibit.work import Making
    from cutfiles.files.formats import FORMATS, Options

    assert isinstance(options, Options)
    bed = options.bed
    for key in formats or ():
        limit = FORMATS[key].largest(options)
        if limit is not None:
            bed = (min(bed[0], limit), min(bed[1], limit)) if bed else (limit, limit)
    if cutter is not None:
        across, along = cutter.bed.reach
        along = along if cutter.bed.tiles == "none" else plan.rules.longest
        bed = (across, along)
    # a support's own files may be larger than the bed: it is the sheets that are cut
    making = Making(
        formats=formats,
        options=replace(options, bed=None),
        replace=replace_,
        paper=paper,
        cutter=cutter,
        lot=lot,
    )
    return replace(plan, making=making, rules=replace(plan.rules, bed=bed))


def _run(books: object, folder: str, plan: "ExhibitPlan", workers: int) -> "ExhibitResult":
    from cutfiles.exhibit.run import make_exhibit
    from cutfiles.lists.ledger import BookList

    assert isinstance(books, BookList)
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
    from cutfiles.exhibit.tables import report_text, support_data

    if as_json:
        import json

        data = {
            "counts": dict(done.counts),
            "supports": [support_data(s) for s in done.supports],
            "sheets": [s.number for s in done.sheets],
            "changed": list(done.changed),
            "removed": list(done.removed),
            "left": list(done.left),
        }
        click.echo(json.dumps(data, ensure_ascii=False, indent=2))
        return
    for line in done.changed:
        click.echo(f"changed    {line}")
    for name in done.removed:
        click.echo(f"removed    {name}, which held other measures")
    for name in done.left:
        click.echo(f"left alone {name} is out of date, but was changed since it was made", err=True)
    click.echo(report_text(done))
    said = ", ".join(f"{count} {state}" for state, count in done.counts.items())
    click.echo(f"\nthis run: {said}\nlook at {os.path.join(folder, 'index.html')}")
