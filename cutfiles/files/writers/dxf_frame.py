"""What ezdxf writes around the entities of a DXF file: header, tables, blocks, objects.

It is the same for all drawings with the same layers, and stays where a drawing's own is filled in.
What no reader needs is left out: the head's variables that say nothing of this drawing, rows of
tables, dictionaries and objects that nothing in it uses, and blanks before codes, as in what
ezdxf's own writer of R12 writes. Metadata that would change from run to run is fixed here.
"""

import io
import logging
import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from functools import lru_cache
from importlib import import_module
from threading import Lock
from typing import Any, Literal

from cutfiles.dataclass import dataclass
from cutfiles.late import Asked, without
from cutfiles.pattern.pattern import Role


def _queries() -> Any:
    """Return what reads ezdxf's queries, and tell it the exception for which another stood in."""
    vars(blocks)["ParseException"] = import_module("pyparsing").ParseException
    return import_module("ezdxf.queryparser").EntityQueryParser


_LEFT_OUT: Mapping[str, Mapping[str, object]] = {
    "ezdxf.queryparser": {"EntityQueryParser": Asked(_queries)},
    "pyparsing": {"ParseException": Exception},
}
"""The language of ezdxf's queries, with unittest: a fifth of what it takes to be loaded."""
with without(_LEFT_OUT):
    from ezdxf import options  # type: ignore[attr-defined]
    from ezdxf.document import Drawing as Document
    from ezdxf.entities.dxfobj import DXFObject
    from ezdxf.entities.layer import Layer
    from ezdxf.filemanagement import new
    from ezdxf.lldxf.tagwriter import TagWriter
    from ezdxf.sections import blocks

Release = Literal["R12", "R2000"]

_INDEX = {
    Role.GUIDE: 8,
    Role.REGISTRATION: 6,
    Role.LABEL: 3,
    Role.VALLEY: 5,
    Role.MOUNTAIN: 30,
    Role.HOLES: 7,
    Role.OUTLINE: 7,
}
"""DXF colour index nearest to each role's colour (from memory)."""
_PLAIN = {
    "#FF0000": 1,
    "#FFFF00": 2,
    "#00FF00": 3,
    "#00FFFF": 4,
    "#0000FF": 5,
    "#FF00FF": 6,
    "#000000": 7,
    "#FFFFFF": 7,
}
"""Colours that the index names exactly (from memory)."""
_TOLD = (
    "$ACADVER $ACADMAINTVER $DWGCODEPAGE $EXTMIN $EXTMAX $LIMMIN $LIMMAX $HANDLING $HANDSEED "
    "$MEASUREMENT $INSUNITS"
).split()
"""Variables of the head that tell of the drawing; every other has the value a reader takes."""
_USED = ("ACDBDICTIONARYWDFLT", "ACDBPLACEHOLDER", "LAYOUT")
"""Classes of objects that the file holds."""
_NO_DATA_OF = ("EZDXF", "HATCHBACKGROUNDCOLOR")
"""Applications that no entity carries data of."""
_YOUNGER = ("MATERIAL", "MLEADERSTYLE")
"""Kinds of objects that R2000 does not know."""
_EMPTY = (
    *("ACAD_COLOR", "ACAD_MATERIAL", "ACAD_MLEADERSTYLE", "ACAD_PLOTSETTINGS", "ACAD_SCALELIST"),
    *("ACAD_TABLESTYLE", "ACAD_VISUALSTYLE", "EZDXF_META"),
)
"""Dictionaries of what is younger, or of nothing."""
_WIDTH, _HEIGHT, _SEED = "123456.5", "234567.5", "?SEED?"
"""Stand in a frame for what is a drawing's own, its size and the next handle; names of layers begin
with a letter."""


_FRAMING = Lock()
"""One frame is made at a time: what ezdxf is told meanwhile holds for all of a process."""


@contextmanager
def _same_every_time() -> Iterator[None]:
    """Switch off what ezdxf dates and numbers anew on each run; its switch is global.

    It also warns that R12 has no unit, which the guide layer says in its own way.
    """
    logger = logging.getLogger("ezdxf")
    with _FRAMING:
        before, level = options.write_fixed_meta_data_for_testing, logger.level
        options.write_fixed_meta_data_for_testing = True
        logger.setLevel(logging.ERROR)
        try:
            yield
        finally:
            options.write_fixed_meta_data_for_testing = before
            logger.setLevel(level)


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """What ezdxf writes around the entities of any drawing with the same layers.

    Attributes:
        head: up to the first entity; `_WIDTH`, `_HEIGHT` and `_SEED` stand for the drawing's own.
        tail: after the last entity.
        handle: the first that is free.
        groups: handle of the dictionary of groups; none in R12.
        space: handle of the model space, in which entities lie; none in R12.
        encoding: of the whole file.

    """

    head: str
    tail: str
    handle: int
    groups: str
    space: str
    encoding: str

    def around(self, width: float, height: float, handle: int) -> tuple[str, str]:
        """Return head and tail of a drawing of this size, mm, with its next free handle."""
        own = {_WIDTH: f"{width}", _HEIGHT: f"{height}", _SEED: f"{handle:X}"}
        return _filled(self.head, own), _filled(self.tail, own)


def _filled(text: str, own: Mapping[str, str]) -> str:
    """Return a part of a frame with values of the drawing's own in their places."""
    for stand, value in own.items():
        text = text.replace(f"\n{stand}\n", f"\n{value}\n")
    return text


@lru_cache(maxsize=16)  # 12 ms, nine tenths of writing a file, and the same for every book
def frame_of(
    release: Release, names: tuple[str, ...], inks: tuple[str, ...], guided: bool
) -> Frame:
    """Return the frame of drawings whose roles have these layers and colours."""
    with _same_every_time():
        document = new(release, units=0 if release == "R12" else 4)
        _layers(document, release, dict(zip(Role, names, strict=True)), inks, guided)
        space = document.modelspace()
        low, high = (0.0, 0.0, 0.0), (float(_WIDTH), float(_HEIGHT), 0.0)
        document.header["$EXTMIN"], document.header["$EXTMAX"] = low, high
        space.reset_extents(low, high)
        if release == "R12":
            document.header["$HANDLING"] = 0
        document.update_all()  # what is made on writing takes its handles now
        _leave_unused(document, release)
        handle = int(str(document.entitydb.handles), 16)
        text = io.StringIO()
        tags = TagWriter(text, dxfversion=document.dxfversion, write_handles=release != "R12")
        document.export_sections(tags)  # `write` would make anew what is left out
    head, empty, tail = text.getvalue().partition("  0\nSECTION\n  2\nENTITIES\n")
    return Frame(
        head=_unpadded(_told(head) + empty),
        tail=_unpadded(tail),
        handle=handle,
        groups="" if release == "R12" else document.groups.object_dict.dxf.handle,
        space="" if release == "R12" else space.layout_key,
        encoding=document.output_encoding,
    )


def _leave_unused(document: Document, release: Release) -> None:
    """Take away what ezdxf puts into each document and nothing in a drawing uses."""
    document.layers.remove("Defpoints")
    for name in _NO_DATA_OF:
        document.appids.remove(name)
    if release == "R12":  # where ezdxf tells on the model's block when it wrote the file
        block = document.modelspace().block_record.block
        if block is not None:
            block.discard_xdata("EZDXF")
        return
    unused: list[object] = [one for one in document.objects if one.dxftype() in _YOUNGER]
    for name in _EMPTY:
        unused.append(document.rootdict.get(name))
        document.rootdict.discard(name)
    for one in unused:
        if isinstance(one, DXFObject):
            document.objects.delete_entity(one)


def _unpadded(text: str) -> str:
    """Return tags without the blanks before their codes."""
    lines = text.split("\n")
    lines[::2] = [code.lstrip() for code in lines[::2]]
    return "\n".join(lines)


def _told(head: str) -> str:
    """Return the head without variables and classes that say nothing of the drawing."""
    header, close, rest = head.partition("  0\nENDSEC\n")
    begin, *variables = header.split("  9\n")
    kept = [f"  9\n{told}" for told in variables if told.split("\n")[0] in _TOLD]
    seeded = re.sub(r"(?<=\$HANDSEED\n  5\n)\w+", _SEED, "".join((begin, *kept)))
    before, *classes = rest.split("  0\nCLASS\n")
    if not classes:
        return seeded + close + rest
    last, ends, after = classes.pop().partition("  0\nENDSEC\n")
    used = [f"  0\nCLASS\n{told}" for told in (*classes, last) if told.split("\n")[1] in _USED]
    return "".join((seeded, close, before, *used, ends, after))


def _layers(
    document: Document,
    release: Release,
    named: Mapping[Role, str],
    inks: Sequence[str],
    guided: bool,
) -> None:
    for role, own in zip(Role, inks, strict=True):
        if named[role] in document.layers or (role is Role.GUIDE and not guided):
            continue
        # by index in both: true colours are younger than R2000
        layer = document.layers.add(named[role], color=_PLAIN.get(own, _INDEX[role]))
        if role is Role.GUIDE and [*named.values()].count(named[role]) == 1:
            _leave_out(layer, release)


def _leave_out(layer: Layer, release: Release) -> None:
    """Say that a layer is not printed; R12 has no such word, so there it is frozen."""
    if release == "R12":
        layer.freeze()
    else:
        layer.dxf.plot = 0
