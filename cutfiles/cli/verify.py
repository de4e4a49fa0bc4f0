"""`cutfiles verify`: a cut file against the slip it was made from."""

import os
import sys

import click

from cutfiles.cli.common import (
    REFUSED,
    cutter_of,
    cutter_options,
    films_at,
    indented,
    options_from,
    refuse,
)
from cutfiles.disk.refusals import read
from cutfiles.errors import CutfilesError

MOST = 25
"""So many differences of one file are told; a file of another support has hundreds."""


@click.command("verify", no_args_is_help=True)
@click.argument("files", nargs=-1, required=True, metavar="FILE...", type=click.Path())
@click.option(
    "--slip", "slip_path", required=True, type=click.Path(), help="the slip the file was made from"
)
@click.option(
    "--films",
    "films_path",
    metavar="FILE",
    type=click.Path(),
    help="your own table of films, where the slip names one of it",
)
@cutter_options
def command(
    files: tuple[str, ...],
    slip_path: str,
    films_path: str | None,
    hpgl_range: int,
    pens: tuple[str, ...],
    cutter: str | None,
    lot: str,
) -> None:
    """Check cut files against their slip: nothing missing, doubled, moved, scaled or mirrored.

    \b
    cutfiles verify out/A1.svg out/A1.pdf --slip A1.toml
    cutfiles verify out/A1.face-*.dxf --slip A1.toml --cutter our-knife.toml
    """
    from cutfiles.bench.slip import read_slip
    from cutfiles.job.recheck import verify_data

    options = options_from(hpgl_range, pens, None)
    different = refused = False
    try:
        slip, machine = read_slip(slip_path, films_at(films_path)), cutter_of(cutter)
    except CutfilesError as error:
        refuse(error)
    for path in files:
        name = os.path.basename(path)
        try:
            data = read(path, "a cut file that can be read")
            differences = verify_data(data, name, slip, options, machine, lot)
        except CutfilesError as error:
            refused = True
            click.echo(f"refused: {indented(str(error))}", err=True)
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
            + ("" if cutter else ", or name with --cutter the machine it was made for"),
            err=True,
        )
    if different or refused:
        sys.exit(REFUSED)
