"""What supports and patterns are made of, checked, shared; measures and trials as they are read."""

import csv
import io
import itertools
import math
from dataclasses import replace
from functools import partial

from cutfiles import units
from cutfiles.bench.slip import slip_from
from cutfiles.errors import CutfilesError
from cutfiles.pattern.pattern import Role
from cutfiles.plane.moves import shift
from kept import Group
from kept.judged import drawn, trials


def _sound(trials=(), every=1):
    """Yield the drafts of slips that are not refused."""
    from cutfiles.draft import draft_of

    for values in itertools.islice(drawn(), 0, None, every):
        try:
            yield draft_of(slip_from(values), trials)
        except CutfilesError:
            continue


def _said(value):
    """Return a value as text, whatever it is of: numbers to a millionth."""
    if isinstance(value, float):
        return f"{value:.6f}".replace("-0.000000", "0.000000")
    if isinstance(value, str) or value is None or isinstance(value, int):
        return str(value)
    if isinstance(value, dict):
        return ", ".join(f"{_said(k)}: {_said(v)}" for k, v in value.items())
    if isinstance(value, frozenset):
        return ", ".join(sorted(map(_said, value)))
    if isinstance(value, list | tuple):
        return "(" + " ".join(map(_said, value)) + ")"
    return _said([getattr(value, name) for name in value.__dataclass_fields__])


def strokes(folder):
    """Return each stroke and each note of the patterns, and what their files would state."""
    from cutfiles.pattern.facts import facts_of, slip_of_facts

    del folder
    out = []
    for draft in _sound():
        out += [_said(one) for one in (*draft.pattern.strokes, *draft.pattern.notes)]
        facts = [fact for fact in facts_of(draft.support) if fact[0] != "made by"]
        again = slip_of_facts(dict(facts), "a file")
        out += [_said(facts), _said([again.book, again.opening, again.film, again.choices])]
    return "\n".join(out)


def _standing_otherwise(support):
    """Yield a support with one place, fold angle, length or tape changed."""
    for name, of in (("places", support), ("folds", support.profile), ("panels", support.profile)):
        for i, one in enumerate(was := getattr(of, name)):
            for new in _other(one):
                changed = replace(of, **{name: (*was[:i], new, *was[i + 1 :])})
                whole = changed if of is support else replace(support, profile=changed)
                yield f"{name} {i}", whole
    tapes = support.contacts.tapes
    for i in range(len(tapes)):
        contacts = replace(support.contacts, tapes=tapes[:i] + tapes[i + 1 :])
        yield f"without tape {i}", replace(support, contacts=contacts)


def _other(one):
    if hasattr(one, "angle"):
        return [replace(one, angle=one.angle + 0.02)]
    if hasattr(one, "length"):
        return [replace(one, length=one.length + 7)]
    return [type(one)(one.x + 2e-6, one.y), type(one)(one.x, one.y + 0.3)]


def _drawn_otherwise(pattern):
    """Yield a pattern with one stroke moved aside, moved down, missing, or of another role."""
    first = {stroke.name: i for i, stroke in reversed([*enumerate(pattern.strokes)])}
    for i in first.values():  # of a word's letters one is enough
        stroke = pattern.strokes[i]
        before, after = pattern.strokes[:i], pattern.strokes[i + 1 :]
        moved = [stroke.along(shift(stroke.path, *way)) for way in ((0.4, 0.0), (0.0, -3.0))]
        turned = {Role.VALLEY: Role.MOUNTAIN, Role.MOUNTAIN: Role.VALLEY}.get(stroke.role)
        for new in [[one] for one in moved] + ([[replace(stroke, role=turned)]] if turned else []):
            yield stroke.name, replace(pattern, strokes=(*before, *new, *after))
        if stroke.role != Role.OUTLINE:
            yield f"without {stroke.name}", replace(pattern, strokes=before + after)


def broken(folder):
    """Return what the checks find in supports and patterns of which one thing was changed."""
    from cutfiles.pattern.checks import check_pattern
    from cutfiles.support.checks import check_standing

    del folder
    out = []
    for draft in _sound(every=18):
        found = [(name, check_standing(one)) for name, one in _standing_otherwise(draft.support)]
        for name, one in _drawn_otherwise(draft.pattern):
            found.append((name, check_pattern(one, draft.support)))
        out += [f"{name}: {_said(one)}" for name, all_ in found for one in all_]
    return "\n".join(out)


def shared(folder):
    """Return which support fits which book and why not, and the fewest that serve all."""
    from cutfiles.support import reuse

    del folder
    drafts = list(_sound(every=2))
    slips = [one.slip for one in drafts]
    stood = [reuse.stood_of(d.support, d.verdict.state, d.verdict.weight, "E") for d in drafts]
    near = [replace(one, book=replace(one.book, height=one.book.height + 3)) for one in slips]
    out = [_said(reuse.fit_of(one, slip)) for one in stood for slip in (*slips, *near)]
    return "\n".join([*map(_said, stood), *out, _said(reuse.shared(stood, slips))])


def measures(folder):
    """Return how measures are read, or why not."""
    del folder
    numbers = "7|3,5|1,250|5 1/4|5-1/4|5¼|1/0|5/4|2 5/4|.5|-2||1e3".split("|")
    names = [*sorted({*units.LENGTH.names, *units.WEIGHT.names, *units.ANGLE.names}), "", "x"]
    said = [f"{n} {name}" for n, name in itertools.product(numbers, names)]
    said += "9' 1\"|9' 14\"|9' 12\"|3 in 5 mm|1 m 20 cm 3 mm|1 lb 6 oz|1 kg 50 g|5 µm".split("|")
    said += "35° 30'|35° 60'|-9' 1|5“|4 ”|2′ 3″|5''|µm 5|5 x 7 mm|5x|3 mm * 1 cm|0 x 3".split("|")
    said += ["a" * 61, "1" * 60]
    out = []
    for text in [*said, 7, 3.5, -1, True, None, [], math.inf, math.nan, 10**400]:
        for read in (units.read_length, units.read_weight, units.read_angle):
            for counted in (None, "mm", "cm", "in"):
                out.append(_read(partial(read, text, counted)))
        out.append(_read(partial(units.read_number, text)))
        out.append(_read(partial(units.read_size, text, "cm")))
    return "\n".join(out)


def _read(how):
    try:
        return _said(how())
    except CutfilesError as error:
        return str(error)


def rows(folder):
    """Return trials written and read again, and what is said of damaged tables."""
    from cutfiles.support.trial_rows import read_trials, write_trials

    del folder
    text = write_trials(trials())
    out = [text, *map(_said, read_trials(text))]
    head, *table = csv.reader(io.StringIO(text))
    odd = ("", "x", "0", "-1", "1e9", "'=2", "plain", "posts", "read", "crease coupon", "3")
    for i, name in enumerate(head):
        for j, cell in enumerate(odd):
            row = list(table[(5 * i + 7 * j) % len(table)])
            row[i] = cell
            out.append(_read(partial(read_trials, _table(head, row))))
        without = [[*one[:i], *one[i + 1 :]] for one in (head, table[0])]
        twice = [[*head, name], [*table[0], ""]]
        out += [_read(partial(read_trials, _table(*one))) for one in (without, twice)]
    out.append(_read(partial(read_trials, _table([*head, "no"], table[0], [], ["", ""], table[1]))))
    for damaged in ("", "\ufeff" + text, text.replace(",", ";"), text + '"', text + 'a"b,"c"d\n'):
        out.append(_read(partial(read_trials, damaged, "t.csv")))
    return "\n".join(out)


def _table(*rows):
    csv.writer(text := io.StringIO()).writerows(rows)
    return text.getvalue()


def groups():
    """Yield the groups."""
    for told in (strokes, broken, shared, measures, rows):
        yield Group(f"worked-{told.__name__}", [told])
