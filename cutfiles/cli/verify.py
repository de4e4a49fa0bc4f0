"""`cutfiles verify`: a cut file against the slip it was made from."""

import os
import sys
from typing import TYPE_CHECKING, Any

import click

from cutfiles.cli.common import REFUSED, indented, refuse, slip_with_edits
from cutfiles.cli.options import MACHINE_FILES, GroupedCommand, option, options, order_from
from cutfiles.cli.remedies import told
from cutfiles.cli.taken import units_here
from cutfiles.disk.refusals import read
from cutfiles.errors import CutfilesError

if TYPE_CHECKING:
    from cutfiles.bench.slip import Slip
    from cutfiles.files.pairs import Difference
    from cutfiles.job.order import Order

MOST = 25
"""So many differences of one file are told; a file of another support has hundreds."""


@click.command("verify", cls=GroupedCommand, no_args_is_help=True)
@click.argument("files", nargs=-1, required=True, metavar="FILE...", type=click.Path())
@option("--slip", help="the slip they were made from; without it the record beside each counts")
@options("--films", "--trials", *MACHINE_FILES)
def command(files: tuple[str, ...], slip_path: str | None, **given: Any) -> None:
    """Check cut files against their slip: nothing missing, doubled, moved, scaled or mirrored.

    Coupons and the sheets of an exhibit have no slip: they are held against their plan and the
    record beside them.

    \b
    cutfiles verify out/A1.svg out/A1.pdf --slip A1.toml
    cutfiles verify out/A1.face-*.dxf --slip A1.toml --cutter our-knife.toml
    cutfiles verify exhibit/sheets/sheet-001.face-*.hpgl
    """
    order = order_from(given)
    different = refused = False
    try:
        slip = None
        if slip_path:
            slip, order = slip_with_edits(slip_path, order, units_here())
    except CutfilesError as error:
        refuse(error)
    for path in files:
        name = os.path.basename(path)
        try:
            differences = _differences(path, slip, order)
        except CutfilesError as error:
            refused = True
            click.echo(f"refused: {indented(told(error))}", err=True)
            continue
        different = different or bool(differences)
        click.echo(f"{name}: " + ("different" if differences else "verified"))
        for difference in differences[:MOST]:
            click.echo(f"  {difference}")
        if len(differences) > MOST:
            click.echo(f"  and {len(differences) - MOST} more")
    if different:
        click.echo(
            "do not cut what differs: make it again from its slip"
            + ("" if order.cutter else ", or name with --cutter the machine it was made for"),
            err=True,
        )
    if different or refused:
        sys.exit(REFUSED)


def _differences(path: str, slip: "Slip | None", order: "Order") -> "tuple[Difference, ...]":
    """Return how a file differs from its slip, or without one from the record beside it."""
    if slip is None:
        from cutfiles.job.beside import verify_recorded

        return verify_recorded(path)
    from cutfiles.files.readers.limits import MOST_BYTES
    from cutfiles.job.recheck import verify_data

    data = read(path, "a cut file that can be read", MOST_BYTES)
    return verify_data(data, os.path.basename(path), slip, order)
