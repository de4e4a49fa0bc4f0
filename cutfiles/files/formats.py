"""The table of formats: what each keeps, its finest step, its writer and its reader.

A new format is a writer, a reader and one row here; all format tests run over this table.
Writers and readers are loaded when a row is used, for some of their libraries are heavy. What a
file should state (layer names, pens, processing steps) stands here apart from the writers, so that
a slip in either shows when a file is compared.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from cutfiles.errors import FormatError
from cutfiles.film.drawing import Drawing, with_notes_drawn, without_guides
from cutfiles.machine.passes import PENS, setting_of
from cutfiles.machine.profile.cutter import Setting
from cutfiles.machine.score import Face, Method, Side, Worked, role_face
from cutfiles.pattern.pattern import Role, Stroke

if TYPE_CHECKING:
    from cutfiles.files.readers.reading import Reading

Text = Literal["kept", "drawn", "dropped"]

HPGL_PENS: Mapping[str, int] = PENS
"""Which pen works which role, unless told otherwise. Guides are never machined."""
HPGL_RANGE = 32767
"""Largest coordinate of a machine with 16-bit coordinates, in units of 0.025 mm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    """What may differ from cutter to cutter; a cutter profile says it, or the command line.

    Attributes:
        pens: HP-GL, roles to pens 1–8; a role without a pen is left out.
        hpgl_range: HP-GL, largest coordinate of the machine, units of 0.025 mm.
        bed: width and height the machine can work, mm, or None if it is not known.
        layers: SVG and DXF, roles to layer names of the machine's own.
        colours: SVG and DXF, roles to colours of its own, ``#RRGGBB``.
        method: how it scores; the processing steps of a PDF follow it.
        side: where the groove of a score lies.
        face: which face of the film is up in the file.
        settings: HP-GL and G-code, roles or names of strokes to how they are worked.
        power_range: G-code, what full power is.
        beam: G-code, the command that switches the beam on.

    """

    pens: Mapping[str, int] = field(default_factory=lambda: dict(HPGL_PENS))
    hpgl_range: int = HPGL_RANGE
    bed: tuple[float, float] | None = None
    layers: Mapping[str, str] = field(default_factory=dict)
    colours: Mapping[str, str] = field(default_factory=dict)
    method: Method = "impress"
    side: Side = "by method"
    face: Face = "book"
    settings: Mapping[str, Setting] = field(default_factory=dict)
    power_range: float = 1000.0
    beam: Literal["M3", "M4"] = "M4"


@dataclass(frozen=True, slots=True, kw_only=True)
class Format:
    """One row of the table.

    Attributes:
        key: how the command line names it.
        suffix: of its files, after the support's number.
        title: for people.
        step: finest step of a coordinate, mm.
        curve: how far a point inside an arc may lie off it, mm.
        text: whether notes are kept as text, drawn as strokes, or dropped with the guides.
        size: whether it states the size of the sheet.
        largest: function from options to the largest width or height it holds, mm.
        layer: function from a stroke and options to its layer's name, empty if left out.
        write: function from a prepared sheet and options to bytes.
        read: function from bytes to what they state.
        steps: processing-steps group and type by layer, where the format has them.
        coloured: whether its layers state their colours exactly.

    """

    key: str
    suffix: str
    title: str
    step: float
    curve: float
    text: Text
    size: bool
    largest: Callable[[Options], float | None]
    layer: Callable[[Stroke, Options], str]
    write: Callable[[Drawing, Options], bytes]
    read: Callable[[bytes], "Reading"]
    steps: Callable[[Drawing, Options], dict[str, tuple[str, str]]] = lambda _, __: {}
    coloured: bool = False

    def prepared(self, sheet: Drawing) -> Drawing:
        """Return the sheet as this format holds it: notes kept, drawn, or dropped with guides."""
        match self.text:
            case "kept":
                return sheet
            case "drawn":
                return with_notes_drawn(sheet)
            case "dropped":
                return without_guides(sheet)


def write_drawing(sheet: Drawing, form: Format, options: Options) -> bytes:
    """Return a sheet in a format.

    Raises:
        FormatError: the sheet is larger than the format or the machine's range holds.

    """
    check_size(sheet, form, options)
    return form.write(form.prepared(sheet), options)


def check_size(sheet: Drawing, form: Format, options: Options) -> None:
    """Refuse a sheet that a format cannot hold.

    Raises:
        FormatError: names the measure and the limit.

    """
    limit = form.largest(options)
    measure = max(sheet.width, sheet.height)
    if limit is not None and measure > limit:
        remedy = "use another format, or split the piece"
        if form.key == "hpgl":
            remedy = "give the range your machine's manual states with --hpgl-range, or " + remedy
        raise FormatError(
            f"a sheet of {sheet.width:.1f} × {sheet.height:.1f} mm",
            f"{form.title} holds at most {limit:.1f} mm either way",
            remedy,
            f"{dict(sheet.facts).get('number', '')}{form.suffix}",
        )


def check_bed(sheet: Drawing, options: Options) -> None:
    """Refuse a piece that does not fit the given bed as it is drawn.

    Raises:
        FormatError: names the measures.

    """
    if options.bed is None:
        return
    (width, height), (across, deep) = sheet.piece, options.bed
    if width <= across and height <= deep:
        return
    turned = width <= deep and height <= across
    raise FormatError(
        f"a piece of {width:.1f} × {height:.1f} mm",
        f"the bed holds {across:.1f} × {deep:.1f} mm",
        "turned a quarter it would fit: turn it in the cutter's own program, or give the bed as "
        f"{deep:g}x{across:g} mm"
        if turned
        else "use a larger cutter, or split the piece",
        f"{dict(sheet.facts).get('number', '')}",
    )


def _no_limit(_: Options) -> None:
    return None


def _role_name(stroke: Stroke, options: Options) -> str:
    return options.layers.get(stroke.role, stroke.role.value)


# -- the rows; each loads its writer and reader when used -----------------------------------------


def _svg(editor_layers: bool) -> Callable[[Drawing, Options], bytes]:
    def write(sheet: Drawing, options: Options) -> bytes:
        from cutfiles.files.writers.svg import write_svg

        return write_svg(
            sheet, editor_layers=editor_layers, layers=options.layers, colours=options.colours
        )

    return write


def _read_svg(data: bytes) -> "Reading":
    from cutfiles.files.readers.svg import read_svg

    return read_svg(data)


def _dxf(release: Literal["R12", "R2000"]) -> Callable[[Drawing, Options], bytes]:
    def write(sheet: Drawing, options: Options) -> bytes:
        from cutfiles.files.writers.dxf import write_dxf

        return write_dxf(sheet, release, options.layers, options.colours)

    return write


def _read_dxf(data: bytes) -> "Reading":
    from cutfiles.files.readers.dxf import read_dxf

    return read_dxf(data)


def _dxf_layer(stroke: Stroke, options: Options) -> str:
    return options.layers.get(stroke.role, stroke.role.value.upper().replace("-", "_"))


def _write_pdf(sheet: Drawing, options: Options) -> bytes:
    from cutfiles.files.writers.pdf import write_pdf

    return write_pdf(sheet, options.method, options.side, options.face)


def _read_pdf(data: bytes) -> "Reading":
    from cutfiles.files.readers.pdf import read_pdf

    return read_pdf(data)


def _pdf_layer(stroke: Stroke, _: Options) -> str:
    if stroke.role is Role.GUIDE and stroke.name.startswith("tape"):
        return "guide-tape"
    if stroke.role is Role.HOLES and stroke.name.startswith("pin hole"):
        return "pin-holes"
    return stroke.role.value


def _pdf_steps(sheet: Drawing, options: Options) -> dict[str, tuple[str, str]]:
    """What ISO 19593-1 calls each layer's step: scores by method, and by face against the one up.

    An impressed or channelled line is a crease, a half-cut a partial cutting; what is worked from
    the face that lies below is the reverse of the same.
    """
    steps = {
        "guide": ("Dimensions", ""),
        "guide-tape": ("Structural", "Gluing"),
        "registration": ("Legend", ""),
        "label": ("Legend", ""),
        "cut-holes": ("Structural", "Cutting"),
        "cut-outline": ("Structural", "Cutting"),
    }
    for role in (Role.VALLEY, Role.MOUNTAIN):
        worked = role_face(role, options.method, options.side)
        steps[role.value] = ("Structural", _score_step(options.method, worked, options.face))
    if any(_pdf_layer(stroke, options) == "pin-holes" for stroke in sheet.strokes):
        steps["pin-holes"] = ("Structural", "Punching")
    return steps


def _score_step(method: Method, worked: Worked, face: Face) -> str:
    if worked == "either":
        return "Perforating"
    kind = "PartialCutting" if method == "half-cut" else "Creasing"
    return kind if worked == face else f"Reverse{kind}"


def _write_hpgl(sheet: Drawing, options: Options) -> bytes:
    from cutfiles.files.writers.hpgl import write_hpgl

    return write_hpgl(sheet, options.pens, options.settings)


def _read_hpgl(data: bytes) -> "Reading":
    from cutfiles.files.readers.hpgl import read_hpgl

    return read_hpgl(data)


def _hpgl_pen(stroke: Stroke, options: Options) -> str:
    """Return the pen, with force and speed where they are set."""
    pen = options.pens.get(stroke.role, 0)
    setting = setting_of(stroke, options.settings)
    said = [str(pen)]
    if setting.force is not None:
        said.append(f"FS{setting.force:g}")
    if setting.speed is not None:
        said.append(f"VS{round(setting.speed / 10, 1):g}")
    return " ".join(said) if pen else ""


def _write_gcode(sheet: Drawing, options: Options) -> bytes:
    from cutfiles.files.writers.gcode import write_gcode

    return write_gcode(sheet, options.settings, options.power_range, options.beam)


def _read_gcode(data: bytes) -> "Reading":
    from cutfiles.files.readers.gcode import read_gcode

    return read_gcode(data)


def _gcode_layer(stroke: Stroke, options: Options) -> str:
    """Return role, power and feed, for a wrong power is as bad as a wrong place."""
    setting = setting_of(stroke, options.settings)
    power = round((setting.power or 0.0) * options.power_range / 100, 1)
    return f"{stroke.role} S{power:g} F{round((setting.speed or 0.0) * 60, 1):g}"


def _svg_row(key: str, suffix: str, title: str, editor_layers: bool) -> Format:
    return Format(
        key=key,
        suffix=suffix,
        title=title,
        step=0.001,
        curve=0.002,
        text="kept",
        size=True,
        largest=_no_limit,
        layer=_role_name,
        write=_svg(editor_layers),
        read=_read_svg,
        coloured=True,
    )


def _dxf_row(key: str, suffix: str, release: Literal["R12", "R2000"]) -> Format:
    return Format(
        key=key,
        suffix=suffix,
        title=f"DXF {release}",
        step=0.0001,
        curve=0.0002,
        text="kept",
        size=False,
        largest=_no_limit,
        layer=_dxf_layer,
        write=_dxf(release),
        read=_read_dxf,
        coloured=True,
    )


FORMATS: dict[str, Format] = {
    form.key: form
    for form in (
        _svg_row("svg", ".svg", "SVG", True),
        _svg_row("svg-plain", ".plain.svg", "plain SVG", False),
        _dxf_row("dxf-r12", ".r12.dxf", "R12"),
        _dxf_row("dxf-r2000", ".r2000.dxf", "R2000"),
        Format(
            key="pdf",
            suffix=".pdf",
            title="PDF",
            step=0.0001,
            curve=0.002,
            text="drawn",
            size=True,
            largest=lambda _: 5080.0,
            layer=_pdf_layer,
            write=_write_pdf,
            read=_read_pdf,
            steps=_pdf_steps,
        ),
        Format(
            key="hpgl",
            suffix=".hpgl",
            title="HP-GL",
            step=0.025,
            curve=0.025,
            text="dropped",
            size=False,
            largest=lambda options: options.hpgl_range * 0.025,
            layer=_hpgl_pen,
            write=_write_hpgl,
            read=_read_hpgl,
        ),
        Format(
            key="gcode",
            suffix=".gcode",
            title="G-code",
            step=0.001,
            curve=0.01,
            text="dropped",
            size=False,
            largest=_no_limit,
            layer=_gcode_layer,
            write=_write_gcode,
            read=_read_gcode,
        ),
    )
}
USUAL = ("svg", "dxf-r12", "dxf-r2000", "pdf", "hpgl")
"""What is made unless formats are named."""
FOLD = "fold"
"""Key of the FOLD format. It holds faces and folds, no marks and no labels, so it has no row above:
it is compared by folding it."""
