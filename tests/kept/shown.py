"""Small exhibits of all kinds: what tables, page, cards and packs say, and what later runs change.

Left and right are never the same, measures are in several units, and no list is longer than eight
rows, so that each exhibit costs a few tenths of a second.
"""

from pathlib import Path

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
    "C1": "Great atlas,pl. 14,470 mm,330 mm,328 mm,70 mm,160 mm,150 mm,9 kg,1,1,1,,At. 3,heavy",
}
_REFUSED = (
    "D1,No measures,p. 1,,,,,,,,1,,1,,,\n"
    "D2,Worded,p. 2,tall,130 mm,131 mm,30 mm,60 mm,55 mm,300 g,2,,1,,,\n"
    "B2,Twice,p. 3,200 mm,130 mm,131 mm,30 mm,60 mm,55 mm,300 g,2,,1,,,\n"
    "b1,Spelled alike,p. 4,200 mm,130 mm,131 mm,30 mm,60 mm,55 mm,300 g,2,,1,,,\n"
    "D3,Shown closed,closed,200 mm,130 mm,131 mm,30 mm,,,300 g,2,,1,,,\n"
    ",No number,p. 5,200 mm,130 mm,131 mm,30 mm,60 mm,55 mm,300 g,1,,1,,,\n"
)
QUICK = ("--workers", "1", "--effort", "quick", "--format", "svg")
BARE = (*QUICK, "--no-cards")
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


def _rows(*numbers, **changed):
    """The list of some books, a cell of some said otherwise: A1="66 mm:70 mm"."""
    rows = {number: f"{number},{_BOOKS[number]}\n" for number in numbers}
    for number, said in changed.items():
        was, now = said.split(":")
        assert was in rows[number], rows[number]
        rows[number] = rows[number].replace(was, now, 1)
    return HEAD + "".join(rows.values())


def _brought(**texts):
    """Bring files, by their names without ending; a list is CSV, what begins with # is TOML."""

    def brings(folder):
        paths = {}
        for name, text in texts.items():
            ending = "toml" if text.startswith("#") else "csv"
            paths[name] = folder / f"{name}.{ending}"
            paths[name].write_text(text, encoding="utf-8")
        return paths

    return brings


def film_after(folder):
    """The table of film, with what exhibits took and left."""
    return (folder / "film.toml").read_text(encoding="utf-8")


def _show(lists, to, *more, how=BARE):
    return ["exhibit", f"{{{lists}}}", "--to", f"{{}}/{to}", *how, *more]


def _mark(to, *words, by=BY):
    return ["mark", f"{{}}/{to}", *words, *by]


def groups():
    """Yield the groups."""
    few, all_ = ("A1", "A2", "B2"), tuple(_BOOKS)
    # all books, refused rows among them; what is printed for A4 and Letter, mm and inches
    books = _brought(all=_rows(*all_) + _REFUSED)
    yield Group(
        "shown-printed",
        [
            _show("all", "mm", how=QUICK),
            _show("all", "in", "--paper", "Letter", "--units", "in", "--anyway", how=QUICK),
        ],
        books,
    )
    # film at hand with too little of it, booked by one exhibit and then another; film to buy
    changed = _rows("A1", "A3", "B2", A1="66 mm:70 mm") + "E1," + _BOOKS["B1"] + "\n"
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
        _brought(few=_rows(*few), all=_rows(*all_), film=FILM),
    )
    # marks of each stage; later runs: changed, late, gone, cut sheets kept, waste told
    yield Group(
        "shown-later",
        [
            _show("few", "one", "--shelf", "{film}", "--memory", "{}/memory.json"),
            _mark("one", "cut", "sheet-001"),
            _mark("one", "folded", "A1", "--note", "fits"),
            _mark("one", "installed", "B2"),
            _mark("one", "installed", "C9"),
            _show("changed", "one", "--shelf", "{film}", "--memory", "{}/memory.json"),
            _mark("one", "withdrawn", "A3", "--note", "not lent"),
            _mark("one", "planned", "B2"),
            _mark("one", "planned", "sheet-001"),
            _mark("one", "folded", "sheet-001"),
            _show("few", "one", "--shelf", "{film}", "--memory", "{}/memory.json", "--json"),
            _show("few", "one", "--shelf", "{film}", "--anew", "--spacing", "4 mm"),
            _show("all", "two", "--memory", "{}/memory.json"),
        ],
        _brought(few=_rows(*few), changed=changed, all=_rows(*all_), film=FILM),
    )
    # sheets for a cutter, for a format that holds small ones, for every format
    yield Group(
        "shown-cut",
        [
            _show("few", "laser", "--cutter", "laser"),
            _show("few", "wide", "--cutter", "wide-roll-knife", "--spares", "2", "--paper", "Letter"),
            ["exhibit", "{few}", "--to", "{}/hpgl", *BARE[:4], "--format", "hpgl,pdf", "--png"],
        ],
        _brought(few=_rows("A2", "B2")),
    )
    # what is to be measured of a list, a page a book and six, film assumed
    yield Group(
        "shown-round",
        [
            ["round", "{all}", "--to", "{}/one", "--assume"],
            ["round", "{all}", "--to", "{}/six", "--six", "--units", "in", "--paper", "Letter"],
        ],
        _brought(all=_rows(*all_) + _REFUSED),
    )
