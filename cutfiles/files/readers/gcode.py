"""Reads laser G-code: paths with power and speed; a beam that is on in travel is refused.

Source: NIST, The NIST RS274NGC Interpreter, version 3 (NISTIR 6556; from memory).
"""

import re
from dataclasses import field

from cutfiles.dataclass import dataclass
from cutfiles.errors import FileError
from cutfiles.files.readers.reading import Place, Reading, ReadPath, facts_in, sound, straight

_WORD = re.compile(r"\s*(?:\(([^()]*)\)|([A-Z])\s*([-+]?\d*\.?\d+))")
_ESCAPE = re.compile(r"\\u([0-9a-f]{4})")
_MODES = {
    "G21": "a cut file is in mm",
    "G90": "places are counted from the machine's origin",
    "G94": "speeds are in mm a minute",
    "G17": "the head moves in its plane",
}
"""What must be said before anything moves, for the job before may have left it otherwise."""
_LONGEST = 256


def read_gcode(data: bytes) -> Reading:
    """Return what a G-code file states; a layer is ``role S F``: ``cut-outline S400 F900``.

    Raises:
        FileError: it is no laser G-code in mm, or the beam would burn where it should not.

    """
    try:
        lines = data.decode("ascii").splitlines()
    except UnicodeDecodeError:
        raise _refuse("bytes that are no plain text", "G-code is plain text", 0) from None
    machine = _Machine()
    for number, line in enumerate(lines, 1):
        if len(line) > _LONGEST:
            raise _refuse(f"{len(line)} characters", f"a line has at most {_LONGEST}", number)
        machine.take(_words(line, number), number)
    if machine.armed or not machine.ended:
        raise _refuse("an end with no M5 and M2", "the beam is off at the end", len(lines))
    return Reading(
        paths=sound(machine.paths, "G-code file"),
        facts=facts_in(machine.comments),
        modes={"beam": " and ".join(sorted(machine.beams))} if machine.beams else {},
    )


def _words(line: str, number: int) -> list[tuple[str, str]]:
    """Return letters with their numbers; a comment has the letter ``(``."""
    words, at = [], 0
    text = line.rstrip()
    while at < len(text):
        match = _WORD.match(text, at)
        if match is None:
            raise _refuse(f'"{text[at : at + 20]}"', "a word is a letter and a number", number)
        words.append(("(", match[1]) if match[1] is not None else (match[2], match[3]))
        at = match.end()
    return words


@dataclass(slots=True)
class _Machine:
    """The state of the machine as the file leads it."""

    paths: list[ReadPath] = field(default_factory=list)
    comments: list[str] = field(default_factory=list)
    at: Place = (0.0, 0.0)
    power: float = 0.0
    feed: float = 0.0
    armed: bool = False
    said: set[str] = field(default_factory=set)
    beams: set[str] = field(default_factory=set)
    off: bool = False
    ended: bool = False
    role: str = ""
    layer: str = ""
    run: list[Place] = field(default_factory=list)

    def take(self, words: list[tuple[str, str]], number: int) -> None:
        """Follow one line."""
        if words and words[0][0] == "(":
            self._comment(words[0][1])
            return
        values = {letter: float(text) for letter, text in words if letter in "XYSF"}
        codes = [f"{letter}{int(float(text))}" for letter, text in words if letter in "GM"]
        strangers = [letter for letter, _ in words if letter not in "GMXYSF"]
        if strangers:
            raise _refuse(f'the word "{strangers[0]}"', "a cut file uses G, M, X, Y, S, F", number)
        self.power = values.get("S", self.power)
        self.feed = values.get("F", self.feed)
        if self.ended and words:
            raise _refuse("words after M2", "the program ends there", number)
        lacking = next((code for code in _MODES if code not in self.said), "")
        if lacking and not {"G0", "G1"}.isdisjoint(codes):
            raise _refuse(f"no {lacking} before the first move", _MODES[lacking], number)
        for code in codes or ["none"]:
            self._code(code, values, number)

    def _code(self, code: str, values: dict[str, float], number: int) -> None:
        to = (values.get("X", self.at[0]), values.get("Y", self.at[1]))
        match code:
            case "G0":
                if not self.off:
                    raise _refuse("a G0 before any M5", "the beam is off to begin with", number)
                if self.armed or self.power > 0:
                    raise _refuse("a G0 with the beam armed", "travel is with M5 and S0", number)
                self.at = to
            case "G1":
                if not self.armed or self.power <= 0 or self.feed <= 0:
                    raise _refuse("a G1 without beam, power or feed", "G1 cuts", number)
                self._cut(to, number)
            case "M3" | "M4":
                if self.power > 0:
                    raise _refuse(f"{code} with power at rest", "the beam is armed with S0", number)
                self.armed = True
                self.beams.add(code)
            case "M5":
                self._finish()
                self.armed, self.off = False, True
            case "M2":
                if self.at != (0.0, 0.0):
                    raise _refuse("an end with the head away from home", "it goes home", number)
                self.ended = True
            case _ if code in _MODES:
                self.said.add(code)
            case _:
                raise _refuse(f'"{code}"', "a cut file uses G0, G1, M3, M4, M5 and M2", number)

    def _comment(self, text: str) -> None:
        plain = _ESCAPE.sub(lambda match: chr(int(match[1], 16)), text)
        if plain.startswith("role "):
            self.role = plain.removeprefix("role ")
        else:
            self.comments.append(plain)

    def _cut(self, to: Place, number: int) -> None:
        layer = f"{self.role} S{self.power:g} F{self.feed:g}"
        if self.run and layer != self.layer:
            raise _refuse("another power within a path", "a path is cut in one way", number)
        self.layer = layer
        if not self.run:
            self.run = [self.at]
        self.run.append(to)
        self.at = to

    def _finish(self) -> None:
        if len(self.run) > 1:
            closed = len(self.run) > 3 and self.run[0] == self.run[-1]
            self.paths.append(straight(self.layer, self.run[: -1 if closed else None], closed))
        self.run = []


def _refuse(found: str, needed: str, number: int) -> FileError:
    return FileError(
        found, needed, "make the file again from its slip", f"G-code file, line {number}"
    )
