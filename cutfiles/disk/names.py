"""Names of files that every file system takes, and when it takes two of them for one."""

import os
import unicodedata

from cutfiles.errors import Defect

_UNSAFE = frozenset('<>:"/\\|?*')
_RESERVED = frozenset(
    ["con", "prn", "aux", "nul"]
    + [f"{port}{digit}" for port in ("com", "lpt") for digit in range(1, 10)]
)


def safe_name(number: str) -> str:
    """Return what files of this support are named: its number, made safe for any file system.

    >>> safe_name("MS 12/3"), safe_name("../x"), safe_name("CON")
    ('MS 12_3', '_x', '_CON')
    """
    text = unicodedata.normalize("NFC", number)
    text = "".join("_" if c in _UNSAFE or not c.isprintable() else c for c in text)
    text = text.strip(" .")
    if text.partition(".")[0].casefold() in _RESERVED or not text:
        text = "_" + text
    return text


def folded(name: str) -> str:
    """Return a name as file systems that ignore case and composition compare it.

    >>> folded("Ä1") == folded("a\u03081")
    True
    """
    return unicodedata.normalize("NFC", unicodedata.normalize("NFD", name).casefold())


def is_plain(name: str) -> bool:
    """Whether a name leads out of no folder."""
    return name not in ("", ".", "..") and "\0" not in name and os.path.basename(name) == name


def plain(name: str) -> str:
    """Return a name that leads out of no folder.

    Raises:
        Defect: it does.

    """
    if not is_plain(name):
        raise Defect("a name that leads elsewhere", "a plain file name", "please report it", name)
    return name
