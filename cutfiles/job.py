"""The whole chain: slip → support → pattern → sheet → bytes → verified files.

>>> from cutfiles.bench.slip import slip_from
>>> made = make(slip_from({"number": "A1", "units": "mm", "height": 203, "width": 133,
...                        "spine_width": 34, "opening_angle": 120}), formats=["svg"])
>>> [file.name for file in made.files]
['A1.svg', 'A1.standing.svg', 'A1.flat.svg', 'A1.folded.svg', 'A1.folded.html']
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING

from cutfiles.bench.cautions import Machine, require_film_for
from cutfiles.bench.queries import queries, require_answers
from cutfiles.bench.slip import Slip, place_of
from cutfiles.errors import Defect, DesignError, DifferenceError, FileError, FormatError, SlipError
from cutfiles.findings import Finding
from cutfiles.formats import (
    FOLD,
    FORMATS,
    USUAL,
    Options,
    check_bed,
    check_size,
    write_sheet,
)
from cutfiles.made import Draft, File, Made, safe_name
from cutfiles.pattern.checks import check_pattern
from cutfiles.pattern.facts import slip_of_facts
from cutfiles.pattern.unfold import unfold
from cutfiles.report.verdict import check_text, sentence
from cutfiles.sheets.lay import lay
from cutfiles.support.advice import advise
from cutfiles.support.checks import check_standing
from cutfiles.support.cradle import design
from cutfiles.support.verdict import Verdict, assess
from cutfiles.verify import Difference, compare, require_same

if TYPE_CHECKING:
    from cutfiles.prove import Proved


def draft(slip: Slip) -> Draft:
    """Return the support of a slip, laid flat and checked.

    Raises:
        DesignError: no cradle follows from the slip.
        Defect: one of our own checks failed; nothing may be cut.

    """
    support = design(slip)
    pattern = unfold(support)
    verdict = assess(support)
    findings = (
        *slip.findings,
        *(query.finding for query in queries(slip)),
        *_strength(verdict, slip),
        *check_standing(support),
        *check_pattern(pattern, support),
        *advise(support),
    )
    stops = [finding for finding in findings if finding.severity == "stop"]
    if stops:
        raise Defect(
            "; ".join(f"{stop.rule}: {stop.message}" for stop in stops[:5]),
            "a pattern must fold back into its support",
            "nothing was written; please report this slip",
            slip.source,
        )
    return Draft(slip, support, pattern, lay(pattern, slip.book), findings, verdict)


def _strength(verdict: Verdict, slip: Slip) -> Iterator[Finding]:
    """Yield a verdict that is not "adequate" as a finding, so that nothing is made silently."""
    if verdict.state != "adequate":
        check = verdict.governing if verdict.state else None
        measured, limit = (check.measured, check.limit) if check else (None, None)
        yield Finding("strength", check.place if check else "weight", sentence(verdict, slip),
                      measured, limit)  # fmt: skip


def require_carried(made: Draft) -> None:
    """Refuse a book that no film carries: taller or heavier than practice.

    Raises:
        DesignError: names height or weight, and what to do.

    """
    if not made.verdict.beyond or made.verdict.governing is None:
        return
    check = made.verdict.governing
    raise DesignError(
        check_text(check, made.slip),
        "a folded film cradle is for smaller and lighter books",
        "choose another kind of support; files for a trial with a dummy, never with the book, come "
        "with --anyway",
        place_of(made.slip.source, check.name),
    )


def make(
    slip: Slip,
    formats: Sequence[str] | None = None,
    options: Options | None = None,
    *,
    png: bool = False,
    machine: Machine = "knife",
    strict: bool = False,
    anyway: bool = False,
) -> Made:
    """Return a support with its cut files, read back and compared, and its pictures.

    Args:
        slip: what was measured and chosen.
        formats: keys of the table of formats, and ``fold``. Without them the usual ones are made,
            and one that cannot hold the piece is left out and told in the findings.
        options: what differs from cutter to cutter.
        png: also make the pictures as PNG.
        machine: what it is to be cut with, for cautions and for what film may be used.
        strict: questions count as refusals.
        anyway: also make what no film carries (taller than 250 mm, heavier than 1.4 kg).

    Raises:
        DesignError: no cradle follows from the slip, no film carries the book, or its film may
            not be cut with a laser.
        SlipError: the slip raises questions, and they count as refusals.
        FormatError: the piece does not fit a named format, or the bed.
        DifferenceError: a file did not read back, or does not fold, as it was meant.

    """
    chosen, options = tuple(formats or (*USUAL, FOLD)), options or Options()
    if strict:
        require_answers(slip)
    require_film_for(machine, slip.film, slip.source)
    made = draft(slip)
    if not anyway:
        require_carried(made)
    check_bed(made.sheet, options)
    name = safe_name(slip.book.number)
    findings = list(made.findings)
    if name != slip.book.number:
        findings.append(Finding("file-name", "number", f'the files are named "{name}"'))
    files: list[File] = []
    for key in chosen:
        if key == FOLD:
            continue  # written from what the cut files fold into
        form = FORMATS[key]
        try:
            check_size(made.sheet, form, options)
        except FormatError as error:
            if formats:
                raise
            findings.append(Finding("format", form.key, f"not made: {error}"))
            continue
        data = write_sheet(made.sheet, form, options)
        require_same(name + form.suffix, made.sheet, data, form, options)
        files.append(File(name + form.suffix, form.key, data, True))
    proved = _proved(made, files, options)
    findings += [finding for finding in proved.proof.findings if finding not in findings]
    if FOLD in chosen:
        files.append(_fold_file(proved, name))
    pictures = _pictures(proved, name, png, machine)
    return Made(made, (*files, *pictures), tuple(findings), proved.proof.measures, machine)


def _proved(made: Draft, files: list[File], options: Options) -> "Proved":
    """Return the fold proof of the first cut file; the others were compared and hold the same.

    Raises:
        DifferenceError: it does not fold into its support.

    """
    from cutfiles.prove import prove_reading

    # HP-GL knows pens, not roles, and may work valleys and mountains with one
    told = [file for file in files if file.format != "hpgl"]
    if told:
        name, form, data = told[0].name, FORMATS[told[0].format], told[0].data
    else:
        name, form = safe_name(made.slip.book.number) + ".svg", FORMATS["svg"]
        data = write_sheet(made.sheet, form, options)
    proved = prove_reading(form.read(data), name, made, form, options, compared=True)
    require_folds(proved)
    return proved


def _fold_file(proved: "Proved", name: str) -> File:
    """Return the support as FOLD, read back and proved again."""
    from cutfiles.prove import fold_file, prove_fold

    data = fold_file(proved)
    require_folds(prove_fold(data, f"{name}.fold", proved.draft))
    return File(f"{name}.fold", FOLD, data, True)


def require_folds(proved: "Proved") -> None:
    """Raise where a file does not fold into its support.

    Raises:
        DifferenceError: names the file and up to five creases or panels, with sizes.

    """
    stops = [f.message for f in proved.proof.findings if f.severity == "stop"]
    if stops:
        more = f"; and {len(stops) - 5} more" if len(stops) > 5 else ""
        raise DifferenceError(
            "; ".join(stops[:5]) + more,
            "the file must fold into the support that was designed",
            "do not cut it; make it again from its slip",
            proved.name,
        )


def _pictures(proved: "Proved", name: str, png: bool, machine: Machine) -> list[File]:
    from cutfiles.report.flat import flat_picture
    from cutfiles.report.folded_page import folded_page
    from cutfiles.report.solid import solid_picture
    from cutfiles.report.standing import standing_picture

    made = proved.draft
    pictures = {
        "standing": standing_picture(made.support, made.verdict),
        "flat": flat_picture(made.pattern, made.support, made.verdict, machine),
        "folded": solid_picture(proved),
    }
    files = [File(f"{name}.{kind}.svg", kind, data, None) for kind, data in pictures.items()]
    files.append(File(f"{name}.folded.html", "folded-page", folded_page(proved), None))
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
    from cutfiles.prove import prove_fold
    from cutfiles.readers.fold import is_fold

    with naming(name):
        if is_fold(data):
            findings = prove_fold(data, name, draft(slip)).proof.findings
            stops = [finding for finding in findings if finding.severity == "stop"]
            return tuple(Difference("", stop.place, stop.message) for stop in stops)
        form = FORMATS[format_of(data, name)]
        return compare(draft(slip).sheet, data, form, options or Options())


@contextmanager
def naming(name: str) -> Iterator[None]:
    """Let the refusal of a file say its name; readers see only bytes."""
    try:
        yield
    except FileError as error:
        found, needed, remedy = error.fault[1:]
        raise FileError(found, needed, remedy, name) from None


def prove_data(
    data: bytes, name: str, slip: Slip | None = None, options: Options | None = None
) -> "Proved":
    """Return the fold proof of a file: its scores folded, held against its support.

    Args:
        data: the bytes of the file.
        name: of the file; its ending helps to tell the format.
        slip: what it should become; without one, the measures that the file states.
        options: as when it was made.

    Raises:
        FileError: it is in no format we read, or neither states its measures nor comes with a slip.
        DesignError: no cradle follows from the measures.

    """
    from cutfiles.prove import prove_fold, prove_reading
    from cutfiles.readers.fold import is_fold, read_fold

    options = options or Options()
    with naming(name):
        form = None if is_fold(data) else FORMATS[format_of(data, name)]
        reading = read_fold(data) if form is None else form.read(data)
    if slip is None:
        try:
            slip = slip_of_facts(reading.facts, f"statements of {name}")
        except SlipError:
            raise FileError(
                "a file that does not state the measures it was made from",
                "a slip is needed to tell what it should become",
                f"give it: cutfiles fold {name} --slip SLIP",
                name,
            ) from None
    made = draft(slip)
    if form is None:
        with naming(name):
            return prove_fold(data, name, made)
    return prove_reading(reading, name, made, form, options)


def format_of(data: bytes, name: str) -> str:
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
    titles = ", ".join([*(form.title for form in FORMATS.values()), "FOLD"])
    raise FileError("a file in none of our formats", f"we read {titles}", "name a cut file", name)
