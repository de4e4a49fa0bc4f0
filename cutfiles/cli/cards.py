"""`cutfiles cards`: what is printed for one or more supports."""

import sys
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import click

from cutfiles.cli import opening
from cutfiles.cli.common import REFUSED, indented, progress, slip_of, tell_old, with_edits
from cutfiles.cli.options import GroupedCommand, options, order_from
from cutfiles.cli.remedies import told
from cutfiles.cli.taken import units_here
from cutfiles.errors import CutfilesError

if TYPE_CHECKING:
    from cutfiles.draft import Draft
    from cutfiles.job.order import Order


class CardsCommand(GroupedCommand):
    """The command, whose help tells the table of cards."""

    def format_help_text(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write what the command is for, and which cards there are."""
        from cutfiles.report.printed.cards import CARDS

        super().format_help_text(ctx, formatter)
        with formatter.section("Cards"):
            formatter.write_dl([(card.key, card.told) for card in CARDS.values()])


@click.command("cards", cls=CardsCommand, no_args_is_help=True)
@click.argument("slips", nargs=-1, required=True, metavar="SLIP...", type=click.Path())
@click.option(
    "--only",
    "kinds",
    multiple=True,
    metavar="CARD",
    help="which of the cards; several with commas; all by default",
)
@click.option(
    "--label-paper",
    is_flag=True,
    help="the labels of all slips in one file, labels.pdf, on pages of labels that come off",
)
@options(
    "--paper",
    "--to",
    "--open",
    "--films",
    "--trials",
    "--strict",
    "--replace",
    "--machine",
    "--cutter",
)
def command(
    slips: tuple[str, ...], kinds: tuple[str, ...], folder: str, label_paper: bool, **given: Any
) -> None:
    """Print cards for one or more supports.

    \b
    cutfiles cards A1.toml A2.toml --paper Letter --to out
    cutfiles cards A1.toml --only bench,end-view
    cutfiles cards *.toml --only labels --label-paper

    Print at 100 % and measure the 50 mm bar before you trust a page.
    """
    del given["open_it"]
    opening.require_one(len(slips))
    chosen, order = _chosen(kinds), order_from(given)
    refused, drafts = False, []
    used: dict[str, str] = {}
    paths = iter(slips)
    for source in progress([slip_of(path, order.films, units_here()) for path in slips]):
        path = next(paths)
        try:
            slip = source()
            from cutfiles.job.deliver import deliver
            from cutfiles.job.make import make_cards
            from cutfiles.job.names import require_new
            from cutfiles.report.text.made import file_line

            own = with_edits(order, path, slip.book.number)
            made = make_cards(slip, chosen, own)
            require_new(made.name, slip.book.number, used, slip.source)
            used[made.name] = str(slip.source)
            if label_paper:
                drafts.append(made.draft)
                made = replace(made, files=tuple(f for f in made.files if f.format != "labels"))
            done = deliver(made, folder, replace=order.replace)
        except CutfilesError as error:
            refused = True
            click.echo(f"refused: {indented(told(error))}", err=True)
            continue
        click.echo(made.draft.drawing.title)
        for file in made.files:
            click.echo(file_line(file))
        tell_old([path.name for path in done.removed], [path.name for path in done.left])
        click.echo(f"  in         {folder}\n")
        opening.show_of(folder, made.files)
    if drafts:
        refused |= not _put_labels(drafts, folder, order)
    if refused:
        sys.exit(REFUSED)


def _put_labels(drafts: "list[Draft]", folder: str, order: "Order") -> bool:
    """Put the labels of several supports on pages of labels; tell whether that could be done."""
    from cutfiles.job.deliver_files import deliver_files
    from cutfiles.job.labels import LABELS, labels_file
    from cutfiles.report.text.made import file_line
    from cutfiles.words.counts import counted

    file = labels_file(drafts, order.paper or "A4")
    try:
        deliver_files(folder, LABELS, [file], replace=order.replace)
    except CutfilesError as error:
        click.echo(f"refused: {indented(told(error))}", err=True)
        return False
    click.echo(f"labels of {counted(len(drafts), 'support')}")
    click.echo(f"{file_line(file)}\n  in         {folder}")
    return True


def _chosen(kinds: tuple[str, ...]) -> tuple[str, ...]:
    """Return the cards named, each once, in the order of the work; all where none is."""
    from cutfiles.report.printed.cards import CARDS

    words = [word.strip().lower() for word in ",".join(kinds).split(",") if word.strip()]
    once = {card.once: card.key for card in CARDS.values() if card.once}
    named = [once.get(word, word) for word in words]
    for word in named:
        if word not in CARDS:
            raise click.BadParameter(
                f'"{word}" is no card; there are {", ".join(CARDS)}', param_hint="--only"
            )
    return tuple(kind for kind in CARDS if kind in named)
