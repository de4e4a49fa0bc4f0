"""Reads a cutter profile from TOML; tells all its faults together."""

import difflib
import os
import re
import tomllib
from collections.abc import Mapping
from importlib import resources
from pathlib import Path
from typing import Any

from cutfiles.errors import CutterError, Fault, FileError, ReadingError
from cutfiles.machine.profile.contradictions import contradictions
from cutfiles.machine.profile.cutter import Bed, Cutter, Judged, Material, Setting, Speed, Tool
from cutfiles.machine.profile.fields import (
    ENTRIES,
    FORMAT_KEYS,
    JUDGED,
    MACHINE,
    MATERIAL,
    WORKS,
    Entry,
)
from cutfiles.pattern.pattern import Role
from cutfiles.tables.value import read_value
from cutfiles.units import Units

LARGEST = 1_000_000
"""A larger file is no profile, bytes."""
_LAYER_NAME = re.compile(r"[A-Za-z][A-Za-z0-9_-]{0,30}")
_COLOUR = re.compile(r"#[0-9A-Fa-f]{6}")


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
            f'did you mean "{close[0]}"?' if close else "list them with: cutfiles cutters list",
            "cutter",
        )
    return read_cutter(text)


def read_cutter(path: str | os.PathLike[str]) -> Cutter:
    """Return the profile in a TOML file.

    Raises:
        FileError: the file cannot be read, or is no TOML.
        CutterError: the profile has faults; all of them are in it.

    """
    place = f"cutter {os.path.basename(os.fspath(path))}"
    try:
        with open(path, "rb") as file:
            data = file.read(LARGEST + 1)
        values = tomllib.loads(data.decode("utf-8-sig").replace("\r\n", "\n"))
    except OSError as error:
        raise FileError(
            (error.strerror or "no such file").lower(),
            "a profile is a file that can be read",
            "check its name and folder, or begin with: cutfiles cutters copy laser",
            place,
        ) from None
    except UnicodeDecodeError as error:
        raise FileError(
            f"a byte that is no UTF-8 text (at byte {error.start})",
            "a profile is UTF-8 text",
            'save it with the encoding "UTF-8"',
            place,
        ) from None
    except tomllib.TOMLDecodeError as error:
        raise FileError(
            f"text that is no TOML ({error})",
            "a profile is a TOML file",
            "put every text and every length in quotation marks",
            place,
        ) from None
    return cutter_from(values, place)


def cutter_from(values: Mapping[str, Any], source: str = "cutter") -> Cutter:
    """Return the profile with these values, named as in a profile file.

    Raises:
        CutterError: all faults together.

    >>> cutter_from({"name": "k", "kind": "knife", "formats": ["svg"], "score": {"method":
    ...     "perforate"}, "bed": {"width": "300 mm", "length": "600 mm"}}).bed.reach
    (300.0, 600.0)

    """
    return _Reading(values, source).cutter()


class _Reading:
    """One profile being read: collects values and faults, then makes the cutter or refuses it."""

    def __init__(self, values: Mapping[str, Any], source: str) -> None:
        self.raw, self.source = values, source
        self.faults: list[Fault] = []
        self.values: dict[str, Any] = {}
        units = values.get("units")
        self.units: Units | None = units if units in ("mm", "cm", "in") else None

    def cutter(self) -> Cutter:
        self._unknown()
        for entry in ENTRIES:
            self._entry(entry, self._section(entry.section), entry.path, self.values)
        formats = self._formats()
        layers, colours, pens = self._layers(), self._colours(), self._pens()
        materials = tuple(self._material(i, m) for i, m in enumerate(self._list("material"), 1))
        judged = tuple(self._judged(i, j) for i, j in enumerate(self._list("judged"), 1))
        if self.faults:
            raise CutterError(tuple(self.faults))
        get = self.values.get
        cutter = Cutter(
            name=get("name", ""),
            kind=get("kind", "knife"),
            about=get("about", ""),
            source=self.source,
            formats=formats,
            bed=Bed(**_whole(self._of("bed"), "range_least", "range_most")),
            tool=Tool(**_whole(self._of("tool"), "bridges")),
            speed=Speed(**self._of("speed")),
            layers=layers,
            colours=colours,
            pens=pens,
            materials=materials,
            judged=judged,
            values=dict(self.raw),
            **self._of("score"),
            **self._of("laser"),
        )
        self.faults += [
            Fault(f"{self.source}, {place}", *said) for place, *said in contradictions(cutter)
        ]
        if self.faults:
            raise CutterError(tuple(self.faults))
        return cutter

    # -- parts ------------------------------------------------------------------------------------

    def _fault(self, path: str, found: str, needed: str, remedy: str) -> None:
        self.faults.append(Fault(f"{self.source}, {path}", found, needed, remedy))

    def _section(self, name: str) -> Mapping[str, Any]:
        table = self.raw if not name else self.raw.get(name, {})
        return table if isinstance(table, Mapping) else {}

    def _of(self, section: str) -> dict[str, Any]:
        """Return the values read of one section, by field."""
        start = f"{section}."
        return {k.removeprefix(start): v for k, v in self.values.items() if k.startswith(start)}

    def _entry(
        self, entry: Entry, table: Mapping[str, Any], path: str, into: dict[str, Any]
    ) -> None:
        name = entry.field.name
        value = table.get(name)
        if value is None:
            if entry.needed:
                self._fault(
                    path, "nothing", entry.field.help, f'write {name} = "{entry.field.example}"'
                )
            return
        if entry.machine and value == MACHINE:
            return
        try:
            into[path] = read_value(entry.field, value, self.units)
        except ReadingError as error:
            remedy = error.fault.remedy.replace("measure again and", "look into the manual and")
            remedy = remedy.replace("give the slip units", "give the profile units")
            if entry.machine:
                remedy += f', or write "{MACHINE}" if the machine does it itself'
            self._fault(path, error.fault.found, error.fault.needed, remedy)

    def _unknown(self) -> None:
        """Tell fields that no profile has, with the nearest that one has."""
        known = {entry.path for entry in ENTRIES}
        sections = {entry.section for entry in ENTRIES if entry.section}
        free = {"layers", "colours", "pens"}
        for name, value in self.raw.items():
            if name in sections or name in free:
                if not isinstance(value, Mapping):
                    self._fault(name, f'"{value}"', f"[{name}] is a table", f"write [{name}]")
                elif name in sections:
                    self._strangers(name, value, {k for k in known if k.startswith(f"{name}.")})
            elif name not in ("formats", "material", "judged"):
                self._strangers("", {name: value}, known | {"formats"})

    def _strangers(self, section: str, table: Mapping[str, Any], known: set[str]) -> None:
        names = {path.rpartition(".")[2]: path for path in sorted(known)}
        for name in table:
            path = f"{section}.{name}" if section else name
            if path in known:
                continue
            close = difflib.get_close_matches(name, names, 1)
            self._fault(
                path,
                f'a field "{name}"',
                "a profile has none of this name",
                f"did you mean {names[close[0]]}?" if close else "take it out",
            )

    def _formats(self) -> tuple[str, ...]:
        value = self.raw.get("formats")
        if not isinstance(value, list) or not value:
            self._fault(
                "formats",
                f'"{value}"' if value else "nothing",
                "the formats the machine takes",
                'write formats = ["dxf-r12"]',
            )
            return ()
        for key in value:
            if key not in FORMAT_KEYS:
                self._fault(
                    "formats",
                    f'"{key}"',
                    "there are " + ", ".join(FORMAT_KEYS),
                    "choose among them",
                )
        return tuple(key for key in FORMAT_KEYS if key in value)

    def _roles(self, section: str) -> list[tuple[str, Any]]:
        """Return role and value of a table of roles; a fault for what is no role."""
        found = []
        for role, value in self._section(section).items():
            if role in [r.value for r in Role]:
                found.append((role, value))
            else:
                self._fault(
                    f"{section}.{role}",
                    f'"{role}"',
                    "roles are " + ", ".join(Role),
                    "choose among them",
                )
        return found

    def _layers(self) -> dict[str, str]:
        layers: dict[str, str] = {}
        for role, value in self._roles("layers"):
            if isinstance(value, str) and _LAYER_NAME.fullmatch(value):
                layers[role] = value
            else:
                self._fault(
                    f"layers.{role}",
                    f'"{value}"',
                    "a layer's name is a letter, then up to 30 letters, digits, _ and -",
                    "give it such a name",
                )
        return layers

    def _colours(self) -> dict[str, str]:
        colours: dict[str, str] = {}
        for role, value in self._roles("colours"):
            if isinstance(value, str) and _COLOUR.fullmatch(value):
                colours[role] = value.upper()
            else:
                self._fault(
                    f"colours.{role}",
                    f'"{value}"',
                    "a colour is # and six hexadecimal digits",
                    'write it as "#D55E00"',
                )
        return colours

    def _pens(self) -> dict[str, int]:
        pens: dict[str, int] = {}
        for role, value in self._roles("pens"):
            if isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= 8:
                pens[role] = value
            else:
                self._fault(
                    f"pens.{role}",
                    f'"{value}"',
                    "a pen is a whole number from 0 to 8; 0 leaves the role out",
                    "correct it",
                )
        return pens

    def _list(self, name: str) -> list[Mapping[str, Any]]:
        value = self.raw.get(name, [])
        if not isinstance(value, list) or not all(isinstance(one, Mapping) for one in value):
            self._fault(
                name,
                f'"{value}"',
                f"[[{name}]] is a list of tables",
                f"write [[{name}]] above each",
            )
            return []
        return value

    def _table(
        self, name: str, index: int, table: Mapping[str, Any], entries: tuple[Entry, ...]
    ) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for entry in entries:
            values: dict[str, Any] = {}
            path = f"{name} {index}, {entry.field.name}"
            self._entry(entry, table, path, values)
            if path in values:
                found[entry.field.name] = values[path]
        for stranger in set(table) - {entry.field.name for entry in entries}:
            self._fault(
                f"{name} {index}, {stranger}",
                f'a field "{stranger}"',
                f"[[{name}]] has none of this name",
                "take it out",
            )
        return found

    def _material(self, index: int, table: Mapping[str, Any]) -> Material:
        found = self._table("material", index, table, MATERIAL)
        settings = {}
        for work in WORKS:
            named = {
                k.removeprefix(f"{work}_"): v for k, v in found.items() if k.startswith(f"{work}_")
            }
            settings[work] = Setting(**_whole(named, "passes"))
        return Material(
            film=found.get("film", ""),
            gauge=found.get("gauge", 0.0),
            settings=settings,  # type: ignore[arg-type]
        )

    def _judged(self, index: int, table: Mapping[str, Any]) -> Judged:
        found = self._table("judged", index, table, JUDGED)
        found.pop("setting", None)
        return Judged(
            lot=found.get("lot", ""),
            gauge=found.get("gauge", 0.0),
            what=found.get("what", "score_passes"),
            value=found.get("value", 0.0),
        )


def _whole(values: dict[str, Any], *names: str) -> dict[str, Any]:
    """Return the values with the named ones as whole numbers."""
    return {k: int(v) if k in names else v for k, v in values.items()}
