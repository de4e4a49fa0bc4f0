"""Small files written by hand, by kind: one thing that a reader takes, or refuses, in each.

`tests/kept/read.py` keeps what is read of them; where curves and transforms put things is held
against other readers in `tests/outside/test_reader_geometry.py`.
"""

import json
import zlib

_SVG = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:e="urn:e" {}>{}</svg>'
_SIZE = 'width="60mm" height="40mm" viewBox="0 0 60 40"'
_LINE = '<path d="M1 2L3 4"/>'


def svg(body, frame=_SIZE):
    return _SVG.format(frame, body).encode()


_DATA = (
    "M1 2L3 4L5 2.5",
    "M1 2L3 4L1 2Z",
    "M1 2 3 4 5,6l1 1 2-.5h9H4v3V7.5zm1 2 3 4zl7 8",
    "m1 2 3 4L3 4L3 4zM5 5",
    "M1e1.5-2.5E-1L+3 4",
    "M0 0C2 0 4 2 4 4c5 9-9 9-4-4C1 2 3 4 3 4",
    "M0 0C0 0 0 0 0 0M10 5C10 7.761 7.761 10 5 10 2.239 10 0 7.761 0 5z",
    "M0 0C3 1 6 2 9 3C12 4 20 4 8 2",
    "M5 5A4 4 0 0 0 9 9A4 4 0 0 1 12 8A4 4 0 1 0 3 3A4 4 0 1 1 3 9",
    "M5 5a4 2 30 0 0 3 1a4 2-30 1 1 1 2A1 1 0 0 1 30 30A0 3 0 0 1 1 1a3 0 0 0 1 1 1a9 9 0 0 1 0 0z",
    "M1 2",
    "M1 2ZM3 4L5 6Z",
    "",
    *("L1 2", "M1 2L3", "M1 2 3L4 5", "M1 2Q3 4 5 6", "M1 2L3 4Z5", "M1 2L3 4#", "M1 2L1e999 4"),
    *("M1 2LL3 4", "5 5", "M1 2L3 4M5", "M1 2L9999999999 4", "M1 2L3000000 4"),
)
_SHAPES = (
    '<line x1="1" y1="2" x2="3"/><polyline points="1,2 3 4,5,6"/>',
    '<polygon points="1 2 3 4 5 6 1 2"/>',
    '<rect x="1" y="2" width="30" height="4.5"/><circle cx="9" cy="8" r="7"/><circle r="1"/>',
    *('<polyline points="1 2 3"/>', '<polygon points="1 2"/>', '<polygon points="1 2 3 4 5"/>'),
    *('<ellipse rx="2"/>', '<circle r="x"/>', '<line x1="1mm"/>', "<use/>", "<image/>"),
    '<g><g><text>said <tspan>twice</tspan></text></g><title>no</title></g><e:path d="M9"/>',
)
_MOVES = (
    *("translate(5)", "translate(5,-2)", "scale(2)", "scale(2 -3)", "rotate(30)"),
    *("rotate(90,10 5)", "matrix(1 .5 -.25 2 3 4)", "rotate(-20 5 5), translate(1 2)scale(-1 1)"),
    *("skewX(20)", "rotate(1 2)", "scale(1 2 3)", "matrix(1 2)", "spin", "translate(5", "scale()"),
    *("translate(1 2 3)", "translate(nan)", "scale(0)", "scale(1) " * 500),
)
_FRAMES = (
    *('width="3cm" height="20mm"', 'width="1in" height=" 2IN "', 'width="1in" height="2pt "'),
    *('width="9pc" height="90px"', 'width="1e1mm" height="2.mm"', 'width="30" height="20mm"'),
    *('width="-3mm" height="20mm"', 'height="20mm"', 'width="3.1.1mm" height="2mm"'),
)
_BOXES = (*("5 -2 60 40", "0,0,30,5", "0 0 0 4", "0 0 4 0", "0 0 -4 4", "0 0 4"), "a 0 1 1", "")
_LOOKS = (
    *('stroke="#0ab"', 'stroke="#0072b2" stroke-dasharray="none"', 'stroke="rgb(1, 20,255)"'),
    *('stroke="Black"', 'style="stroke:red;fill:none"', 'style=" Stroke : #fff !important"'),
    *('style="stroke-dasharray:2 1"', 'stroke-dasharray="3"', 'style="stroke:#111;stroke:#222"'),
    *('style="fill:none"', 'display="none"', 'visibility="collapse"', 'style="rotate:3deg"'),
    *('style="display:inline"', 'style="visibility:hidden"', 'style="x-transform:none"'),
)
_WHOLE = (
    b"",
    b"<svg",
    b"<!DOCTYPE x [<!ENTITY a 'b'>]><svg/>",
    b"<svg/>",
    b'<?xml version="1.0" encoding="ugf-8"?><svg/>',
    svg("<g>" * 2000 + "</g>" * 2000),
    svg("<metadata>number: A1\nrise:  3 mm \nno fact\nhalf:</metadata><desc>number: B1</desc>"),
    svg('<g id="a" e:groupmode="layer"><path d="M1 2L3 4"/></g><g id="b" e:insensitive="true"/>'),
    svg('<g id="a" e:insensitive="true"/><g id="c" e:groupmode="layer" e:insensitive="false"/>'),
    svg("<style>path{stroke:red}</style>"),
    svg("<style>path{stroke-dasharray : 2}</style>"),
    svg("<style>path{display:none}</style>"),
    svg("<style>path{fill:none}</style><defs><path/></defs>" + _LINE),
    svg('<path d="M0 0A1e-200 1e-200 0 0 1 5 5"/>'),
)
SVG = (
    *(svg(f'<g id="one"><path d="{d}"/></g>') for d in _DATA),
    *(svg(f'<g id="two">{shape}</g>') for shape in _SHAPES),
    *(
        svg(f'<g id="g" transform="{m}"><g transform="translate(1 3)">{_LINE}</g></g>')
        for m in _MOVES
    ),
    *(svg(f'<path transform="{move}" d="M5 5A4 4 0 0 1 9 9L3 4z"/>') for move in _MOVES[:8]),
    *(svg(_LINE, f'{frame} viewBox="0 0 60 40"') for frame in _FRAMES),
    *(svg(_LINE, f'width="60mm" height="30mm" viewBox="{box}"') for box in _BOXES),
    *(svg(f'<g id="a" stroke="#000"><path {look} d="M1 2L3 4"/>{_LINE}</g>') for look in _LOOKS),
    *(svg(f'<g id="a" {look}>{_LINE}<g stroke="#0AB">{_LINE}</g></g>') for look in _LOOKS),
    *_WHOLE,
)


# -- DXF: tags told as "code value|code value" -----------------------------------------------------


def dxf(body, release="AC1009", header="", tables="", end="0 EOF"):
    parts = [f"0 SECTION|2 HEADER|9 $ACADVER|1 {release}|{header}0 ENDSEC|"]
    parts += [f"0 SECTION|2 TABLES|{tables}0 ENDSEC|" if tables else ""]
    parts += [f"0 SECTION|2 ENTITIES|{body}0 ENDSEC|" if body is not None else "", end]
    tags = "".join(parts).split("|")
    return "".join("{}\n{}\n".format(*tag.partition(" ")[::2]) for tag in tags).encode()


_UNIT = "9 $INSUNITS|70 {}|"
_AT = "8 L|10 1|20 2|"
_PLACES = ("10 1|20 2|", "10 9|20 2|", "10 9|20 8.5|", "10 1|20 2|")
_BULGES = ("42 0.5|", "42 -1|", "42 0|", "42 0.2|")


def _polyline(flags, corners, more="8 L|"):
    vertices = "".join(f"0 VERTEX|{more}{corner}" for corner in corners)
    return f"0 POLYLINE|8 L|66 1|70 {flags}|{vertices}0 SEQEND|"


def _light(flags, corners):
    return f"0 LWPOLYLINE|8 L|90 {len(corners)}|70 {flags}|{''.join(corners)}"


_BENT = [place + bulge for place, bulge in zip(_PLACES, _BULGES, strict=True)]
_ENTITIES = (
    f"0 LINE|{_AT}11 3|21 4.5|0 LINE|8 M|999 noted|10 5|20 6|30 0|11 7|21 8|31 0|",
    f"0 CIRCLE|{_AT}40 3|0 ARC|{_AT}40 3|50 20|51 200|0 ARC|{_AT}40 3|50 300|51 45.5|",
    *(_polyline(flags, _PLACES[:3]) for flags in (0, 1, 129)),
    *(_polyline(flags, _BENT) for flags in (0, 1)),
    _polyline(0, _PLACES[:3], "8 L|5 A1|30 0|"),
    _polyline(1, [*_PLACES[:2], _BENT[1]]),
    *(_light(flags, _PLACES) for flags in (0, 1)),
    *(_light(flags, _BENT) for flags in (0, 1)),
    _light(0, ["43 1|", *_BENT[:2], "42 0.7|"]),
    *(_polyline(0, _PLACES[:1]), _light(1, _PLACES[:1]), _polyline(0, []), _light(0, [])),
    "0 TEXT|8 GUIDE|10 1|20 2|40 3|1 number: A1 \\U+00E4 | rise: 3|".replace(" | ", " \\U+007C "),
    "0 TEXT|8 GUIDE|1 number: A1|0 TEXT|8 GUIDE|1  gauge: 5  |999 layers: 3|",
    *(f"0 {kind}|{_AT}" for kind in ("POINT", "INSERT", "SPLINE", "ELLIPSE", "MTEXT", "SOLID")),
    f"0 LINE|{_AT}11 3|21 4|230 -1|",
    f"0 LINE|{_AT}11 3|21 4|230 1|0 CIRCLE|8 L|40 2|",
    *(f"0 LINE|{_AT}11 {number}|21 4|" for number in ("a", "1e999", "9" * 41, "2000000", "+3.5")),
    _polyline(0, ["10 a|20 1|", "10 3|20 1|"]),
    _light(0, ["10 1|20 nan|", "10 3|20 1|"]),
    f"x LINE|{_AT}",
)
_LAYERS = "0 LAYER|2 L|70 {}|62 {}|6 {}|{}0 LAYER|2 M|70 0|62 -7|6 continuous|"
_LOOK = "0 LINE|8 L|{}10 1|20 2|11 3|21 4|0 LINE|8 M|{}10 1|20 2|11 3|21 4|"
_TABLES = (
    *((0, 1, "CONTINUOUS", ""), (1, 2, "Dashed", ""), (4, 3, "ByLayer", "290 0|")),
    *((2, 7, "CONTINUOUS", "290 1|"), (5, 30, "CONTINUOUS", "420 255|"), (0, 256, "", "420 -1|")),
)
_LINES_LOOK = (
    *("", "62 1|", "62 256|", "62 5|6 DASHED|", "6 BYLAYER|", "6 Continuous|420 16711680|"),
    *("62 30|", "420 255|"),
)
DXF = (
    *(dxf(body) for body in _ENTITIES),
    *(dxf(_ENTITIES[i], "AC1015", _UNIT.format(u)) for i, u in ((0, 4), (1, 1), (4, 5), (10, 6))),
    *(dxf(_ENTITIES[0], "AC1015", _UNIT.format(unit)) for unit in ("0", "2", "13", "")),
    *(dxf(_ENTITIES[0], "AC1009", _UNIT.format(unit)) for unit in ("0", "1", "4", "99")),
    *(dxf(_ENTITIES[0], "AC1015", header) for header in ("", "9 $INSUNITS|")),
    *(
        dxf(_LOOK.format(own, own), tables=_LAYERS.format(*table))
        for own in _LINES_LOOK
        for table in _TABLES
    ),
    dxf(_ENTITIES[0], end="0 END"),
    dxf(None),
    dxf("0 TEXT|8 L|1 ä: ö|", "AC1021", _UNIT.format(4)),
    dxf("0 TEXT|8 L|1 ä: ö|"),
    b"",
    b"AutoCAD Binary DXF\r\n",
)


# -- HP-GL and G-code ------------------------------------------------------------------------------

HPGL = (
    b'IN;CO "number: A1";CO"half \\ud800: \\u00e4";SP2;PU40,80;PD120,80,120,160;PU;SP1;PU0,0;'
    b"PD400,0,400,400,0,0;PD0,40;PU;SP0;",
    b"in;df;pg;sp3;fs60;vs10;pu1,2;pd3 4, 5 6;pa7,8;pu;FS;PU9,9;PD10,10;PU;SP;",
    b"IN;SP1;PD40,0;PD40,40;PD0,0;PU;SP0;PU0,0;SP0;",
    b"IN;SP1;PU0,0;PD40,0,0,0;PU;SP0;",
    b"IN;SP1;PU-40,0;PA5,5;PD+40,0;PU9,9;PD9,9;PU;SP0;",
    b"IN;SP1;PU;PD;PD;PU1,1;SP0;",
    b"IN;SP1;PU0,0;PD40,0;VS5;PD80,0;PU;SP2;FS7;PU0,0;PD1,1;PU;SP0;\n",
    *(b"IN;" + end for end in (b"", b"SP0", b"SP1;", b"SP1;PD1,1;", b"PD1,1;SP0;", b"SP0;PD1,1;")),
    *(b"IN;SP1;" + wrong + b";PU;SP0;" for wrong in (b"PR1,1", b"PD1", b"PD1.5,1", b"PDa,b")),
    *(
        b"IN;SP1;" + wrong + b";PU;SP0;"
        for wrong in (b"LT2", b"PD" + b"9" * 41 + b",1", b"1,2", b"P")
    ),
    *(b"SP1;IN;SP0;", b'CO "early";IN;SP0;', b'CO "open;IN;SP0;', b"IN;SP\xe4;SP0;", b""),
    b"IN;SP1;PU0,0;PD40000001,0;PU;SP0;",
)
_BEGIN = b"(number: A1)\n(half \\u00e4: 3)\nG21\nG90\nG94\nG17\nM5 S0\n"
_END = b"M5 S0\nG0 X0 Y0\nM2\n"
_CUT = b"(role cut-outline)\nG0 X1 Y2\nM4 S0\nG1 X3 Y2 S400 F900\nG1 Y4\nG1 X1 Y2\n"
_SCORE = b"(role score-valley)\nG0X-1.5Y+.5\nM3 S0\nG1 X3 S30 F1200.5\nM5 S0\n"
GCODE = (
    *(_BEGIN + work + _END for work in (b"", _CUT, _CUT + b"M5 S0\n" + _SCORE, _SCORE, _CUT[:60])),
    *(_BEGIN.replace(word + b"\n", b"") + _CUT + _END for word in (b"G21", b"G90", b"G94", b"G17")),
    *(
        _BEGIN + wrong + _END
        for wrong in (b"G0 X1 S5\n", b"M4 S0\nG0 X1\n", b"G1 X1\n", b"G2 X1\n")
    ),
    *(_BEGIN + wrong + _END for wrong in (b"M4 S5\n", b"Z5\n", b"X5\n", b"G0 X\n", b"hello\n")),
    *(_BEGIN + b"M4 S0\n" + wrong + _END for wrong in (b"G1 X1 S5\n", b"G1 X1 F5\n", b"G1 X1\n")),
    _BEGIN + b"M4 S0\nG1 X1 S5 F9\nG1 X2 S6\n" + _END,
    _BEGIN + b"M4 S0\nG1 X1 S5 F9\nG1 X2 F8\n" + _END,
    *(
        _BEGIN + b"M4 S0\nG1 X1 S%b\n" % few + _END
        for few in (b"-5 F9", b".5 F.5", b"0 F9", b"9 F0")
    ),
    *(_BEGIN + at + _END for at in (b"G0 X1 S.5\n", b"M4 S.5\n", b"M3 S1\nM5 S0\n", b"M5 S1\n")),
    _BEGIN + b"M4 S0\nG1 X1 S5 F9\nG1 X0\n" + _END,
    _BEGIN + b"M4 S0\nG1 X1 S5 F9\nG1 X0 Y3\nG1 Y0\n" + _END,
    *(_BEGIN + _CUT + end for end in (b"", b"M2\n", b"M5 S0\nM2\n", b"M5\nG0 X0 Y0\nM2\n")),
    _BEGIN + _END + b"\n",
    *(_BEGIN + _END + more for more in (b"(said)\n", b"M4\n", b"G90\n")),
    *(b"G21\nG90\nG94\nG17\nG0 X1\n", b"G21 G90 G94 G17 M5 S0 M2\n", b"", b"(\xe4)\n"),
    b"(" + b"a" * 254 + b")\n" + _BEGIN + _END,
    b"(" + b"a" * 255 + b")\n" + _BEGIN + _END,
    _BEGIN + b"G0 X2000000\n" + _END,
)


# -- PDF -------------------------------------------------------------------------------------------

_ROOT = (
    "<< /Type /Catalog /Pages 2 0 R /OCProperties << /OCGs [6 0 R 7 0 R] /D << /AS [<< /Event "
    "/Print /Category [/Print] /OCGs [6 0 R 7 0 R] >> << /Event /View /Category [/Print] /OCGs "
    "[6 0 R] >>] >> >> >>"
)
_PAGE = (
    "<< /Type /Page /Parent 2 0 R /MediaBox [{}] /Contents 4 0 R {}/Resources << /Properties << "
    "/L1 6 0 R /L2 7 0 R >> /ColorSpace << /C1 [/Separation /cut /DeviceCMYK 5 0 R] "
    "/C2 /DeviceRGB >> >> >>"
)
_OFF = "/Usage << /Print << /PrintState /OFF >> >>"


def pdf(content, box="0 0 144 72", *, page="", pack=False, root=_ROOT, head=b"%PDF-1.7"):
    data = content.encode("latin-1")
    packed = zlib.compress(data) if pack else data
    filtered = "/Filter /FlateDecode " if pack else ""
    stream = f"<< {filtered}/Length {len(packed)} >>\nstream\n".encode() + packed + b"\nendstream"
    objects = [
        *(root, "<< /Type /Pages /Kids [3 0 R] /Count 1 >>", _PAGE.format(box, page), stream),
        "<< /FunctionType 2 /Domain [0 1] /N 1.0 /C0 [0 0 0 0] /C1 [1 0 0 0] /On true /No null >>",
        "<< /Type /OCG /Name (cut) /GTS_Metadata << /GTS_ProcStepsGroup /Structural "
        "/GTS_ProcStepsType /Cutting >> >>",
        f"<< /Type /OCG /Name (guide) {_OFF} >>",
        "<< /Subject <FEFF006E0075006D006200650072003A002000410031> /Title (a) >>",
    ]
    whole, rows = head + b"\n", b""
    for i, one in enumerate(objects, start=1):
        rows += b"%010d 00000 n \n" % len(whole)
        body = one if isinstance(one, bytes) else one.encode()
        whole += b"%d 0 obj\n%s\nendobj\n" % (i, body)
    told = b"trailer\n<< /Size 9 /Root 1 0 R /Info 8 0 R /ID [<00> <00>] >>\nstartxref\n"
    table = b"xref\n0 9\n0000000000 65535 f \n" + rows
    return whole + table + told + b"%d\n%%%%EOF\n" % len(whole)


_CONTENT = (
    "/OC /L1 BDC\n/C1 CS\n1 SCN\n1 2 m\n30 40 l\nS\n1 2 m 3 4 l 5 2 l\ns\nEMC",
    "/OC /L1 BDC /C1 CS 1 SCN\n1 2 m\n30 40 l\n1 2 l\ns\n5 6 m\n7 8 l\n9 9 m\n8 1 l\nS\nEMC",
    "/OC /L2 BDC /C2 CS 2 w 0 J\n1 2 30 4.5 re\nS\nEMC 0 0 m 10 0 l S",
    "0 0 m 10 0 l 10 10 l h S 0 0 m 0 10 l 10 10 l 0 0 l h S 0 0 m 5 0 l b 1 1 m 9 9 l 0 9 l B*",
    "q 2 0 0 3 10 20 cm q 1 .5 -.25 1 0 1 cm\n1 2 m\n3 4 l\nS\nQ 1 2 m 3 4 l S Q 1 2 m 3 4 l S",
    "q 2 .5 -1 3 10 20 cm q .3 1 -.2 1 7 1 cm 1 2 m 3 4 l S Q q 0 1 -1 0 0 0 cm 1 2 m 3 4 l S Q Q",
    "10 0 m 10 5.523 5.523 10 0 10 c S 0 0 m 9 1 3 8 20 20 c 30 30 l S 0 0 m 3 0 6 0 9 0 c h f",
    "1 0 0 RG 0 0 m 9 0 l S q .5 G [2 1] 0 d 0 0 m 9 0 l S Q 0 0 m 9 0 l S 0 0 0 1 K 0 0 m 1 1 l S",
    "[] 0 d 0 0 m 9 0 l S [3]1 d 0 0 m 9 0 l S 0 0 m 9 0 l n 5 5 m 6 6 l f*",
    "/OC /L1 BDC /Artifact BMC 0 0 m 1 1 l S /Oh /L2 BDC 0 0 m 2 2 l S EMC EMC EMC 0 0 m 3 3 l S",
    "/OC /L9 BDC 0 0 m 1 1 l F EMC /None CS 0 0 m 2 2 l b*",
    "0 0 m 9 0 l S (text) Tj",
    *("1 1 l S", "1 1 2 2 3 3 c S", "h S", "0 0 m 1 l S", "BT ET", "W n 0 0 m 1 1 l S", "Q", "EMC"),
    *("0 0 m a b l S", "0 0 m 1 1 l S /P Do", "5 6 m S", "0 0 m 9 9 l", "", "9e9 0 m 1 1 l S"),
    *("0 0 m 30000000 0 l S", "cm", "1 0 0 1 0 cm", "0 0 m 9 0 l 9 0 l h s"),
)
PDF = (
    *(pdf(content) for content in _CONTENT),
    *(pdf(_CONTENT[i], pack=True) for i in (0, 6)),
    *(pdf(_CONTENT[1], box) for box in ("10 -20.5 144 72", "144 72 0 0", "0 0 144", "0 0 a 72")),
    *(pdf(_CONTENT[i], head=b"%PDG-1.7", pack=True) for i in (0, 1, 4, 5, 7)),
    *(pdf(_CONTENT[0], "10 -20.5 144 72", head=head) for head in (b"%PDF-1.4", b" %PDF-1.4")),
    *(pdf(_CONTENT[0], page=more) for more in ("/UserUnit 2 ", "/Rotate 90 ", "/Null null ")),
    pdf(_CONTENT[0], page="/UserUnit 2 ", head=b"%PDG-1.7"),
    *(pdf(_CONTENT[0], root=root) for root in ("<< /Pages 2 0 R >>", "<< /Type /Catalog >>", "[]")),
    pdf(_CONTENT[0]).replace(b"/Event /Print", b"/Event /Prink"),
    pdf(_CONTENT[0]).replace(
        b"/Category [/Print] /OCGs [6 0 R 7", b"/Category [/Prink] /OCGs [6 0 R 7"
    ),
    pdf(_CONTENT[0]).replace(b"/PrintState /OFF", b"/PrintState /ON "),
    pdf(_CONTENT[0]).replace(b"<FEFF006E", b"<FEFFD86E"),
    pdf(_CONTENT[0]).replace(b"<FEFF006E", b"<0041006E"),
    pdf(_CONTENT[0]).replace(b"startxref\n", b"startxref\n1"),
    pdf(_CONTENT[0]) + b"\n% more",
    pdf(_CONTENT[0]) + b" \n",
    b"%PDF-1.7 nothing",
    b"%PDF-1.7 nothing\n%%EOF",
)


# -- FOLD: a sheet of 40 × 20, a hole of 4 × 4 in it, a valley, a mountain, a slit ----------------

_PLACES_OF_FOLD = [
    *([12, 6], [16, 6], [16, 10], [12, 10], [0, 0], [30, 0], [40, 0], [40, 20], [30, 20], [0, 20]),
    *([20, 0], [20, 20], [2, 2], [3, 3]),
]
_EDGES = [
    *([0, 1], [2, 1], [2, 3], [0, 3], [4, 10], [5, 10], [5, 6], [7, 6], [7, 8], [11, 8], [9, 11]),
    *([4, 9], [5, 8], [10, 11], [12, 13]),
]
_FOLD = {
    "file_spec": 1.2,
    "frame_classes": ["creasePattern"],
    "frame_unit": "mm",
    "vertices_coords": _PLACES_OF_FOLD,
    "edges_vertices": _EDGES,
    "edges_assignment": [*"BBBBBBBBBBBB", "V", "M", "C"],
    "faces_vertices": [[4, 10, 11, 9], [10, 5, 8, 11], [5, 6, 7, 8]],
    "cutfiles:facts": {"number": "A1", "layers": 3},
}
_FRAME = {"frame_classes": ["foldedForm"], "frame_parent": 0, "vertices_coords": [[0, 0, 0]] * 14}
_CHANGES = (
    {},
    *({"frame_unit": unit} for unit in ("cm", "in", "m", "pt", "ell", 5)),
    *({"frame_classes": classes} for classes in (["foldedForm"], [], None, "creasePattern")),
    *({"edges_assignment": kinds} for kinds in (["F"] * 15, [*"JUFBMV", "X"], 5, ["B"] * 3, [])),
    {"edges_assignment": [*"BBBBBBBBBBB", "F", "V", "M", "C"]},
    *({"edges_vertices": edges} for edges in ([], [[0, 99]], [[-1, 0]], [[0]], None, [["a", 1]])),
    {"vertices_coords": [[x, y, 0] for x, y in _PLACES_OF_FOLD]},
    {"vertices_coords": [[-x, y] for x, y in _PLACES_OF_FOLD]},
    *({"vertices_coords": v} for v in ([], None, [["1", 2]] * 14, [[1e9, 0]] * 14, [[0]] * 14)),
    *({"faces_vertices": faces} for faces in ([], [[0, 1, 99]], [[9, 11, 10, 4]], None, [["a"]])),
    *({"cutfiles:facts": facts} for facts in ({}, [], None)),
    {"file_frames": [_FRAME, {**_FRAME, "frame_parent": 2}, {"frame_classes": ["creasePattern"]}]},
    *({"file_frames": frames} for frames in (5, [5], [{**_FRAME, "frame_parent": "0"}])),
    {"edges_vertices": [[0, 1]] * 5_001},
)
FOLD = (
    *(json.dumps(_FOLD | change).encode() for change in _CHANGES),
    *(b"[]", b"{", b"5", b"\xff", b"[" * 9_999),
)
KINDS = {"svg": SVG, "dxf-r12": DXF, "hpgl": HPGL, "gcode": GCODE, "pdf": PDF, "fold": FOLD}
