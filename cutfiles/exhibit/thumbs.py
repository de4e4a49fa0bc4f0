"""Small pictures for a page of many supports: the end view, and a sheet with its pieces."""

import math
from html import escape

from cutfiles.exhibit.results import SheetResult
from cutfiles.support.profile import walk
from cutfiles.support.standing import Support, board_of


def end_view(support: Support) -> str:
    """Return the end view of a support with its boards as a small SVG, to no fixed scale."""
    corners = walk(support.profile).corners
    boards = []
    for half in support.halves:
        board = board_of(support.slip, half.side)
        slope = half.slope if half.stands else math.radians(board.slope)
        (x, y), run = half.joint, half.way * board.width
        y += 1.5
        boards.append([(x, y), (x + run * math.cos(slope), y + board.width * math.sin(slope))])
    xs = [x for x, _ in (*corners, *(place for board in boards for place in board))]
    ys = [y for _, y in (*corners, *(place for board in boards for place in board))]
    width, height = max(xs) - min(xs) + 8, max(ys) + 8

    def line(points: list[tuple[float, float]], look: str) -> str:
        run = " ".join(f"{x - min(xs) + 4:.1f},{height - 4 - y:.1f}" for x, y in points)
        return f'<polyline points="{run}" {look}/>'

    drawn = "".join(line(board, 'class="b"') for board in boards)
    drawn += line([(p.x, p.y) for p in corners], 'class="f"')
    return f'<svg viewBox="0 0 {width:.0f} {height:.0f}" role="img">{drawn}</svg>'


def sheet_view(sheet: SheetResult) -> str:
    """Return a sheet with its pieces as a small SVG, head of the sheet up."""
    parts = [
        f'<svg viewBox="-2 -2 {sheet.width + 4:.0f} {sheet.height + 4:.0f}" role="img">',
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
