"""`cutfiles verify`: a cut file against the slip it was made from."""

import os
import sys

import click

from cutfiles.cli.common import REFUSED, cutter_of, cutter_options, options_from, read_file, refuse
from cutfiles.errors import CutfilesError


@click.command("verify", no_args_is_help=True)
@click.argument("files", nargs=-1, required=True, metavar="FILE...",
                type=click.Path())  # fmt: skip
@click.option(
    "--slip",
    "slip_path",
    required=True,
    type=click.Path(),
    help="the slip the file was made from",
)
@cutter_options
def command(
    files: tuple[str, ...],
    slip_path: str,
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
    from cutfiles.job import verify_data

    options = options_from(hpgl_range, pens, None)
    failed = False
    try:
        slip, machine = read_slip(slip_path), cutter_of(cutter)
        for path in files:
            name = os.path.basename(path)
            data = read_file(path, "a cut file that can be read")
            differences = verify_data(data, name, slip, options, machine, lot)
            failed = failed or bool(differences)
            click.echo(f"{name}: " + ("different" if differences else "verified"))
            for difference in differences:
                click.echo(f"  {difference}")
    except CutfilesError as error:
        refuse(error)
    if failed:
        click.echo("do not cut what differs: make it again from its slip", err=True)
        sys.exit(REFUSED)
