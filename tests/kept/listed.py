"""Lists as people keep them: wordings of sizes, names of columns, odd cells, odd files."""

import json
from dataclasses import replace

from conftest import outside_module
from spreadsheets import save_opendocument

from cutfiles.dice import Dice
from cutfiles.errors import CutfilesError
from cutfiles.lists.headers import ColumnMapping, column_of
from cutfiles.lists.ledger import read_list
from cutfiles.lists.names import _BY_NAME, nearest
from cutfiles.lists.wording.reading import read_wording
from cutfiles.lists.wording.senses import _LABELS, _WORDS, senses_of
from kept import ROOT, Group
from kept.shown import EVERY, REFUSED, brought, rows

_SIZES = (
    "20 x 13 x 3 cm|20,5 × 13.2 cm|8 1/2 by 5¼ in.|H 20 x B 13 cm|20 (H) x 13 (W) cm|203 x 131|"
    '7-7/8" x 5 1/8"|13 cm wide by 20 cm tall|20-21 x 13 cm|20 cm (7 7/8 in.) x 13 cm (5 1/8 in.)|'
    "20 x 13 x 3 cm (7 7/8 × 5 1/8 × 1 3/16 in.)|20 x 13 cm (9 x 5 in.)|Höhe: 20 cm; Breite 13 cm|"
    "1' 8\" x 13 in|22 cm|20 x 13 x 30 cm|diam. 20 cm|200 x 13 cm|20 x 13 x 3 x 2 cm|x 20 cm|3 kg|"
    "length 20 cm|20 cm xW 13 cm|HxWxD: 20 x 13 x 3 cm|13 x 20 cm|20 13 cm|1200 x 900 mm|20 x|H W"
).split("|")
_BEFORE = (
    "|closed: |Overall (closed): |open: |page |Image: |Buch: |in box |each |ca. |~|oblong "
    "|folio ; |85 p. ; |xii, 345 p., [8] leaves : ill. ; "
    "|3 v. ; |a-c |about |varies, |folded to |Xyzzy |ff. "
).split("|")
_AFTER = (
    "|, 3 cm thick| (H x W x D)| (W x H)| in box| (average)| 640 g|; open 20 x 27 cm| + case|"
    ", 120 f.|; sheet: 19 x 12 cm|; 20 x 13 x 3 cm| | xyzzy|, 2 volumes| (approx.)"
    "|. Frame 30 x 40 cm| [sic]"
).split("|")
HEAD = "No.,Shelf mark,Title,Show,H,W,Th,Opens to,Weight,Case,Copies,Notes,Hight,Size\n"
ODD = (
    "Kitchen things â€“ list\n\n"
    f"{HEAD}"
    '1,=1+1,Herbal,p. 3,8",5 1/4,1 5/16,120°,640 g,A,,,x,\n'
    '1,=1+1,Herbal,p. 9,dto.,ditto,dto.,~110,"tbc",A,2,2 copies,,\n'
    "2,1E5,Seeds,04-Mar,187 mm,12.1 cm,29,105-110,1 lb 2 oz,A?,two,on loan; 3 copies,,\n"
    '3,MS 9,Notes,pp. 1-2,<180 mm,112 mm?,19,"about 125, no force",?,,,,,\n'
    "4a-c,12,Three,f. 2,1.2E+3,#REF!,2026-03-04,max. 90,900,B,x,,,\n"
    "5,P 1,Sized,p. 1,,,,110,0.4 kg,B,1,,,20 x 13 x 3 cm\n"
    "6,P 2,Wide,p. 1,,,,110,,B,,,,13 x 20 x 3 cm\n"
    '7,P 3,Both,p. 1,"20 cm (7 7/8 in)","13 cm / 5 1/8 in",20 mm (2 in),110,3 g,B,,"a, limp",,\n'
    "8,P 4,In one,p. 1,20 x 13 x 3 cm,,,110,,B,,,,\n"
    "9,P 5,Closed,geschlossen,18,12,2,,,B,,,,\n"
    '10,P 6,Odd,recto,180mm,120mm,20mm,"90, tight",500,B,25,ff; 1 of 2,,folded 30 x 20 cm\n'
    f"{HEAD}"
    "TOTAL,,9 books,,,,,,,,,,,\n"
    "11,P 7,Over,p. 1,180mm,120mm,20mm,100,500 g,B,1,,,,beyond,the last\n"
)
SCALE = "Nr.;Titel;Höhe (mm);Breite (mm);Dicke (mm);Öffnungswinkel;Seite;Rücken\n" + "".join(
    f"{k};Buch {k};{size};{110 + k};S. {k};\n"
    for k, size in enumerate(
        ("203;131;30", "198;128;29", "211;140;33", "20,3;13,1;3", "7 7/8;5 1/8;1", "190;125;28")
    )
)
MAPPING = """# what our columns hold
header_row = 3
units = "cm"
[columns]
"Hight" = ""
"Case" = "note"
[column_units]
"Th" = "in"
[column_orders]
"Size" = "width x height"
[repeated]
"1/height" = "9 in"
"""


def wordings(folder):
    """The real wordings, then those that dice make of sizes and of what stands around them."""
    del folder
    real = json.loads((ROOT / "tests/bench/wordings.json").read_text(encoding="utf-8"))
    told, dice = [repr(read_wording(row["text"])) for row in real], Dice(3)
    for k in range(2500):
        parts = [one[dice.below(len(one))] for one in (_BEFORE, _SIZES, _AFTER)]
        read = read_wording(
            "".join(parts),
            ("", "mm", "in")[k % 3],
            ((), (), ("width", "height"), ("height", "width", "thickness"))[dice.below(4)],
        )
        told.append(f"{''.join(parts)}: {read} {read.wide}")
    return "\n".join(told)


def names(folder):
    """What columns are called, with and without units and other words; what words mean."""
    del folder
    wrapped = ("{}", "{} (mm)", "{} en cm", "{}IN", "Closed {}", "{} [°]", "Size open {}", "{}x")
    told = [
        repr(column_of(wrapped[k % len(wrapped)].format(name)))
        for k, name in enumerate(sorted(_BY_NAME) * 3)
    ]
    told += [f"{name} {field}" for name, field in _BY_NAME.items()]
    told += [nearest(name) for name in ("heigth", "binds", "titles", "Casse", "xyzzy", "wid")]
    words = sorted({*_LABELS, *_WORDS})
    return "\n".join([*told, *(f"{word} {sorted(senses_of(word))}" for word in words)])


def files(folder):
    """One list as it is saved by many programs, as it is answered, and files that are none."""
    text = "No,Title,Größe,Show,Opens to\n1,Öl “x”,20 x 13 x 3 cm,p. 1,120\n"
    cases = {
        "utf-8.csv": text.encode("utf-8-sig"),
        "utf-16.csv": text.encode("utf-16"),
        "cp1252.csv": text.encode("cp1252"),
        "tabs.csv": text.replace(",", "\t").encode(),
        "open.csv": b'No;Title;H;W;Th\n1;"Herbal;8";5";1"\n2;Seeds;8;5;"\n3;x;"8 in";5 in;1 in\n',
        "headless.csv": b"a,b\n1,2\n",
        "two.csv": b"No,Title,Size closed (mm),,,Angle\n,,H,W,D,\n1,x,203,131,30,120\n",
        "units.csv": b"No,Title,Height,Width,Thick,Open\n,,[mm],[cm],in,\n1,x,203,13,1,120\n",
        "many.csv": b"No,Title,H\n" + b"1,x,20\n" * 9,
        "broken.xlsx": b"PK\x03\x04rubbish",
        "binary.xlsb": b"PK\x03\x04rubbish",
    }
    told = []
    for name, data in cases.items():
        (folder / name).write_bytes(data)
        told.append(_read(folder / name))
    for field, said in (
        ("height", "200 mm"),
        ("width", ""),
        ("spine_width", "3 cm"),
        ("note", "n"),
    ):
        at = {("odd.csv", 6, field): said, ("odd.csv", 99, field): "x"}
        told.append(_read(folder / "odd.csv", ColumnMapping(cells=at)))
    return "\n".join(told)


def workbooks(folder):
    """Worksheets with merged, dated and odd cells, hidden ones, and two lists in one file."""
    from datetime import date, time

    book = outside_module("openpyxl").Workbook()
    head = ["No", "Title", "H (mm)", "W", "Th", "Show", "Opens to", "Shelf mark"]
    for title, lines in {
        "Vitrine 1": [
            ["our list"],
            head,
            [1, "Herbal", 203, "13,1 cm", 30.5, date(2026, 3, 4), 1.2],
        ],
        "Sheet2": [head, [2, "Seeds", True, date(2026, 3, 4), time(1, 2), None, 120, 4012], [3]],
        "hidden": [head, [4, "x", 1, 2, 3, 4, 5]],
        "notes": [["nothing here"], [1, 2]],
    }.items():
        sheet = book.create_sheet(title)
        for line in lines:
            sheet.append(line)
    book["Vitrine 1"].merge_cells("A1:C1")
    book["Sheet2"].merge_cells("B2:B3")
    book["Sheet2"].merge_cells("C2:D2")
    book["hidden"].sheet_state = "hidden"
    del book["Sheet"]
    book.save(folder / "book.xlsx")
    save_opendocument(folder / "book.ods", {"a": [head, [1, "x", 203, "131", 3]], "b": [["x"]]})
    far = outside_module("openpyxl").Workbook()
    far.active["ZZ400000"] = 1
    far.save(folder / "far.xlsx")
    return "\n".join(_read(folder / name) for name in ("book.xlsx", "book.ods", "far.xlsx"))


def _read(path, known=None):
    try:
        books = read_list(path, known or ColumnMapping())
        return "\n".join(map(repr, (replace(books, rows=()), *books.rows)))
    except CutfilesError as error:
        return str(error)


def groups():
    """Yield the groups."""
    brings = brought(odd=ODD, scale=SCALE, mapping=MAPPING, all=rows(*EVERY) + REFUSED)
    for line in (wordings, names, files, workbooks):
        yield Group(f"list-{line.__name__}", [line], brings)
    # odd cells as they stand, by other units, by a mapping; one row in another unit than the rest
    keeps = ("--clean", "{}/clean.csv", "--save-mapping", "{}/columns.toml")
    yield Group(
        "list-odd",
        [
            ["list", "{odd}", *keeps],
            ["list", "{odd}", "--units", "in"],
            ["list", "{odd}", "--mapping", "{mapping}"],
            ["list", "{scale}"],
            ["list", "{mapping}"],
        ],
        brings,
    )
    # what is to be measured of a list, a page a book and six, film assumed
    yield Group(
        "list-round",
        [
            ["round", "{all}", "--to", "{}/one", "--assume"],
            ["round", "{odd}", "--to", "{}/odd", "--six", "--assume"],
            ["round", "{all}", "--to", "{}/six", "--six", "--units", "in", "--paper", "Letter"],
        ],
        brings,
    )
