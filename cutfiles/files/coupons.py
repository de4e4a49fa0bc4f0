"""Coupons that are tried by hand as files: each read back, compared, and folded from what it says.

The shifted piece of a corner is compared, and not folded: no film folds as it is drawn.
"""

from collections.abc import Sequence

from cutfiles.errors import DifferenceError, FormatError
from cutfiles.files.fold_check import face_orders_of, fold_lines, require_same_folds
from cutfiles.files.formats import FORMATS, Options, check_size
from cutfiles.files.made import File
from cutfiles.files.readers.reading import Reading
from cutfiles.files.verify import written
from cutfiles.film.lay import MARGIN, lay_coupon
from cutfiles.folding.check import FoldCheck
from cutfiles.folding.coupons import check_coupon, check_post_coupon
from cutfiles.folding.graph import FoldLine
from cutfiles.machine.formats import MAIN, Format
from cutfiles.pattern.coupons import APART, SHIFTED, Coupon
from cutfiles.plane.shapes import Box
from cutfiles.version import VERSION


def coupon_files(
    coupon: Coupon, keys: Sequence[str], options: Options | None = None, stem: str = ""
) -> tuple[tuple[File, ...], tuple[str, ...]]:
    """Return a coupon in each format that holds it, verified, and the others, why not.

    Args:
        coupon: laid flat.
        keys: of the table of formats.
        options: what differs from cutter to cutter.
        stem: what the files' names begin with; what the coupon is called if not given.

    Raises:
        DifferenceError: a file did not read back, or does not fold, as it was meant.

    """
    options, stem = options or Options(), stem or coupon.number
    drawing, files, left = lay_coupon(coupon), [], []
    check: FoldCheck | None = None
    rows = [FORMATS[key] for key in keys]
    for form in (row for row in rows if not row.folded):
        try:
            check_size(drawing, form, options)
        except FormatError as error:
            left.append(f"{form.title} not made: {error}")
            continue
        name = stem + form.suffix
        data, reading = written(name, drawing, form, options)
        if form.tells_folds(options):
            check = folded_coupon(coupon, reading, form, options, name)
        files.append(File(name, form.key, data, True))
    for form in (row for row in rows if row.folded):
        if check is None:
            main = FORMATS[MAIN]
            name = stem + main.suffix
            reading = written(name, drawing, main, Options()).reading
            check = folded_coupon(coupon, reading, main, Options(), name)
        files.append(_fold_file(coupon, check, form, stem))
    return tuple(files), tuple(left)


def folded_coupon(
    coupon: Coupon, reading: Reading, form: Format, options: Options, name: str
) -> FoldCheck:
    """Return what a coupon's first piece folds into, read from a file; all pieces are folded.

    Raises:
        DifferenceError: one does not fold as it should.
        FileError: the file cannot be read, or does not tell valleys from mountains.

    """
    lines = fold_lines(reading, form, options)
    check_piece = check_post_coupon if coupon.name == "post" else check_coupon
    checks = []
    for piece, place in zip(coupon.pieces, coupon.places, strict=True):
        if piece.name == SHIFTED:
            continue
        box = Box(place.x, place.y, place.x + piece.box.width, place.y + piece.box.height)
        own = [line for line in lines if _lies_in(line, box)]
        checks.append(check_piece(own, piece, form.step))
    stops = [one.message for check in checks for one in check.findings if one.severity == "stop"]
    if stops or any(check.folded is None for check in checks):
        raise DifferenceError(
            "; ".join(stops[:5]),
            "the file must fold into the coupon that was designed",
            "do not cut it; please report it",
            name,
        )
    return checks[0]


def _lies_in(line: FoldLine, box: Box) -> bool:
    """Whether a line belongs to the piece that is laid in this box of the sheet."""
    near = APART / 2
    return all(
        box.left - near <= x - MARGIN <= box.right + near
        and box.bottom - near <= y - MARGIN <= box.top + near
        for x, y in line.points
    )


def _fold_file(coupon: Coupon, check: FoldCheck, form: Format, stem: str) -> File:
    """Return the first piece as it folds, read back and compared with what folds."""
    from cutfiles.files.writers.fold import Piece, write_fold

    assert check.folded is not None
    piece, name = coupon.pieces[0], stem + form.suffix
    orders = face_orders_of(check.faces, piece)
    if coupon.name == "post":  # the lap lies outside of face A
        ends = (piece.panels[-1], piece.panels[0])
        lap, first = (check.faces[panel.name, "middle"] for panel in ends)
        orders = ((lap, first, 1),)
    data = write_fold(
        [Piece("", check.folded, orders)], coupon.number, piece.facts, f"cutfiles {VERSION}"
    )
    require_same_folds(name, data, check)
    return File(name, form.key, data, True)
