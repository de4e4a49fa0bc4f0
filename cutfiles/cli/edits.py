"""`cutfiles edits`: what was done to a drawing in an editor, and whether it still folds."""

import os
import sys
from typing import TYPE_CHECKING, Any

import click

from cutfiles.cli.common import REFUSED, refuse, slip_with_edits
from cutfiles.cli.options import MACHINE_FILES, GroupedCommand, option, options, order_from
from cutfiles.cli.taken import print_data, units_here
from cutfiles.disk.refusals import read
from cutfiles.errors import CutfilesError

if TYPE_CHECKING:
    from cutfiles.job.edits import EditedFile


@click.command("edits", cls=GroupedCommand, no_args_is_help=True)
@click.argument("path", metavar="FILE", type=click.Path())
@option("--slip", required=True)
@click.option("--accept", is_flag=True, help="keep the edits: make does them again from now on")
@option("--to", default=None, show_default="beside the file", help="folder for the picture")
@click.option("--check", "only_check", is_flag=True, help="print the edits, write nothing")
@options("--json", "--replace", "--films", "--trials", *MACHINE_FILES)
def command(
    path: str,
    slip_path: str,
    accept: bool,
    folder: str | None,
    only_check: bool,
    as_json: bool,
    **given: Any,
) -> None:
    """Tell what was done to a drawing in an editor, and keep it.

    FILE is the SVG, DXF or PDF as any program saved it. Each edit is told in one sentence:
    harmless, to be looked at, or breaking the support. Draws them into FILE.edits.svg. With
    --accept they are kept beside the slip, in NUMBER.edits.toml, and make does them again; what
    breaks the support is never kept.

    \b
    cutfiles edits A1.svg --slip A1.toml
    cutfiles edits A1.svg --slip A1.toml --accept
    cutfiles make A1.toml                       every format, with the edits
    """
    from cutfiles.files.readers.limits import MOST_BYTES
    from cutfiles.job.edits import edited, keep
    from cutfiles.report.text.edits import edits_data, edits_table

    order = order_from(given)
    if accept and only_check:
        raise click.UsageError("--check writes nothing, --accept keeps the edits: give one of them")
    try:
        slip, order = slip_with_edits(slip_path, order, units_here())
        name = os.path.basename(path)
        file = edited(read(path, "an edited drawing", MOST_BYTES), name, slip, order)
        if as_json:
            print_data([edits_data(name, file.found, file.gone)])
        else:
            click.echo(edits_table(name, file.found, file.gone))
        if not only_check:
            picture = _write_picture(file, folder or os.path.dirname(path), order.replace)
            click.echo(f"  picture  {picture}", err=as_json)
        if accept:
            before = order.edits.get(slip.book.number)
            kept = keep(file, os.path.dirname(slip_path))
            said = str(kept or "nothing")
            if not file.kept.edits:
                said += ": no edit changes what is made"
                said += "; make may write over this drawing" if file.kept.seal and kept else ""
                said += (
                    "; what was accepted before is taken back" if before and before.edits else ""
                )
            click.echo(f"  kept     {said}", err=as_json)
    except CutfilesError as error:
        refuse(error)
    if not (accept or file.settled):
        if file.found.state == "look at it" and not as_json:
            click.echo("look at what is marked, then accept it: --accept", err=True)
        sys.exit(REFUSED)


def _write_picture(file: "EditedFile", folder: str, replace: bool) -> str:
    """Write the picture, unasked only over an earlier one of ours; return its path."""
    from cutfiles.disk.files import put
    from cutfiles.disk.system import state
    from cutfiles.job.names import EDITS_PICTURE
    from cutfiles.report.pictures.edits import GENERATOR, edits_picture

    name = file.name + EDITS_PICTURE
    path = os.path.join(folder, name)
    heading = f"{file.draft.drawing.title} · {file.name}"
    ours = os.path.isfile(path) and GENERATOR.encode() in read(path, "a picture of ours")
    known = {name: (state(path).digest,)} if ours and not os.path.islink(path) else {}
    data = edits_picture(file.draft.pattern, file.found.edits, heading)
    put(folder or ".", name, {name: data}, known, replace=replace)
    return path
