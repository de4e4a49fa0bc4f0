"""Damages tables as hands, editors and programs do, and reads them: refused in words, and soon.

    python tests/bench/mutate_tables.py              20,000 of them: tracebacks, the slowest
    python tests/bench/mutate_tables.py --seed 7     others

What a reader does not read it refuses with a `CutfilesError`; anything else is a fault of ours.
"""

import argparse
import random
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, NamedTuple

from cutfiles.bench.blank import blank_slip
from cutfiles.bench.films import BLANK, BOOKED, read_films
from cutfiles.bench.slip import read_slip
from cutfiles.errors import CutfilesError
from cutfiles.lists.mapping import read_mapping
from cutfiles.machine.profile.read import packaged_cutters, packaged_text, read_cutter

ROOT = Path(__file__).parent.parent.parent
SLOWEST = 2.0
"""No table may take longer, seconds."""

_SHELF = f"""
[[roll]]
gauge = "5 mil"
width = "1016 mm"
length = "30 m"
price = 9.50
creases = "along"

[[sheet]]
film = "flat sheets 5 mil"
width = "610 mm"
length = "1016 mm"
count = 20

{BOOKED}

[[taken]]
by = "spring show"
name = "roll 1"
taken = 812.5

[[offcut]]
name = "spring show, rest of sheet 1"
left_by = "spring show"
gauge = "0.127 mm"
width = "400 mm"
length = "700 mm"
creases = "any"
"""
_MAPPING = """
header_row = 3
units = "in"

[columns]
"Ht" = "height"
"No." = "number"
"Film" = "support.gauge"
"odd" = ""

[column_units]
"Ht" = "cm"
"""
_JUDGED = """
[[material]]
film = "polyester (PET) film"
gauge = "5 mil"
cut_power = 30
cut_speed = 20
score_passes = 2

[[judged]]
lot = "2026-03"
gauge = "0.127 mm"
setting = 3
what = "score_passes"
value = 2
"""
VALUES = (
    *("[]", "{}", "[1, 2]", "[[]]", "[{a = 1}]", "{a = {b = [1]}}", "true", "''", '"\\u0000"'),
    *("nan", "inf", "-inf", "-0.0", "1e999", "1979-05-27", "07:32:00", "0x7f", "2.5", "-1"),
    *('"5 mil"', '"9\' 1"', '"about 2 in"', '"~50"', '"½"', '"1/0"', '"1,000"', '"machine"'),
    *("9" * 400, "9" * 5000, "0x" + "f" * 5000, "0." + "1" * 5000, '"' + "9" * 70_000 + '"'),
    *("[" * 90 + "]" * 90, "[" * 3000 + "]" * 3000, "{a=" * 200 + "1" + "}" * 200),
    *(
        '"' + " " * 60_000 + 'x"',
        '"x' + " x" * 9000 + '"',
        '"\\u202e"',
        '"="',
        "[" + "1," * 20_000 + "]",
    ),
)
LINES = (
    *(
        "[support]",
        "[[film]]",
        "[[roll]]",
        "[[taken]]",
        "[bed]",
        "[columns]",
        "[[material]]",
        "[a.b]",
    ),
    *("roll = [1, 2]", "film = 1", "support = []", "columns = 3", "units = 'ell'", "a.b.c = 1"),
    *('"" = 1', "material = [[1]]", "judged = {}", "formats = []", "name.x = 1", "sizes = [[1]]"),
)


class Kind(NamedTuple):
    """One kind of table: sound ones, and what reads it."""

    name: str
    texts: tuple[str, ...]
    read: Callable[[Path], Any]


def kinds() -> tuple[Kind, ...]:
    """Return every kind of table that people write."""
    slips = [path.read_text("utf-8") for path in sorted((ROOT / "samples").glob("*.toml"))]
    profiles = [packaged_text(name) for name in packaged_cutters()]
    films = (ROOT / "cutfiles/bench/films.toml").read_text("utf-8")
    return (
        Kind("slip", (*slips, blank_slip().replace("# gauge", "gauge")), read_slip),
        Kind("profile", (*profiles, *(one + _JUDGED for one in profiles)), read_cutter),
        Kind(
            "shelf", (BLANK + _SHELF, _SHELF.replace('film = "flat sheets 5 mil"', "")), read_films
        ),
        Kind("films", (BLANK, films), read_films),
        Kind("mapping", (_MAPPING,), read_mapping),
    )


class Dice:
    """Throws from one generator, by its `random` alone: its other methods differ by release."""

    def __init__(self, seed: int) -> None:
        self.throw = random.Random(seed).random

    def below(self, most: int) -> int:
        """Return a whole number from 0, below `most`."""
        return int(self.throw() * most)

    def one_of(self, things: Any) -> Any:
        """Return one of several things."""
        return things[self.below(len(things))]


def damaged(text: str, dice: Dice) -> bytes:
    """Return a table's bytes with one to three things wrong."""
    data = text.encode()
    for _ in range(1 + dice.below(3)):
        data = dice.one_of((_byte, _line, _line, _value, _value, _value))(data, dice)
    return data


def _byte(data: bytes, dice: Dice) -> bytes:
    """Change, take out or put in a few bytes; or cut the file short."""
    at, size = dice.below(len(data) + 1), dice.below(9)
    put = bytes(dice.below(256) for _ in range(dice.below(9)))
    return dice.one_of(
        (data[:at] + put + data[at + size :], data[:at], data[:at] + put + data[at:])
    )


def _line(data: bytes, dice: Dice) -> bytes:
    """Double a line, take one out, move one, or put an odd one in."""
    lines = data.split(b"\n")
    at, to = dice.below(len(lines)), dice.below(len(lines))
    match dice.below(5):
        case 0:
            lines.insert(to, lines[at])
        case 1:
            del lines[at]
        case 2:
            lines.insert(to, lines.pop(at))
        case 3:
            lines[at:at] = lines[min(at, to) : max(at, to)] * dice.one_of((1, 1, 1, 40))
        case _:
            lines.insert(at, dice.one_of(LINES).encode())
    return b"\n".join(lines)


def _value(data: bytes, dice: Dice) -> bytes:
    """Give a field another value, or another name."""
    lines = data.split(b"\n")
    fields = [i for i, line in enumerate(lines) if b"=" in line]
    if not fields:
        return data + b"\nname = " + dice.one_of(VALUES).encode()
    at = dice.one_of(fields)
    name, _, value = lines[at].partition(b"=")
    if dice.below(6) == 0:
        name = dice.one_of((name.strip()[:-1], name.strip() + b"s", b'"\\u001b[31m"')) + b" "
    else:
        value = b" " + dice.one_of(VALUES).encode()
    lines[at] = name + b"=" + value
    return b"\n".join(lines)


class Outcome(NamedTuple):
    """What became of one damaged table."""

    kind: str
    state: str
    seconds: float
    data: bytes


def outcomes(count: int, seed: int, folder: Path) -> Iterator[Outcome]:
    """Yield what becomes of damaged tables: "read", "refused" or a traceback's last line."""
    dice, known = Dice(seed), kinds()
    for number in range(count):
        kind = known[number % len(known)]
        data = damaged(dice.one_of(kind.texts), dice)
        path = folder / f"{kind.name}.toml"
        path.write_bytes(data)
        begin = time.process_time()
        try:
            kind.read(path)
            state = "read"
        except CutfilesError as error:
            state = "refused" if str(error).isprintable() or "\n" in str(error) else "not printable"
        except Exception as error:
            state = f"{type(error).__name__}: {error}"[:200]
        yield Outcome(kind.name, state, time.process_time() - begin, data)


def main() -> int:
    """Damage and read tables; print what was not refused as it should be."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=20_000)
    parser.add_argument("--seed", type=int, default=20_261_125)
    asked = parser.parse_args()
    counts: dict[tuple[str, str], int] = {}
    bad, slowest = [], Outcome("", "", 0.0, b"")
    with tempfile.TemporaryDirectory() as folder:
        for one in outcomes(asked.count, asked.seed, Path(folder)):
            counts[one.kind, one.state] = counts.get((one.kind, one.state), 0) + 1
            slowest = max(slowest, one, key=lambda each: each.seconds)
            if one.state not in ("read", "refused"):
                bad.append(one)
    for (kind, state), count in sorted(counts.items()):
        print(f"{kind:<8} {state:<60} {count}")
    for one in bad[:10]:
        print(f"\n{one.kind}: {one.state}\n{one.data[:600]!r}")
    print(f"\nslowest: {slowest.seconds:.3f} s, a {slowest.kind} of {len(slowest.data)} bytes")
    return 1 if bad or slowest.seconds > SLOWEST else 0


if __name__ == "__main__":
    sys.exit(main())
