"""`cutfiles make`: cut files and pictures of one or more slips."""

import os
import sys
from typing import TYPE_CHECKING, Any

import click

from cutfiles.cli import opening
from cutfiles.cli.common import REFUSED, indented, progress, sources_of, with_edits
from cutfiles.cli.options import MACHINE_FILES, GroupedCommand, options, order_from, slip_fields
from cutfiles.cli.remedies import told, words_of
from cutfiles.cli.taken import print_data, units_here
from cutfiles.errors import CutfilesError

if TYPE_CHECKING:
    from cutfiles.bench.slip import Slip
    from cutfiles.job.order import Order


@click.command("make", cls=GroupedCommand, no_args_is_help=True)
@click.argument("slips", nargs=-1, metavar="[SLIP]...", type=click.Path())
@options(
    "--to", "--open", "--format", "--png", "--paper", "--no-cards", "--json", "--films", "--trials"
)
@options("--strict", "--anyway", "--replace", *MACHINE_FILES, "--machine", "--bed")
@slip_fields
def command(slips: tuple[str, ...], folder: str, as_json: bool, **given: Any) -> None:
    """Make the cut files, pictures and bench card of one or more slips.

    Each cut file is read back and compared with the pattern before it is delivered. Without a slip,
    give the measures as options. The verdict tells whether the film carries the book: one that does
    not is made all the same and says so; a book too tall or heavy for any film is refused.

    \b
    cutfiles make A1.toml A2.toml --to out
    cutfiles make A1.toml --format svg,pdf --png
    cutfiles make A1.toml --cutter our-knife.toml     pass files for one machine
    cutfiles make --number A1 --units mm --height 203 --width 133 \\
        --spine-width 34 --opening-angle 120

    \b
    Knives: stand to cut, free hand out of the blade's path.
    Lasers: extraction on, watch the whole run. The machine's manual comes first;
    a conservator decides how far a book opens.
    """
    del given["open_it"]
    opening.require_one(len(slips))
    order = order_from(given)
    sources = sources_of(slips, given, order.films, units_here())
    results, refused = [], False
    used: dict[str, str] = {}
    paths = iter(slips or (None,))
    for source in progress(sources):
        path = next(paths)
        try:
            slip = source()
            result = _made(slip, folder, with_edits(order, path, slip.book.number), used, as_json)
        except CutfilesError as error:
            refused = True
            result = {"refused": words_of(error)}
            click.echo(f"refused: {indented(told(error))}", err=True)
        results.append(result)
    if as_json:
        print_data(results, several=len(sources) > 1)
    if refused:
        sys.exit(REFUSED)


def _made(
    slip: "Slip", folder: str, order: "Order", used: dict[str, str], as_json: bool
) -> dict[str, Any]:
    from cutfiles.job.deliver import deliver
    from cutfiles.job.make import make
    from cutfiles.job.names import require_new
    from cutfiles.report.text.made import made_data, made_table
    from cutfiles.words.verdict import sentence

    made = make(slip, order)
    require_new(made.name, slip.book.number, used, slip.source)
    used[made.name] = str(slip.source)
    done = deliver(made, folder, replace=order.replace)
    if not as_json:
        click.echo(made_table(made))
        for path in done.removed:
            click.echo(f"  removed    {path.name}, which held other measures")
        click.echo(f"  record     {done.files[-1].name}")
        click.echo(f"  in         {folder}\n")
    if not as_json and made.draft.verdict.state in ("make a trial", "another support"):
        click.echo(f"{made.name}: {sentence(made.draft.verdict, slip)}", err=True)
    for path in done.left:
        click.echo(
            f"  left alone: {path.name} holds other measures, but was changed since it was made",
            err=True,
        )
    opening.show_of(folder, made.files)
    return made_data(made, folder.replace(os.sep, "/"))
