"""`cutfiles films`: the films at hand, as a table or as data."""

import click

from cutfiles.cli.common import films_at, print_json, refuse
from cutfiles.cli.options import GroupedCommand, option
from cutfiles.errors import CutfilesError


@click.command("films", cls=GroupedCommand)
@click.argument("films_path", required=False, metavar="[FILE]", type=click.Path())
@click.option("--blank", is_flag=True, help="print a commented table to fill in")
@option("--json", help="print the films as data")
def command(films_path: str | None, blank: bool, as_json: bool) -> None:
    """Show the films counted as at hand: the usual gauges, or those of your own table FILE.

    A table is TOML: each film with name, gauge, modulus, coating, sheet or roll, sizes, grain and
    price. `check` and `make` use it with --films FILE; all its faults are told at once.

    \b
    cutfiles films                       the usual gauges
    cutfiles films --blank > ours.toml   a table to fill in
    cutfiles films ours.toml             check and show it
    """
    from cutfiles.bench.films import BLANK, usual_films
    from cutfiles.report.text.films import films_data, films_table

    if blank:
        click.echo(BLANK, nl=False)
        return
    try:
        kinds = films_at(films_path) or usual_films()
    except CutfilesError as error:
        refuse(error)
    if as_json:
        print_json(films_data(kinds))
    else:
        click.echo(films_table(kinds))
