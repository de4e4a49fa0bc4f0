"""Small exhibits of all kinds: what tables, page, cards and packs say, and what later runs change.

Left and right are never the same, measures are in several units, and no list is longer than a
dozen rows, most of them refused: each exhibit costs a few tenths of a second.
"""

from dataclasses import replace

from cutfiles.exhibit.mark import mark_sheet
from cutfiles.exhibit.standing import standing
from cutfiles.job.trial import trials_at
from kept import Group

HEAD = (
    "number,title,opening,height,left width,right width,spine,left rise,right rise,weight,"
    "case,place,copies,lux,shelf mark,note\n"
)
_BOOKS = {
    "A1": "Garden calendar,p. 84-85,203 mm,133 mm,131 mm,34 mm,66 mm,58 mm,641 g,2,b,1,50,GC 12,",
    "A2": "Seed lists,pp. 12/13,18.7 cm,121 mm,123 mm,29 mm,85 mm,60 mm,525 g,2,a,2,,GC 3,uneven",
    "A3": 'Herbal,f. 31v,"6""","3 7/8""","4""","15/16""",2 in,1.7 in,265 g,10,,1,50,,ties: mind',
    "B1": "Herbal,f. 2r,152 mm,98 mm,101 mm,24 mm,52 mm,44 mm,,,,1,200,MS 9,no weight is known",
    "B2": "Almanack,p. 9,57 mm,38 mm,40 mm,11 mm,19 mm,16 mm,60 g,10,3,3,,,",
    "B3": "Ledger,p. 7,229 mm,150 mm,152 mm,50 mm,70 mm,62 mm,2.1 kg,2,,1,50,,heavy",
    "C1": "Great atlas,pl. 14,470 mm,330 mm,328 mm,70 mm,160 mm,150 mm,9 kg,1,1,1,,At. 3,heavy",
}
EVERY = tuple(_BOOKS)
REFUSED = (
    "D1,No measures,p. 1,,,,,,,,1,,1,,,\n"
    "D2,Worded,p. 2,tall,130 mm,131 mm,30 mm,60 mm,55 mm,300 g,2,,1,,,\n"
    "A2,Twice,p. 3,200 mm,130 mm,131 mm,30 mm,60 mm,55 mm,300 g,2,,1,,,\n"
    "D3,Shown closed,closed,200 mm,130 mm,131 mm,30 mm,,,300 g,2,,1,,,\n"
    ",No number,p. 5,200 mm,130 mm,131 mm,30 mm,60 mm,55 mm,300 g,1,,1,,,\n"
    "E/1,Named alike,p. 6,57 mm,38 mm,40 mm,11 mm,19 mm,16 mm,60 g,2,,1,,,\n"
    "E:1,Named alike,p. 6,57 mm,38 mm,40 mm,11 mm,19 mm,16 mm,60 g,2,,1,,,\n"
)
_SET = (
    "height,left width,right width,spine,left slope,right slope,weight,gauge,construction,straps\n"
)
SETTINGS = (
    f"number,title,{_SET[:-1]},strap slots,layers,cover,prefer\n"
    "S1,Of posts,230 mm,160 mm,158 mm,40 mm,38,33,1150 g,7 mil,posts,film,no,1,,film\n"
    "S2,Of lips,150 mm,100 mm,103 mm,20 mm,30,25,300 g,5 mil,lips,polyethylene,yes,1,,film\n"
    "S3,Of three,140 mm,95 mm,93 mm,18 mm,20,32,250 g,5 mil,plain,polyethylene,no,3,limp,film\n"
    "S4,Weak,230 mm,160 mm,158 mm,40 mm,38,33,1300 g,3 mil,plain,film,no,1,,film\n"
)
SLIP = '# of A1\nnumber = "A1"\nunits = "mm"\nheight = 203\nleft_width = 133\nright_width = 131\n'
SLIP += 'spine_width = 34\nleft_rise = 66\nright_rise = 58\nweight = "641 g"\n'
QUICK = ("--workers", "1", "--effort", "quick", "--format", "svg")
BARE = (*QUICK, "--no-cards")
_TRIED = ("--anyway", "--name", "A long name of an exhibition " * 3)
BY = ("--date", "2026-03-02", "--initials", "AB")
FILM = """# what lies on our shelf
[[roll]]
gauge = "5 mil"
width = "610 mm"
length = "1.6 m"
price = 9.50
creases = "across"

[[roll]]
gauge = "7 mil"
width = "24 in"

[[sheet]]
gauge = "10 mil"
width = "500 mm"
length = "700 mm"
count = 1
price = 3.4
creases = "along"

[[offcut]]
gauge = "5 mil"
width = "450 mm"
length = "260 mm"
price = 1
"""


def rows(*numbers, **changed):
    """The list of some books, what a cell of some says said otherwise: A1="66 mm:70 mm"."""
    rows = {number: f"{number},{_BOOKS[number]}\n" for number in numbers}
    for number, said in changed.items():
        was, now = said.split(":")
        rows[number] = rows[number].replace(was, now, 1)
    return HEAD + "".join(rows.values())


def brought(**texts):
    """Bring files, by their names without ending; a list is CSV, what begins with # is TOML."""

    def brings(folder):
        ends = {name: "toml" if text.startswith("#") else "csv" for name, text in texts.items()}
        paths = {name: folder / f"{name}.{end}" for name, end in ends.items()}
        for name, path in paths.items():
            path.write_text(texts[name], encoding="utf-8")
        return paths

    return brings


def _show(lists, to, *more, how=BARE):
    return ["exhibit", f"{{{lists}}}", "--to", f"{{}}/{to}", *how, *more]


def _mark(to, *words, by=BY):
    return ["mark", f"{{}}/{to}", *words, *by]


def film_after(folder):
    """The table of film, with what exhibits took and left."""
    return (folder / "film.toml").read_text(encoding="utf-8")


def stands(folder):
    """How an exhibit stands, by its marks and the trials."""
    out = folder.parent / "out"
    return repr(replace(standing(out / "one", trials_at(out / "trials.csv")), base=""))


def changed_by_hand(folder):
    """Files of a support, of a cut sheet and of a card get a line more."""
    out = folder.parent / "out" / "one"
    for name in ("supports/A2.svg", "sheets/sheet-001.svg", "supports/B2.json"):
        (out / name).write_bytes((out / name).read_bytes() + b"\n")
    return str(mark_sheet(out / "sheets", "sheet-001", "2026-03-04T10:00", "EF"))


def groups():
    """Yield the groups."""
    few = ("A1", "A2", "B2")
    # all books, refused rows among them; printed on A4 and on Letter, in mm and in inches
    yield Group(
        "shown-printed",
        [
            _show("all", "mm", how=QUICK),
            _show("all", "in", "--paper", "Letter", "--units", "in", *_TRIED, how=QUICK),
        ],
        brought(all=rows(*EVERY) + REFUSED),
    )
    # film at hand, too little of it, taken by one exhibit and then another; film to buy; a bed
    yield Group(
        "shown-film",
        [
            _show("few", "one", "--shelf", "{film}", "--spares", "1"),
            film_after,
            _show("all", "two", "--shelf", "{film}", "--longest", "900 mm", "--fold-minutes", "2"),
            ["films", "{film}"],
            _show("few", "any", "--shelf", "roll 30 in", "--shelf", "sheet 610 mm x 1016 mm"),
            _show("few", "bed", "--bed", "500x400 mm", "--margin", "6 mm", "--spacing", "5 mm"),
        ],
        brought(few=rows(*few), all=rows(*EVERY), film=FILM),
    )
    # constructions, gauges and straps that the list sets: several films, posts, straps of film
    yield Group(
        "shown-set",
        [
            _show("set", "film", "--shelf", "{film}"),
            _show("set", "cut", "--cutter", "wide-roll-knife", "--anyway", how=QUICK),
            _mark("cut", "installed", "S4"),
            _mark("cut", "cut", "sheet-001", "S4", "S1"),
            _mark("cut", "withdrawn", "S2"),
            _show("set", "cut", "--cutter", "wide-roll-knife", "--json", how=QUICK),
            _mark("film", "folded", "S4"),
            _mark("film", "cut", "S1", "S1", by=("--date", "2 March", "--initials", "AB")),
        ],
        brought(set=SETTINGS, film=FILM),
    )
    # marks of each stage, trials and a memory; changed, late, gone; what is cut, and waste on it
    how = ("--shelf", "{film}", "--memory", "{}/memory.json")
    tried = ("trial", "{slip}", "--trials", "{}/trials.csv", "--date", "1 Mar 2026")
    yield Group(
        "shown-later",
        [
            _show("few", "one", *how),
            _mark("one", "cut", "sheet-001"),
            _mark("one", "folded", "A1", "--note", "fits"),
            _mark("one", "installed", "B2"),
            _mark("one", "installed", "C9"),
            changed_by_hand,
            _show("changed", "one", *how),
            [*tried, "--weight", "1100 g", "--hours", "30", "--ended", "stood"],
            _mark("one", "withdrawn", "A3", "--note", "not lent"),
            _mark("one", "planned", "B2"),
            _show("few", "one", *how, "--trials", "{}/trials.csv", "--json"),
            stands,
            [*tried, "--weight", "300 g", "--hours", "2", "--ended", "collapsed", "--fell", "left"],
            _mark("one", "planned", "sheet-001"),
            _mark("one", "folded", "sheet-001"),
            _show("few", "one", "--anew", "--spacing", "4 mm", "--trials", "{}/trials.csv"),
            _show("all", "two", "--memory", "{}/memory.json"),
            _show("all", "none", "--memory", "{film}"),
            _mark("none", "cut", "A1"),
        ],
        brought(
            few=rows(*few),
            changed=rows("A1", "A3", "B2", A1="66 mm:70 mm") + "E1," + _BOOKS["B1"] + "\n",
            all=rows(*EVERY),
            film=FILM,
            slip=SLIP,
        ),
    )
