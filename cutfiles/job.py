"""The whole chain: slip → support → pattern → sheet → bytes → verified files.

>>> from cutfiles.bench.slip import slip_from
>>> made = make(slip_from({"number": "A1", "units": "mm", "height": 203, "width": 133,
...                        "spine_width": 34, "opening_angle": 120}), formats=["svg"], paper=None)
>>> [file.name for file in made.files]
['A1.svg', 'A1.standing.svg', 'A1.flat.svg', 'A1.folded.svg', 'A1.folded.html']
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from cutfiles.bench.cautions import Machine, require_film_for
from cutfiles.bench.queries import queries, require_answers
from cutfiles.bench.slip import Slip, place_of
from cutfiles.errors import Defect, DesignError, FormatError
from cutfiles.findings import Finding
from cutfiles.formats import (
    FOLD,
    FORMATS,
    USUAL,
    Format,
    Options,
    check_bed,
    check_size,
    write_sheet,
)
from cutfiles.machine.cutter import Cutter
from cutfiles.machine.plan import plan
from cutfiles.made import Draft, File, Made, safe_name
from cutfiles.pattern.checks import check_pattern
from cutfiles.pattern.unfold import unfold
from cutfiles.plan_files import drawing_options, write_plan
from cutfiles.report.verdict import check_text, sentence
from cutfiles.sheets.lay import lay
from cutfiles.sheets.sheet import Sheet
from cutfiles.sheets.strips import strap_pieces
from cutfiles.support.advice import advise
from cutfiles.support.checks import check_standing
from cutfiles.support.cradle import design
from cutfiles.support.verdict import Verdict, assess
from cutfiles.verify import require_same

if TYPE_CHECKING:
    from cutfiles.prove import Proved
    from cutfiles.report.paper import PaperName


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
    paper: "PaperName | None" = "A4",
    cutter: Cutter | None = None,
    lot: str = "",
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
        paper: of the bench sheet; None leaves the sheet out.
        cutter: the machine; its pass files are made too, and of the formats, which show the whole
            sheet for people, only SVG unless others are named.
        lot: the film lot, if a coupon was judged for it.

    Raises:
        DesignError: no cradle follows from the slip, no film carries the book, or its film may
            not be cut with a laser.
        SlipError: the slip raises questions, and they count as refusals.
        FormatError: the piece does not fit a named format, or the bed.
        DifferenceError: a file did not read back, or does not fold, as it was meant.

    """
    usual = (*USUAL, FOLD) if cutter is None else ("svg", FOLD)
    chosen, options = tuple(formats or usual), options or Options()
    if strict:
        require_answers(slip)
    machine = machine if cutter is None else cutter.kind
    require_film_for(machine, slip.film, slip.source)
    made = draft(slip)
    if not anyway:
        require_carried(made)
    check_bed(made.sheet, options)
    planned = None if cutter is None else plan(made.sheet, cutter, lot)
    if planned is not None:
        options = with_cutter(options, planned.cutter)
    shown = made.sheet if planned is None else planned.sheet
    name = safe_name(slip.book.number)
    findings = list(made.findings)
    if name != slip.book.number:
        findings.append(Finding("file-name", "number", f'the files are named "{name}"'))
    files, large = drawings(shown, name, chosen, options)
    if large and formats:
        raise large[0][1]
    findings += [Finding("format", form.key, f"not made: {error}") for form, error in large]
    proved = _proved(made, files, options)
    findings += [finding for finding in proved.proof.findings if finding not in findings]
    if FOLD in chosen:
        files.append(_fold_file(proved, name))
    if planned is not None:
        files += write_plan(planned, name)
        findings += planned.findings
    files += _strap_files(made, name, chosen, options, findings)
    if cutter is not None:
        files += _strap_passes(made, name, cutter, lot)
    files += _pictures(proved, name, png, machine)
    if paper is not None:
        from cutfiles.report.bench_sheet import bench_sheet

        files.append(
            File(f"{name}.bench.pdf", "bench", bench_sheet(made, paper, machine=machine), None)
        )
    return Made(made, tuple(files), tuple(findings), proved.proof.measures, machine, planned)


def with_cutter(options: Options, cutter: Cutter) -> Options:
    """Return the options with what a profile says of the drawing for people."""
    own = drawing_options(cutter)
    return replace(
        options, layers=own.layers, colours=own.colours, method=own.method, side=own.side
    )


def _proved(made: Draft, files: list[File], options: Options) -> "Proved":
    """Return the fold proof of the first drawing; the others were compared and hold the same.

    Raises:
        DifferenceError: it does not fold into its support.

    """
    from cutfiles.prove import prove_reading, require_folds

    # pens, and layers called as a cutter wants them, may not tell valleys from mountains
    told = [f for f in files if f.format not in ("hpgl", "gcode")] if not options.layers else []
    if told:
        name, form, data = told[0].name, FORMATS[told[0].format], told[0].data
    else:
        options, form = Options(), FORMATS["svg"]
        name = safe_name(made.slip.book.number) + ".svg"
        data = write_sheet(made.sheet, form, options)
    proved = prove_reading(form.read(data), name, made, form, options, compared=True)
    require_folds(proved)
    return proved


def _fold_file(proved: "Proved", name: str) -> File:
    """Return the support as FOLD, read back and compared with what was proved."""
    from cutfiles.prove import fold_file, require_same_folds

    data = fold_file(proved)
    if proved.proof.folded is not None:
        require_same_folds(f"{name}.fold", data, proved.proof.folded)
    return File(f"{name}.fold", FOLD, data, True)


def drawings(
    sheet: Sheet, name: str, keys: Sequence[str], options: Options
) -> tuple[list[File], list[tuple[Format, FormatError]]]:
    """Return a sheet in each format that holds it, read back and compared, and the others, why not.

    Args:
        sheet: what to write.
        name: what the files' names begin with.
        keys: of the table of formats; FOLD is passed over, for it is written from what folds.
        options: what differs from cutter to cutter.

    Raises:
        DifferenceError: a file did not read back as it was meant.

    """
    files: list[File] = []
    large: list[tuple[Format, FormatError]] = []
    for form in (FORMATS[key] for key in keys if key != FOLD):
        try:
            check_size(sheet, form, options)
        except FormatError as error:
            large.append((form, error))
            continue
        prepared = form.prepared(sheet)  # once for writing and comparing
        data = write_sheet(prepared, form, options)
        require_same(name + form.suffix, prepared, data, form, options)
        files.append(File(name + form.suffix, form.key, data, True))
    return files, large


def _strap_files(
    made: Draft, name: str, keys: Sequence[str], options: Options, findings: list[Finding]
) -> list[File]:
    """Return the cut files of straps that are strips of film; too long ones are told."""
    sheet = strap_pieces(made.support, made.pattern.facts)
    if sheet is None:
        return []
    files, large = drawings(sheet, f"{name}.straps", keys, options)
    findings += [Finding("format", form.key, f"straps not made: {why}") for form, why in large]
    return [replace(file, format=f"straps-{file.format}") for file in files]


def _strap_passes(made: Draft, name: str, cutter: Cutter, lot: str) -> tuple[File, ...]:
    """Return the passes of straps that are strips of film, for one cutter."""
    sheet = strap_pieces(made.support, made.pattern.facts)
    return () if sheet is None else write_plan(plan(sheet, cutter, lot), f"{name}.straps")


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


SHEETS = ("bench", "profile", "template", "labels")
"""The printed sheets of one support, in the order of the work."""


def make_sheets(slip: Slip, kinds: Sequence[str] = SHEETS, paper: "PaperName" = "A4") -> Made:
    """Return a support with its printed sheets: bench sheet, profile card, template, labels.

    Args:
        slip: what was measured and chosen.
        kinds: which of `SHEETS`; ``profile`` also gives the card as SVG, to cut it from card.
        paper: A4 or Letter.

    Raises:
        DesignError: no cradle follows from the slip.

    """
    from cutfiles.report.bench_sheet import bench_sheet
    from cutfiles.report.label_sheet import label_sheet
    from cutfiles.report.profile_card import card_sheet, profile_card
    from cutfiles.report.template import template

    made = draft(slip)
    name = safe_name(slip.book.number)
    files: list[File] = []
    for kind in kinds:
        match kind:
            case "bench":
                data = bench_sheet(made, paper)
            case "profile":
                data = profile_card(made, paper)
                card, form = card_sheet(made), FORMATS["svg"]
                cut = write_sheet(card, form, Options())
                require_same(f"{name}.profile.svg", card, cut, form, Options())
                files.append(File(f"{name}.profile.svg", "profile-svg", cut, True))
            case "template":
                data = template(made, paper)
            case "labels":
                data = label_sheet([made], paper)
            case _:
                raise ValueError(f"{kind!r} is no sheet; there are {', '.join(SHEETS)}")
        files.append(File(f"{name}.{kind}.pdf", kind, data, None))
    return Made(made, tuple(files), made.findings)
