"""Late work: what is cut stays, one row changes two sheets at most, nothing lies twice."""

import random
from collections import Counter
from dataclasses import replace

import pytest

from cutfiles.bench.at_hand import Supply
from cutfiles.errors import Defect
from cutfiles.film import late
from cutfiles.film.late import Work, relay
from cutfiles.film.layout import Piece
from cutfiles.film.layout_check import Lying
from cutfiles.film.rules import Rules

QUICK = Rules(effort=20_000)
ROLL = Supply(form="roll", name="roll", gauge=0.127, width=1016.0, length=None)


def owner(name):
    return name.partition(" · ")[0]


def piece(name, width, height, **more):
    return Piece(name=name, width=width, height=height, gauge=0.127, shape=f"{width}", **more)


def work(pieces, films=(ROLL,), rules=QUICK):
    return Work(pieces=pieces, films=films, rules=rules, owner=owner)


def some(count, seed=1):
    dice = random.Random(seed)
    return [piece(f"A{i}", dice.randint(450, 800), dice.randint(120, 260)) for i in range(count)]


@pytest.fixture(scope="module")
def many():
    return some(40)


@pytest.fixture(scope="module")
def laid(many):
    return relay((), work(many)).sheets


def changed(before, after):
    """The sheets that differ, are new or gone."""
    one, two = ({s.number: s.laid for s in sheets} for sheets in (before, after))
    return {n for n in {*one, *two} if one.get(n) != two.get(n)}


def names(sheets):
    return Counter(p.name for sheet in sheets for p in sheet.laid.pieces)


def test_nothing_changed_changes_nothing(many, laid):
    assert changed(laid, relay(laid, work(many), len(laid)).sheets) == set()


@pytest.mark.parametrize("which", range(0, 40, 3))
def test_one_row_changes_two_sheets_at_most(many, laid, which):
    one = many[which]
    taller = replace(one, height=one.height + 4, shape="taller")
    pieces = [taller if p is one else p for p in many]
    after = relay(laid, work(pieces), len(laid)).sheets
    assert 1 <= len(changed(laid, after)) <= 2
    assert names(after) == Counter(p.name for p in many)
    [new] = [p for s in after for p in s.laid.pieces if p.shape == "taller"]
    assert {new.width, new.height} == {taller.width, taller.height}


def test_what_is_cut_stays_and_what_changed_lies_elsewhere(many, laid):
    frozen = [replace(sheet, frozen=sheet.number <= 3) for sheet in laid]
    gone = {p.name for p in frozen[0].laid.pieces}
    first = frozen[1].laid.pieces[0].name
    pieces = [
        replace(p, height=p.height + 4, shape="taller") if p.name == first else p
        for p in many
        if p.name not in gone
    ]
    after = relay(frozen, work([*pieces, piece("late", 700, 200)]), len(laid)).sheets
    assert [s for s in after if s.frozen] == [s for s in frozen if s.frozen]
    assert names(after)[first] == 2  # the old one on film that is cut, the new one elsewhere
    [where] = [s for s in after for p in s.laid.pieces if p.shape == "taller"]
    assert not where.frozen
    assert len(changed(frozen, after)) <= 3  # one changed, one came late


def test_dropped_pieces_leave_their_place_free(many, laid):
    two = {p.name for p in laid[-1].laid.pieces}
    after = relay(laid, work([p for p in many if p.name not in two]), len(laid)).sheets
    assert changed(laid, after) == {laid[-1].number}
    some_gone = laid[0].laid.pieces[0]
    kept = relay(laid, work([p for p in many if p.name != some_gone.name]), len(laid)).sheets
    [first] = [s for s in kept if s.number == laid[0].number]
    assert first.laid.pieces == tuple(p for p in laid[0].laid.pieces if p != some_gone)
    back = relay(kept, work(many), len(laid)).sheets
    assert names(back) == names(laid)
    assert len(back) == len(laid)  # it found its place again


def test_numbers_are_never_given_twice(many, laid):
    two = {p.name for p in laid[-1].laid.pieces}
    less = relay(laid, work([p for p in many if p.name not in two]), len(laid)).sheets
    late_work = [p for p in many if p.name not in two] + some(20, seed=2)[10:]
    late_work = [replace(p, name=f"{p.name}x") if p not in many else p for p in late_work]
    more = relay(less, work(late_work), len(laid)).sheets
    new = {s.number for s in more} - {s.number for s in less}
    assert new
    assert min(new) > len(laid)


def test_posts_stay_with_their_support_where_they_can():
    own = [piece("A", 700, 200), piece("A · left post", 60, 90, count=3), *some(6)]
    before = relay((), work(own)).sheets
    where = {s.number for s in before for p in s.laid.pieces if owner(p.name) == "A"}
    new = [replace(p, width=p.width + 1, shape="new") if owner(p.name) == "A" else p for p in own]
    after = relay(before, work(new), len(before)).sheets
    assert changed(before, after) <= where | {len(before) + 1}
    assert names(after) == names(before)


def test_trials_lie_on_sheets_of_their_own():
    pieces = [*some(5), *(replace(p, name=f"t{p.name}", apart=True) for p in some(3))]
    sheets = relay((), work(pieces)).sheets
    for sheet in sheets:
        assert {p.name.startswith("t") for p in sheet.laid.pieces} == {sheet.laid.apart}
    sure = [replace(p, apart=False) for p in pieces]
    assert changed(sheets, relay(sheets, work(sure), len(sheets)).sheets) == set()
    doubted = [replace(p, apart=True) for p in pieces]
    after = relay(sheets, work(doubted), len(sheets)).sheets
    assert all(sheet.laid.apart for sheet in after)
    assert names(after) == names(sheets)


def test_film_that_is_gone_or_used_up():
    short = replace(ROLL, length=900.0)
    sheets = relay((), work(some(6), [short], replace(QUICK, longest=600))).sheets
    taken = sum(s.laid.height for s in sheets)
    assert taken <= 900
    done = relay(sheets, work([*some(6), piece("late", 800, 260)], [short]), len(sheets))
    assert sum(s.laid.height for s in done.sheets) <= 900
    other = replace(ROLL, name="another roll")
    moved = relay(sheets, work(some(6), [other]), len(sheets)).sheets
    assert {s.laid.film.name for s in moved} == {"another roll"}
    assert names(moved) == Counter(p.name for p in some(6))
    frozen = [replace(s, frozen=True) for s in sheets]
    stay = relay(frozen, work(some(6), [other]), len(sheets)).sheets
    assert [s for s in stay if s.frozen] == frozen


def test_sheets_and_the_grain():
    sheet = Supply(
        form="sheet", name="s", gauge=0.127, width=1000.0, length=600.0, count=4, creases="along"
    )
    pieces = some(10)
    before = relay((), work(pieces, [sheet]))
    late_one = replace(pieces[0], height=pieces[0].height + 4, shape="taller")
    after = relay(before.sheets, work([late_one, *pieces[1:]], [sheet]), len(before.sheets))
    assert len(after.sheets) <= 4
    assert not [p for s in after.sheets for p in s.laid.pieces if p.turned]
    counted = names(after.sheets) + Counter(u.piece.name for u in after.unplaced)
    assert counted == Counter(p.name for p in pieces)


def test_a_fault_of_late_work_is_noticed(many, laid, monkeypatch):
    def astray(piece, at, size, film, rules):
        return Lying(piece.name, 0.0, 0.0, piece.width, piece.height, False, piece.shape)

    monkeypatch.setattr(late, "lying_at", astray)
    with pytest.raises(Defect, match="over the margin"):
        relay(laid, work([*many, piece("late", 90, 60)]), len(laid))


@pytest.mark.parametrize("seed", range(12))
def test_any_history_keeps_the_count_and_what_is_cut(seed):
    """Rows come, go and change, sheets are cut in between; `relay` checks the layout itself."""
    dice = random.Random(seed)
    pieces, sheets, last, cut = some(12, seed), (), 0, {}
    for step in range(6):
        done = relay(sheets, work(pieces), last)
        sheets = tuple(replace(s, frozen=s.frozen or dice.random() < 0.2) for s in done.sheets)
        last = max(last, *(s.number for s in sheets))
        assert cut == {s.number: s.laid for s in sheets if s.number in cut}
        cut = {s.number: s.laid for s in sheets if s.frozen}
        kind = dice.randrange(3)
        if kind == 0:
            pieces = [*pieces, *(replace(p, name=f"{p.name}-{step}") for p in some(3, step))]
        elif kind == 1:
            pieces = [p for p in pieces if dice.random() < 0.8]
        else:
            at = dice.randrange(len(pieces))
            pieces[at] = replace(
                pieces[at], height=pieces[at].height + 4, shape=f"{pieces[at].shape}+"
            )
    assert len(sheets) <= last


@pytest.fixture(scope="module")
def posted():
    """Strips with the posts of their legs, on short sheets: not all find room beside their own."""
    posts = [piece(f"A{i} · left post", 50 + i, 70 + i, count=2) for i in range(14)]
    rules = replace(QUICK, longest=600)
    return work([*some(14), *posts], rules=rules)


def spread(sheets):
    """The supports that lie on several sheets, and on which."""
    on = {}
    for sheet in sheets:
        for lying in sheet.laid.pieces:
            on.setdefault(owner(lying.name), set()).add(sheet.number)
    return {name: numbers for name, numbers in on.items() if len(numbers) > 1}


def test_a_support_lies_on_one_sheet_where_there_is_room(posted, monkeypatch):
    gathered = relay((), posted).sheets
    monkeypatch.setattr(late._Relay, "_gather", lambda self, new: None)
    scattered = relay((), posted).sheets
    assert len(spread(gathered)) < len(spread(scattered))
    assert names(gathered) == names(scattered)
    assert len(gathered) <= len(scattered)


def test_a_row_changes_one_sheet_more_than_it_lay_on_at_most(posted):
    before = relay((), posted).sheets
    lie = {owner(p.name): set() for p in posted.pieces} | spread(before)
    for name, numbers in lie.items():
        new = [
            replace(p, width=p.width + 9, height=p.height + 9, shape="new")
            if owner(p.name) == name
            else p
            for p in posted.pieces
        ]
        after = relay(before, replace(posted, pieces=new), len(before)).sheets
        assert len(changed(before, after)) <= max(1, len(numbers)) + 1
