"""Reads HP-GL: pens, moves and lines in units of 0.025 mm, comments.

Source: Hewlett-Packard, PCL 5 Printer Language Technical Reference Manual, HP-GL/2 part.
"""

import re
from collections.abc import Iterator

from cutfiles.errors import FileError, shown
from cutfiles.files.readers.limits import short_numbers
from cutfiles.files.readers.reading import Place, Reading, ReadPath, facts_in, sound, straight

_UNITS_PER_MM = 40
_COMMAND = re.compile(r'\s*(?:CO\s*"(?P<comment>[^"]*)"|(?P<name>[A-Za-z]{2})(?P<rest>[^;]*));?')
_ESCAPE = re.compile(r"\\u([0-9a-f]{4})")
_IGNORED = frozenset({"IN", "PG", "DF"})

Unit = tuple[int, int]


def read_hpgl(data: bytes) -> Reading:
    """Return what an HP-GL file states; a layer is a pen, by its number: ``2``, ``2 FS60 VS10``.

    Raises:
        FileError: it is no HP-GL, or holds commands we do not read.

    """
    paths: list[ReadPath] = []
    comments: list[str] = []
    pen, at, down = "0", (0, 0), False
    chosen: dict[str, str] = {}
    run: list[Unit] = []
    begun = False
    for name, rest in _commands(data):
        if name == "CO":
            comments.append(_ESCAPE.sub(lambda match: chr(int(match[1], 16)), rest))
            continue
        if not begun and name != "IN":
            raise _refuse(f"{name} before any IN", "what a job before it left is undone first")
        begun = True
        if name in _IGNORED:
            continue
        if name in ("SP", "PU", "FS", "VS"):
            _finish(paths, " ".join((pen, *(chosen[k] for k in sorted(chosen)))), run)
            run, down = [], False
        if name in ("FS", "VS"):
            chosen[name] = name + rest.strip()
            continue
        if name == "SP":
            pen = rest.strip() or "0"
            continue
        if pen == "0" and name == "PD":
            raise _refuse("PD without a tool", "a tool is named (SP) before it is lowered")
        if name not in ("PU", "PD", "PA"):
            raise _refuse(f"the command {name}", "a cut file uses IN, CO, SP, PU, PD and PA")
        if name == "PD" and not down:
            down, run = True, [at]
        for place in _places(name, rest):
            at = place
            if down:
                run.append(at)
    _finish(paths, " ".join((pen, *(chosen[k] for k in sorted(chosen)))), run)
    if down:
        raise _refuse("an end with the tool down", "the tool is lifted (PU) at the end")
    if pen != "0" or not data.rstrip().endswith(b";"):
        raise _refuse("an end without SP0", "the tool is put away (SP0) at the end")
    return Reading(paths=sound(paths, "HP-GL file"), facts=facts_in(comments))


def _commands(data: bytes) -> Iterator[tuple[str, str]]:
    try:
        text = data.decode("ascii").rstrip()
    except UnicodeDecodeError:
        raise _refuse("bytes that are no plain text", "an HP-GL file is plain text") from None
    at = 0
    while at < len(text):
        match = _COMMAND.match(text, at)
        if match is None:
            raise _refuse(f'"{text[at : at + 20]}"', "a command has two letters")
        at = match.end()
        if match["comment"] is not None:
            yield "CO", match["comment"]
        else:
            yield match["name"].upper(), match["rest"]


def _places(name: str, rest: str) -> Iterator[Unit]:
    words = [word for word in re.split(r"[\s,]+", rest.strip()) if word]
    short_numbers(words)
    try:
        numbers = [int(word) for word in words]
    except ValueError:
        raise _refuse(shown(name + rest), "coordinates are whole numbers") from None
    if len(numbers) % 2:
        raise _refuse(shown(name + rest), "coordinates come in pairs")
    yield from zip(numbers[::2], numbers[1::2], strict=True)


def _finish(paths: list[ReadPath], pen: str, run: list[Unit]) -> None:
    """Keep a run drawn with the pen down; it is closed where it ends on its own first unit."""
    if len(run) < 2:
        return
    closed = len(run) > 3 and run[0] == run[-1]
    places: list[Place] = [(x / _UNITS_PER_MM, y / _UNITS_PER_MM) for x, y in run]
    paths.append(straight(pen, places[:-1] if closed else places, closed))


def _refuse(found: str, needed: str) -> FileError:
    return FileError(found, needed, "make the file again from its slip", "HP-GL file")
