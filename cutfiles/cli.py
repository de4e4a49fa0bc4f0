"""The command line: parse, call, print, exit code. No geometry.

Exit codes: 0 made or the same, 1 refused or different, 2 wrong usage.
"""

import gc
import os
import sys
from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING, Any, NoReturn

import click

from cutfiles.bench.fields import FIELDS, Field
from cutfiles.errors import CutfilesError
from cutfiles.version import VERSION

if TYPE_CHECKING:
    from cutfiles.bench.slip import Slip
    from cutfiles.formats import Options

REFUSED = 1
_FORMATS = ("svg", "svg-plain", "dxf-r12", "dxf-r2000", "pdf", "hpgl")
_GROUPS = {"dxf": ("dxf-r12", "dxf-r2000"), "all": _FORMATS}

CAUTION = """\
Knives: stand to cut, free hand out of the blade's path. Lasers: extraction on, somebody watching
the whole run; never cut film you cannot name. The machine's manual and local codes come first, and
a conservator decides whether and how far a book opens."""


def main() -> None:
    """Run the command."""
    # a short process makes few circles: looking for them all the time costs a fifth of it
    gc.set_threshold(200_000, 20, 20)
    cli(prog_name="cutfiles")


@click.group(
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog="\b\n" + CAUTION,
)
@click.version_option(VERSION, "--version", message="cutfiles %(version)s")
def cli() -> None:
    """Folded polyester-film cradles for books: from a slip of measurements to cut files.

    \b
    cutfiles slip > A1.toml          write a blank slip, fill it in at the bench
    cutfiles make A1.toml            make its cut files and pictures here
    cutfiles verify A1.svg --slip A1.toml    check a file at any later time
    """


class SlipCommand(click.Command):
    """A command with an option for each field of a slip, made when the command is used."""

    def get_params(self, ctx: click.Context) -> list[click.Parameter]:
        """Return the command's own parameters and the slip's."""
        own = super().get_params(ctx)
        fields: list[click.Parameter] = [
            click.Option(
                [f"--{one.name.replace('_', '-')}", one.path.replace(".", "_")],
                metavar=one.kind.upper(),
                help=_help(one),
            )
            for one in FIELDS
        ]
        return [*own[:-1], *fields, own[-1]]


def _help(one: Field) -> str:
    example = " or ".join(one.choices) or one.example
    return f"{one.help} ({example})"


def _cutter_options(command: Callable[..., None]) -> Callable[..., None]:
    """Add what differs from cutter to cutter."""
    for option in (
        click.option("--hpgl-range", type=click.IntRange(1000, 8388607), default=32767,
                     show_default=True, help="HP-GL: largest coordinate of your machine"),
        click.option("--pen", "pens", multiple=True, metavar="ROLE=PEN",
                     help="HP-GL: which pen works a role, as in score-valley=3; 0 leaves it out "
                     "(may be repeated)"),
    ):  # fmt: skip
        command = option(command)
    return command


@cli.command("make", cls=SlipCommand, no_args_is_help=True)
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
@click.option(
    "--format",
    "formats",
    multiple=True,
    metavar="FORMAT",
    help="svg, svg-plain, dxf-r12, dxf-r2000, dxf (both), pdf, hpgl or all; several with "
    "commas; default: all but svg-plain",
)
@click.option("--png", is_flag=True, help="also make the pictures as PNG")
@click.option(
    "--json",
    "as_json",
    is_flag=True,
    help="print the result as data: one object, or a list for several slips",
)
@click.option("--bed", metavar="WxH", help='refuse a piece larger than the bed, as in "600x400 mm"')
@click.option("--replace", is_flag=True, help="also replace files that others made or changed")
@_cutter_options
def make_command(
    slips: tuple[str, ...],
    folder: str,
    formats: tuple[str, ...],
    png: bool,
    as_json: bool,
    bed: str | None,
    replace: bool,
    hpgl_range: int,
    pens: tuple[str, ...],
    **measures: str | None,
) -> None:
    """Make the cut files and pictures of one or more slips.

    Each cut file is read back and compared with the pattern before it is delivered. Without a slip,
    give the measures as options.

    \b
    cutfiles make A1.toml A2.toml --to out
    cutfiles make A1.toml --format svg,pdf --png
    cutfiles make --number A1 --units mm --height 203 --width 133 --spine-width 34 \\
        --opening-angle 120

    \b
    Knives: stand to cut, free hand out of the blade's path. Lasers: extraction on, watch the
    whole run. The machine's manual comes first; a conservator decides how far a book opens.
    """
    given = {name: value for name, value in measures.items() if value is not None}
    if slips and given:
        option = "--" + next(iter(given)).removeprefix("support_").replace("_", "-")
        raise click.UsageError(
            f"{option} describes a book without a slip; write it into the slip, or give no slip"
        )
    if not slips and not given:
        raise click.UsageError("name a slip, or give the measures as options")
    chosen = _chosen(formats)
    options = _options(hpgl_range, pens, bed)
    sources = [_slip_of(path) for path in slips] or [lambda: _slip_from_options(given)]
    results, refused = [], False
    used: dict[str, str] = {}
    for source in _progress(sources):
        try:
            result = _made(source(), folder, chosen, options, png, replace, used, as_json)
        except CutfilesError as error:
            refused = True
            result = {"refused": [_fault_data(fault) for fault in error.faults]}
            click.echo(f"refused: {_indented(str(error))}", err=True)
        results.append(result)
    if as_json:
        import json

        click.echo(json.dumps(results if len(sources) > 1 else results[0], ensure_ascii=False,
                              indent=2))  # fmt: skip
    if refused:
        sys.exit(REFUSED)


def _made(
    slip: "Slip",
    folder: str,
    chosen: tuple[str, ...] | None,
    options: "Options",
    png: bool,
    replace: bool,
    used: dict[str, str],
    as_json: bool,
) -> dict[str, Any]:
    from cutfiles.delivery import deliver
    from cutfiles.errors import FileError
    from cutfiles.job import make
    from cutfiles.report.tables import made_data, made_table

    made = make(slip, chosen, options, png=png)
    if made.name.casefold() in used:
        twin = used[made.name.casefold()]
        raise FileError(
            f'the number "{slip.book.number}", which {twin} has too',
            "each support has a number of its own",
            "give one of them another number",
            slip.source,
        )
    used[made.name.casefold()] = slip.source
    done = deliver(made, folder, replace=replace)
    if not as_json:
        click.echo(made_table(made))
        for path in done.removed:
            click.echo(f"  removed    {path.name}, which held other measures")
        click.echo(f"  record     {done.files[-1].name}")
        click.echo(f"  in         {folder}\n")
    for path in done.left:
        click.echo(f"  left alone: {path.name} holds other measures, but was changed since it was "
                   "made", err=True)  # fmt: skip
    return made_data(made, folder.replace(os.sep, "/"))


@cli.command("verify", no_args_is_help=True)
@click.argument("files", nargs=-1, required=True, metavar="FILE...",
                type=click.Path())  # fmt: skip
@click.option(
    "--slip",
    "slip_path",
    required=True,
    type=click.Path(),
    help="the slip the file was made from",
)
@_cutter_options
def verify_command(
    files: tuple[str, ...], slip_path: str, hpgl_range: int, pens: tuple[str, ...]
) -> None:
    """Check cut files against their slip: nothing missing, doubled, moved, scaled or mirrored.

    \b
    cutfiles verify out/A1.svg out/A1.pdf --slip A1.toml
    """
    from cutfiles.bench.slip import read_slip
    from cutfiles.errors import FileError
    from cutfiles.job import verify_data

    options = _options(hpgl_range, pens, None)
    failed = False
    try:
        slip = read_slip(slip_path)
        for path in files:
            name = os.path.basename(path)
            try:
                with open(path, "rb") as file:
                    data = file.read()
            except OSError as error:
                raise FileError(
                    (error.strerror or "no such file").lower(),
                    "a cut file that can be read",
                    "check its name and folder",
                    path,
                ) from None
            differences = verify_data(data, name, slip, options)
            failed = failed or bool(differences)
            click.echo(f"{name}: " + ("different" if differences else "verified"))
            for difference in differences:
                click.echo(f"  {difference}")
    except CutfilesError as error:
        _refuse(error)
    if failed:
        click.echo("do not cut what differs: make it again from its slip", err=True)
        sys.exit(REFUSED)


@cli.command("slip", cls=SlipCommand)
@click.argument("path", required=False, metavar="[FILE]", type=click.Path())
def slip_command(path: str | None, **measures: str | None) -> None:
    """Write a blank, commented slip to FILE, or print it; options fill in what is known.

    \b
    cutfiles slip > A1.toml
    cutfiles slip A1.toml --number A1 --title "Garden calendar" --units in
    """
    from cutfiles.bench.blank import blank_slip
    from cutfiles.errors import FileError
    from cutfiles.units import UNITS

    known = _by_path(measures)
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
        _refuse(FileError(said, "a slip is written to a new file", "choose another name or folder",
                          str(path)))  # fmt: skip
    click.echo(f"{path}: fill it in, then: cutfiles make {path}")


# -- arguments ------------------------------------------------------------------------------------


def _chosen(formats: tuple[str, ...]) -> tuple[str, ...] | None:
    """Return the formats named, each once, in the order of the table; None where none is."""
    named: list[str] = []
    for word in ",".join(formats).split(","):
        key = word.strip().lower()
        if key and key not in _FORMATS and key not in _GROUPS:
            raise click.BadParameter(
                f'"{key}" is no format; there are {", ".join((*_FORMATS, *_GROUPS))}',
                param_hint="--format",
            )
        named += _GROUPS.get(key, (key,))
    return tuple(key for key in _FORMATS if key in named) or None


def _options(hpgl_range: int, pens: tuple[str, ...], bed: str | None) -> "Options":
    from cutfiles.formats import HPGL_PENS, Options

    chosen = dict(HPGL_PENS)
    for text in pens:
        role, _, pen = text.partition("=")
        if role not in chosen or pen not in "012345678" or len(pen) != 1:
            raise click.BadParameter(
                f'"{text}"; write one of {", ".join(chosen)}, then = and a pen from 0 to 8',
                param_hint="--pen",
            )
        chosen[role] = int(pen)
    return Options(pens=chosen, hpgl_range=hpgl_range, bed=_bed(bed) if bed else None)


def _bed(text: str) -> tuple[float, float]:
    """Read "600x400 mm" or "24 in x 18 in" as width and height in mm."""
    import re

    from cutfiles.errors import ReadingError
    from cutfiles.units import read_length

    match = re.fullmatch(r"\s*(.+?)\s*[x×*]\s*(.+?)\s*", text)
    try:
        if match is None:
            raise ReadingError(f'"{text}"', "a bed is width x height", 'write it as "600x400 mm"')
        across, deep = match[1], match[2]
        unit = re.search(r"[^\d.,/\s-].*$", deep)
        if unit and not re.search(r"[^\d.,/\s-]", across):
            across += unit[0]
        sizes = read_length(across), read_length(deep)
        if min(sizes) <= 0:
            raise ReadingError(f'"{text}"', "a bed is larger than 0", 'write it as "600x400 mm"')
        return sizes
    except ReadingError as error:
        raise click.BadParameter(str(error), param_hint="--bed") from None


def _slip_of(path: str) -> Callable[[], "Slip"]:
    def read() -> "Slip":
        from cutfiles.bench.slip import read_slip

        return read_slip(path)

    return read


def _slip_from_options(given: Mapping[str, str | None]) -> "Slip":
    from cutfiles.bench.slip import slip_from

    flat = _by_path(given)
    values: dict[str, Any] = {k: v for k, v in flat.items() if not k.startswith("support.")}
    values["support"] = {
        k.removeprefix("support."): v for k, v in flat.items() if k.startswith("support.")
    }
    return slip_from(values, "options")


def _by_path(measures: Mapping[str, str | None]) -> dict[str, str]:
    """Return field paths to the texts given as options."""
    paths = {one.path.replace(".", "_"): one.path for one in FIELDS}
    return {paths[name]: text for name, text in measures.items() if text is not None}


# -- messages -------------------------------------------------------------------------------------


def _progress(sources: list[Callable[[], "Slip"]]) -> Iterator[Callable[[], "Slip"]]:
    """Show a bar where there are many slips and somebody is looking."""
    if len(sources) < 4 or not sys.stderr.isatty():
        yield from sources
        return
    with click.progressbar(sources, label="making", file=sys.stderr, show_pos=True) as bar:
        yield from bar


def _fault_data(fault: Any) -> dict[str, str]:
    return {key: getattr(fault, key) for key in ("place", "found", "needed", "remedy")}


def _indented(text: str) -> str:
    lines = text.split("\n")
    return lines[0] if len(lines) == 1 else "\n  " + "\n  ".join(lines)


def _refuse(error: CutfilesError) -> NoReturn:
    click.echo(f"refused: {_indented(str(error))}", err=True)
    sys.exit(REFUSED)
