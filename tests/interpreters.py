"""Machines for tests: what HP-GL and G-code would do, word by word, with all that a machine keeps.

They share nothing with writers and readers: no pattern, no constant, no splitting of lines. Each
begins as badly as the job before may have left it (tool down, beam on at full power, inches,
relative), so that a file has to say all that it relies on. A byte stream may end anywhere: what
was not ended by its separator was not done.

Sources: Hewlett-Packard, HP-GL/2 and PCL 5 reference (SP, PU, PD, PA, PR, IN); NISTIR 6556,
RS274/NGC interpreter (modal groups). Both from memory.
"""

import re
from dataclasses import dataclass, field, replace

PLU = 0.025
"""One plotter unit of HP-GL, mm."""


class Unsafe(AssertionError):
    """What would have hurt somebody, film or machine."""


def apart(lines):
    """Return lines to which can be added: all but the last are ended, and shared."""
    return [*lines[:-1], *(replace(one, places=[*one.places]) for one in lines[-1:])]


@dataclass
class Burn:
    """A polyline burnt in one go: power and feed as the file counts them, places in mm."""

    power: float
    feed: float
    places: list


@dataclass
class LaserMachine:
    """A G-code laser. `beam` is whether it is armed; light leaves it where power is above 0."""

    beam: bool = True
    power: float = 1e6
    feed: float = 0.0
    motion: str = "1"
    metric: bool = False
    absolute: bool = False
    at: tuple = (0.0, 0.0)
    known: bool = False
    ended: bool = False
    burns: list = field(default_factory=list)
    _open: bool = False
    _rest: str = ""

    @property
    def lit(self):
        return self.beam and self.power > 0

    def take(self, data):
        """Work bytes; a line is worked when its end has come."""
        *lines, self._rest = (self._rest + data.decode("ascii")).split("\n")
        for line in lines:
            self._line(line)
        return self

    def fork(self):
        return replace(self, burns=apart(self.burns))

    def _line(self, line):
        code = re.sub(r"\([^)]*\)", " ", line)
        if "(" in code or ")" in code:
            raise Unsafe(f"a comment that does not end: {line}")
        words = re.findall(r"([A-Z])\s*(-?\d*\.?\d+)", code)
        if re.sub(r"[A-Z]\s*-?\d*\.?\d+|\s", "", code):
            raise Unsafe(f"words that are none: {line}")
        if self.ended and not set(words) <= {("M", "5"), ("S", "0")}:
            raise Unsafe(f"words after the end: {line}")
        to = {}
        for letter, number in words:
            value = float(number)
            if letter == "G":
                self._mode(number, line)
            elif letter == "S":
                self.power = value
            elif letter == "F":
                self.feed = value
            elif letter in "XY":
                to[letter] = value
            elif letter != "M":
                raise Unsafe(f"the word {letter}: {line}")
        for letter, number in words:
            if letter == "M":
                self._order(number, line)
        if to:
            self._move(to, line)
        elif words and self.known and self.lit:
            raise Unsafe(f"light where nothing moves: {line}")

    def _mode(self, number, line):
        match number:
            case "0" | "1":
                self.motion = number
            case "20" | "21":
                self.metric = number == "21"
            case "90" | "91":
                self.absolute = number == "90"
            case "17" | "94":
                pass
            case _:
                raise Unsafe(f"G{number}: {line}")

    def _order(self, number, line):
        match number:
            case "3" | "4":
                self.beam = True
            case "5":
                self.beam, self.known, self._open = False, True, False
            case "2" | "30":
                self.ended = True
            case _:
                raise Unsafe(f"M{number}: {line}")

    def _move(self, to, line):
        if not self.known:
            raise Unsafe(f"a move before the beam was switched off: {line}")
        scale = 1.0 if self.metric else 25.4
        x, y = (
            scale * to[axis] + (0.0 if self.absolute else here) if axis in to else here
            for axis, here in zip("XY", self.at, strict=True)
        )
        if self.motion == "0":
            if self.beam:
                raise Unsafe(f"armed in travel: {line}")
        else:
            if not self.lit or self.feed <= 0:
                raise Unsafe(f"a cut without light or feed: {line}")
            if (x, y) == self.at:
                raise Unsafe(f"light where nothing moves: {line}")
            if not self._open:
                self.burns.append(Burn(self.power, self.feed, [self.at]))
                self._open = True
            burn = self.burns[-1]
            if (self.power, self.feed) != (burn.power, burn.feed):
                raise Unsafe(f"power changed on the way: {line}")
            burn.places.append((x, y))
        self.at = (x, y)

    def check_safe(self):
        """Fail where somebody opening the lid now would meet light."""
        if self.beam:
            raise Unsafe("the beam is left on")

    def check_ended(self):
        self.check_safe()
        if not self.ended or self._rest:
            raise Unsafe("the program does not end")
        if self.at != (0.0, 0.0):
            raise Unsafe(f"the head is left at {self.at}")


@dataclass
class Line:
    """What one tool drew in one go: tool, force, speed, places in mm."""

    pen: int
    force: str
    speed: str
    places: list


@dataclass
class KnifeMachine:
    """An HP-GL cutter."""

    pen: int = 1
    down: bool = True
    absolute: bool = False
    force: str = ""
    speed: str = ""
    at: tuple = (0, 0)
    known: bool = False
    lines: list = field(default_factory=list)
    said: list = field(default_factory=list)
    _rest: str = ""

    def take(self, data):
        """Work bytes; a command is worked when its end has come: ; or the next one's letters."""
        text = self._rest + data.decode("ascii")
        while True:
            match = re.match(r'\s*CO\s*"([^"]*)"\s*;?', text)
            if match:
                self.said.append(match[1])
                text = text[match.end() :]
                continue
            match = re.match(r"\s*;", text)
            if match:
                text = text[match.end() :]
                continue
            match = re.match(r"\s*([A-Za-z]{2})([^;A-Za-z\"]*)(;|(?=[A-Za-z]))", text)
            if not match:
                break
            self._command(match[1].upper(), match[2])
            text = text[match.end() :]
        self._rest = text
        return self

    def fork(self):
        return replace(self, lines=apart(self.lines), said=[*self.said])

    def _command(self, name, rest):
        numbers = [float(word) for word in re.findall(r"-?\d+\.?\d*", rest)]
        match name:
            case "IN" | "DF":
                self.down, self.absolute, self.known = False, True, True
                self.force = self.speed = ""
            case "SP":
                if self.down:
                    raise Unsafe("the tool is changed while it is down")
                self.pen = int(numbers[0]) if numbers else 0
            case "FS" | "VS":
                if self.down:
                    raise Unsafe(f"{name} while the tool is down")
                self.force, self.speed = (
                    (rest.strip(), self.speed) if name == "FS" else (self.force, rest.strip())
                )
            case "PA" | "PR":
                self.absolute = name == "PA"
                self._run(numbers, name)
            case "PU":
                self.down = False
                self._run(numbers, name)
            case "PD":
                if not self.down:
                    self.down = True
                    self.lines.append(Line(self.pen, self.force, self.speed, [self._mm()]))
                self._run(numbers, name)
            case _:
                raise Unsafe(f"the command {name}")

    def _run(self, numbers, name):
        if len(numbers) % 2:
            raise Unsafe(f"{name}: half a place")
        if numbers and not self.known:
            raise Unsafe(f"{name} before IN: the tool may be down")
        for x, y in zip(numbers[::2], numbers[1::2], strict=True):
            self.at = (x, y) if self.absolute else (self.at[0] + x, self.at[1] + y)
            if self.down:
                if not self.pen:
                    raise Unsafe("down without a tool")
                self.lines[-1].places.append(self._mm())

    def _mm(self):
        return (self.at[0] * PLU, self.at[1] * PLU)

    def check_safe(self):
        """Fail where a hand put in now would meet the blade."""
        if self.down:
            raise Unsafe("the tool is left down")
        if self.pen:
            raise Unsafe("the tool is left in hand")

    check_ended = check_safe


MACHINES = {"hpgl": KnifeMachine, "gcode": LaserMachine}


def worked(machine):
    """Return the polylines that a machine left on the film, in order."""
    return [one.places for one in (machine.lines if hasattr(machine, "lines") else machine.burns)]
