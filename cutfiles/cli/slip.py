"""`cutfiles slip`: a blank slip to fill in at the bench."""

import click

from cutfiles.cli.common import SlipCommand, by_path, refuse


@click.command("slip", cls=SlipCommand)
@click.argument("path", required=False, metavar="[FILE]", type=click.Path())
def command(path: str | None, **measures: str | None) -> None:
    """Write a blank, commented slip to FILE, or print it; options fill in what is known.

    \b
    cutfiles slip > A1.toml
    cutfiles slip A1.toml --number A1 --title "Garden calendar" --units in
    """
    from cutfiles.bench.blank import blank_slip
    from cutfiles.errors import FileError
    from cutfiles.units import UNITS

    known = by_path(measures)
    units = next((u for u in UNITS if u == known.get("units", "mm")), None)
    if units is None:
        raise click.UsageError("--units is mm, cm or in")
    text = blank_slip(units, known)
    if path is None:
        click.echo(text, nl=False)
        return
    try:
        with open(path, "x", encoding="utf-8") as file:
            file.write(text)
    except OSError as error:
        said = (
            "a file that exists"
            if isinstance(error, FileExistsError)
            else ((error.strerror or "an error").lower())
        )
        refuse(FileError(said, "a slip is written to a new file", "choose another name or folder",
                          str(path)))  # fmt: skip
    click.echo(f"{path}: fill it in, then: cutfiles make {path}")
