"""Writing a drawing in a format of the table, and what forbids it: the format's size, the bed."""

from cutfiles.errors import FormatError
from cutfiles.film.drawing import Drawing
from cutfiles.machine.formats import FORMATS, Format
from cutfiles.machine.options import HPGL_PENS, Options

__all__ = ["FORMATS", "HPGL_PENS", "Format", "Options", "check_bed", "check_size", "write_drawing"]


def write_drawing(drawing: Drawing, form: Format, options: Options) -> bytes:
    """Return a drawing in a format.

    Raises:
        FormatError: the drawing is larger than the format or the machine's range holds.

    """
    check_size(drawing, form, options)
    return form.write(form.prepared(drawing), options)


def check_size(drawing: Drawing, form: Format, options: Options) -> None:
    """Refuse a drawing that a format cannot hold.

    Raises:
        FormatError: names the measure and the limit.

    """
    limit = form.largest(options)
    measure = max(drawing.width, drawing.height)
    if limit is not None and measure > limit:
        remedy, key = "use another format, or split the piece", ""
        if form.unit:
            remedy, key = f"state the range that your machine's manual gives, or {remedy}", "range"
        raise FormatError(
            f"a drawing of {drawing.width:.1f} × {drawing.height:.1f} mm",
            f"{form.title} holds at most {limit:.1f} mm either way",
            remedy,
            f"{dict(drawing.facts).get('number', '')}{form.suffix}",
            key,
        )


def check_bed(drawing: Drawing, options: Options) -> None:
    """Refuse a piece that does not fit the given bed as it is drawn.

    Raises:
        FormatError: names the measures.

    """
    if options.bed is None:
        return
    (width, height), (across, deep) = drawing.piece, options.bed
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
        f"{dict(drawing.facts).get('number', '')}",
    )
