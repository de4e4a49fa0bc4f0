"""`cutfiles cutters`: the profiles that come with the program, and your own."""

import sys

import click

from cutfiles.cli.common import REFUSED, indented, refuse
from cutfiles.cli.remedies import told
from cutfiles.errors import CutfilesError, FileError


@click.group(
    "cutters", epilog="The machine's manual, local codes and licensed practice come first."
)
def command() -> None:
    """List, check and copy cutter profiles.

    A profile says once what your machine is: bed, formats, how it scores, kerf or knife, speeds.
    The ones that come with the program are examples, none after a real machine: copy the nearest,
    correct it, check it, then name it with --cutter.

    \b
    cutfiles cutters list
    cutfiles cutters copy laser our-laser.toml
    cutfiles cutters check our-laser.toml
    cutfiles make A1.toml --cutter our-laser.toml
    """


@command.command("list")
def list_() -> None:
    """List the profiles that come with the program."""
    from cutfiles.machine.profile.read import find_cutter, packaged_cutters

    for name in packaged_cutters():
        cutter = find_cutter(name)
        width, length = cutter.bed.width, cutter.bed.length
        click.echo(
            f"{name:<17} {cutter.kind:<6} {width:g} × {length:g} mm, {cutter.method}; "
            f"{', '.join(cutter.formats)}"
        )
        click.echo(f"{'':<17} {cutter.about}")


@command.command("check", no_args_is_help=True)
@click.argument("cutters", nargs=-1, required=True, metavar="NAME|FILE...")
def check(cutters: tuple[str, ...]) -> None:
    """Check profiles: every fault is told, with field, finding and remedy.

    \b
    cutfiles cutters check our-laser.toml
    """
    from cutfiles.machine.profile.read import find_cutter
    from cutfiles.report.text.cutters import cutter_table

    failed = False
    for name in cutters:
        try:
            click.echo(cutter_table(find_cutter(name)))
        except CutfilesError as error:
            failed = True
            click.echo(f"refused: {indented(told(error))}", err=True)
    if failed:
        sys.exit(REFUSED)


@command.command("copy", no_args_is_help=True)
@click.argument("name")
@click.argument("path", metavar="FILE", type=click.Path())
def copy(name: str, path: str) -> None:
    """Copy the profile NAME to a new FILE, with all its comments, to be corrected there.

    \b
    cutfiles cutters copy laser our-laser.toml
    """
    from cutfiles.disk.files import write_new
    from cutfiles.machine.profile.read import find_cutter, packaged_cutters, packaged_text

    try:
        if name not in packaged_cutters():
            find_cutter(name)
            raise FileError(
                f'"{name}"',
                "what is copied comes with the program",
                "copy a file of your own with your system's means",
                "cutter",
            )
        write_new(path, packaged_text(name).encode(), "a profile is copied to a new file")
    except CutfilesError as error:
        refuse(error)
    click.echo(f"{path}: correct it, then: cutfiles cutters check {path}")
