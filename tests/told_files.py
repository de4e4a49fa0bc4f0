"""What is told of files, as text without end: what readers take, what differs, what folds how."""

import json
import re
from dataclasses import asdict, replace
from functools import partial

from harmed_files import by_steps, harmed, odd_options, small_sheet, turned_over

_OTHERS_WORDS = re.compile(r"(?<=XML|SON|ead|her|ern|ces) \(.*?\)(?=;)", re.DOTALL)
"""What a library says of broken bytes changes with its version."""


def told(do):
    """Return what a function returns, or how it is refused."""
    from cutfiles.errors import CutfilesError

    try:
        return str(do())
    except CutfilesError as error:
        return "refused: " + _OTHERS_WORDS.sub("()", str(error))


def rounded(value):
    """Return data with its numbers to a millionth, so that no machine tells it otherwise."""
    if isinstance(value, float):
        return round(value, 6) + 0.0
    if isinstance(value, dict):
        return {str(key): rounded(one) for key, one in value.items()}
    if isinstance(value, frozenset):
        return sorted(value)
    return [rounded(one) for one in value] if isinstance(value, list | tuple) else value


def by_hand(key, data):
    """Return all that a reader takes from a small file."""
    from cutfiles.files.formats import FORMATS

    return lambda: json.dumps(rounded(asdict(FORMATS[key].read(data))))


# -- compared and folded, whole and harmed ---------------------------------------------------------


def _options():
    from cutfiles.files.formats import Options
    from cutfiles.machine.cutter import Setting
    from cutfiles.pattern.pattern import Role

    beam = {role.value: Setting(power=30, speed=20) for role in Role}
    return Options(hpgl_range=8_388_607, settings=beam)


def compared(slip, key, first):
    """Yield how files of one format differ from their drawing: harmed line by line, and whole.

    Letters are many, and alike: most are left out, and most of what is lost as a whole.
    """
    from cutfiles.draft import draft_of
    from cutfiles.files.formats import FORMATS
    from cutfiles.files.verify import differences, whole_difference
    from cutfiles.pattern.pattern import Role

    form, how = FORMATS[key], _options()
    sheet = form.prepared(draft_of(slip).drawing)
    some = [one for i, one in enumerate(sheet.strokes) if one.role is not Role.LABEL or i % 9 == 0]
    for strokes, ways in ((some, partial(harmed, first=first, step=7)), (some[::6], turned_over)):
        drawing = replace(sheet, strokes=tuple(strokes))
        reading = form.read(form.write(drawing, how))
        for one in (reading, *ways(reading)):
            found = list(differences(drawing, one, form, how))
            found.append(whole_difference(drawing, one, form, how))
            yield "\n".join(f"{one} {one and one.moved}" for one in found[-26:])


def written(key):
    """Yield a small sheet in a format with odd options, and how it differs a step or two off."""
    from cutfiles.files.formats import FORMATS, write_drawing
    from cutfiles.files.verify import differences

    form = FORMATS[key]
    sheet = form.prepared(small_sheet())
    for how in odd_options():
        yield told(lambda how=how: write_drawing(sheet, form, how).decode("latin-1"))
        yield told(lambda how=how: by_hand(key, form.write(sheet, how))())
        yield told(
            lambda how=how: [*differences(sheet, form.read(form.write(sheet, how)), form, how)]
        )
    how = _options()
    for one in by_steps(form.read(form.write(sheet, how)), form.step, form.curve):
        yield "\n".join(map(str, differences(sheet, one, form, how)))


def checked(slip, key, first):
    """Yield what files fold into: whole, then harmed line by line."""
    from cutfiles.draft import draft_of
    from cutfiles.files.fold_check import check_reading
    from cutfiles.files.formats import FORMATS
    from cutfiles.pattern.pattern import Role, Stroke
    from cutfiles.plane.shapes import open_path

    draft, form, how = draft_of(slip), FORMATS[key], _options()
    reading = form.read(form.write(form.prepared(draft.drawing), how))
    folds = (Role.OUTLINE, Role.HOLES, Role.VALLEY, Role.MOUNTAIN)
    speck = open_path((0, 0), (1, 1))
    among = {form.layer(Stroke(role, "", speck), how) for role in folds}
    for one in (reading, *harmed(reading, first, 5, among)):
        yield told(lambda one=one: folded(check_reading(one, "x", draft, form, how, compared=True)))


def leaning(slip, key, first):
    """Yield what comes of creases that are folded by other angles than were designed."""
    from cutfiles.draft import draft_of
    from cutfiles.files.fold_check import FoldedFile, fold_lines
    from cutfiles.files.formats import FORMATS
    from cutfiles.folding.check import check_folds

    draft, form, how = draft_of(slip), FORMATS[key], _options()
    lines = fold_lines(form.read(form.write(form.prepared(draft.drawing), how)), form, how)
    creases = draft.pattern.creases
    for i, by in enumerate((0.001, -0.02, 0.3, -0.5, 1.2, -1.1, 2.2, -2.6)):
        at = (first + i) % len(creases)
        fold = replace(creases[at].fold, angle=creases[at].fold.angle + by)
        others = (*creases[:at], replace(creases[at], fold=fold), *creases[at + 1 :])
        flanges = tuple(replace(f, angle=f.angle + by / 4) for f in draft.pattern.flanges)
        bent = replace(draft.pattern, creases=others, flanges=flanges)
        yield folded(FoldedFile("x", draft, check_folds(lines, bent, draft.support, form.step)))


def folded(result):
    """Return all of a fold check, for people and as data."""
    from cutfiles.report.text.fold_check import fold_check_data, fold_check_table

    check = result.check
    known = {str(key): face for key, face in check.faces.items()}
    posts = [(one.name, one.folded is None, one.faces) for one in check.posts]
    data = json.dumps(rounded([fold_check_data(result), known, posts]))
    return f"{fold_check_table(result)}\n{data}"


# -- edited ----------------------------------------------------------------------------------------


def edits(data):
    """Return what was done to a drawing, for people and as data."""
    import save_edits

    from cutfiles.edits.find import edits_in
    from cutfiles.edits.opening import open_drawing
    from cutfiles.report.text.edits import edits_data, edits_table

    opened, again = open_drawing(data), lambda *words: open_drawing(data, *words)
    found = edits_in(opened, save_edits.DRAFT, again=again)
    return f"{edits_table('x', found)}\n{json.dumps(rounded(edits_data('x', found)))}"
