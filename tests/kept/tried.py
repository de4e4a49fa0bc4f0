"""Trials: recorded by command, written, read, refused, and what they change; hand coupons."""

import csv
import io
import itertools
import math
from functools import partial

from kept import Group
from kept.judged import COUNT, FIRST, slip_files
from kept.plain import read_or_not, said

_LEGS = ("plain", 1, 0.127), ("plain", 3, 0.127), ("plain", 1, 0.254), ("plain", 1, 0.1778)
_LEGS += ("lips", 1, 0.254), ("lips", 1, 0.1778), ("posts", 1, 0.127), ("posts", 1, 0.1016)
_TOLD = (  # how each kind's tests ended, and by which factor
    (("stood", 1.9), ("stood", 2.4), ("stood", 1.71), ("collapsed", 2.6)),
    (("collapsed", 2.2), ("collapsed", 1.95), ("collapsed", 2.4), ("collapsed", 2.1)),
    (("collapsed", 0.949), ("stood", 3.0)),
    (("stood", 5.0), ("stood", 6.0)),
    (("collapsed", 0.951), ("stood", 1.1), ("stood", 1.2)),
    (("collapsed", 1.3), ("collapsed", 5.2), ("collapsed", 2.8), ("stood", 9.0)),
)


def trials():
    """Yield tests of legs of several kinds, and of coupons."""
    from cutfiles.bench.film import MODULUS
    from cutfiles.support.coupons import coupon_trial
    from cutfiles.support.trials import Trial, factor_of

    for i, (construction, layers, gauge) in enumerate(_LEGS):
        for j, (ended, factor) in enumerate(_TOLD[i % len(_TOLD)]):
            one = Trial(
                date=f"day {j // 2 if i % 2 else j}",
                support=f"T{i}",
                lot="=7",
                gauge=gauge * (0.91 + 0.06 * j),
                layers=layers,
                construction=construction,
                leg=41.0 + 7 * j,
                breadth=150.0 + j,
                face=0.0 if construction == "plain" else 8.0 + j,
                posts=2 if construction == "posts" else 0,
                load=1.0,
                minutes=(0.5, 60, 1440, 3e5)[(i + j) % 4],
                result=ended,
                side=("left", "right")[j % 2] if i % 2 else "",
                note='+ bent, "so"',
            )
            yield one._replace(load=factor / factor_of(one, MODULUS))
    for j, gauge in itertools.product(range(6), (0.127, 0.1778)):
        crease = coupon_trial("crease", gauge, date="2026-03-02", lot="9", initials="x")
        turned = math.radians(20 + 3 * j)
        yield crease._replace(leg=38.0 + j, load=0.004 * gauge / 0.127, turned=turned)
        post = coupon_trial("post", gauge, note="-pressed")._replace(minutes=1.0)
        yield post._replace(load=(4.0 + 1.5 * j) * (gauge / 0.127), result="collapsed")
        yield coupon_trial("corner", gauge)._replace(bow=3.1 + j / 10)


def tried_files(folder):
    """Write the slips and a table of trials."""
    from cutfiles.support.trial_rows import write_trials

    path = folder / "tried.csv"
    path.write_text(write_trials(trials()), encoding="utf-8")
    return {**slip_files(folder), "tried": path, "own": folder / "own.csv"}


def rows(folder):
    """Return trials written and read again, and what is said of damaged tables."""
    from cutfiles.support.trial_rows import read_trials, write_trials

    del folder
    text = write_trials(trials())
    out = [text, *map(said, read_trials(text))]
    head, *table = csv.reader(io.StringIO(text))
    odd = ("", "x", "0", "-1", "1e9", "'=2", "plain", "posts", "read", "crease coupon", "3")
    for i, name in enumerate(head):
        for j, cell in enumerate(odd):
            row = list(table[(5 * i + 7 * j) % len(table)])
            row[i] = cell
            out.append(read_or_not(partial(read_trials, _table(head, row))))
        without = [[*one[:i], *one[i + 1 :]] for one in (head, table[0])]
        twice = [[*head, name], [*table[0], ""]]
        out += [read_or_not(partial(read_trials, _table(*one))) for one in (without, twice)]
    odd = _table([*head, "no"], table[0]), _table(head, table[0], [], ["", ""], table[1][1:])
    out += [read_or_not(partial(read_trials, one)) for one in odd]
    for damaged in ("", "\ufeff" + text, text.replace(",", ";"), text + '"', text + 'a"b,"c"d\n'):
        out.append(read_or_not(partial(read_trials, damaged, "t.csv")))
    return "\n".join(out)


def _table(*rows):
    csv.writer(text := io.StringIO()).writerows(rows)
    return text.getvalue()


def hoped(folder):
    """Return what coupons are and should do, film by film."""
    from cutfiles.pattern.coupons import coupon_of
    from cutfiles.support import coupons

    del folder
    out = []
    for gauge, modulus in itertools.product((0.05, 0.127, 0.254), (3100.0, 4000.0)):
        out += [coupons.crease_expected(gauge, modulus), coupons.post_expected(gauge, modulus)]
        out += [coupons.corner_expected(gauge), coupons.corner_shifts(gauge, 1)]
    for name, gauge in (("crease", 0.05), ("post", 0.254), ("corner", 0.127)):
        made = coupon_of(name, gauge)
        out += [
            made.places,
            *((p.number, p.creases, p.panels, p.bands, p.root) for p in made.pieces),
        ]
    return "\n".join(map(said, out))


def groups():
    """Yield the groups."""
    names = [f"{{n{FIRST + i}}}" for i in range(COUNT)]
    with_ = ["--trials", "{tried}"]
    one = ["--trials", "{own}", "--date", "a day", "--lot", "3", "--initials", "x"]
    lines = [
        ["check", "--json", *with_, *names[2::9]],
        *(["check", n, *with_] for n in names[3::24]),
    ]
    lines += [["trial", name] for name in names[4::11]]
    for name, weight, hours, ended in (
        (names[2], "962 g", "24", ("stood",)),
        (names[2], "700 g", "1", ("stood",)),
        (names[5], "2 lb", "24", ("collapsed", "--fell", "left")),
        (names[20], "500 g", "0", ("collapsed",)),
        (names[2], "1200 g", "30", ("stood",)),
    ):
        test = ["--weight", weight, "--hours", hours, "--ended", *ended]
        lines += [["trial", name, *one, *test]]
    lines += [["trial", name, *one[:2]] for name in (names[2], names[5])]
    lines += [["check", "--json", names[2], names[5], *one[:2]]]
    for gauge in ("5 mil", "3 mil"):
        own = [*one, "--measured", gauge]
        crease = ["--weight", "1.2 g", "--arm", "38 mm", "--turned", "27°"]
        lines += [["trial", "--coupon", "crease", *own, *crease]]
        lines += [["trial", "--coupon", "post", *own, "--weight", "610 g", "--ended", "collapsed"]]
        lines += [["trial", "--coupon", "corner", *own, "--bow", "3.4 mm"]]
    yield Group("tried", lines, tried_files)
    lines = []
    for name, gauge in itertools.product(("crease", "post", "corner"), ("2 mil", "5 mil", "7 mil")):
        to = ["--format", "svg", "--no-cards", "--to", "{}"]
        lines.append(["coupon", name, "--gauge", gauge, *to])
    yield Group("hand-coupons", lines)
    yield Group("tried-rows", [rows, hoped])
