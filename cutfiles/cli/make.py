"""`cutfiles make`: cut files and pictures of one or more slips."""

import os
import sys
from typing import TYPE_CHECKING, Any

import click

from cutfiles.cli.common import (
    REFUSED,
    SlipCommand,
    chosen_formats,
    cutter_of,
    cutter_options,
    films_at,
    format_option,
    indented,
    options_from,
    paper_option,
    progress,
    refuse,
    sources_of,
    strength_options,
)
from cutfiles.errors import CutfilesError

if TYPE_CHECKING:
    from cutfiles.bench.slip import Slip
    from cutfiles.files.formats import Options
    from cutfiles.report.printed.paper import PaperName


@click.command("make", cls=SlipCommand, no_args_is_help=True)
@click.argument("slips", nargs=-1, metavar="[SLIP]...", type=click.Path())
@click.option(
    "--to",
    "folder",
    default=".",
    metavar="DIR",
    show_default="this folder",
    type=click.Path(file_okay=False),
    help="folder for the files",
)
@format_option
@click.option("--png", is_flag=True, help="also make the pictures as PNG")
@paper_option
@click.option("--no-sheet", is_flag=True, help="leave the bench sheet out")
@click.option(
    "--json",
    "as_json",
    is_flag=True,
    help="print the result as data: one object, or a list for several slips",
)
@click.option("--bed", metavar="WxH", help='refuse a piece larger than the bed, as in "600x400 mm"')
@click.option("--replace", is_flag=True, help="also replace files that others made or changed")
@click.option(
    "--anyway", is_flag=True, help="make even what no film carries, for a trial with a dummy"
)
@strength_options
@cutter_options
def command(
    slips: tuple[str, ...],
    folder: str,
    formats: tuple[str, ...],
    png: bool,
    paper: "PaperName",
    no_sheet: bool,
    as_json: bool,
    bed: str | None,
    replace: bool,
    anyway: bool,
    films_path: str | None,
    machine: str,
    strict: bool,
    hpgl_range: int,
    pens: tuple[str, ...],
    cutter: str | None,
    lot: str,
    **measures: str | None,
) -> None:
    """Make the cut files, pictures and bench sheet of one or more slips.

    Each cut file is read back and compared with the pattern before it is delivered. Without a slip,
    give the measures as options. The verdict tells whether the film carries the book: one that does
    not is made all the same and says so; a book too tall or heavy for any film is refused.

    \b
    cutfiles make A1.toml A2.toml --to out
    cutfiles make A1.toml --format svg,pdf --png
    cutfiles make A1.toml --cutter our-knife.toml     pass files for one machine
    cutfiles make --number A1 --units mm --height 203 --width 133 --spine-width 34 \\
        --opening-angle 120

    \b
    Knives: stand to cut, free hand out of the blade's path. Lasers: extraction on, watch the
    whole run. The machine's manual comes first; a conservator decides how far a book opens.
    """
    sources = sources_of(slips, measures, films_at(films_path))
    chosen = chosen_formats(formats)
    options = options_from(hpgl_range, pens, bed)
    if cutter and (bed or pens):
        raise click.UsageError("bed and pens stand in the profile that --cutter names")
    if lot and not cutter:
        raise click.UsageError("--lot needs --cutter: the profile knows what its coupon has shown")
    try:
        profile = cutter_of(cutter)
    except CutfilesError as error:
        refuse(error)
    how = {
        "png": png,
        "machine": machine if profile is None else profile.kind,
        "strict": strict,
        "anyway": anyway,
        "paper": None if no_sheet else paper,
        "cutter": profile,
        "lot": lot,
    }
    results, refused = [], False
    used: dict[str, str] = {}
    for source in progress(sources):
        try:
            result = _made(source(), folder, chosen, options, how, replace, used, as_json)
        except CutfilesError as error:
            refused = True
            result = {"refused": [fault.words for fault in error.faults]}
            click.echo(f"refused: {indented(str(error))}", err=True)
        results.append(result)
    if as_json:
        import json

        click.echo(
            json.dumps(results if len(sources) > 1 else results[0], ensure_ascii=False, indent=2)
        )
    if refused:
        sys.exit(REFUSED)


def _made(
    slip: "Slip",
    folder: str,
    chosen: tuple[str, ...] | None,
    options: "Options",
    how: dict[str, Any],
    replace: bool,
    used: dict[str, str],
    as_json: bool,
) -> dict[str, Any]:
    from cutfiles.errors import FileError
    from cutfiles.job.deliver import deliver
    from cutfiles.job.make import make
    from cutfiles.report.text.made import made_data, made_table
    from cutfiles.words.verdict import sentence

    made = make(slip, chosen, options, **how)
    if made.name.casefold() in used:
        twin = used[made.name.casefold()]
        raise FileError(
            f'the number "{slip.book.number}", which {twin} has too',
            "each support has a number of its own",
            "give one of them another number",
            slip.source,
        )
    used[made.name.casefold()] = str(slip.source)
    done = deliver(made, folder, replace=replace)
    if not as_json:
        click.echo(made_table(made))
        for path in done.removed:
            click.echo(f"  removed    {path.name}, which held other measures")
        click.echo(f"  record     {done.files[-1].name}")
        click.echo(f"  in         {folder}\n")
    if not as_json and made.draft.verdict.state in ("make a trial", "another support"):
        click.echo(f"{made.name}: {sentence(made.draft.verdict, slip)}", err=True)
    for path in done.left:
        click.echo(
            f"  left alone: {path.name} holds other measures, but was changed since it was made",
            err=True,
        )
    return made_data(made, folder.replace(os.sep, "/"))
