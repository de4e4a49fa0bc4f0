"""The options that commands share, each told once; a command picks those that belong to it."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, NamedTuple, get_args

import click
from click.core import ParameterSource

from cutfiles.bench.fields import FIELDS
from cutfiles.bench.film import Machine
from cutfiles.cli.grouped import CUTTER, EVERYDAY, EXHIBIT, MEASURES, SUPPORT, FormatOption
from cutfiles.cli.grouped import GroupedCommand as GroupedCommand
from cutfiles.cli.grouped import GroupedOption as GroupedOption
from cutfiles.errors import CutfilesError
from cutfiles.film.rules import EFFORTS, LONGEST, MARGIN, SPACING
from cutfiles.job.workshop import FOLD_MINUTES, FOLD_MINUTES_LIMITS, MOST_SPARES
from cutfiles.machine.cutter import RANGE, RANGE_LEAST, RANGE_MOST
from cutfiles.report.printed.paper import PaperName
from cutfiles.tables.field import Field
from cutfiles.units import UNITS

if TYPE_CHECKING:
    from cutfiles.job.order import Order
    from cutfiles.machine.cutter import Cutter
    from cutfiles.machine.options import Options

Command = Callable[..., None]


class Told(NamedTuple):
    """One option of the table: the heading, how it is written, what it is, as click takes it."""

    group: str
    names: tuple[str, ...]
    help: str
    more: dict[str, Any]


def _told(group: str, *names: str, help: str = "", **more: Any) -> Told:
    return Told(group, names, help, more)


def _flag(group: str, *names: str, help: str) -> Told:
    return _told(group, *names, help=help, is_flag=True)


TABLE = (
    _told(
        EVERYDAY,
        *("--to", "folder"),
        help="folder for the files",
        default=".",
        metavar="DIR",
        show_default="this folder",
        type=click.Path(file_okay=False),
    ),
    _told(EVERYDAY, "--format", "formats", cls=FormatOption, multiple=True, metavar="FORMAT"),
    _told(
        EVERYDAY,
        *("--slip", "slip_path"),
        help="the slip the file was made from",
        metavar="SLIP",
        type=click.Path(),
    ),
    _flag(EVERYDAY, "--replace", help="also replace files that others made or changed"),
    _told(
        EVERYDAY,
        "--paper",
        help="of what is printed",
        type=click.Choice(get_args(PaperName), case_sensitive=False),
        metavar=f"[{'|'.join(get_args(PaperName))}]",
        default=get_args(PaperName)[0],
        show_default=True,
    ),
    _flag(EVERYDAY, "--no-cards", help="leave what is printed out"),
    _flag(EVERYDAY, "--png", help="also make the pictures as PNG"),
    _flag(
        EVERYDAY,
        *("--json", "as_json"),
        help="print the result as data: one object, or a list for several",
    ),
    _told(
        EVERYDAY,
        *("--films", "films_path"),
        help="your own table of films at hand (see: cutfiles films --blank)",
        metavar="FILE",
        type=click.Path(),
    ),
    _told(
        EVERYDAY,
        *("--trials", "trials_path"),
        help="your studio's load tests, which verdicts take up (see: cutfiles trial)",
        metavar="FILE",
        type=click.Path(),
    ),
    _told(
        EXHIBIT,
        *("--memory", "memory_path"),
        help="the file in which supports made are kept in mind: told which books fit them",
        metavar="FILE",
        type=click.Path(dir_okay=False),
    ),
    _flag(EVERYDAY, *("--open", "open_it"), help="show the picture of what was made"),
    _flag(EVERYDAY, "--strict", help="refuse a slip that contradicts itself instead of asking"),
    _flag(EVERYDAY, "--anyway", help="make even what no film carries, for a trial with a dummy"),
    _told(
        CUTTER,
        "--machine",
        help="what cuts it, where no cutter is named: for cautions, and for what film may be used",
        type=click.Choice(get_args(Machine)),
        default=get_args(Machine)[0],
        show_default=True,
    ),
    _told(
        CUTTER,
        "--cutter",
        help="the machine: a profile that comes with the program, or your own",
        metavar="NAME|FILE",
    ),
    _told(CUTTER, "--lot", help="film lot a coupon was judged for", default="", metavar="LOT"),
    _told(
        CUTTER,
        "--bed",
        help='refuse a piece larger than the bed, as in "600x400 mm"',
        metavar="WxH",
    ),
    _told(
        CUTTER,
        *("--pen", "pens"),
        help="HP-GL: which pen works a role, as in score-valley=3; 0 leaves it out (may be "
        "repeated)",
        multiple=True,
        metavar="ROLE=PEN",
    ),
    _told(
        CUTTER,
        "--hpgl-range",
        help="HP-GL: largest coordinate of your machine",
        type=click.IntRange(RANGE_LEAST, RANGE_MOST),
        default=RANGE,
        show_default=True,
    ),
    _told(
        EXHIBIT,
        "--units",
        help="what bare lengths count in where neither cell nor column says it",
        type=click.Choice(UNITS),
    ),
    _told(
        EXHIBIT,
        "--mapping",
        help="what the columns hold, as cutfiles list --save-mapping writes it",
        type=click.Path(),
        metavar="FILE",
    ),
    _told(EXHIBIT, "--name", help="of the exhibit; default: the list's name", metavar="NAME"),
    _told(
        EXHIBIT,
        *("--shelf", "shelf"),
        help="a table of films at hand, which is updated; or film of any gauge, as in "
        "'roll 1016 mm' or 'sheet 610 mm x 1016 mm' (may be repeated); default: rolls 1016 mm wide",
        multiple=True,
        metavar="FILM",
    ),
    _told(
        EXHIBIT,
        "--longest",
        help="longest sheet cut off a roll",
        metavar="LENGTH",
        default=f"{LONGEST:g} mm",
        show_default=True,
    ),
    _told(
        EXHIBIT,
        "--margin",
        help="between pieces and the film's edge",
        metavar="LENGTH",
        default=f"{MARGIN:g} mm",
        show_default=True,
    ),
    _told(
        EXHIBIT,
        "--spacing",
        help="between two pieces",
        metavar="LENGTH",
        default=f"{SPACING:g} mm",
        show_default=True,
    ),
    _told(
        EXHIBIT,
        "--spares",
        help="how many more of each support are cut",
        type=click.IntRange(0, MOST_SPARES),
        default=0,
        show_default=True,
    ),
    _told(
        EXHIBIT,
        "--fold-minutes",
        help="for a crease folded by hand, with taping and fitting: for the totals of time",
        metavar="MINUTES",
        type=click.FloatRange(*FOLD_MINUTES_LIMITS),
        default=FOLD_MINUTES,
        show_default=True,
    ),
    _flag(
        EXHIBIT,
        "--anew",
        help="lay out anew, and choose film anew for, all that is not marked as cut",
    ),
    _told(
        EXHIBIT,
        "--effort",
        help="how long to search for a layout that takes less film",
        type=click.Choice([*EFFORTS]),
        default="usual",
        show_default=True,
    ),
    _told(
        EXHIBIT,
        "--workers",
        help="processes to work in",
        type=click.IntRange(1, 256),
        default=None,
        show_default="one a processor",
    ),
)
"""Each option that commands share, or that an order or a plan is made from."""
OPTIONS = {one.names[0]: one for one in TABLE}
MACHINE_FILES = ("--cutter", "--lot", "--pen", "--hpgl-range")
"""What says how the files of one machine differ from others'."""


def option(name: str, **changed: Any) -> Callable[[Command], Command]:
    """Add an option of the table, some of it told otherwise, to a command."""
    one = OPTIONS[name]
    given = {"cls": GroupedOption, "group": one.group, "help": one.help, **one.more, **changed}
    return click.option(*one.names, **given)


def options(*names: str) -> Callable[[Command], Command]:
    """Add options of the table to a command, told in this order."""

    def add(command: Command) -> Command:
        for name in reversed(names):
            command = option(name)(command)
        return command

    return add


def slip_fields(command: Command) -> Command:
    """Add an option for each field of a slip."""
    for one in reversed(FIELDS):
        command = click.option(
            f"--{one.name.replace('_', '-')}",
            one.path.replace(".", "_"),
            cls=GroupedOption,
            group=SUPPORT if one.table else MEASURES,
            metavar=one.kind.upper(),
            help=_help(one),
        )(command)
    return command


def _help(one: Field) -> str:
    example = " or ".join(one.choices) or one.example
    return f"{one.help} ({example})"


# -- from options to an order ---------------------------------------------------------------------


def order_from(given: dict[str, Any]) -> "Order":
    """Take out of the options given all that an order holds, and return it."""
    from cutfiles.cli.common import cutter_of, films_at, refuse, trials_from
    from cutfiles.job.order import Order

    cutter, lot = given.pop("cutter", None), given.pop("lot", "")
    bed, pens = given.pop("bed", None), given.pop("pens", ())
    if cutter and (bed or pens):
        raise click.UsageError("bed and pens stand in the profile that --cutter names")
    if lot and not cutter:
        raise click.UsageError("--lot needs --cutter: the profile knows what its coupon has shown")
    paper = given.pop("paper", get_args(PaperName)[0])
    flags = {name: given.pop(name, False) for name in ("png", "strict", "anyway", "replace")}
    try:
        profile = cutter_of(cutter)
        return Order(
            formats=chosen_formats(given.pop("formats", ())),
            options=_writers_options(given.pop("hpgl_range", RANGE), pens, bed),
            cutter=profile,
            lot=lot,
            machine=_machine(given, profile),
            films=films_at(given.pop("films_path", None)),
            trials=trials_from(given.pop("trials_path", None)),
            paper=None if given.pop("no_cards", False) else paper,
            **flags,
        )
    except CutfilesError as error:
        refuse(error)


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


def _machine(given: dict[str, Any], profile: "Cutter | None") -> Machine:
    """Return what cuts, as given; refuse a word that the profile named beside it contradicts."""
    machine: Machine = given.pop("machine", get_args(Machine)[0])
    context = click.get_current_context(silent=True)
    typed = context and context.get_parameter_source("machine") is ParameterSource.COMMANDLINE
    if typed and profile is not None and profile.kind != machine:
        raise click.UsageError(
            f'--machine {machine}, and the profile "{profile.name}" is of a {profile.kind}: leave '
            "--machine out"
        )
    return machine


def _writers_options(hpgl_range: int, pens: tuple[str, ...], bed: str | None) -> "Options":
    """Return the writers' options as given on the command line."""
    from cutfiles.machine.options import HPGL_PENS, Options

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
