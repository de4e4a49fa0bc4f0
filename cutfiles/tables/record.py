"""Reads a table as declared to typed values; tells all its faults together, each with its place.

>>> from cutfiles.tables.field import Field, Table
>>> shelf = Table("a shelf", (Field("width", "length", "of a board", "600 mm", 1, 3000),))
>>> record = read_record(shelf, {"width": "24 in", "widht": 3}, Place(file="shelf.toml"))
>>> round(record.values["width"], 1), str(record.faults[0])
(609.6, 'shelf.toml, widht: found "widht"; a shelf has no such field; did you mean "width"?')
"""

from collections.abc import Iterator, Mapping
from dataclasses import field, replace
from typing import Any

from cutfiles.dataclass import dataclass
from cutfiles.errors import Fault, Place, ReadingError, shown
from cutfiles.tables.field import ANY, Field, Table
from cutfiles.tables.value import read_value
from cutfiles.units import UNITS, Units

LIST_MOST = 200
"""Entries that the value of one field may have."""
FIELDS_MOST = 500
"""Fields that stand in one table; more were not written by hand."""
FAULTS_MOST = 200
"""Where there are more faults, the rest of a list is not read."""
_SUGGESTED = 20
"""So many unknown names get the nearest known one beside them; it takes time to find."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """A table as read.

    Attributes:
        place: where it stands.
        values: field paths to what they read as.
        said: the same, as they stand there; blank ones are left out.
        lists: name of an array of tables to its records.
        bad: paths of fields that stand there and cannot be read.
        faults: all that is wrong: unknown fields, then the others in their order, then the
            missing ones.
        units: what its bare numbers count in, or None.

    """

    place: Place
    values: Mapping[str, Any]
    said: Mapping[str, Any]
    lists: Mapping[str, tuple["Record", ...]]
    bad: frozenset[str]
    faults: tuple[Fault, ...]
    units: Units | None = None

    def of(self, table: str) -> dict[str, Any]:
        """Return what was read of a table in it, by field."""
        start = f"{table}."
        return {k.removeprefix(start): v for k, v in self.values.items() if k.startswith(start)}


def read_record(
    table: Table, values: Mapping[str, Any], place: Place, units: Units | None = None
) -> Record:
    """Return a table's values, typed, and all its faults.

    Args:
        table: as declared.
        values: as they stand in the file, or as Python gives them.
        place: of the table.
        units: what bare numbers count in, if it does not say so itself.

    """
    reading = _Reading(table, place, units)
    reading.read(values)
    return Record(
        place=place,
        values=reading.values,
        said=reading.said,
        lists=reading.lists,
        bad=frozenset(reading.bad),
        faults=tuple(reading.faults),
        units=reading.units,
    )


def nested(flat: Mapping[str, Any]) -> dict[str, Any]:
    """Return values by field path as a file would hold them.

    >>> nested({"height": "8 in", "support.gauge": "5 mil"})
    {'height': '8 in', 'support': {'gauge': '5 mil'}}
    """
    out: dict[str, Any] = {}
    for path, value in flat.items():
        table, _, name = path.rpartition(".")
        (out.setdefault(table, {}) if table else out)[name] = value
    return out


@dataclass(slots=True)
class _Reading:
    """One table being read: collects values and faults."""

    table: Table
    place: Place
    units: Units | None
    values: dict[str, Any] = field(default_factory=dict)
    said: dict[str, Any] = field(default_factory=dict)
    lists: dict[str, tuple[Record, ...]] = field(default_factory=dict)
    bad: set[str] = field(default_factory=set)
    faults: list[Fault] = field(default_factory=list)

    def read(self, values: Mapping[str, Any]) -> None:
        raw = self._flat(values)
        fields = sorted(self.table.fields, key=lambda one: one.name != "units")
        for one in fields:
            if one.name == ANY:
                for table, name in raw:
                    if table == one.table:
                        self._field(one._replace(name=name), raw[table, name])
            elif (key := (one.table, one.name)) in raw:
                self._field(one, raw[key])
        for one in fields:
            if one.needed and (one.table, one.name) not in raw:
                self._missing(one)
        for name, inner in self.table.lists:
            self.lists[name] = tuple(self._list(name, inner, values.get(name, [])))

    def _flat(self, values: Mapping[str, Any]) -> dict[tuple[str, str], Any]:
        """Return table and name to values, blanks left out; unknown names are told as faults."""
        known = {(one.table, one.name) for one in self.table.fields}
        tables, lists = {table for table, _ in known} - {""}, dict(self.table.lists)
        flat: dict[tuple[str, str], Any] = {}
        for name, value in values.items():
            if name in lists:
                continue
            if name not in tables or ("", name) in known:
                flat["", name] = value
            elif isinstance(value, Mapping):
                flat |= {(name, key): inner for key, inner in value.items()}
            else:
                self._fault(
                    "", name, shown(value), f"[{name}] is a table", f"write [{name}] above it"
                )
        if len(flat) > FIELDS_MOST:
            self._fault("", "", f"{len(flat)} fields", f"at most {FIELDS_MOST}", "take some out")
            return {}
        for table, name in list(flat):
            if (table, name) not in known and (table, ANY) not in known:
                self._unknown(table, name)
                del flat[table, name]
        kept = {(one.table, one.name) for one in self.table.fields if one.kind == "exact"}
        return {
            key: value
            for key, value in flat.items()
            if key in kept or (key[0], ANY) in known or not _blank(value)
        }

    def _unknown(self, table: str, name: str) -> None:
        fields = self.table.fields
        names = {one.name: one.path for one in fields if one.table == table}
        names |= {one: one for one, _ in self.table.lists} if not table else {}
        near = [one.path for one in fields if one.name == name]
        if not near and len(self.faults) < _SUGGESTED:
            import difflib  # only where something was mistyped

            near = [names[one] for one in difflib.get_close_matches(name[:80], names, n=1)]
        self._fault(
            table,
            name,
            shown(name),
            f"{self.table.kind} has no such field",
            f'did you mean "{near[0]}"?' if near else self.table.see,
            "name",
        )

    def _missing(self, one: Field) -> None:
        written = f'["{one.example}"]' if one.many else f'"{one.example}"'
        self._fault(
            one.table,
            one.name,
            "nothing",
            f"{one.name} is needed: {one.help}",
            f"write {one.name} = {written}",
            "fill-in",
        )

    def _field(self, one: Field, value: Any) -> None:
        self.said[one.path] = value
        if one.instead and value == one.instead:
            return
        try:
            self.values[one.path] = self._value(one, value)
        except ReadingError as error:
            fault = error.fault
            self.bad.add(one.path)
            if "units" in self.bad and fault.key == "unit":
                return  # the fault of the units says it already
            self._fault(
                one.table, one.name, fault.found, fault.needed, self._remedy(one, fault), fault.key
            )
            return
        if one.name == "units":
            self.units = next((u for u in UNITS if u == self.values[one.path]), None)

    def _value(self, one: Field, value: Any) -> Any:
        if not one.many:
            return read_value(one, value, self.units)
        if not isinstance(value, list | tuple) or not 0 < len(value) <= LIST_MOST:
            raise ReadingError(
                shown(value),
                f"{one.name} is a list of at most {LIST_MOST}",
                f'write {one.name} = ["{one.example}"]',
            )
        return tuple(read_value(one, entry, self.units) for entry in value)

    def _remedy(self, one: Field, fault: Fault) -> str:
        """Word the remedy for this table."""
        remedy = fault.remedy
        if fault.key == "correct":
            remedy = self.table.correct + (f" ({one.hint})" if one.hint else "")
        elif fault.key == "unit" and self.table.noun and self.units is None:
            remedy += f', or give the {self.table.noun} units = "mm", "cm" or "in"'
        if one.instead:
            remedy += f', or write "{one.instead}" if the {one.instead} does it itself'
        return remedy

    def _list(self, name: str, table: Table, entries: Any) -> Iterator[Record]:
        if not isinstance(entries, list | tuple) or not all(
            isinstance(entry, Mapping) for entry in entries
        ):
            self._fault(
                "",
                name,
                shown(entries),
                f"[[{name}]] is a list of tables",
                f"write [[{name}]] above each",
            )
            return
        if len(entries) > self.table.most:
            self._fault(
                "", name, f"{len(entries)} of them", f"at most {self.table.most}", "take some out"
            )
            return
        for index, entry in enumerate(entries, 1):
            record = read_record(
                table, entry, replace(self.place, table=name, index=index), self.units
            )
            self.faults += record.faults
            yield record
            if len(self.faults) > FAULTS_MOST:
                return

    def _fault(
        self, table: str, name: str, found: str, needed: str, remedy: str, key: str = ""
    ) -> None:
        place = replace(self.place, table=self.place.table or table, field=name)
        self.faults.append(Fault(place, found, needed, remedy, key))


def _blank(value: Any) -> bool:
    return value is None or (isinstance(value, str) and not value.strip())
