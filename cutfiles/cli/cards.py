"""`cutfiles cards`: what is printed for one or more supports."""

import sys
from typing import Any

import click

from cutfiles.cli.common import REFUSED, indented, progress, slip_of, tell_old
from cutfiles.cli.options import GroupedCommand, options, order_from
from cutfiles.cli.remedies import told
from cutfiles.errors import CutfilesError

_KINDS = ("bench", "end-view", "template", "labels")
_OLD = {"profile": "end-view"}
"""What cards were called once, still understood."""


@click.command("cards", cls=GroupedCommand, no_args_is_help=True)
@click.argument("slips", nargs=-1, required=True, metavar="SLIP...", type=click.Path())
@click.option(
    "--only",
    "kinds",
    multiple=True,
    metavar="CARD",
    help="bench, end-view, template or labels; several with commas; all by default",
)
@options("--paper", "--to", "--films", "--trials", "--strict", "--replace", "--machine", "--cutter")
def command(slips: tuple[str, ...], kinds: tuple[str, ...], folder: str, **given: Any) -> None:
    """Print cards for one or more supports.

    \b
    bench      a page to fold, tape and prove it by, a page for the fitting
    end-view   the end view at 1:1, to hold to the book's tail; also as SVG
    template   the pattern at 1:1 over several pages, for working by hand
    labels     for the underside of the bases, with a code anyone can read

    \b
    cutfiles cards A1.toml A2.toml --paper Letter --to out
    cutfiles cards A1.toml --only bench,end-view

    Print at 100 % and measure the 50 mm bar before you trust a page.
    """
    chosen, order = _chosen(kinds), order_from(given)
    refused = False
    used: dict[str, str] = {}
    for source in progress([slip_of(path, order.films) for path in slips]):
        try:
            slip = source()
            from cutfiles.files.names import require_new
            from cutfiles.job.deliver import deliver
            from cutfiles.job.make import make_cards

            made = make_cards(slip, chosen, order)
            require_new(made.name, slip.book.number, used, slip.source)
            used[made.name] = str(slip.source)
            done = deliver(made, folder, replace=order.replace)
        except CutfilesError as error:
            refused = True
            click.echo(f"refused: {indented(told(error))}", err=True)
            continue
        click.echo(made.draft.sheet.title)
        for file in made.files:
            state = "verified" if file.verified else "to print"
            click.echo(f"  {state:<10} {file.name}")
        tell_old([path.name for path in done.removed], [path.name for path in done.left])
        click.echo(f"  in         {folder}\n")
    if refused:
        sys.exit(REFUSED)


def _chosen(kinds: tuple[str, ...]) -> tuple[str, ...]:
    """Return the cards named, each once, in the order of the work; all where none is."""
    words = [word.strip().lower() for word in ",".join(kinds).split(",") if word.strip()]
    named = [_OLD.get(word, word) for word in words]
    for word in named:
        if word not in _KINDS:
            raise click.BadParameter(
                f'"{word}" is no card; there are {", ".join(_KINDS)}', param_hint="--only"
            )
    return tuple(kind for kind in _KINDS if kind in named) or _KINDS
