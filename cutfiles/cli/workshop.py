"""`cutfiles workshop`: what holds without being said again, and which file says it."""

import os
from typing import TYPE_CHECKING, Any

import click

from cutfiles.cli.common import print_json, refuse
from cutfiles.cli.options import GroupedCommand, option
from cutfiles.cli.taken import left_told
from cutfiles.errors import CutfilesError

if TYPE_CHECKING:
    from cutfiles.job.workshop import Workshop


@click.command("workshop", cls=GroupedCommand)
@click.argument("path", required=False, metavar="[FOLDER|FILE]", type=click.Path(exists=True))
@click.option("--blank", is_flag=True, help="print a commented workshop file to fill in")
@option("--json")
def command(path: str | None, blank: bool, as_json: bool) -> None:
    """Show what holds in this workshop, and which file says it.

    Say once which cutter you have, your films, paper, units, the line to the cutter, and where
    things lie, in a file workshop.toml: your own, in your folder for settings, holds everywhere;
    one beside slips or a list (FOLDER, or that of FILE; this folder without it) holds for them and
    goes before it; an option goes before both. Where things go (folder, line) is taken from your
    own file only, never from one that came with a list.

    \b
    cutfiles workshop                   what holds here, where your own file lies
    cutfiles workshop slips/A1.toml     what holds for this slip
    cutfiles workshop --blank           a file to fill in
    """
    from cutfiles.job.workshop import blank_workshop, read_workshop

    if blank:
        click.echo(blank_workshop(), nl=False)
        return
    folder = path or "."
    if os.path.isfile(folder):
        folder = os.path.dirname(folder) or "."
    try:
        shop = read_workshop(folder)
    except CutfilesError as error:
        refuse(error)
    if as_json:
        print_json(_data(shop))
    else:
        click.echo(_table(shop))


def _data(shop: "Workshop") -> dict[str, Any]:
    return {
        "own": shop.own,
        "files": list(shop.files),
        "holds": {
            name: {"value": str(value), "from": shop.sources[name], "found": _there(name, value)}
            for name, value in shop.values.items()
        },
        "not_taken": dict(shop.left),
    }


def _there(name: str, value: str) -> bool | None:
    """Whether a file that is named is there; None for what is no file."""
    from cutfiles.job.workshop import FILES
    from cutfiles.machine.profile.read import packaged_cutters

    if name not in FILES or (name == "cutter" and value in packaged_cutters()):
        return None
    return os.path.exists(value)


def _table(shop: "Workshop") -> str:
    there = "" if shop.own in shop.files else " (not there yet)"
    lines = [f"your own file: {shop.own}{there}"]
    lines += [f"goes before it: {file}" for file in shop.files if file != shop.own]
    for name, value in shop.values.items():
        missing = "; no such file" if _there(name, value) is False else ""
        whose = "your own" if shop.sources[name] == shop.own else shop.sources[name]
        lines.append(f"  {name:<9} {value}{missing}  (from {whose})")
    if not shop.values:
        lines.append("  nothing is said: options, slips and the usual count")
    if shop.left:
        lines.append(f"not taken: {left_told(shop)}")
    return "\n".join(lines)
