"""What a file of each format should state: layers, pens, colours, processing steps, order.

It stands apart from the writers, so that a slip in either shows when a file is compared.
"""

from collections.abc import Mapping

from cutfiles.film.drawing import Drawing
from cutfiles.machine.options import Options
from cutfiles.machine.passes import setting_of
from cutfiles.machine.score import Method, Worked, role_face
from cutfiles.pattern.pattern import COLOURS, Role, Stroke
from cutfiles.support.contacts import Face

_NAMES = {role: role.value for role in Role}
_DXF_NAMES = {role: name.upper().replace("-", "_") for role, name in _NAMES.items()}


def role_name(stroke: Stroke, options: Options) -> str:
    """Return the layer of SVG: the role, or as the cutter calls it."""
    return options.layers.get(stroke.role, _NAMES[stroke.role])


def dxf_layer(stroke: Stroke, options: Options) -> str:
    """Return the layer of DXF."""
    return options.layers.get(stroke.role, _DXF_NAMES[stroke.role])


_RANK = {role: rank for rank, role in enumerate(Role)}
_DXF_INDEX = {
    Role.GUIDE: "index 8",
    Role.REGISTRATION: "#FF00FF",
    Role.LABEL: "#00FF00",
    Role.VALLEY: "#0000FF",
    Role.MOUNTAIN: "index 30",
    Role.HOLES: "#000000",
    Role.OUTLINE: "#000000",
}
"""What the index of DXF can say of each role's usual colour (from memory)."""


def _sharing(role: Role, layers: Mapping[str, str]) -> Role:
    """Return the first role on the layer that a role lies on: the layer looks as that one does."""
    if not layers:
        return role
    name = layers.get(role, role.value)
    return next(other for other in Role if layers.get(other, other.value) == name)


def svg_colour(role: Role, options: Options) -> str:
    """Return the colour of a role's layer in SVG."""
    first = _sharing(role, options.layers)
    return options.colours.get(first, COLOURS[first])


def svg_order(stroke: Stroke, options: Options) -> tuple[int, ...]:
    """Return where a stroke comes in SVG: by its layer, then by its role."""
    return (_RANK[_sharing(stroke.role, options.layers)], _RANK[stroke.role])


def dxf_colour(role: Role, options: Options) -> str:
    """Return the colour of a role's layer in DXF, or the index where it names none exactly."""
    first = _sharing(role, options.layers)
    return options.colours.get(first, _DXF_INDEX[first])


_PDF_APART = {"guide-tape": 1, "pin-holes": -1}


def pdf_order(stroke: Stroke, _: Options) -> tuple[int, ...]:
    """Tape comes after other guides, pin holes before other holes."""
    return (_RANK[stroke.role], _PDF_APART.get(pdf_layer(stroke, _), 0))


def pdf_layer(stroke: Stroke, _: Options) -> str:
    """Return the layer of PDF: tape and pin holes have their own."""
    if stroke.use == "tape":
        return "guide-tape"
    if stroke.role is Role.HOLES and stroke.use == "pin":
        return "pin-holes"
    return _NAMES[stroke.role]


def pdf_steps(drawing: Drawing, options: Options) -> dict[str, tuple[str, str]]:
    """What ISO 19593-1 calls each layer's step: scores by method, and by face against the one up.

    An impressed or channelled line is a crease, a half-cut a partial cutting; what is worked from
    the face that lies below is the reverse of the same.
    """
    there = {pdf_layer(stroke, options) for stroke in drawing.strokes}
    guides = {"guide": ("Dimensions", ""), "guide-tape": ("Structural", "Gluing")}
    steps = {name: step for name, step in guides.items() if name in there} | {
        "registration": ("Legend", ""),
        "label": ("Legend", ""),
        "cut-holes": ("Structural", "Cutting"),
        "cut-outline": ("Structural", "Cutting"),
    }
    for role in (Role.VALLEY, Role.MOUNTAIN):
        worked = role_face(role, options.method, options.side)
        steps[role.value] = ("Structural", _score_step(options.method, worked, options.face))
    if "pin-holes" in there:
        steps["pin-holes"] = ("Structural", "Punching")
    return steps


def _score_step(method: Method, worked: Worked, face: Face) -> str:
    if worked == "either":
        return "Perforating"
    kind = "PartialCutting" if method == "half-cut" else "Creasing"
    return kind if worked == face else f"Reverse{kind}"


def hpgl_pen(stroke: Stroke, options: Options) -> str:
    """Return the pen, with force and speed where they are set."""
    pen = options.pens.get(stroke.role, 0)
    setting = setting_of(stroke, options.settings)
    said = [str(pen)]
    if setting.force is not None:
        said.append(f"FS{setting.force:g}")
    if setting.speed is not None:
        said.append(f"VS{round(setting.speed / 10, 1):g}")
    return " ".join(said) if pen else ""


def gcode_layer(stroke: Stroke, options: Options) -> str:
    """Return role, power and feed, for a wrong power is as bad as a wrong place."""
    setting = setting_of(stroke, options.settings)
    power = round((setting.power or 0.0) * options.power_range / 100, 1)
    return f"{stroke.role} S{power:g} F{round((setting.speed or 0.0) * 60, 1):g}"
