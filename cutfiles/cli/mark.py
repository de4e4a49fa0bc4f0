"""`cutfiles mark`: how far the sheets and supports of an exhibit are."""

import shlex
from typing import TYPE_CHECKING, get_args

import click

from cutfiles.cli.common import refuse
from cutfiles.cli.options import GroupedCommand
from cutfiles.errors import CutfilesError
from cutfiles.exhibit.stages import Marked

if TYPE_CHECKING:
    from cutfiles.exhibit.mark import MarkedSo


@click.command("mark", cls=GroupedCommand, no_args_is_help=True)
@click.argument("folder", metavar="DIR", type=click.Path(file_okay=False))
@click.argument("stage", metavar="STAGE", type=click.Choice(get_args(Marked)))
@click.argument("names", nargs=-1, required=True, metavar="NUMBER...")
@click.option("--date", default="", help="the day, as 2026-03-02; needed")
@click.option("--initials", default="", help="of who did it; needed")
@click.option("--note", default="", help="what was seen")
def command(
    folder: str, stage: str, names: tuple[str, ...], date: str, initials: str, note: str
) -> None:
    """Mark how far sheets and supports of an exhibit are.

    STAGE is cut, folded, installed or withdrawn; planned takes a mark back. A sheet is cut as a
    whole, and once it is, no later run touches it: what changes, comes late or is dropped changes
    sheets that are not cut yet. That a support is proved is never marked: it follows from your
    record of trials alone (cutfiles trial).

    \b
    cutfiles mark out cut sheet-001 sheet-002 --date 2026-03-02 --initials AB
    cutfiles mark out folded A1 A2 --date 2026-03-03 --initials AB
    cutfiles mark out withdrawn B4 --date 2026-03-09 --initials CD \\
        --note "not lent"

    The marks stand in stages.csv of that folder. Run the exhibit again to have them in its page
    and tables.
    """
    from cutfiles.exhibit.mark import mark

    given = {"--date": date, "--initials": initials}
    if missing := [name for name, text in given.items() if not text.strip()]:
        raise click.UsageError(f"{' and '.join(missing)} missing: both stand with every mark")
    word = next(one for one in get_args(Marked) if one == stage)
    try:
        done = mark(folder, word, names, date=date, initials=initials, note=note)
    except CutfilesError as error:
        refuse(error)
    _tell(done, folder, word)


def _tell(done: "MarkedSo", folder: str, stage: Marked) -> None:
    for one in done.marks:
        if one.number:
            click.echo(f"{one.number} is {one.stage}")
    for sheet, numbers in done.frozen.items():
        on = ", ".join(numbers)
        if stage == "cut":
            click.echo(f"{sheet} is cut and stays as it is, with {on} on it")
            continue
        back = f"cutfiles mark {shlex.quote(folder)} planned {sheet} NUMBER --date … --initials …"
        click.echo(f"{sheet} counts as cut now, with {on} on it; a mistake? take it back: {back}")
    for sheet in done.freed:
        click.echo(f"{sheet} is no longer marked as cut; a later run may lay it anew")
    if done.unproved:
        click.echo(
            f"not proved when the exhibit was last made: {', '.join(done.unproved)}; before a book "
            "lies on a support it stands empty, then with its dummy for 24 h; what stood since is "
            "known after a run with --trials",
            err=True,
        )
    if not done.marks:
        click.echo("marked so already")
