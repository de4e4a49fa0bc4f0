"""What the commands share: options, slips from files or options, messages."""

import sys
from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING, NoReturn

import click

from cutfiles.bench.fields import FIELDS
from cutfiles.errors import CutfilesError, Place
from cutfiles.tables.field import Field

if TYPE_CHECKING:
    from cutfiles.bench.films import FilmKind
    from cutfiles.bench.slip import Slip
    from cutfiles.files.formats import Options
    from cutfiles.machine.profile.cutter import Cutter

REFUSED = 1
"""Exit code of a refusal."""


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


def cutter_options(command: Callable[..., None]) -> Callable[..., None]:
    """Add what differs from cutter to cutter."""
    for option in (
        click.option("--lot", default="", metavar="LOT", help="film lot a coupon was judged for"),
        click.option(
            "--cutter",
            "cutter",
            metavar="NAME|FILE",
            help="the machine: a profile that comes with the program, or your own",
        ),
        click.option(
            "--hpgl-range",
            type=click.IntRange(1000, 8388607),
            default=32767,
            show_default=True,
            help="HP-GL: largest coordinate of your machine",
        ),
        click.option(
            "--pen",
            "pens",
            multiple=True,
            metavar="ROLE=PEN",
            help="HP-GL: which pen works a role, as in score-valley=3; 0 leaves it out "
            "(may be repeated)",
        ),
    ):
        command = option(command)
    return command


def strength_options(command: Callable[..., None]) -> Callable[..., None]:
    """Add what the verdict depends on beside the slip."""
    for option in (
        click.option(
            "--strict", is_flag=True, help="refuse a slip that contradicts itself instead of asking"
        ),
        click.option(
            "--machine",
            type=click.Choice(["knife", "laser"]),
            default="knife",
            show_default=True,
            help="what cuts it: for cautions, and for what film may be used",
        ),
        click.option(
            "--films",
            "films_path",
            metavar="FILE",
            type=click.Path(),
            help="your own table of films at hand (see: cutfiles films --blank)",
        ),
    ):
        command = option(command)
    return command


def films_at(path: str | None) -> "tuple[FilmKind, ...]":
    """Return the kinds in a table of films, or nothing where none is named: the usual ones."""
    if path is None:
        return ()
    from cutfiles.bench.films import read_films

    try:
        return read_films(path).kinds
    except CutfilesError as error:
        refuse(error)


paper_option = click.option(
    "--paper",
    type=click.Choice(["A4", "Letter"], case_sensitive=False),
    default="A4",
    show_default=True,
    help="of the printed sheets",
)


class FormatOption(click.Option):
    """The option that names formats; its help is told from the table when it is asked for."""

    def get_help_record(self, ctx: click.Context) -> tuple[str, str] | None:
        """Return the option and what it says of the formats there are."""
        from cutfiles.machine.formats import choices, usual_formats

        known = choices()
        usual = usual_formats()
        left = ", ".join(key for key in known["all"] if key not in usual)
        self.help = f"{', '.join(known)}; several with commas; default: all but {left}"
        return super().get_help_record(ctx)


format_option = click.option(
    "--format", "formats", cls=FormatOption, multiple=True, metavar="FORMAT"
)

# -- arguments ------------------------------------------------------------------------------------


def chosen_formats(formats: tuple[str, ...]) -> tuple[str, ...] | None:
    """Return the formats named, each once, in the order of the table; None where none is."""
    from cutfiles.machine.formats import FORMATS, choices

    known = choices()
    named: list[str] = []
    for word in ",".join(formats).split(","):
        key = word.strip().lower()
        if key and key not in known:
            raise click.BadParameter(
                f'"{key}" is no format; there are {", ".join(known)}', param_hint="--format"
            )
        named += known.get(key, ())
    return tuple(key for key in FORMATS if key in named) or None


def options_from(hpgl_range: int, pens: tuple[str, ...], bed: str | None) -> "Options":
    """Return the writers' options as given on the command line."""
    from cutfiles.files.formats import HPGL_PENS, Options

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
        if match is None or re.search(r"\d\s*$", text):
            raise ReadingError(
                f'"{text}"', "a bed is width x height and a unit", 'write it as "600x400 mm"'
            )
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


def cutter_of(name: str | None) -> "Cutter | None":
    """Return the profile named, or None where none is."""
    if name is None:
        return None
    from cutfiles.machine.profile.read import find_cutter

    return find_cutter(name)


def slip_of(path: str, stocks: "tuple[FilmKind, ...]" = ()) -> Callable[[], "Slip"]:
    """Return a function that reads the slip in a file."""

    def read() -> "Slip":
        from cutfiles.bench.slip import read_slip

        return read_slip(path, stocks)

    return read


def slip_from_options(
    given: Mapping[str, str | None], stocks: "tuple[FilmKind, ...]" = ()
) -> "Slip":
    """Return the slip given as options."""
    from cutfiles.bench.slip import slip_from
    from cutfiles.tables.record import nested

    return slip_from(nested(by_path(given)), Place(option=True), stocks)


def sources_of(
    slips: tuple[str, ...], measures: Mapping[str, str | None], stocks: "tuple[FilmKind, ...]" = ()
) -> list[Callable[[], "Slip"]]:
    """Return a function for each slip named, or for the one given as options."""
    given = {name: value for name, value in measures.items() if value is not None}
    if slips and given:
        option = "--" + next(iter(given)).removeprefix("support_").replace("_", "-")
        raise click.UsageError(
            f"{option} describes a book without a slip; write it into the slip, or give no slip"
        )
    if not slips and not given:
        raise click.UsageError("name a slip, or give the measures as options")
    return [slip_of(path, stocks) for path in slips] or [lambda: slip_from_options(given, stocks)]


def by_path(measures: Mapping[str, str | None]) -> dict[str, str]:
    """Return field paths to the texts given as options."""
    paths = {one.path.replace(".", "_"): one.path for one in FIELDS}
    return {paths[name]: text for name, text in measures.items() if text is not None}


# -- messages -------------------------------------------------------------------------------------


def progress(
    sources: list[Callable[[], "Slip"]], label: str = "making"
) -> Iterator[Callable[[], "Slip"]]:
    """Show a bar where there are many slips and somebody is looking."""
    if len(sources) < 4 or not sys.stderr.isatty():
        yield from sources
        return
    with click.progressbar(sources, label=label, file=sys.stderr, show_pos=True) as bar:
        yield from bar


def indented(text: str) -> str:
    """Return a message of several lines set in below its beginning."""
    lines = text.split("\n")
    return lines[0] if len(lines) == 1 else "\n  " + "\n  ".join(lines)


def refuse(error: CutfilesError) -> NoReturn:
    """Print a refusal and end with its exit code."""
    click.echo(f"refused: {indented(str(error))}", err=True)
    sys.exit(REFUSED)
