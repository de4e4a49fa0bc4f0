"""Small pictures for a page of many supports: a support, and a sheet with its pieces."""

from html import escape

from cutfiles.exhibit.results import SheetResult
from cutfiles.report.pictures.canvas import steps_of
from cutfiles.report.pictures.paint import Shape, painted
from cutfiles.report.pictures.strip import in_sight, standing_polygons
from cutfiles.report.pictures.view import view_of
from cutfiles.support.standing import Support

SCALE = 0.38
"""Pixels a millimetre: pictures of all supports of a page stand to one scale."""
_FINE = 4
"""Parts of a millimetre that a picture of a support is told in: a tenth of a pixel."""


def support_view(support: Support) -> str:
    """Return a support with its book as a small SVG, in its own view."""
    slip, view = support.slip, view_of(support)
    name = escape(f"{slip.book.number}, opened to {slip.opening.opening_angle:.0f}°")
    polygons = in_sight(standing_polygons(support), view.eye)
    flat = [view.places(polygon.corners) for polygon in polygons]
    xs, ys = zip(*(place for corners in flat for place in corners), strict=True)
    left, top, width, height = (
        min(xs) - 4,
        max(ys) + 4,
        max(xs) - min(xs) + 8,
        max(ys) - min(ys) + 8,
    )
    drawn = []
    for i in painted([polygon.corners for polygon in polygons], [*map(Shape, flat)], view.eye):
        look = "f" if polygons[i].kind == "film" else "b"
        places = [(round(_FINE * (x - left)), round(_FINE * (top - y))) for x, y in flat[i]]
        drawn.append(f'<path class="{look}" d="{steps_of(places, str)}z"/>')
    return (
        f'<svg class="view" style="width:{SCALE * width:.0f}px" '
        f'viewBox="0 0 {_FINE * width:.0f} {_FINE * height:.0f}" role="img" aria-label="{name}">'
        f"<title>{name}</title>{''.join(drawn)}</svg>"
    )


def sheet_view(sheet: SheetResult) -> str:
    """Return a sheet with its pieces as a small SVG, head of the sheet up."""
    numbers = ", ".join(dict.fromkeys(piece.name for piece in sheet.pieces))
    name = escape(f"{sheet.number}, {sheet.width:.0f} × {sheet.height:.0f} mm, with {numbers}")
    parts = [
        f'<svg viewBox="-2 -2 {sheet.width + 4:.0f} {sheet.height + 4:.0f}" role="img" '
        f'aria-label="{name}"><title>{name}</title>',
        f'<rect class="s" width="{sheet.width:.1f}" height="{sheet.height:.1f}"/>',
    ]
    for number, left, bottom, width, height, turned, _ in sheet.pieces:
        top = sheet.height - bottom - height
        cx, cy = left + width / 2, top + height / 2
        room, depth = (height, width) if turned else (width, height)
        size = min(60.0, depth * 0.5, room / (0.62 * max(1, len(number))))
        turn = f' transform="rotate(-90 {cx:.1f} {cy:.1f})"' if turned else ""
        parts.append(
            f'<rect class="p" x="{left:.1f}" y="{top:.1f}" width="{width:.1f}" '
            f'height="{height:.1f}"/><text x="{cx:.1f}" y="{cy + size * 0.35:.1f}" '
            f'font-size="{size:.1f}"{turn}>{escape(number)}</text>'
        )
    return "".join(parts) + "</svg>"
