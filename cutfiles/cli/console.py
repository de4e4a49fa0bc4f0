"""What the command prints, fitted to where it goes: any encoding, at most a terminal's width.

Signs that an encoding lacks are written in letters that it has. On a terminal long lines are
broken under where they begin, and verdicts stand out; what goes into a file or pipe stays as it is.
"""

import codecs
import os
import re
import sys
import unicodedata
from typing import IO, Any

_PLAIN = {
    "·": "-",
    "–": "-",
    "—": "-",
    "−": "-",
    "×": "x",
    "…": "...",
    "°": " deg",
    "±": "+/-",
    "²": "2",
    "³": "3",
    "µ": "u",
    "μ": "u",
    "≥": ">=",
    "≤": "<=",
    "∞": "inf",
    "→": "->",
    "↑": "^",
    "½": " 1/2",
    "¼": " 1/4",
    "¾": " 3/4",
    "“": '"',
    "”": '"',
    "‘": "'",
    "’": "'",
    "π": "pi",
    "λ": "lambda",
}
"""Signs of our texts, in ASCII."""
_HANDLER = "cutfiles-plain"
_LABEL = re.compile(r"^( {0,4}\S*(?: \S+)* {2,}|.{3} verdict +)")
_VERDICT = re.compile(r"^(\S.\S) verdict ")
_COLOURS = {"proved": "32", "adequate": "32", "make a trial": "33", "another support": "31"}


def plain(text: str) -> str:
    """Return a text in ASCII: signs spelt, accents left out, ? for what has no such form.

    >>> plain("120° · Żółw … 7 × 8")
    '120 deg - Zolw ... 7 x 8'
    """
    spelt = "".join(_PLAIN.get(sign, sign) for sign in text).replace("ł", "l").replace("Ł", "L")
    bare = "".join(
        sign for sign in unicodedata.normalize("NFKD", spelt) if not unicodedata.combining(sign)
    )
    return bare.encode("ascii", "replace").decode("ascii")


def _spell(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return plain(error.object[error.start : error.end]), error.end


def prepare() -> None:
    """Fit standard output and error to their encoding, and to the terminal where they are one."""
    codecs.register_error(_HANDLER, _spell)
    for name in ("stdout", "stderr"):
        stream: Any = getattr(sys, name)
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors=_HANDLER)
        if stream is not None and stream.isatty():
            setattr(sys, name, Terminal(stream))


class Terminal:
    """A terminal's stream: what is written to it is broken to its width, verdicts stand out."""

    def __init__(self, stream: IO[str]) -> None:
        self._stream = stream

    def __getattr__(self, name: str) -> Any:
        """Return what the stream itself has."""
        return getattr(self._stream, name)

    def write(self, text: str) -> int:
        """Write a text, long lines broken."""
        width = terminal_width()
        shown = "\n".join(
            line for one in text.split("\n") for line in fitted_line(one, width, bold=_may_style())
        )
        self._stream.write(shown)
        return len(text)


def terminal_width() -> int:
    """Return how many columns the terminal has, 80 where nothing says so.

    As `shutil` tells it, which loads four packers of files: a tenth of what `--help` takes.
    """
    named = os.environ.get("COLUMNS", "")
    if named.isdigit() and int(named):
        return int(named)
    out = sys.__stdout__
    try:
        return (os.get_terminal_size(out.fileno()).columns if out else 0) or 80
    except (ValueError, OSError):  # it is closed, or no terminal
        return 80


def _may_style() -> bool:
    """Whether a terminal shows bold letters: not where asked for none, nor in an old console."""
    named = os.environ.get("TERM") != "dumb" and "NO_COLOR" not in os.environ
    return named and (os.name != "nt" or "WT_SESSION" in os.environ)


def columns_of(text: str) -> int:
    """Return how many columns of a terminal a text takes.

    >>> columns_of("A1"), columns_of("藏书")
    (2, 4)
    """
    wide = sum(unicodedata.east_asian_width(sign) in "WF" for sign in text)
    return len(text) + wide - sum(unicodedata.combining(sign) > 0 for sign in text)


def fitted_line(line: str, width: int, *, bold: bool = False) -> list[str]:
    """Return a line broken to a width, what follows under where its text begins.

    >>> fitted_line("  beware     a conservator decides whether it opens", 32)
    ['  beware     a conservator', '             decides whether it', '             opens']
    """
    shown = [line]
    if columns_of(line) > width and "\x1b" not in line and "\r" not in line:
        label = _LABEL.match(line)
        indent = len(label[1]) if label else len(line) - len(line.lstrip()) + 2
        indent = indent if indent < width / 2 else 2
        shown = _cut(line, width, " " * indent)
    verdict = _VERDICT.match(line) if bold else None
    if verdict is None:
        return shown
    from cutfiles.words.marks import MARKS  # only where something stands out

    states = {mark.plain: mark.word for mark in MARKS.values()}
    colour = _COLOURS.get(states.get(verdict[1], ""), "0")
    return [f"\x1b[1;{colour}m{one}\x1b[0m" for one in shown]


def _cut(line: str, width: int, indent: str) -> list[str]:
    """Return a line broken at blanks, or anywhere in a word that is wider than the terminal."""
    found: list[str] = []
    now = line
    while columns_of(now) > width:
        end, used = 0, 0
        while end < len(now) and used + columns_of(now[end]) <= width:
            used += columns_of(now[end])
            end += 1
        blank = now.rfind(" ", len(indent) + 1 if found else 1, end + 1)
        at = blank if blank > len(indent) and now[:blank].strip() else end
        found.append(now[:at].rstrip())
        rest = now[at:].lstrip()
        if not rest:
            return found
        now = indent + rest
    return [*found, now]
