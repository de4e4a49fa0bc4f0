"""The whole chain: slip → support → pattern → sheet → bytes → verified files.

>>> from cutfiles.bench.slip import slip_from
>>> made = make(slip_from({"number": "A1", "units": "mm", "height": 203, "width": 133,
...                        "spine_width": 34, "opening_angle": 120}), formats=["svg"])
>>> [file.name for file in made.files]
['A1.svg', 'A1.standing.svg', 'A1.flat.svg']
"""

from collections.abc import Sequence

from cutfiles.bench.slip import Slip
from cutfiles.errors import Defect, FileError, FormatError
from cutfiles.findings import Finding
from cutfiles.formats import FORMATS, USUAL, Options, check_bed, check_size, write_sheet
from cutfiles.made import Draft, File, Made, safe_name
from cutfiles.pattern.checks import check_pattern
from cutfiles.pattern.unfold import unfold
from cutfiles.sheets.lay import lay
from cutfiles.support.checks import check_standing
from cutfiles.support.cradle import design
from cutfiles.verify import Difference, compare, require_same


def draft(slip: Slip) -> Draft:
    """Return the support of a slip, laid flat and checked.

    Raises:
        DesignError: no cradle follows from the slip.
        Defect: one of our own checks failed; nothing may be cut.

    """
    support = design(slip)
    pattern = unfold(support)
    findings = (*slip.findings, *check_standing(support), *check_pattern(pattern, support))
    stops = [finding for finding in findings if finding.severity == "stop"]
    if stops:
        raise Defect(
            "; ".join(f"{stop.rule}: {stop.message}" for stop in stops[:5]),
            "a pattern must fold back into its support",
            "nothing was written; please report this slip",
            slip.source,
        )
    return Draft(slip, support, pattern, lay(pattern, slip.book), findings)


def make(
    slip: Slip,
    formats: Sequence[str] | None = None,
    options: Options | None = None,
    *,
    png: bool = False,
) -> Made:
    """Return a support with its cut files, read back and compared, and its pictures.

    Args:
        slip: what was measured and chosen.
        formats: keys of the table of formats. Without them the usual ones are made, and one that
            cannot hold the piece is left out and told in the findings.
        options: what differs from cutter to cutter.
        png: also make the pictures as PNG.

    Raises:
        DesignError: no cradle follows from the slip.
        FormatError: the piece does not fit a named format, or the bed.
        DifferenceError: a file did not read back as it was meant.

    """
    chosen, options = tuple(formats or USUAL), options or Options()
    made = draft(slip)
    check_bed(made.sheet, options)
    name = safe_name(slip.book.number)
    findings = list(made.findings)
    if name != slip.book.number:
        findings.append(Finding("file-name", "number", f'the files are named "{name}"'))
    files: list[File] = []
    for key in chosen:
        form = FORMATS[key]
        try:
            check_size(made.sheet, form, options)
        except FormatError as error:
            if formats:
                raise
            findings.append(Finding("format", form.key, f"not made: {error}"))
            continue
        sheet = form.prepared(made.sheet)  # once for writing and comparing
        data = write_sheet(sheet, form, options)
        require_same(name + form.suffix, sheet, data, form, options)
        files.append(File(name + form.suffix, form.key, data, True))
    return Made(made, (*files, *_pictures(made, name, png)), tuple(findings))


def _pictures(made: Draft, name: str, png: bool) -> list[File]:
    from cutfiles.report.flat import flat_picture
    from cutfiles.report.standing import standing_picture

    pictures = {
        "standing": standing_picture(made.support),
        "flat": flat_picture(made.pattern, made.support),
    }
    files = [File(f"{name}.{kind}.svg", kind, data, None) for kind, data in pictures.items()]
    if png:
        from cutfiles.report.png import png_from_svg

        files += [
            File(f"{name}.{kind}.png", kind, png_from_svg(data), None)
            for kind, data in pictures.items()
        ]
    return files


def verify_data(
    data: bytes, name: str, slip: Slip, options: Options | None = None
) -> tuple[Difference, ...]:
    """Return how a file's bytes differ from what its slip asks for; nothing where they do not.

    Args:
        data: the bytes of the file.
        name: of the file; its ending helps to tell the format.
        slip: what the file should hold.
        options: as when it was made.

    Raises:
        FileError: it is in none of our formats, or cannot be read.

    """
    form = FORMATS[_format_of(data, name)]
    return compare(draft(slip).sheet, data, form, options or Options())


def _format_of(data: bytes, name: str) -> str:
    """Return the key of a file's format, by what it holds."""
    from cutfiles.readers.dxf import dxf_release

    head = data[:4096].lstrip()
    if b"%PDF-" in head[:1024]:
        return "pdf"
    if b"<svg" in head:
        return "svg"
    if release := dxf_release(data):
        return "dxf-r12" if release <= "AC1009" else "dxf-r2000"
    if head.startswith(b"IN") or name.lower().endswith((".hpgl", ".plt", ".hpg")):
        return "hpgl"
    titles = ", ".join(form.title for form in FORMATS.values())
    raise FileError("a file in none of our formats", f"we read {titles}", "name a cut file", name)
