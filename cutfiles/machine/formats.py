"""The table of formats: one row says all that the house knows of a format.

A new format is a writer, a reader and one row here; all format tests run over this table. A row
names its writer and reader by module, and they are loaded when first called: some of their
libraries are heavy, and they stand further down than a cutter's profile, which reads this table.
What a file should state (layer names, pens, processing steps) stands in `stated`.
"""

from collections.abc import Callable
from importlib import import_module
from typing import Any, Literal, get_args

from cutfiles.bench.film import Machine
from cutfiles.dataclass import dataclass
from cutfiles.film.drawing import Drawing, with_facts_noted, with_notes_drawn, without_guides
from cutfiles.machine.options import Options
from cutfiles.machine.stated import (
    dxf_colour,
    dxf_layer,
    gcode_layer,
    hpgl_pen,
    pdf_layer,
    pdf_order,
    pdf_steps,
    role_name,
    svg_colour,
    svg_order,
)
from cutfiles.pattern.pattern import Role, Stroke

Text = Literal["kept", "drawn", "dropped"]

HPGL_UNIT = 0.025
"""One unit of HP-GL, mm."""
DXF_COLOURS = ("#FF0000", "#FFFF00", "#00FF00", "#00FFFF", "#0000FF", "#FF00FF", "#000000")
"""Colours that the index of DXF R12 and R2000 names exactly (from memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wire:
    """How a format goes down the line to a machine that reads it by itself.

    Attributes:
        lift: what leaves the machine safe, whatever it was told before.
        up: what a line begins with where the tool is up: work may pause before it.
        run: what a line of many places begins with, or empty: it may end after any whole place.

    """

    lift: bytes
    up: bytes
    run: bytes = b""


@dataclass(frozen=True, slots=True, kw_only=True)
class Format:
    """One row of the table.

    Attributes:
        key: how a profile, an order and a record name it.
        suffix: of its files, after the support's number.
        title: for people.
        step: finest step of a coordinate, mm.
        curve: how far a point inside an arc may lie off it, mm.
        text: whether notes are kept as text, drawn as strokes, or dropped with the guides.
        size: whether it states the size of the drawing.
        largest: function from options to the largest width or height it holds, mm.
        layer: function from a stroke and options to its layer's name, empty if left out.
        write: function from a prepared drawing and options to bytes; a folded format is written
            from what folds instead.
        read: function from bytes to what they state, a `Reading`.
        told: function from bytes to whether they are of this format.
        endings: of names by which its files are known where the bytes do not tell.
        steps: processing-steps group and type by layer, where the format has them.
        colour: function from a role and options to the colour that its layer states, or None
            where layers state none. What one line states otherwise is a difference.
        order: function from a stroke and options to where it comes in the file, by which strokes
            are sorted; those of one value keep the sheet's order, the order of the work.
        modes: function from options to what its program must switch on, where it has such.
        palette: the only colours it can state, or empty for any.
        kin: function from a layer's name, as a file states it, to the part that tells the role.
        pens: whether a machine changes its tool by the layer, and what is set stays set.
        unit: what a machine with a range of whole coordinates counts in, mm; 0 without a range.
        kinds: of machines that read it.
        wire: how it is sent, if a machine reads it by itself; such a file counts from the
            machine's origin along its axes, and holds a line as often as it is to be worked.
        bound: whether it is made only for a machine whose settings are known: there are no usual.
        folded: whether it holds faces and folds, no marks: it is written from what folds, and
            compared by folding it.
        noted: whether facts are kept as texts too: programs drop the comments they stand in.
        usual: whether it is made unless formats are named.
        group: what names it together with its kin, or empty.

    """

    key: str
    suffix: str
    title: str
    step: float
    curve: float
    text: Text
    size: bool
    layer: Callable[[Stroke, Options], str]
    write: Callable[[Any, Options], bytes]
    read: Callable[[bytes], Any]
    told: Callable[[bytes], bool]
    largest: Callable[[Options], float | None] = lambda _: None
    endings: tuple[str, ...] = ()
    steps: Callable[[Drawing, Options], dict[str, tuple[str, str]]] = lambda _, __: {}
    colour: Callable[[Role, Options], str | None] = lambda _, __: None
    order: Callable[[Stroke, Options], tuple[int, ...]] = lambda _, __: ()
    modes: Callable[[Options], dict[str, str]] | None = None
    palette: tuple[str, ...] = ()
    kin: Callable[[str], str] = lambda layer: layer
    pens: bool = False
    unit: float = 0.0
    kinds: tuple[Machine, ...] = get_args(Machine)
    wire: Wire | None = None
    bound: bool = False
    folded: bool = False
    noted: bool = False
    usual: bool = True
    group: str = ""

    @property
    def shared(self) -> str:
        """The suffix where its kin is not made too, so that nothing has to tell them apart."""
        return f".{self.group}" if self.group else self.suffix

    def prepared(self, drawing: Drawing) -> Drawing:
        """Return the drawing as this format holds it: notes kept, drawn, or dropped with guides."""
        match self.text:
            case "kept":
                return with_facts_noted(drawing) if self.noted else drawing
            case "drawn":
                return with_notes_drawn(drawing)
            case "dropped":
                return without_guides(drawing)

    def tells_folds(self, options: Options) -> bool:
        """Whether valleys and mountains are sure to lie apart, whatever a cutter calls them."""
        return not (self.folded or self.wire or options.layers)


def _in(module: str, name: str) -> Callable[..., Any]:
    """Return a function of a writer or a reader, whose module is loaded when it is called."""

    def call(*given: Any, **named: Any) -> Any:
        return getattr(import_module(f"cutfiles.files.{module}"), name)(*given, **named)

    return call


# -- how bytes are recognised ---------------------------------------------------------------------


def _head(data: bytes) -> bytes:
    return data[:4096].removeprefix(b"\xef\xbb\xbf").lstrip()


def _is_svg(data: bytes) -> bool:
    return b"<svg" in _head(data) and not _is_pdf(data)


def _is_pdf(data: bytes) -> bool:
    return b"%PDF-" in _head(data)[:1024]


def _dxf_release(data: bytes) -> str:
    return str(_in("readers.dxf", "dxf_release")(data))


# -- the rows -------------------------------------------------------------------------------------


def _svg_row(key: str, suffix: str, title: str, editor_layers: bool) -> Format:
    write = _in("writers.svg", "write_svg")
    return Format(
        key=key,
        suffix=suffix,
        title=title,
        step=0.001,
        curve=0.002,
        text="kept",
        size=True,
        layer=role_name,
        write=lambda drawing, options: write(
            drawing, editor_layers=editor_layers, layers=options.layers, colours=options.colours
        ),
        read=_in("readers.svg", "read_svg"),
        told=_is_svg,
        colour=svg_colour,
        order=svg_order,
        usual=editor_layers,
    )


def _dxf_row(key: str, release: str, told: Callable[[bytes], bool]) -> Format:
    write = _in("writers.dxf", "write_dxf")
    return Format(
        key=key,
        suffix=f".{release.lower()}.dxf",
        title=f"DXF {release}",
        step=0.0001,
        curve=0.0002,
        text="kept",
        size=False,
        layer=dxf_layer,
        write=lambda drawing, options: write(drawing, release, options.layers, options.colours),
        read=_in("readers.dxf", "read_dxf"),
        told=told,
        colour=dxf_colour,
        palette=DXF_COLOURS,
        noted=True,
        group="dxf",
    )


def _pdf_row() -> Format:
    write = _in("writers.pdf", "write_pdf")
    return Format(
        key="pdf",
        suffix=".pdf",
        title="PDF",
        step=0.0001,
        curve=0.002,
        text="drawn",
        size=True,
        largest=lambda _: 5080.0,
        layer=pdf_layer,
        write=lambda drawing, options: write(drawing, options.method, options.side, options.face),
        read=_in("readers.pdf", "read_pdf"),
        told=_is_pdf,
        steps=pdf_steps,
        order=pdf_order,
    )


def _hpgl_row() -> Format:
    write = _in("writers.hpgl", "write_hpgl")
    return Format(
        key="hpgl",
        suffix=".hpgl",
        title="HP-GL",
        step=HPGL_UNIT,
        curve=HPGL_UNIT,
        text="dropped",
        size=False,
        largest=lambda options: options.hpgl_range * HPGL_UNIT,
        layer=hpgl_pen,
        write=lambda drawing, options: write(drawing, options.pens, options.settings),
        read=_in("readers.hpgl", "read_hpgl"),
        told=lambda data: _head(data).startswith(b"IN"),
        endings=(".hpgl", ".plt", ".hpg"),
        pens=True,
        unit=HPGL_UNIT,
        wire=Wire(lift=b";PU;SP0;\n", up=b"PU", run=b"PD"),
    )


def _gcode_row() -> Format:
    write = _in("writers.gcode", "write_gcode")
    return Format(
        key="gcode",
        suffix=".gcode",
        title="G-code",
        step=0.001,
        curve=0.01,
        text="dropped",
        size=False,
        layer=gcode_layer,
        write=lambda drawing, options: write(
            drawing, options.settings, options.power_range, options.beam
        ),
        read=_in("readers.gcode", "read_gcode"),
        told=lambda data: _head(data).startswith(b"("),
        endings=(".gcode", ".nc"),
        kin=lambda layer: layer.partition(" ")[0],
        kinds=("laser",),
        modes=lambda options: {"beam": options.beam},
        wire=Wire(lift=b"\nM5 S0\n", up=b"G0"),
        bound=True,
        usual=False,
    )


def _fold_row() -> Format:
    write = _in("fold_check", "fold_file")
    return Format(
        key="fold",
        suffix=".fold",
        title="FOLD",
        step=0.0,
        curve=0.0,
        text="dropped",
        size=False,
        layer=lambda stroke, _: stroke.role.value,
        write=lambda checked, _: write(checked),
        read=_in("readers.fold", "read_fold"),
        told=_in("readers.fold", "is_fold"),
        folded=True,
    )


FORMATS: dict[str, Format] = {
    form.key: form
    for form in (
        _svg_row("svg", ".svg", "SVG", True),
        _svg_row("svg-plain", ".plain.svg", "plain SVG", False),
        _dxf_row("dxf-r12", "R12", lambda data: "" < _dxf_release(data) <= "AC1009"),
        _dxf_row("dxf-r2000", "R2000", lambda data: _dxf_release(data) > "AC1009"),
        _pdf_row(),
        _hpgl_row(),
        _gcode_row(),
        _fold_row(),
    )
}
MAIN = "svg"
"""What people look at and what folds are checked by, where nothing else is named."""


def drawn_formats() -> tuple[str, ...]:
    """Return the formats that hold a drawing, as a machine takes it, in the order of the table."""
    return tuple(form.key for form in FORMATS.values() if not form.folded)


def choices() -> dict[str, tuple[str, ...]]:
    """Return what may be ordered by name: each format and each group, and what it stands for."""
    free = [form for form in FORMATS.values() if not form.bound]
    found = {form.key: (form.key,) for form in free}
    for form in free:
        if form.group:
            found[form.group] = (*found.get(form.group, ()), form.key)
    return {**found, "all": tuple(form.key for form in free)}


def usual_formats(passes: bool = False) -> tuple[str, ...]:
    """Return what is made unless formats are named; beside a machine's passes only few."""
    rows = (form for form in FORMATS.values() if form.usual)
    return tuple(form.key for form in rows if not passes or form.folded or form.key == MAIN)


def recognised(data: bytes, name: str) -> Format | None:
    """Return the format of a file, by its bytes, else by its name; None where it is not ours."""
    rows = FORMATS.values()
    ending = name.lower()
    return next((row for row in rows if row.told(data)), None) or next(
        (row for row in rows if ending.endswith(row.endings)), None
    )
