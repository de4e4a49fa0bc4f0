"""A workshop said once: what holds for all its slips, and which file said it.

Two files may say it: `workshop.toml` in the user's own folder for settings, and one of that name
beside the slips or the list, which goes before it. What would be written or sent somewhere counts
in the user's own file only: a file that came with a list never says where things go.
"""

import os
from collections.abc import Mapping
from dataclasses import field
from pathlib import Path
from typing import TYPE_CHECKING, Any, get_args

from cutfiles.bench.film import Machine
from cutfiles.dataclass import dataclass
from cutfiles.errors import Place, WorkshopError
from cutfiles.line.flow import Flow
from cutfiles.report.printed.paper import PaperName
from cutfiles.tables.field import Field, Table
from cutfiles.tables.load import Wanted, load_toml
from cutfiles.tables.record import read_record
from cutfiles.units import UNITS

if TYPE_CHECKING:
    from cutfiles.job.order import Order

NAME = "workshop.toml"
"""What both files are called."""
HOME = "CUTFILES_CONFIG"
"""Environment variable that names another folder than the system's for the user's own file."""
_FILE = Wanted(
    "a workshop file",
    "a workshop file",
    "check its name and folder",
    "put every text in quotation marks, as in the blank one",
    "workshop",
)
MOST_SPARES = 20
"""So many spares of each support may be wanted."""
FOLD_MINUTES = 1.0
"""For a crease folded by hand, with its share of taping and fitting (common practice, no source).

A support of twenty creases takes twenty minutes, once one has made a few.
"""
FOLD_MINUTES_LIMITS = (0.1, 60.0)
"""Minutes that a crease may take."""


def _text(name: str, help: str, example: str) -> Field:
    return Field(name=name, kind="text", help=help, example=example, most=500)


def _choice(name: str, help: str, *choices: str) -> Field:
    return Field(name=name, kind="choice", help=help, choices=choices, example=choices[0])


FIELDS = (
    _text("cutter", "the machine: a profile that comes with the program, or a file", "knife.toml"),
    _choice("machine", "what cuts, where no cutter is named", *get_args(Machine)),
    _text("films", "the table of films at hand, a file", "films.toml"),
    _text("shelf", "the table of film on the shelf, a file that exhibits keep up", "shelf.toml"),
    _text("trials", "the table of your load tests, a file", "trials.csv"),
    _text("memory", "where the supports made are kept in mind, a file", "supports.json"),
    _choice("paper", "of what is printed", *get_args(PaperName)),
    _choice("units", "what a number without a unit counts in, where a slip says none", *UNITS),
    Field("spares", "whole", "how many more of each support an exhibit cuts", "1", 0, MOST_SPARES),
    Field(
        "fold_minutes",
        "number",
        "minutes for a crease folded by hand, with taping and fitting, for an exhibit's totals",
        "1.5",
        *FOLD_MINUTES_LIMITS,
    ),
    _choice("open", "whether a picture of what was made is opened, in a terminal", "yes", "no"),
    _text("folder", "where files are put", "cut-files"),
    Field(
        "line",
        "word",
        "line is serial:PORT, tcp:HOST:PORT or file:PATH",
        "tcp:192.0.2.7:9100",
        pattern=r"(serial|tcp|file):.+",
    ),
    _choice("flow", "serial: how the cutter holds us up when it is full", *get_args(Flow)),
    Field("baud", "whole", "serial: speed of the line", "9600", 1, 10_000_000),
)
"""All that a workshop file may say."""
OWN = frozenset({"open", "folder", "line", "flow", "baud"})
"""Fields that count in the user's own file only: they say where things go."""
WRITTEN = frozenset({"shelf", "trials", "memory"})
"""Fields that name a file which is kept up: one beside slips names none outside of its folder."""
FILES = frozenset({"films", "shelf", "trials", "memory", "folder", "cutter"})
"""Fields that name a file or folder, from the folder of the file they stand in."""
TABLE = Table("a workshop file", FIELDS, correct="correct it")


@dataclass(frozen=True, slots=True, kw_only=True)
class Workshop:
    """What holds in a workshop.

    Attributes:
        values: field to what it reads as, names of files as one opens them from here.
        sources: field to the file that says it.
        files: the files that were read, the one that goes first before the other.
        own: the user's own file, whether it is there or not.
        left: field to the file in which it stands and does not count.

    """

    values: Mapping[str, Any] = field(default_factory=dict)
    sources: Mapping[str, str] = field(default_factory=dict)
    files: tuple[str, ...] = ()
    own: str = ""
    left: Mapping[str, str] = field(default_factory=dict)

    def order(self, **changes: Any) -> "Order":
        """Return the order that holds here, with some of it changed, by the names of `Order`.

        Raises:
            FileError: a file that it names cannot be read.
            CutterError, FilmsError, TrialsError: such a file has faults.

        """
        # here and not above: every command asks what holds, few need an order
        from cutfiles.bench.films import read_films
        from cutfiles.job.order import Order
        from cutfiles.job.trial import trials_at
        from cutfiles.machine.profile.read import find_cutter

        of = self.values
        found: dict[str, Any] = {k: of[k] for k in ("machine", "paper") if k in of}
        if "cutter" in of and not {"cutter", "machine"} & changes.keys():
            found["cutter"] = find_cutter(of["cutter"])
        if "films" in of and "films" not in changes:
            found["films"] = read_films(of["films"]).kinds
        if "trials" in of and "trials" not in changes and os.path.lexists(of["trials"]):
            found["trials"] = trials_at(of["trials"])
        return Order(**{**found, **changes})


def own_file() -> Path:
    """Return where the user's own workshop file lies, or would lie."""
    named = os.environ.get(HOME)
    if named:
        return Path(named) / NAME
    from platformdirs import user_config_path

    return user_config_path("cutfiles", appauthor=False) / NAME


def read_workshop(folder: str | os.PathLike[str] | None = None) -> Workshop:
    """Return what holds for slips or a list in a folder.

    Args:
        folder: where they lie; a workshop file in it goes before the user's own. None for no such.

    Raises:
        FileError: a workshop file cannot be read.
        WorkshopError: one has faults; all of them are in it.

    """
    own = own_file()
    beside = None if folder is None else Path(folder) / NAME
    values: dict[str, Any] = {}
    sources: dict[str, str] = {}
    left: dict[str, str] = {}
    files: list[str] = []
    for file in (beside, own):
        if file is None or not file.exists() or (files and os.path.samefile(file, files[0])):
            continue
        files.append(str(file))
        ours = own.exists() and os.path.samefile(file, own)
        for name, value in _said(file).items():
            leads_out = name in WRITTEN and not _inside(value, file.parent)
            if not ours and (name in OWN or leads_out):
                left[name] = str(file)
            elif name not in values:
                values[name], sources[name] = value, str(file)
    ordered = {one.name: values[one.name] for one in FIELDS if one.name in values}
    return Workshop(values=ordered, sources=sources, files=tuple(files), own=str(own), left=left)


def _said(file: Path) -> dict[str, Any]:
    """Return what one workshop file says, names of files from its own folder."""
    place = Place(file=str(file))
    record = read_record(TABLE, load_toml(file, place, _FILE), place)
    if record.faults:
        raise WorkshopError(record.faults)
    return {
        name: _path(name, value, file.parent) if name in FILES else value
        for name, value in record.values.items()
    }


def _inside(path: str, folder: Path) -> bool:
    """Whether a file lies in a folder, links followed."""
    return Path(os.path.realpath(path)).is_relative_to(os.path.realpath(folder))


def _path(name: str, value: str, folder: Path) -> str:
    if name == "cutter":
        from cutfiles.machine.profile.read import packaged_cutters

        if value in packaged_cutters():
            return value
    return os.path.join(folder, os.path.expanduser(value))


def blank_workshop() -> str:
    """Return a commented workshop file to fill in."""
    lines = [
        f"# {NAME}: what holds for all slips of this workshop. Fill in, and take the # away.",
        "# In your own folder for settings it holds everywhere; beside slips or a list it holds",
        "# for them, and goes before your own. An option goes before both. Names of files count",
        "# from the folder this file lies in.",
        "",
    ]
    for one in FIELDS:
        if one.name == min(OWN, key=[f.name for f in FIELDS].index):
            lines += ["", "# Only in your own folder: where things go, and over which line."]
        said = " or ".join(one.choices)
        lines.append(f"# {one.help}" + (f": {said}" if said else ""))
        lines.append(f'# {one.name} = "{one.example}"')
    return "\n".join(lines) + "\n"
