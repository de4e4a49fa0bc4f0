"""The command line: parse, call, print, exit code. No geometry.

Each command has a module of its own, loaded when it is used. Exit codes: 0 made or the same,
1 refused or different, 2 wrong usage, 130 interrupted.
"""

import gc
import os
import sys
from importlib import import_module

import click

from cutfiles.cli.console import prepare, terminal_width
from cutfiles.version import VERSION

CAUTION = """\
Knives: stand to cut, free hand out of the blade's path.
Lasers: extraction on, somebody watching the whole run; never cut film you
cannot name. The machine's manual and local codes come first, and a
conservator decides whether and how far a book opens."""

COMMANDS = {
    "slip": "Write a blank, commented slip to FILE, or print it.",
    "make": "Make the cut files, pictures and bench card of one or more slips.",
    "check": "Tell whether film carries the books of slips, what contradicts, what to beware of.",
    "trial": "Say how to prove a support with a dummy, and record how it ended.",
    "films": "Show the films at hand, or check a table of your own.",
    "cards": "Print cards for one or more supports: to fold by, hold to the book, stick under it.",
    "list": "Show how a list of books is read, and what is refused.",
    "round": "Print what to measure of the books of a list, and write it to fill in.",
    "exhibit": "Make all supports of a list of books, nested on sheets.",
    "mark": "Mark how far the sheets and supports of an exhibit are.",
    "verify": "Check cut files against their slip.",
    "edits": "Tell what was done to a drawing in an editor, and keep it.",
    "fold": "Fold a cut file along its scores, and check that the support comes out.",
    "send": "Send a pass file down the line to a cutter.",
    "cut": "Go through the passes of a sheet at the machine, a question at a time.",
    "align": "Correct a pass by marks measured after the sheet was turned.",
    "coupon": "Make a test piece for a film lot, and record what it showed.",
    "cutters": "List, check and copy cutter profiles.",
    "desk": "Open a page in this machine's browser: measure, see it stand, take the files.",
    "workshop": "Show what holds in this workshop, and which file says it.",
}
"""Each command and the line that `--help` tells of it, in the order of the work."""

_WIDEST = 80
"""How wide help is told at the most, columns."""
OLD = {"sheet": "cards"}
"""What commands were called once, still understood."""


def main() -> None:
    """Run the command."""
    # a short process makes few circles: looking for them all the time costs a fifth of it
    gc.set_threshold(200_000, 20, 20)
    # nothing here multiplies matrices: the threads kept for it take a quarter of loading numpy
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    prepare()
    try:
        # as wide as click would tell it, by its own measure of a terminal
        width = max(min(terminal_width(), _WIDEST) - 2, 50)
        cli(prog_name="cutfiles", terminal_width=width)
    except OSError as error:  # of the output, where it names no file: others are told before
        where = "output" if error.filename is None else error.filename
        click.echo(f"refused: {where}: {(error.strerror or 'an error').lower()}", err=True)
        sys.exit(1)
    finally:
        gc.freeze()  # nor are they looked for in all that was made when the process ends: a sixth


class Commands(click.Group):
    """The commands of the table, each loaded from its module when used."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the names, in the order of the work."""
        return [*COMMANDS]  # the command `list` has taken the name, once it is loaded

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Return a command, or None where there is none of this name."""
        cmd_name = OLD.get(cmd_name, cmd_name)
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = import_module(f"cutfiles.cli.{cmd_name}").command
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Return the command meant; of one there is none of, say which is like it."""
        name = args[0]
        if not ctx.resilient_parsing and name[:1] != "-" and self.get_command(ctx, name) is None:
            from difflib import get_close_matches  # only where one is mistyped

            near = get_close_matches(name, COMMANDS, 1)
            meant = f" Did you mean {near[0]}?" if near else ""
            ctx.fail(f"No such command '{name}'.{meant}")
        return super().resolve_command(ctx, args)

    def invoke(self, ctx: click.Context) -> object:
        """Run a command; interrupted, where it has no more to say of it, it says so and ends."""
        try:
            return super().invoke(ctx)
        except (KeyboardInterrupt, click.Abort):  # the latter at a question
            from cutfiles.cli.common import INTERRUPTED

            click.echo("\nstopped", err=True)
            ctx.exit(INTERRUPTED)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Tell the commands without loading them."""
        with formatter.section("Commands"):
            formatter.write_dl([*COMMANDS.items()])


@click.group(
    cls=Commands,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": _WIDEST},
    epilog="\b\n" + CAUTION,
)
@click.version_option(VERSION, "--version", message="cutfiles %(version)s")
def cli() -> None:
    """Folded polyester-film cradles for books: from a slip of measurements to cut files.

    \b
    cutfiles slip > A1.toml          write a blank slip, fill it in at the bench
    cutfiles check A1.toml           see whether it holds and fits
    cutfiles make A1.toml            make its cut files and pictures here
    cutfiles cards A1.toml           what is printed: card, template, labels
    cutfiles verify A1.svg --slip A1.toml    check a file at any later time
    cutfiles fold A1.svg             fold a file, and check that it stands
    """
