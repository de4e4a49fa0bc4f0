"""`cutfiles slip`: a blank slip to fill in at the bench."""

from typing import TYPE_CHECKING

import click

from cutfiles.cli.common import by_path, refuse
from cutfiles.cli.options import GroupedCommand, options, slip_fields
from cutfiles.cli.taken import is_taken

if TYPE_CHECKING:
    from cutfiles.report.printed.paper import PaperName
    from cutfiles.units import Units


@click.command("slip", cls=GroupedCommand)
@click.argument("path", required=False, metavar="[FILE]", type=click.Path())
@options("--paper")
@slip_fields
def command(path: str | None, paper: "PaperName", **measures: str | None) -> None:
    """Write a blank, commented slip to FILE, or print it; options fill in what is known.

    A FILE that ends in .pdf is the slip to print: drawings of what to measure, lines to write on.

    \b
    cutfiles slip measuring.pdf --paper Letter
    cutfiles slip > A1.toml
    cutfiles slip A1.toml --number A1 --title "Garden calendar" --units in
    """
    from cutfiles.bench.blank import blank_slip
    from cutfiles.units import UNITS

    if path is not None and path.lower().endswith(".pdf"):
        from cutfiles.report.printed.measuring_card import measuring_card

        if given := [name for name, value in measures.items() if value and not is_taken(name)]:
            option = "--" + given[0].removeprefix("support_").replace("_", "-")
            raise click.UsageError(f"{option} fills in a slip file; the printed slip is blank")
        _write(path, measuring_card(paper))
        click.echo(f"{path}: print it at 100 %, fill it in at the bench")
        return
    known = by_path(measures)
    units = next((u for u in UNITS if u == known.get("units", "mm")), None)
    if units is None:
        raise click.UsageError("--units is mm, cm or in")
    _check(known, units)
    text = blank_slip(units, known)
    if path is None:
        click.echo(text, nl=False)
        return
    _write(path, text.encode())
    click.echo(f"{path}: fill it in, then: cutfiles make {path}")


def _check(known: dict[str, str], units: "Units") -> None:
    """Refuse values that no slip could hold, all together."""
    from cutfiles.bench.fields import SLIP
    from cutfiles.errors import Place, SlipError
    from cutfiles.tables.record import nested, read_record

    record = read_record(SLIP, nested(known), Place(option=True), units)
    faults = tuple(fault for fault in record.faults if fault.key != "fill-in")
    if faults:
        refuse(SlipError(faults))


def _write(path: str, data: bytes) -> None:
    from cutfiles.disk.files import write_new
    from cutfiles.errors import CutfilesError

    try:
        write_new(path, data, "a slip is written to a new file")
    except CutfilesError as error:
        refuse(error)
