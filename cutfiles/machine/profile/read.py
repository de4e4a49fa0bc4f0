"""Reads a cutter profile from TOML; tells all its faults together."""

import difflib
import os
import tomllib
from collections.abc import Mapping
from importlib import resources
from pathlib import Path
from typing import Any

from cutfiles.errors import CutterError, FileError, Place
from cutfiles.machine.cutter import Bed, Cutter, Judged, Material, Setting, Speed, Tool
from cutfiles.machine.formats import drawn_formats
from cutfiles.machine.profile.contradictions import contradictions
from cutfiles.machine.profile.fields import PROFILE_FILE, WORKS, profile_table
from cutfiles.tables.load import load_toml
from cutfiles.tables.record import Record, read_record


def packaged_cutters() -> tuple[str, ...]:
    """Return the names of the profiles that come with the program.

    >>> packaged_cutters()
    ('desktop-knife', 'flatbed-wheel', 'laser', 'wide-roll-knife')
    """
    folder = resources.files("cutfiles.machine.profile") / "examples"
    return tuple(
        sorted(f.name.removesuffix(".toml") for f in folder.iterdir() if f.name.endswith(".toml"))
    )


def packaged_text(name: str) -> str:
    """Return the text of a profile that comes with the program."""
    file = resources.files("cutfiles.machine.profile") / "examples" / f"{name}.toml"
    return file.read_text(encoding="utf-8")


def find_cutter(name: str | os.PathLike[str]) -> Cutter:
    """Return the profile in a file, or the packaged one of this name.

    Raises:
        FileError: there is no such file or profile, or it is no TOML.
        CutterError: the profile has faults; all of them are in it.

    >>> find_cutter("laser").kind
    'laser'

    """
    text = os.fspath(name)
    if text in packaged_cutters():
        return cutter_from(tomllib.loads(packaged_text(text)), f"cutter {text}")
    if not Path(text).exists() and not text.endswith(".toml"):
        close = difflib.get_close_matches(text, packaged_cutters(), 1)
        raise FileError(
            f'"{text}"',
            "a cutter is a profile file, or one of " + ", ".join(packaged_cutters()),
            f'did you mean "{close[0]}"?' if close else "choose one of them",
            "cutter",
            "" if close else "which-cutter",
        )
    return read_cutter(text)


def read_cutter(path: str | os.PathLike[str]) -> Cutter:
    """Return the profile in a TOML file.

    Raises:
        FileError: the file cannot be read, or is no TOML.
        CutterError: the profile has faults; all of them are in it.

    """
    place = Place(file=f"cutter {os.path.basename(os.fspath(path))}")
    return cutter_from(load_toml(path, place, PROFILE_FILE), place.file)


def cutter_from(values: Mapping[str, Any], source: str) -> Cutter:
    """Return the profile with these values, named as in a profile file.

    Raises:
        CutterError: all faults together.

    >>> cutter_from({"name": "k", "kind": "knife", "formats": ["svg"], "score": {"method":
    ...     "perforate"}, "bed": {"width": "300 mm", "length": "600 mm"}}, "k.toml").bed.reach
    (300.0, 600.0)

    """
    record = read_record(profile_table(), values, Place(file=source))
    if record.faults:
        raise CutterError(record.faults)
    cutter = _cutter(record, values)
    if faults := tuple(contradictions(cutter)):
        raise CutterError(faults)
    return cutter


def _cutter(record: Record, values: Mapping[str, Any]) -> Cutter:
    """Return the cutter that a profile without faults describes."""
    top = {name: value for name, value in record.values.items() if "." not in name}
    return Cutter(
        name=top["name"],
        kind=top["kind"],
        about=top.get("about", ""),
        source=record.place.file,
        formats=tuple(key for key in drawn_formats() if key in top["formats"]),
        bed=Bed(**record.of("bed")),
        tool=Tool(**record.of("tool")),
        speed=Speed(**record.of("speed")),
        layers=record.of("layers"),
        colours={role: colour.upper() for role, colour in record.of("colours").items()},
        pens=record.of("pens"),
        materials=tuple(_material(one) for one in record.lists["material"]),
        judged=tuple(_judged(one) for one in record.lists["judged"]),
        values=dict(values),
        **record.of("score"),
        **record.of("laser"),
    )


def _material(record: Record) -> Material:
    found = record.values
    settings = {
        work: Setting(
            **{
                name.removeprefix(f"{work}_"): value
                for name, value in found.items()
                if name.startswith(f"{work}_")
            }
        )
        for work in WORKS
    }
    return Material(film=found.get("film", ""), gauge=found["gauge"], settings=settings)


def _judged(record: Record) -> Judged:
    found = {name: value for name, value in record.values.items() if name != "setting"}
    return Judged(**found)
