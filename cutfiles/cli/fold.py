"""`cutfiles fold`: a file folded along its scores, as numbers and as a page to turn."""

import os
import sys
from typing import TYPE_CHECKING, Any

import click

from cutfiles.cli import opening
from cutfiles.cli.common import REFUSED, indented, refuse, slip_with_edits
from cutfiles.cli.options import MACHINE_FILES, GroupedCommand, option, options, order_from
from cutfiles.cli.remedies import told, words_of
from cutfiles.cli.taken import print_data, units_here
from cutfiles.disk.refusals import read
from cutfiles.errors import CutfilesError

if TYPE_CHECKING:
    from cutfiles.files.fold_check import FoldedFile


@click.command("fold", cls=GroupedCommand, no_args_is_help=True)
@click.argument("files", nargs=-1, required=True, metavar="FILE...", type=click.Path())
@option("--slip", help="the slip the file was made from; without it, what the file itself states")
@option("--to", default=None, show_default="beside the file", help="folder for the page")
@click.option("--check", "only_check", is_flag=True, help="print the checks, write nothing")
@options("--open", "--json", "--replace", "--films", "--trials", *MACHINE_FILES)
def command(
    files: tuple[str, ...],
    slip_path: str | None,
    folder: str | None,
    only_check: bool,
    as_json: bool,
    open_it: bool,
    **given: Any,
) -> None:
    """Fold cut files along their scores, and check that their supports come out.

    Reads outline, holes and scores back from a file in any format, folds them in space, and
    checks that the spine panel is level, legs upright, heights and base as designed, tabs and
    flaps in place, and no film in another's way. Writes a page that folds and turns it,
    FILE.folded.html.

    \b
    cutfiles fold out/A1.svg
    cutfiles fold out/A1.pdf --slip A1.toml --check
    """
    from cutfiles.files.readers.limits import MOST_BYTES
    from cutfiles.job.recheck import fold_data
    from cutfiles.report.text.fold_check import fold_check_data, fold_check_table

    opening.require_one(len(files))
    order = order_from(given)
    results: list[dict[str, Any]] = []
    failed = refused = False
    try:
        slip = None
        if slip_path:
            slip, order = slip_with_edits(slip_path, order, units_here())
    except CutfilesError as error:
        refuse(error)
    for path in files:
        try:
            data = read(path, "a cut file that can be read", MOST_BYTES)
            checked = fold_data(data, os.path.basename(path), slip, order)
            results.append(fold_check_data(checked))
            if not as_json:
                click.echo(fold_check_table(checked))
            if not only_check and checked.check.folded is not None:
                page = _write_page(checked, folder or os.path.dirname(path), order.replace)
                click.echo(f"  page     {page}", err=as_json)
                opening.show(page)
        except CutfilesError as error:
            refused = True
            results.append({"refused": words_of(error)})
            click.echo(f"refused: {indented(told(error))}", err=True)
        else:
            failed = failed or not checked.check.folds
    if as_json:
        print_data(results, several=len(files) > 1)
    if failed:
        click.echo("do not cut what does not fold: make it again from its slip", err=True)
    if failed or refused:
        sys.exit(REFUSED)


def _write_page(checked: "FoldedFile", folder: str, replace: bool) -> str:
    """Write the page, unasked only over an earlier one of ours; return its path."""
    from cutfiles.disk.files import put
    from cutfiles.disk.system import state
    from cutfiles.job.names import FOLDED_PAGE
    from cutfiles.report.pages.folded_page import GENERATOR, folded_page

    name = checked.name + FOLDED_PAGE
    path = os.path.join(folder, name)
    ours = os.path.isfile(path) and GENERATOR.encode() in read(path, "a page of ours")
    known = {name: (state(path).digest,)} if ours and not os.path.islink(path) else {}
    put(folder or ".", name, {name: folded_page(checked)}, known, replace=replace)
    return path
