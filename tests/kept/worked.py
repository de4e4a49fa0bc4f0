"""What supports and patterns are made of, checked, shared."""

import itertools
import random
from dataclasses import replace

from cutfiles.bench.slip import slip_from
from cutfiles.errors import CutfilesError
from cutfiles.pattern.pattern import Role
from cutfiles.pattern.posts import post_patterns
from cutfiles.plane.moves import shift
from cutfiles.support.construct import piece_of
from kept import Group
from kept.judged import FIRST, drawn
from kept.plain import said


def _sound(first, every):
    """Yield the drafts of some slips, of those that are not refused."""
    from cutfiles.draft import draft_of

    for values in itertools.islice(drawn(), first, None, every):
        try:
            yield draft_of(slip_from(values))
        except CutfilesError:
            continue


def strokes(folder):
    """Return each stroke and each note of patterns and their posts, and how they fold."""
    del folder
    out = []
    for draft in _sound(1, 2):
        one = draft.support
        out.append(said([one.contacts, one.steps, one.profile, one.bearings, one.places, one.told]))
        for pattern in (draft.pattern, *post_patterns("P", piece_of(draft.support), ())):
            out += map(said, (*pattern.strokes, *pattern.notes, pattern.creases, pattern.panels))
            out.append(said([pattern.root, pattern.box, pattern.bands]))
    return "\n".join(out)


def stated(folder):
    """Return what files would state, and how a slip is made as its own or another file states."""
    from cutfiles.pattern.facts import facts_of, slip_of_facts
    from cutfiles.support.settle import as_stated, settle

    del folder
    out, before = [], None
    for draft in _sound(0, 3):
        facts = [fact for fact in facts_of(draft.support) if fact[0] != "made by"]
        again = slip_of_facts(dict(facts), "a file")
        out += [said(facts), said([again.book, again.opening, again.film, again.choices])]
        if len(out) % 5 == 0:
            made = [as_stated(_open(draft.slip), one) for one in (again, before) if one]
            out += [said([one.film, one.choices]) for one in (*made, settle(again))]
        before = again
    return "\n".join(out)


def _open(slip):
    """Return a slip whose film and construction are still to be chosen."""
    given = {key: value for key, value in slip.given.items() if not key.startswith("support.")}
    choices = replace(slip.choices, construction="chosen", edges="any")
    return replace(slip, given=given, choices=choices, settled=False)


def _standing_otherwise(support):
    """Yield a support with one place, fold angle, length or tape changed."""
    for name, of in (("places", support), ("folds", support.profile), ("panels", support.profile)):
        for i, one in enumerate(was := getattr(of, name)):
            for new in _other(one):
                changed = replace(of, **{name: (*was[:i], new, *was[i + 1 :])})
                whole = changed if of is support else replace(support, profile=changed)
                yield f"{name} {i}", whole
    for name in ("tapes", "touching", "rests", "table"):
        for i in range(len(was := getattr(support.contacts, name))):
            contacts = replace(support.contacts, **{name: was[:i] + was[i + 1 :]})
            yield f"without {name} {i}", replace(support, contacts=contacts)


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
    for draft in _sound(FIRST, 18):
        found = [(name, check_standing(one)) for name, one in _standing_otherwise(draft.support)]
        for name, one in _drawn_otherwise(draft.pattern):
            found.append((name, check_pattern(one, draft.support)))
        out += [f"{name}: {said(one)}" for name, all_ in found for one in all_]
    return "\n".join(out)


def shared(folder):
    """Return which support fits which book and why not, and the fewest that serve all."""
    from cutfiles.support import reuse

    del folder
    drafts = list(_sound(0, 3))
    slips = [one.slip for one in drafts]
    stood = [reuse.stood_of(d.support, d.verdict.state, d.verdict.weight, "E") for d in drafts]
    near = [replace(one, book=replace(one.book, height=one.book.height + 3)) for one in slips]
    out = [said(reuse.fit_of(one, slip)) for one in stood for slip in (*slips, *near)]
    return "\n".join([*map(said, stood), *out, said(reuse.shared(stood, slips))])


def few(folder):
    """Return the fewest supports for books of which each serves some, thrown by dice."""
    from cutfiles.support.reuse import fewest

    del folder
    dice, out = random.Random(7), []
    for count in range(1, 60):
        books = range(2 + count % 9)
        share = 0.1 + 0.1 * (count % 6)
        serves = {
            n: frozenset(b for b in books if dice.random() < share) for n in range(count % 11)
        }
        out.append(said(fewest(serves, frozenset(books))))
    return "\n".join(out)


def groups():
    """Yield the groups."""
    for told in (strokes, broken, stated, shared, few):
        yield Group(f"worked-{told.__name__}", [told])
