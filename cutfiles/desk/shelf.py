"""What lies in the desk's folder that a page can begin with: slips, cutters, plans."""

from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from cutfiles.bench.slip import SLIP_FILE
from cutfiles.errors import FileError, Place, shown
from cutfiles.machine.endings import PLAN
from cutfiles.machine.profile.read import packaged_cutters
from cutfiles.tables.load import LARGEST, parse_toml

_DEEP = 2
"""How many folders down is looked."""
_MOST = 400
"""Files of each sort."""
_LOOKED_AT = 20_000
_MEASURED = frozenset({"height", "spine_width", "width", "left_width"})


class Shelf(NamedTuple):
    """What lies in the folder, each named as from there, with / between folders."""

    slips: tuple[str, ...] = ()
    cutters: tuple[str, ...] = ()
    plans: tuple[str, ...] = ()


def shelf(folder: str) -> Shelf:
    """Return what lies in a folder and the folders in it; links out of it are passed over."""
    top = Path(folder).resolve()
    slips, cutters, plans = list[str](), list[str](), list[str]()
    for path in _files(top, _DEEP):
        name = path.relative_to(top).as_posix()
        if name.endswith(PLAN):
            plans.append(name)
        elif name.endswith(".toml"):
            fields = _fields(path)
            if "bed" in fields:
                cutters.append(name)
            elif fields & _MEASURED:
                slips.append(name)
    return Shelf(*(tuple(sorted(names)[:_MOST]) for names in (slips, cutters, plans)))


def _files(folder: Path, deep: int) -> Iterator[Path]:
    """Yield plain files; hidden ones, and names that no page can show, are not looked at."""
    try:
        inside = sorted(folder.iterdir())[:_LOOKED_AT]
    except OSError:
        return
    for path in inside:
        if path.name.startswith(".") or not path.name.isprintable() or path.is_symlink():
            continue
        if path.is_file():
            yield path
        elif deep and path.is_dir():
            yield from _files(path, deep - 1)


def _fields(path: Path) -> set[str]:
    """Return what a TOML file tells of; nothing where it is none."""
    try:
        if path.stat().st_size > LARGEST:
            return set()
        text = path.read_text(encoding="utf-8-sig")
        return set(parse_toml(text, Place(file=path.name), SLIP_FILE))
    except (OSError, ValueError, FileError):
        return set()


def taken_from(folder: Path, names: tuple[str, ...], name: str) -> Path:
    """Return the path of one of the files that lie on the shelf.

    Raises:
        FileError: it is none of them: what a browser says never becomes a path by itself.

    """
    if name not in names:
        raise FileError(
            shown(name),
            "one of the files in the desk's folder is chosen",
            "put it there, then open this page again",
        )
    return folder / name


def cutter_named(folder: Path, names: tuple[str, ...], name: str) -> str:
    """Return what a cutter is found by: a name of ours, or the path of a profile on the shelf.

    Raises:
        FileError: it is neither.

    """
    return name if name in packaged_cutters() else str(taken_from(folder, names, name))
